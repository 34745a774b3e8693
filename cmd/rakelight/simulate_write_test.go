// The folder of a simulated journal: what the person typed, the records, the
// photos.

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/record"
	"rakelight/media/scene"
)

// writeBuilds writes what a person would type of each build.
func (s *simulation) writeBuilds(dir string) error {
	var stages []string
	for _, st := range simulatedStages {
		stages = append(stages, st.kind)
	}
	for b, plan := range s.plans {
		var text strings.Builder
		one := simulatedBuilds[b]
		fmt.Fprintf(&text, "---\ntitle: %s\nscale: %s\nstarted: %s\n", one.title, one.scale, plan.started)
		if plan.ending != "" {
			fmt.Fprintf(&text, "finished: %s\n", plan.ending)
		}
		text.WriteString("runners:\n")
		for c, runner := range simulatedClasses {
			fmt.Fprintf(&text, "  - {letter: %s, parts: %d, class: %s}\n", runner.runner, plan.parts[c], runner.class)
		}
		fmt.Fprintf(&text, "stages: [%s, repair]\ntotals: {%s}\n---\n", strings.Join(stages, ", "),
			strings.Join(plan.totals, ", "))
		path := filepath.Join(dir, "builds", one.id, "build.md")
		if err := writeQuickly(path, []byte(text.String())); err != nil {
			return err
		}
	}
	return nil
}

// writeRecords writes the lines in the order of their moments, as one device
// would have.
func (s *simulation) writeRecords(dir string) error {
	const device = "bench-5a17"
	slices.SortStableFunc(s.lines, func(a, b simulatedLine) int { return a.at.Compare(b.at) })
	months := map[string]*bytes.Buffer{}
	var last time.Time
	for i, line := range s.lines {
		if !line.at.After(last) { // no two in one moment
			line.at = last.Add(time.Millisecond)
		}
		last = line.at
		body := line.body()
		data, err := json.Marshal(body)
		if err != nil {
			return err
		}
		r := record.Record{At: line.at, Dev: device, Seq: int64(i + 1), Kind: body.RecordKind(), Body: data}
		if line.id != nil {
			*line.id = r.ID()
		}
		written, err := record.EncodeLine(r)
		if err != nil {
			return err
		}
		month := line.at.Format("2006-01")
		if months[month] == nil {
			months[month] = &bytes.Buffer{}
		}
		months[month].Write(append(written, '\n'))
	}
	for month, text := range months {
		if err := writeQuickly(filepath.Join(dir, "records", device, month+".jsonl"), text.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// The size of the pictures of simulated photos: what is in them matters to nobody.
const tinyWidth, tinyHeight = 16, 12

// tinyPicture is drawn once.
var tinyPicture = sync.OnceValue(func() []byte {
	var b bytes.Buffer
	img := image.NewRGBA(image.Rect(0, 0, tinyWidth, tinyHeight))
	if err := scene.WriteJPEG(&b, img, scene.Exif{}); err != nil {
		panic(err)
	}
	return b.Bytes()
})

// pictureOf is a picture that no other photo has: a few bytes stand behind its
// end, which decoders pass over.
func pictureOf(seed uint64, build, n int) []byte {
	return fmt.Appendf(slices.Clone(tinyPicture()), "%d %d %d", seed, build, n)
}

func (p simulatedPhoto) path() string {
	return fmt.Sprintf("photos/%s-%s.jpg", p.at.Format("2006/01/20060102-150405"), p.hash[:8])
}

func (s *simulation) writePhotos(dir string) error {
	n := map[int]int{}
	for _, p := range s.photos {
		data := pictureOf(s.seed, p.build, n[p.build])
		n[p.build]++
		if err := writeQuickly(filepath.Join(dir, filepath.FromSlash(p.path())), data); err != nil {
			return err
		}
	}
	return nil
}

// writeQuickly writes a file and its folders, and does not wait for the disk.
func writeQuickly(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o644)
}

// A simulated journal is whole: nothing in it is refused, passed over or in doubt,
// and it holds what was drawn.
func TestSimulatedJournalIsWhole(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "journal")
	if err := simulate(dir, usual(1)); err != nil {
		t.Fatal(err)
	}
	j, err := journal.OpenAt(dir, func() time.Time { return simulatedNow })
	if err != nil {
		t.Fatal(err)
	}
	s := j.State
	for _, p := range s.Problems {
		t.Errorf("%s: %s", p.File, p.What)
	}
	mixed, remembered, uncounted, idle := 0, 0, 0, 0
	evenings := map[string]int{}
	for _, one := range s.Sessions {
		if one.Doubt.Any() || one.Open {
			t.Errorf("session %s of %s: open or in doubt", one.ID, one.Date)
		}
		if len(one.Classes) > 1 {
			mixed++
		}
		switch {
		case one.Known != journal.Measured:
			remembered++
		case !one.Counted && one.Kind != "repair":
			uncounted++
		case one.Done() == 0 && one.Kind != "repair":
			idle++
		}
		evenings[one.Date]++
	}
	shared := 0
	for _, n := range evenings {
		shared = max(shared, n)
	}
	counts := []struct {
		what string
		n    int
	}{
		{"sessions of several classes", mixed}, {"remembered sessions", remembered},
		{"sessions not counted", uncounted}, {"sessions without a part", idle},
		{"evenings of several sessions", shared - 1}, {"mistakes", len(s.Mistakes)}, {"trials", len(s.Trials)},
		{"photos", len(s.Photos)}, {"marks", len(s.Marks)}, {"verdicts", len(s.Verdicts)},
		{"marks given again", len(s.Remarked(""))},
	}
	for _, c := range counts {
		t.Logf("%s: %d", c.what, c.n)
		if c.n == 0 {
			t.Errorf("no %s", c.what)
		}
	}
	if n := len(s.Builds); n != usual(1).builds {
		t.Errorf("%d builds", n)
	}
}
