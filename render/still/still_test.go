// Every kind of still is drawn inside its margins, the same each time, in the inks
// of the pages.

package still

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rakelight/site"
)

// gradient is a picture in which every place differs.
func gradient(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(90 + 100*x/w), uint8(80 + 90*y/h), 120, 255})
		}
	}
	return img
}

// samples are stills of each kind, with much and with little on them.
func samples() map[string]Still {
	then, now := Shade{Ramp: 0}, Shade{Ramp: 10, Dash: 3, Shape: 3}
	var runners []Runner
	for i := range 13 {
		r := Runner{Name: string(rune('A' + i))}
		for n := range 9 - i%3 {
			look := []string{"done", "begun", "not", "lacks", "unused"}[(i*n+n)%5]
			sign := map[string]string{"lacks": "?"}[look]
			r.Squares = append(r.Squares, Square{fmt.Sprint(n + 1), look, sign})
		}
		runners = append(runners, r)
	}
	return map[string]Still{
		"title":       Title{Over: "The harbor bench", Heading: "Week 47", Under: "16 to 22 November 2026", Lines: []string{"Lightship in a swell"}, Picture: gradient(1080, 810)},
		"title-plain": Title{Over: "The harbor bench", Heading: "Harbor pilot boat with a name that does not end soon", Under: "2025", Lines: []string{"From the first cut to the shelf", "52 pictures"}},
		"statement":   Statement{Over: "At the bench", Text: "5.3 hours, 24 parts cut off, 18 cleaned.", Foot: "4 sessions, all measured by a timer or a card."},
		"statement-long": Statement{Over: "What the mistakes taught", Text: strings.Repeat("Twenty-four parts, none lost, and one of them sanded through because the sponge was too coarse. ", 5),
			Foot: strings.Repeat("It rests on what was kept. ", 12)},
		"pair": Pair{Heading: "Cleanup, then and now", Sides: [2]Side{{gradient(852, 639), "2023", "Field-kitchen lorry, cleanup", then},
			{gradient(639, 639), "2026", "Lightship in a swell, cleanup", now}}, Foot: "Same view, same light."},
		"chart": Chart{Over: "Cleanup", Heading: "Parts an hour, build by build", Axis: "Parts an hour (95 % range)", Rows: []Row{
			{"Field-kitchen lorry", "2023", 11.2, "11.2", "8.1 to 15.4", "11 sessions", 8.1, 15.4, true, then},
			{"Mail seaplane", "2024", 13.9, "13.9", "10.8 to 17.9", "12 sessions", 10.8, 17.9, true, Shade{3, 1, 1}},
			{"Harbor pilot boat", "2025", 16.1, "16.1", "too few evenings", "1 session", 0, 0, false, Shade{7, 2, 2}},
			{"Lightship in a swell", "2026", 19.4, "19.4", "14.6 to 120", "2 sessions", 14.6, 120, true, now}}, Foot: "Sessions that a timer or a card measured."},
		"runners": Runners{Over: "Lightship in a swell", Heading: "Cleanup: 18 of 24 parts done", Runners: runners, Foot: "Filled: done. Corner: begun. Struck: not for use."},
		"frame":   Frame{Picture: gradient(1296, 972), Over: "Lightship in a swell", Heading: "Hull seams", Under: "26 September 2026", Count: "12 of 60", Along: 0.2, Shade: now},
	}
}

// Nothing stands in the margins, by day and at night; with RAKELIGHT_SHOTS the
// pictures are kept.
func TestInsideTheMargins(t *testing.T) {
	t.Parallel()
	for name, s := range samples() {
		for _, l := range []Look{{}, {Night: true}, {Width: 1280, Height: 720}} {
			img := Draw(s, l)
			w, h := l.size()
			if img.Bounds() != image.Rect(0, 0, w, h) {
				t.Fatalf("%s: %v", name, img.Bounds())
			}
			paper := img.RGBAAt(0, 0)
			mx, my := w/20-3, h/20-3
			blank := true
			for y := range h {
				for x := range w {
					c := img.RGBAAt(x, y)
					blank = blank && c == paper
					if c != paper && (x < mx || y < my || x >= w-mx || y >= h-my) {
						t.Fatalf("%s: something at %d, %d of %d by %d", name, x, y, w, h)
					}
				}
			}
			if blank {
				t.Errorf("%s is empty", name)
			}
			if !bytes.Equal(Draw(s, l).Pix, img.Pix) {
				t.Errorf("%s: drawn again, it differs", name)
			}
			if dir := os.Getenv("RAKELIGHT_SHOTS"); dir != "" {
				var b bytes.Buffer
				if err := png.Encode(&b, img); err != nil {
					t.Fatal(err)
				}
				file := filepath.Join(dir, fmt.Sprintf("still-%s-%d-%v.png", name, w, l.Night))
				if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// The inks are those of the pages.
func TestInksAreThoseOfThePages(t *testing.T) {
	t.Parallel()
	css, err := site.Files.ReadFile("shared/shared.css")
	if err != nil {
		t.Fatal(err)
	}
	for light, have := range map[string]inks{"light": day, "dark": night} {
		block := regexp.MustCompile(`(?s)color-scheme: ` + light + `;(.*?)\}`).FindSubmatch(css)
		if block == nil {
			t.Fatal(light)
		}
		want := map[string]color.RGBA{"paper": have.paper, "tray": have.tray, "ink": have.ink, "soft": have.soft, "hair": have.hair, "line": have.line}
		for i, c := range have.ramp {
			want[fmt.Sprintf("r%d", i)] = c
		}
		found := 0
		for _, m := range regexp.MustCompile(`--([a-z0-9]+): #([0-9a-f]{6});`).FindAllSubmatch(block[1], -1) {
			var n uint32
			fmt.Sscanf(string(m[2]), "%x", &n)
			if got, ok := want[string(m[1])]; !ok || got != rgb(n) {
				t.Errorf("%s: --%s is #%s on the pages and %v here", light, m[1], m[2], got)
			}
			found++
		}
		if found != len(want) {
			t.Errorf("%s: %d colors on the pages, %d here", light, found, len(want))
		}
	}
}

// A picture that comes in the size it is shown at goes through untouched.
func TestPictureOfItsSizeIsCopied(t *testing.T) {
	t.Parallel()
	for _, l := range []Look{{}, {Width: 1280, Height: 720}} {
		w, h := FrameSize(l, 1600, 1200)
		picture := gradient(w, h)
		img := Draw(Frame{Picture: picture}, l)
		at := img.Bounds().Min.Add(image.Pt(int(marginX*scaleOf(l)+0.5), int(marginY*scaleOf(l)+0.5)))
		for _, p := range []image.Point{{0, 0}, {w - 1, h - 1}, {w / 3, h / 2}} {
			if got, want := img.RGBAAt(at.X+p.X, at.Y+p.Y), picture.RGBAAt(p.X, p.Y); got != want {
				t.Errorf("%v: %v is %v, not %v", l, p, got, want)
			}
		}
	}
}

// Letters that there are not: an accent is left out, anything else is a box, and
// nothing is drawn outside of its line.
func TestLettersThatAreLacking(t *testing.T) {
	t.Parallel()
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, Wide, High)), ink: day, scale: 1}
	s := c.letters(serif, 50)
	for text, want := range map[string]struct {
		letters string
		boxes   int
	}{
		"Żółw": {"Zólw", 0}, "Čapek": {"Capek", 0}, "e\u0301t\u00e9": {"été", 0}, "船 7": {" 7", 1}, "𝛼": {"", 1}, "ﬁne": {"fine", 0},
		"a\u00a0b\u202fc\u2003d": {"a\u00a0b c d", 0}, "\u200dA\u200b": {"A\u200b", 0}, "™ ↑ −5 ½ 12 × 30": {"™ ↑ −5 ½ 12 × 30", 0},
	} {
		letters, boxes := "", 0
		for _, g := range s.glyphs(text) {
			if g.from == nil {
				boxes++
			} else {
				letters += string(g.r)
			}
		}
		letters, wanted := strings.ReplaceAll(letters, "\u200b", ""), strings.ReplaceAll(want.letters, "\u200b", "")
		if letters != wanted || boxes != want.boxes {
			t.Errorf("%q: %q and %d boxes, not %q and %d", text, letters, boxes, wanted, want.boxes)
		}
	}
}

// A text is broken where it fits, and what does not fit is seen to be left out.
func TestLines(t *testing.T) {
	t.Parallel()
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, Wide, High)), ink: day, scale: 1}
	text := strings.Repeat("one little word and ", 20) + strings.Repeat("x", 200)
	lines := c.lines(text, sans, 40, 600)
	if strings.ReplaceAll(strings.Join(lines, ""), " ", "") != strings.ReplaceAll(text, " ", "") {
		t.Errorf("letters were lost: %q", lines)
	}
	for _, line := range lines {
		if w := c.width(line, sans, 40); w > 600 {
			t.Errorf("%q is %.0f wide", line, w)
		}
	}
	some := c.some(lines, 3, sans, 40, 600)
	if len(some) != 3 || !strings.HasSuffix(some[2], " …") || c.width(some[2], sans, 40) > 600 {
		t.Errorf("%q", some)
	}
}

// A word that is too long for its room is set smaller, and not broken.
func TestWordsFit(t *testing.T) {
	t.Parallel()
	c := &canvas{img: image.NewRGBA(image.Rect(0, 0, Wide, High)), ink: day, scale: 1}
	for _, text := range []string{"Weathering", "Detail painting", "Sub-assemblies", "A"} {
		size := c.wordsFit(text, serif, large, small, 330)
		for _, word := range strings.Fields(text) {
			if c.width(word, serif, size) > 330 {
				t.Errorf("%q is %.0f wide at %.0f", word, c.width(word, serif, size), size)
			}
		}
		if size < large && c.width(strings.Fields(text)[0], serif, size+2) <= 330 && c.width(text, serif, size+2) <= 330 {
			t.Errorf("%q could be larger than %.0f", text, size)
		}
	}
}

// An axis holds all values, and ends at four times the largest where a range goes on.
func TestAxis(t *testing.T) {
	t.Parallel()
	for _, one := range []struct {
		rows     []Row
		hi, step float64
	}{
		{nil, 1, 0.2}, {[]Row{{Value: 19.4}, {Value: 11, Low: 8, High: 24, Interval: true}}, 25, 5},
		{[]Row{{Value: 2, Low: 0.1, High: 90, Interval: true}}, 8, 2}, {[]Row{{Value: 0.3}}, 0.3, 0.05},
	} {
		if hi, step := (Chart{Rows: one.rows}).top(); hi < one.hi*0.999 || hi > one.hi*1.001 || step < one.step*0.999 || step > one.step*1.001 {
			t.Errorf("%v: to %v by %v, not %v by %v", one.rows, hi, step, one.hi, one.step)
		}
	}
}
