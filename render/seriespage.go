// Series on pages: photos at a steady interval are one thing, with a page on which
// they are flicked through by hand.

package render

import (
	"fmt"
	"math"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/say"
	"rakelight/journal/wording"
)

// seriesShown is a series as pages show it.
type seriesShown struct {
	*journal.Series
	b      *build
	href   string           // of its page, from the top
	frames []*journal.Photo // all that can be shown, by instant
	few    []*journal.Photo // those on its page: of many every second, fourth and so on, and the last
}

// SeriesLine is a series on the page of its day, week or build.
type SeriesLine struct {
	Tag     Tag
	Words   string // "A series of 412 photos, 19:05 to 21:40, one every 20 s; …"
	Href    string
	Picture Picture // its last frame
}

// findSeries finds the series of builds that are shown. Their frames stand on the page of
// the series, and on no other.
func (v *view) findSeries() {
	v.series = map[string]*seriesShown{}
	for i := range v.Series {
		s := &v.Series[i]
		if b := v.builds[s.Build]; b != nil {
			v.series[s.ID] = &seriesShown{Series: s, b: b}
		}
	}
	if len(v.series) == 0 {
		return
	}
	for _, p := range v.Photos {
		if s := v.series[p.Series]; s != nil && !v.unshown[p.Hash].any() {
			s.frames = append(s.frames, p)
		}
	}
	for i := range v.Series {
		s := v.series[v.Series[i].ID]
		switch {
		case s == nil:
		case len(s.frames) < fewFrames: // there is nothing to flick through
			delete(v.series, s.ID)
		default:
			s.few = thinned(s.frames, mostFrames)
			s.b.series = append(s.b.series, s)
		}
	}
	for _, b := range v.order {
		b.photos = keepPhotos(b.photos, func(p *journal.Photo) bool { return v.series[p.Series] == nil })
	}
}

// thinned are so many of some at most: every second, fourth and so on, so that those stay
// the same ones, and the last.
func thinned(all []*journal.Photo, most int) []*journal.Photo {
	step := 1
	for len(all) > step*most {
		step *= 2
	}
	var out []*journal.Photo
	for i, p := range all {
		if i%step == 0 || i == len(all)-1 {
			out = append(out, p)
		}
	}
	return out
}

// frameHref is the place of a frame: on the page of its series, where the frame, or the
// one before it that is shown, stands.
func (v *view) frameHref(s *seriesShown, p *journal.Photo) string {
	at := s.few[0]
	for _, one := range s.few {
		if one.Instant.At.After(p.Instant.At) {
			break
		}
		at = one
	}
	return s.href + "#" + v.anchor(at)
}

// words tell a series in a sentence. Times of day are the builder's own.
func (s *seriesShown) words(v *view) string {
	step, shown, fast := v.shortly(s.Step), v.shortly(s.Shown()), v.timesAsFast(s.Speed())
	if v.times() {
		return v.Say("A series of %d photos, %s to %s, one every %s; shown ten a second it takes %s, %s times as fast.",
			s.Frames, s.First.Format("15:04"), s.Last.Format("15:04"), step, shown, fast)
	}
	return v.Say("A series of %d photos, over %s, one every %s; shown ten a second it takes %s, %s times as fast.",
		s.Frames, v.shortly(s.Last.Sub(s.First)), step, shown, fast)
}

// shortly writes a short time to the second, and a longer one as bench time.
func (in voice) shortly(d time.Duration) string {
	d = d.Round(time.Second)
	m, s := int(d/time.Minute), int(d%time.Minute/time.Second)
	switch {
	case m == 0:
		return in.Say("%d s", s)
	case m >= 60 || s == 0:
		return in.inHours(d.Hours())
	}
	return in.Say("%d min %d s", m, s)
}

// timesAsFast writes how many times as fast: whole numbers from ten on.
func (in voice) timesAsFast(x float64) string {
	if x < 10 {
		return say.Number(fmt.Sprintf("%.1f", x)).In(in.Speaker)
	}
	return fmt.Sprintf("%.0f", math.Round(x))
}

// line is a series for a page where root leads back to the top.
func (v *view) seriesLine(root string, s *seriesShown) SeriesLine {
	line := SeriesLine{Tag: s.b.tag(root), Words: s.words(v), Href: root + s.href}
	line.Picture = v.shownAs(root, s.frames[len(s.frames)-1], asDetail)
	line.Picture.Large, line.Picture.Home = line.Href, ""
	return line
}

// seriesLines are those of some series.
func (v *view) seriesLines(root string, all []*seriesShown) []SeriesLine {
	var out []SeriesLine
	for _, s := range all {
		out = append(out, v.seriesLine(root, s))
	}
	return out
}

// seriesIn are the series of a stage of a build; "" = of none.
func (b *build) seriesIn(stage string) []*seriesShown {
	var out []*seriesShown
	for _, s := range b.series {
		if s.Stage == stage || stage == "" && b.Stage(s.Stage) == nil {
			out = append(out, s)
		}
	}
	return out
}

// seriesPage is builds/<id>/series-….html: the page of a flick-through.
func (v *view) seriesPage(s *seriesShown) FlickPage {
	root := "../../"
	heading := joinWords(", ", s.b.Title, v.low(v.stageTold(s.b, s.Stage)))
	p := FlickPage{Frame: v.frameIn(root, "flick", v.Say("%s, a series", heading), s.b), Build: s.b.tag(root),
		Heading: heading, Says: s.words(v), How: v.Say("What this series tells"), Words: v.seriesTells(s)}
	p.Script = "flick.js"
	p.Width, p.Height = frameWide, s.high()
	for _, one := range s.few {
		pic := v.picture(root, one, asPrint)
		frame := FlickPicture{ID: pic.ID, Src: pic.Src, Alt: pic.Alt, Stamp: pic.Stamp,
			Day: v.Say("after %s", v.shortly(one.Instant.At.Sub(s.First)))}
		if pic.Clock != "" {
			frame.Day = one.Instant.At.Format("15:04:05")
		}
		p.Frames = append(p.Frames, frame)
	}
	p.First = p.Frames[0]
	return p
}

// high is how high its pictures are where they are as wide as a frame.
func (s *seriesShown) high() int {
	first := s.frames[0]
	return max(1, int(math.Round(float64(frameWide)*float64(first.Height)/float64(first.Width))))
}

// seriesTells says of what is shown and what it is evidence of, sentence by sentence.
func (v *view) seriesTells(s *seriesShown) []string {
	out := []string{v.Say("series¦%s, %s.", s.b.named(), v.day(s.First))}
	if n := len(s.few); n < s.Frames {
		out = append(out, v.Say("%d of the %d photos stand here, at even distances.", n, s.Frames))
	}
	if n := len(s.Spans) - 1; n > 0 {
		out = append(out, v.Say("The camera stopped %s, and no time is counted meanwhile.", v.count(n, "time")))
	}
	return append(out, v.seriesCounts(s),
		v.Say("A camera sees the bench and not who sits there: only time in which the pictures change is counted, and none of it enters a comparison of pace."))
}

// seriesCounts says how much of a series is time at the bench, and how that is known.
func (v *view) seriesCounts(s *seriesShown) string {
	i := slices.IndexFunc(s.b.sessions, func(one *journal.Session) bool { return one.Series == s.ID })
	net := v.inHours(v.SeriesNet(s.ID).Hours())
	switch {
	case i < 0 && s.Guess:
		return v.Say("No bench time is taken from it, because its place is a guess.")
	case i < 0:
		return v.Say("No bench time is taken from it: a timer, a card or your own words tell of that time, or nothing moved.")
	case s.b.sessions[i].Known == journal.Measured:
		return v.Say("It counts as %s at the bench, measured by its camera’s clock: %s.", net, wording.Trust(s.Trust))
	case s.b.sessions[i].How == reason.UnlikeUnknown:
		return v.Say("It counts as %s at the bench, estimated: its pictures cannot be compared, so nobody knows when they changed.", net)
	}
	return v.Say("It counts as %s at the bench, estimated: nothing confirms its camera’s clock.", net)
}

// seriesDigest is of the page.
func (v *view) seriesDigest(s *seriesShown) digest {
	var e encoding
	e.any(v.digest().heads[s.b])
	e.any(v.seriesSumOf(s))
	for _, p := range s.few {
		e.any(v.digest().photo(p))
	}
	return e.sum()
}

// seriesSumOf is of what any page says of a series.
func (v *view) seriesSumOf(s *seriesShown) digest {
	var e encoding
	e.any(*s.Series)
	e.any([]string{s.href, s.b.named(), v.stageTold(s.b, s.Stage)})
	e.any(v.digest().photo(s.frames[len(s.frames)-1]))
	for _, one := range s.b.sessions {
		if one.Series == s.ID {
			e.any(*one)
		}
	}
	return e.sum()
}

// seriesSum is of several.
func (v *view) seriesSum(all []*seriesShown) digest {
	var e encoding
	for _, s := range all {
		e.any(v.seriesSumOf(s))
	}
	return e.sum()
}
