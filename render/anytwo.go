// Any two photos beside each other: one page, which reads from its own address
// which two are meant, and small files that tell it what it has to know of each.

package render

import (
	"encoding/json"
	"fmt"
	"time"

	"rakelight/journal"
)

// AnyTwo is compare.html. Its script (anytwo.js) fills it; without scripts it
// says what it would do, and where photos stand.
type AnyTwo struct {
	Frame
	Sides [2]CompareSide // without a word: the script has them
}

const anyTwoPage = "compare.html"

// anyTwo is the address, from the top, of two photos beside each other: their
// digits stand behind the #, which no host ever sees and which works from disk.
func (v *view) anyTwo(a, b *journal.Photo) string {
	return fmt.Sprintf("%s#a=%s&b=%s", anyTwoPage, v.stem[a.Hash], v.stem[b.Hash])
}

func (v *view) anyTwoPage() AnyTwo {
	p := AnyTwo{Frame: v.frame("", "compare", v.Say("Two photos side by side"))}
	p.Script = "anytwo.js"
	return p
}

// twoOf is what the page has to know of a photo. The names are those that the
// script reads.
type twoOf struct {
	Width   int    `json:"width"` // of the original
	Height  int    `json:"height"`
	Alt     string `json:"alt"`
	Caption string `json:"caption,omitempty"`
	View    string `json:"view,omitempty"`
	Light   string `json:"light,omitempty"`
	Label   string `json:"label"`          // the year, or the build
	At      string `json:"at"`             // by which the earlier one is found
	Home    string `json:"home,omitempty"` // its place on its build page
}

// photoData are the files with what the page has to know, by the first two
// digits of the photos: at most 256, and a photo changes one. They are scripts,
// because a page that was opened from disk may read nothing else. Frames of series are
// not among them.
func (v *view) photoData() map[string][]*journal.Photo {
	out := map[string][]*journal.Photo{}
	for _, p := range v.Photos {
		single := v.series[p.Series] == nil && !p.Clip()
		if stem := v.stem[p.Hash]; len(stem) >= 2 && single && !v.unshown[p.Hash].any() {
			name := "data/photos-" + stem[:2] + ".js"
			out[name] = append(out[name], p)
		}
	}
	return out
}

// photoScript is one of these files.
func (v *view) photoScript(photos []*journal.Photo) ([]byte, error) {
	of := make(map[string]twoOf, len(photos))
	for _, p := range photos {
		pic := v.picture("", p, "")
		one := twoOf{Width: p.Width, Height: p.Height, Alt: pic.Alt, Caption: p.Caption, View: v.viewName(p.Tags.View),
			Light: v.lightName(p.Tags.Light), Home: pic.Home, At: p.Instant.At.UTC().Format(time.RFC3339)}
		if !v.times() {
			one.At = one.At[:len(time.DateOnly)]
		}
		if b := v.builds[p.Tags.Build]; b != nil {
			one.Label = b.Title
		}
		if !p.Instant.At.IsZero() && p.Instant.Said == "" {
			one.Label = p.Instant.At.Format("2006")
		}
		of[v.stem[p.Hash]] = one
	}
	data, err := json.MarshalIndent(of, "", "") // it escapes what HTML would take for markup
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "rakelightPhotos(%s);\n", data), nil
}
