// Tests of where old pictures stand, and of what is guessed about it.

package past

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

var (
	now   = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)
	p5    = journal.Camera{Make: "Pellory", Model: "P5"}
	t24   = journal.Camera{Make: "Tarrow", Model: "T-24"}
	state = &journal.State{Zone: time.UTC}
)

// read is what was read of a file: taken at a time by a camera, or what else its claims
// are.
func read(name string, camera journal.Camera, claims ...media.Claim) *file {
	return &file{path: filepath.Join(string(filepath.Separator)+"old", filepath.FromSlash(name)), Hash: fmt.Sprintf("%064x", name),
		Kind: "jpeg", Width: 4000, Height: 3000, Turn: 1, Camera: camera, Claims: media.Claims{List: claims}, Time: now.AddDate(-1, 0, 0).UnixNano()}
}

func original(at string) media.Claim { return media.Claim{Tag: "DateTimeOriginal", Text: at} }
func changed(at string) media.Claim  { return media.Claim{Tag: "DateTime", Text: at} }

func of(files ...*file) *Survey {
	all := map[string]*file{}
	for _, f := range files {
		all[f.path] = f
	}
	return survey(state, now, []string{string(filepath.Separator) + "old"}, all)
}

// No date that says little is taken for more than it is.
func TestPlaces(t *testing.T) {
	scan := read("scans/s1.jpg", journal.Camera{Make: "Ormond", Model: "A4 Scanner"}, media.Claim{Tag: "DateTimeDigitized", Text: "2012:11:03 15:00:00"})
	scan.Claims.Scanned = true
	s := of(
		read("IMG_0041.JPG", p5, original("2021:03:01 20:00:00")),
		read("IMG_0042.JPG", p5, original("2021:03:01 20:10:00")),
		read("IMG_0043_edited.jpg", p5, changed("2021:04:09 11:00:00")),
		read("IMG_0900_edited.jpg", p5, changed("2021:04:09 12:00:00")),
		read("IMG_20210306_213000_edited.jpg", p5, changed("2021:05:01 09:00:00")),
		read("IMG-20210305-M0001.jpg", journal.Camera{}),
		read("received_77.jpg", journal.Camera{}),
		scan,
	)
	for name, want := range map[string]struct {
		placed Placing
		at     string
	}{
		"IMG_0041.JPG":                   {AsTaken, "2021-03-01 20:00"},
		"IMG_0043_edited.jpg":            {ByNeighbors, "2021-03-01 20:10"}, // IMG_0042 is the nearest
		"IMG_0900_edited.jpg":            {AsTaken, "2021-04-09 12:00"},     // no number is near
		"IMG_20210306_213000_edited.jpg": {ByName, "2021-03-06 21:30"},
		"IMG-20210305-M0001.jpg":         {ByDay, "2021-03-05 12:00"},
		"received_77.jpg":                {ByFileTime, "2025-03-14 12:00"},
		"s1.jpg":                         {ByScan, "2012-11-03 15:00"},
	} {
		p := named(t, s, name)
		if got := p.At.Format("2006-01-02 15:04"); p.Placed != want.placed || got != want.at {
			t.Errorf("%s: placed %q at %s, want %q at %s", name, p.Placed, got, want.placed, want.at)
		}
	}
	// What a person says stands above all, and is of no single day.
	hash := named(t, s, "s1.jpg").Hash
	said := *state
	said.Past = []journal.PastSaid{{Photo: hash, First: "1998-03-01", Last: "1998-05-31", Said: "spring 1998"}}
	s = survey(&said, now, []string{string(filepath.Separator) + "old"}, map[string]*file{scan.path: scan})
	p, e := s.Pictures[0], s.Evenings()[0]
	if p.Placed != BySaid || p.Placed.Doubtful() || p.At.Format("2006-01") != "1998-04" || e.Said != "spring 1998" || e.Doubtful != 0 {
		t.Errorf("%+v, %+v", p.Placed, e)
	}
}

// An evening goes on after midnight, over all cameras, and ends with a long gap.
func TestEvenings(t *testing.T) {
	s := of(
		read("a.jpg", p5, original("2021:03:06 21:00:00")), read("b.jpg", t24, original("2021:03:07 00:40:00")), read("c.jpg", p5, original("2021:03:07 04:30:00")),
		read("d.jpg", p5, original("2021:03:07 09:00:00")), read("e.jpg", p5, original("2021:03:07 20:00:00")), read("IMG-20210307-M0001.jpg", journal.Camera{}))
	var got []string
	for _, e := range s.Evenings() {
		got = append(got, fmt.Sprintf("%s %d %d", e.ID, len(e.Pictures), e.Doubtful))
	}
	if want := "2021-03-06 3 0, 2021-03-07 2 1, 2021-03-07-2 1 0"; strings.Join(got, ", ") != want {
		t.Errorf("%s, want %s", strings.Join(got, ", "), want)
	}
	for name, want := range map[string]int{"2021-03-06": 3, "2021-03-07": 2, "2021-03-07-2": 1, "2021-03-07..2021-03-07": 3, "2021-03-06..2021-03-07": 6, "2021-03-07..2021-03-07-2": 3, "e.jpg": 1, "2022-01-01": 0, "G1": 0, "x": 0} {
		if found, err := s.Find(name); len(found) != want || (err == nil) != (want > 0) {
			t.Errorf("%s: %d pictures, %v", name, len(found), err)
		}
	}
}

// A copy goes with its original, whatever else is alike; of pictures that are not bare
// none is a copy.
func TestCopiesAreFound(t *testing.T) {
	cells := func(by int) (all []byte) {
		for i := range 1024 {
			all = append(all, byte(i*7%200+by*i%3))
		}
		return all
	}
	looks := func(f *file, print string, by, w, h int) *file {
		f.Print, f.Cells, f.Width, f.Height = print, cells(by), w, h
		return f
	}
	s := of(
		looks(read("original.jpg", p5, original("2021:03:06 21:00:00")), "00ff00ff00ff00ff", 0, 4000, 3000),
		looks(read("copy.jpg", journal.Camera{}), "00ff00ff00ff00f0", 0, 1600, 1200), // four comparisons away
		looks(read("smaller.jpg", journal.Camera{}), "00ff00ff00ff00ff", 0, 800, 600),
		looks(read("far.jpg", journal.Camera{}), "00ff00ff00ffff00", 0, 1600, 1200),
		looks(read("narrow.jpg", journal.Camera{}), "00ff00ff00ff00ff", 0, 1600, 900),
		looks(read("camera.jpg", t24, original("2021:03:06 21:00:00")), "00ff00ff00ff00ff", 0, 1600, 1200),
	)
	first := named(t, s, "original.jpg").Hash
	for name, want := range map[string]string{"copy.jpg": first, "smaller.jpg": first, "far.jpg": "", "narrow.jpg": "", "camera.jpg": "", "original.jpg": ""} {
		if p := named(t, s, name); p.CopyOf != want {
			t.Errorf("%s is a copy of %q", name, p.CopyOf)
		}
	}
	if p := named(t, s, "smaller.jpg"); p.Placed != ByOriginal || p.At.Hour() != 21 {
		t.Errorf("%+v", p.Placed)
	}
	// Copies differ in few comparisons, so in one band of seven at least they do not.
	for n := range 64 {
		if len(bandsOf(fmt.Sprintf("%016x", uint64(1)<<n))) != bands {
			t.Fatal("a fingerprint is in other bands than it has")
		}
	}
}

// What folders say, and what they do not.
func TestWordsOfFolders(t *testing.T) {
	holds := func(dir string) bool { return dir != "models" && dir != "models/boats" }
	for name, want := range map[string]string{
		"old phone/DCIM/Camera": "", "DCIM/101TARRO": "", "2021/2021-03": "", "backup (2)/pictures": "", "models/boats/lightship": "lightship ",
		"Desktop/boat hull": "boat hull ", "boat 2/finished": "boat 2", "Boat_02": "boat 2", "paint": "", "Segelboot März 2021": "segelboot ",
	} {
		words, number := wordsOf(name, holds)
		var all []string
		for _, w := range []string{"boat", "hull", "lightship", "segelboot"} {
			if words[w] {
				all = append(all, w)
			}
		}
		if got := strings.Join(all, " "); len(all) != len(words) || want != "" && got+" "+number != want || want == "" && got != "" {
			t.Errorf("%s: %v %q, want %q", name, words, number, want)
		}
	}
}

// A camera that was twelve hours off is found by the evenings of the phone, and one
// that was not is left alone; so is one of which there is too little.
func TestClocksAreGuessed(t *testing.T) {
	past := func(fast time.Duration, evenings int) *Survey {
		var files []*file
		for i := range 60 {
			at := time.Date(2021, 1, 5, 19, 0, 0, 0, time.UTC).AddDate(0, 0, 3*i+i*i*i%7%3+i*i%11/4).Add(time.Duration(i*7%50) * time.Minute)
			phone := original(at.Format("2006:01:02 15:04:05"))
			phone.Offset = "+00:00"
			files = append(files, read(fmt.Sprintf("P%04d.jpg", i), p5, phone))
			if i%2 == 0 && i/2 < evenings {
				files = append(files, read(fmt.Sprintf("T%04d.jpg", i), t24, original(at.Add(fast+20*time.Minute).Format("2006:01:02 15:04:05"))))
			}
		}
		return of(files...)
	}
	for _, one := range []struct {
		fast     time.Duration
		evenings int
		want     bool
	}{{0, 30, false}, {12 * time.Hour, 30, true}, {-365 * 24 * time.Hour, 30, true}, {-9 * 365 * 24 * time.Hour, 30, true}, {12 * time.Hour, 3, false}, {5 * time.Minute, 30, false}} {
		s := past(one.fast, one.evenings)
		if len(s.Clocks) > 0 != one.want {
			t.Errorf("%v over %d evenings: %+v", one.fast, one.evenings, s.Clocks)
			continue
		}
		for _, c := range s.Clocks {
			if c.Camera != t24 || (c.Fast-one.fast).Abs() > time.Hour || !c.Phones || c.Would < 28 || c.Evenings != 30 {
				t.Errorf("%v: %+v", one.fast, c)
			}
			if p := named(t, s, "T0000.jpg"); p.Placed != ByClock || !p.Placed.Doubtful() || p.At.Year() != 2021 {
				t.Errorf("%v: placed %s at %v", one.fast, p.Placed, p.At)
			}
		}
	}
}
