// Package still draws pictures for a screen 16 wide and 9 high: a title, two
// photos side by side, a chart, the runners of a kit, a statement set large, a
// photo with its day. What stands on them is decided by whoever fills in the
// values; here it is only drawn, in the inks, the ramp and the letters of the
// pages.
//
// Start with Draw. Nothing here reads a file, a clock or a journal, and the same
// values give the same pixels.
package still

import "image"

// Wide and High are the size in which everything is laid out, in pixels. A frame of
// another size shows the same, scaled.
const (
	Wide, High = 1920, 1080
	// Five parts in a hundred on each side hold nothing: screens cut there, and
	// players lay their buttons over it.
	marginX, marginY = Wide / 20, High / 20
)

// Still is one picture: Title, Pair, Chart, Runners, Statement or Frame.
type Still interface{ on(c *canvas) }

// Look is how pictures are drawn. The zero value is 1920 by 1080, by day.
type Look struct {
	Width, Height int  // pixels, 16 to 9; 0 = Wide by High
	Night         bool // ivory on dark paper
}

// size is the picture's size.
func (l Look) size() (w, h int) {
	if l.Width == 0 || l.Height == 0 {
		return Wide, High
	}
	return l.Width, l.Height
}

// Draw draws a still.
func Draw(s Still, l Look) *image.RGBA {
	w, h := l.size()
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, w, h)), ink: day, scale: scaleOf(l)}
	if l.Night {
		c.ink = night
	}
	c.fill(box{0, 0, Wide, High}, c.ink.paper)
	s.on(c)
	return c.img
}

// Title opens a film or a row of stills.
type Title struct {
	Over    string      // small, above the heading: the journal's name
	Heading string      // "Week 47"
	Under   string      // "16 to 22 November 2026"
	Lines   []string    // what it is about, a few words each
	Picture image.Image // beside the words, nil = none; see PictureOf
}

// Statement is one sentence set large.
type Statement struct {
	Over string // what it is about: "Mistakes"
	Text string
	Foot string // what it rests on, small
}

// Shade is the color and the dash of a build, as on the pages.
type Shade struct {
	Ramp  int // 0 (then) to 10 (now)
	Dash  int // 0 to 3
	Shape int // of its points, 0 to 3
}

// Side is one picture of a pair.
type Side struct {
	Picture image.Image
	Label   string // "2023", "Before"
	Words   string // "Field-kitchen lorry, cleanup"
	Shade   Shade
}

// Pair is two photos of the same work, the earlier one first.
type Pair struct {
	Heading string
	Sides   [2]Side
	Foot    string // "Not comparable: different light", "" = nothing
}

// Row is one build in a chart.
type Row struct {
	Label     string
	Year      string
	Value     float64
	Words     string // the value as it is written
	Range     string // "11.0 to 18.1"
	Rests     string // "12 sessions"
	Low, High float64
	Interval  bool
	Shade     Shade
}

// Chart is a few values, each with its range, on one axis from zero.
type Chart struct {
	Over, Heading string
	Axis          string // title and unit
	Rows          []Row
	Foot          string
}

// Square is one part on a runner.
type Square struct {
	Number string
	Look   string // "done", "begun", "not", "lacks", "unused"
	Sign   string // beside the number of a part that is lacking
}

// Runner is a runner with its parts.
type Runner struct {
	Name    string
	Squares []Square
}

// Runners is a kit as its runners lie on the bench.
type Runners struct {
	Over, Heading string
	Runners       []Runner
	Foot          string // what stands for what
}

// Frame is one photo of a film, with what it shows.
type Frame struct {
	Picture image.Image
	Over    string // the build
	Heading string // the stage
	Under   string // the day
	Count   string // "12 of 60"
	Along   float64
	Shade   Shade
}
