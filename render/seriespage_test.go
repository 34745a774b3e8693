// Tests of series on pages: one thing on each, with a page of its own.

package render

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// seriesState is a journal whose Lightship was worked on for two hours under a camera.
func seriesState(frames int) *journal.State {
	plan := journal.Plan{Zone: time.UTC, Config: journal.Config{Format: 1, Name: "Bench"}, Builds: []*journal.Build{
		{ID: "lightship", Title: "Lightship", Scale: "1/350", Stages: []journal.Stage{{ID: "seam", Title: "Seam", Kind: "seam"}}}}}
	var records []journal.Record
	at := time.Date(2026, 6, 20, 19, 5, 0, 0, time.UTC)
	photo := func(seq int, when time.Time, model, stage string) {
		body := fmt.Sprintf(`{"hash":%q,"path":"photos/%d.jpg","width":1200,"height":900,"camera":{"model":%q},"print":"%016x","instant":{"at":%q,"wall":%q,"source":"DateTimeOriginal","offset":"stated"},"tags":{"build":"lightship","stage":%q}}`,
			strings.Repeat(fmt.Sprintf("%016x", uint64(seq)*0x9e3779b97f4a7c15), 4), seq, model, uint64(seq)*0x9e3779b97f4a7c15, when.Format(time.RFC3339), when.Format(time.DateTime), stage)
		records = append(records, journal.Record{At: when, Dev: "bench-1", Seq: int64(seq), Kind: journal.PhotoBody{}.RecordKind(), Body: []byte(body)})
	}
	for i := range frames {
		photo(i+1, at.Add(time.Duration(20*i)*time.Second), "T-24", "seam")
	}
	photo(frames+1, at.Add(-time.Minute), "K 2", "seam")
	return journal.Fold(plan, records)
}

func TestSeriesIsOneThing(t *testing.T) {
	const frames = 412
	s := seriesState(frames)
	if len(s.Series) != 1 || s.Series[0].Frames != frames {
		t.Fatalf("%d series", len(s.Series))
	}
	readers := s.ForReaders(ownWords)
	for _, v := range []*view{viewOf(s, time.Time{}, nil), viewWith(readers, Options{Edition: ForReaders}, originalsOf(readers), nil)} {
		pages := pagesByPath(t, v)
		own := v.series[v.Series[0].ID].href
		if pages[own] == "" {
			t.Fatalf("%s is not there", own)
		}
		words := "A series of 412 photos, 19:05 to 21:22, one every 20 s; shown ten a second it takes 41 s, 200 times as fast."
		if !v.times() {
			words = "A series of 412 photos, over 2.3 h, one every 20 s; shown ten a second it takes 41 s, 200 times as fast."
		}
		for _, path := range []string{"builds/lightship.html", "days/2026-06-20.html", "weeks/2026-W25.html", own} {
			if !strings.Contains(pages[path], words) {
				t.Errorf("%s does not say %q", path, words)
			}
		}
		for path, page := range pages {
			n := 0
			for _, p := range v.FramesOf(v.Series[0].ID) {
				if strings.Contains(page, "photos/"+v.stem[p.Hash]+"-") {
					n++
				}
			}
			switch {
			case path == own && n > mostFrames:
				t.Errorf("%d frames stand on their page", n)
			case path != own && n > 1: // the last one stands for all
				t.Errorf("%d frames stand on %s", n, path)
			}
			if !v.times() && regexp.MustCompile(`\b(19|20|21):\d\d`).MatchString(page) {
				t.Errorf("%s tells a time of day", path)
			}
		}
		// Each frame has its place: on the page, at the one before it that is shown.
		for _, p := range v.FramesOf(v.Series[0].ID) {
			path, id, _ := strings.Cut(v.place(v.builds["lightship"], p), "#")
			if path != own || !strings.Contains(pages[path], `id="`+id+`"`) {
				t.Fatalf("%s has no place at %s", p.Short(), id)
			}
		}
		b := v.builds["lightship"]
		if len(b.photos) != 1 || len(b.prints) != 1 || v.flick(b) != nil {
			t.Errorf("%d photos and %d prints beside the series", len(b.photos), len(b.prints))
		}
		// Without scripts it is a strip that can be read; it takes no room that a page has not.
		if page := pages[own]; strings.Count(page, "<li id=") < 50 || len(page) > 60_000 {
			t.Errorf("its page has %d frames in %d bytes", strings.Count(page, "<li id="), len(page))
		}
		if !strings.Contains(pages[own], "It counts as 2.3 h at the bench, measured by its camera’s clock: its files state their time zone, as those of phones do.") ||
			!strings.Contains(pages[own], "by a timer, a bench card or a series of photos whose clock is confirmed") {
			t.Error("it does not tell what it counts as")
		}
	}
	if p := s.NextPair("", nil, nil); p != nil {
		t.Error("frames of a series are judged")
	}
	if got := viewOf(seriesState(11), time.Time{}, nil); len(got.series) > 0 || len(got.builds["lightship"].photos) != 12 {
		t.Error("eleven photos are a series")
	}
}
