// Test that the words decide nothing.

package wording_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
	"rakelight/media/inbox"
)

// day is an evening at the bench.
var day = time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)

// picture is a small JPEG; different numbers give different bytes.
func picture(t *testing.T, n, size int) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 16*size, 12*size))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * (n + 3))
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// evening lives through an evening in a new journal, and gives what is in it at the
// end: its records, its state and what there is to do, without any words.
func evening(t *testing.T) (records, state, todo string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	now := day.AddDate(0, 0, -1)
	for name, data := range map[string]string{
		"journal.toml":               "format = 1\nname = \"Bench\"\nzone = \"Europe/Lisbon\"\n",
		"builds/pilot-boat/build.md": "---\ntitle: Pilot boat\nscale: 1/48\nstages: [cut, clean]\n---\n",
		".cache/device":              "bench-0000",
	} {
		write(t, filepath.Join(dir, name), []byte(data))
	}
	j, err := journal.OpenAt(dir, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	say := func(at time.Time, r entry.Request) {
		t.Helper()
		now = at
		if _, err := entry.Do(j, r); err != nil {
			t.Fatal(err)
		}
	}
	say(day, entry.Begin{Build: "pilot-boat", Stage: "clean"})
	say(day.Add(time.Hour), entry.End{})
	say(day.Add(2*time.Hour), entry.Begin{Build: "pilot-boat", Stage: "cut"})
	say(day.Add(3*time.Hour), entry.End{})
	for i, name := range []string{
		"20260314_193205.jpg", "20260314_202500.jpg", "20260301_120000.jpg", "20251026_013000.jpg", "pilot-boat/clean/20260302_120000.jpg", "undated.jpg", "20260314.jpg",
	} {
		path := filepath.Join(j.InboxDir(), filepath.FromSlash(name))
		write(t, path, picture(t, i, 4))
		if err := os.Chtimes(path, day, day); err != nil {
			t.Fatal(err)
		}
	}
	write(t, filepath.Join(j.InboxDir(), "20260314_193205.jpg.xmp"), []byte(`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"/></x:xmpmeta>`))
	in := inbox.New(j, inbox.Options{Now: func() time.Time { return now }})
	sum, err := in.TakeAll(context.Background(), func(int, int, inbox.Outcome) {})
	if err != nil || sum.Taken != 7 {
		t.Fatalf("%+v, %v", sum, err)
	}
	say(day.Add(14*time.Hour), entry.Tag{Photos: []string{short(j, "20260301_120000.jpg")}, Build: "pilot-boat", Stage: "cut"})
	files, err := filepath.Glob(filepath.Join(dir, "records", "*", "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		records += string(data)
	}
	fresh, err := journal.OpenAt(dir, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(fresh.State)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range fresh.State.ToDo() {
		todo += fmt.Sprintf("%s %s %T: %s | %s\n", row.Kind, row.Name(), row.Why, row.Command, row.Else)
	}
	return records, string(data), todo
}

func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
}

func short(j *journal.Journal, name string) string {
	for _, p := range j.State.Photos {
		if p.Name == name {
			return p.Short()
		}
	}
	return ""
}

// All reasons are worded as nonsense, and the same evening gives the same records,
// the same state and the same things to do.
func TestWordsDecideNothing(t *testing.T) {
	records, state, todo := evening(t)
	for _, by := range []reason.By{reason.InSession, reason.NearSession, reason.NoSession, reason.TimeInDoubt, reason.Folder, reason.SidecarKept} {
		if !strings.Contains(records, `{"by":"`+string(by)+`"`) {
			t.Errorf("the evening tries no %s", by)
		}
	}
	for _, is := range []reason.Is{reason.FileTime, reason.DayOnly, reason.Twice} {
		if !strings.Contains(records, `{"is":"`+string(is)+`"`) {
			t.Errorf("the evening tries no %s", is)
		}
	}
	for _, words := range []string{"a guess", "taken during", "to sort:", "uncertain", "that night"} {
		if strings.Contains(records, words) {
			t.Errorf("a record holds the words %q", words)
		}
	}
	old := openSentences(t)
	was := told(old)
	wording.Scramble(t)
	if told(old) == was {
		t.Fatal("the words are the same")
	}
	records2, state2, todo2 := evening(t)
	if records2 != records {
		t.Errorf("other records:\n%s\nthey were\n%s", records2, records)
	}
	if state2 != state {
		t.Errorf("another state:\n%s\nit was\n%s", state2, state)
	}
	if todo2 != todo {
		t.Errorf("other things to do:\n%s\nthey were\n%s", todo2, todo)
	}
}
