// Tests of bursts: which photos belong together, and which stands for them.

package journal

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestBursts(t *testing.T) {
	start := moment(t, "2026-03-14 19:00:00 +00:00")
	n := 0
	shot := func(seconds int, print string, sharp float64, change ...func(*Photo)) *Photo {
		n++
		p := &Photo{Hash: fmt.Sprintf("%02d", n), Camera: Camera{Model: "T-24"}, Width: 400, Height: 300, Fingerprint: print, Sharp: sharp,
			Instant: Instant{At: start.Add(time.Duration(seconds) * time.Second), Wall: "2026:03:14 19:00:00", Source: "DateTimeOriginal"}}
		for _, c := range change {
			c(p)
		}
		return p
	}
	const (
		hull  = "00ff00ff00ff00ff"
		hull2 = "00ff00ff00ff00f0" // 4 away
		hull3 = "00ff00ff00ff0ff0" // 8 from hull, 4 from hull2
		drift = "00ff00ff000f0000" // 12 from hull, 8 from hull2
		mast  = "ff00ff00ff00ff00"
	)
	other := func(p *Photo) { p.Camera.Model = "K 2" }
	after := func(p *Photo) { p.Tags.Role = "after" }
	for _, c := range []struct {
		name   string
		photos []*Photo
		want   string // shown:others of each burst, by place in the list from 1
	}{
		{"the sharpest is shown", []*Photo{shot(0, hull, 5), shot(1, hull2, 9), shot(3, hull3, 7)}, "2:13"},
		{"a caption comes first", []*Photo{shot(0, hull, 5, func(p *Photo) { p.Caption = "the hull" }), shot(1, hull2, 9)}, "1:2"},
		{"equally sharp, the first", []*Photo{shot(0, hull, 5), shot(1, hull2, 5)}, "1:2"},
		{"four seconds apart", []*Photo{shot(0, hull, 5), shot(4, hull, 9)}, ""},
		{"another subject", []*Photo{shot(0, hull, 5), shot(1, mast, 9)}, ""},
		{"it drifts away", []*Photo{shot(0, hull, 5), shot(1, hull2, 6), shot(2, drift, 9)}, "2:1"},
		{"two bursts", []*Photo{shot(0, hull, 5), shot(1, hull, 4), shot(2, mast, 3), shot(3, mast, 4)}, "1:2 4:3"},
		{"two cameras at once", []*Photo{shot(0, hull, 5), shot(0, hull, 7, other), shot(1, hull, 4), shot(1, hull, 8, other)}, "1:3 4:2"},
		{"before and after", []*Photo{shot(0, hull, 5), shot(1, hull, 4, after)}, ""},
		{"another size", []*Photo{shot(0, hull, 5), shot(1, hull, 4, func(p *Photo) { p.Width = 200 })}, ""},
		{"no print", []*Photo{shot(0, "", 5), shot(1, "", 4)}, ""},
		{"a print of something else", []*Photo{shot(0, "x", 5), shot(1, "x", 4)}, ""},
		{"no camera", []*Photo{shot(0, hull, 5, func(p *Photo) { p.Camera = Camera{} }), shot(1, hull, 4, func(p *Photo) { p.Camera = Camera{} })}, ""},
		{"file time", []*Photo{shot(0, hull, 5, func(p *Photo) { p.Instant.Source = "file time" }), shot(1, hull, 4)}, ""},
	} {
		s := &State{Photos: c.photos}
		s.foldBursts()
		var got []string
		for _, burst := range s.Bursts() {
			text := ""
			for i, p := range burst {
				for k, q := range c.photos {
					if p == q {
						text += fmt.Sprint(k + 1)
					}
				}
				if i == 0 {
					text += ":"
				}
			}
			got = append(got, text)
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %q, want %q", c.name, strings.Join(got, " "), c.want)
		}
	}
}
