// Test that journals which earlier programs made read the same for ever. Each folder
// frozen-* of journal/testdata is one: journal is the folder as it was made, tables
// what was so in it then. They are never written again; a new one is made beside them
// when the format or a record kind is added to:
//
//	go test ./journal/export -run Frozen -freeze frozen-DATE

package export

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/record"
	"rakelight/journal/sanding"
)

var freeze = flag.String("freeze", "", "make a new frozen journal of that name in journal/testdata")

// thaw copies a frozen journal, because opening one may write to its .cache.
func thaw(t *testing.T, name string) *journal.Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "journal")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("..", "testdata", name, "journal"))); err != nil {
		t.Fatal(err)
	}
	j, err := journal.OpenAt(dir, func() time.Time { return frozenAt.AddDate(0, 1, 0) })
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func frozenNames(t *testing.T) []string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join("..", "testdata", "frozen-*"))
	if err != nil || len(found) == 0 {
		t.Fatal("there is no frozen journal", err)
	}
	for i, path := range found {
		found[i] = filepath.Base(path)
	}
	return found
}

// A later program may tell more of a frozen journal, but nothing else and nothing less.
func TestFrozen(t *testing.T) {
	if *freeze != "" {
		makeFrozen(t, filepath.Join("..", "testdata", *freeze))
	}
	for _, name := range frozenNames(t) {
		t.Run(name, func(t *testing.T) {
			j := thaw(t, name)
			for _, p := range j.State.Problems {
				t.Errorf("%s:%d: %s", p.File, p.Line, p.What)
			}
			if len(j.State.Unknown) > 0 {
				t.Errorf("unknown %v", j.State.Unknown)
			}
			for _, f := range j.Check(true) {
				if f.Error {
					t.Errorf("%+v", f)
				}
			}
			dir := filepath.Join(t.TempDir(), "tables")
			if _, err := Write(j.State, dir); err != nil {
				t.Fatal(err)
			}
			tables, err := filepath.Glob(filepath.Join("..", "testdata", name, "tables", "*.json"))
			if err != nil || len(tables) == 0 {
				t.Fatal("there are no tables", err)
			}
			for _, path := range tables {
				was, is := rowsOf(t, path), rowsOf(t, filepath.Join(dir, filepath.Base(path)))
				if len(was) != len(is) {
					t.Errorf("%s has %d rows, and had %d", filepath.Base(path), len(is), len(was))
					continue
				}
				for i := range was {
					if !holds(is[i], was[i]) {
						t.Errorf("%s, row %d:\n%v, was\n%v", filepath.Base(path), i+1, is[i], was[i])
					}
				}
			}
			checkRoundTrip(t, j.State)
		})
	}
}

// What a row tells must be told of every change: a comparison that passes over all is none.
func TestHolds(t *testing.T) {
	row := map[string]any{"a": 1.0, "b": []any{"x", map[string]any{"c": true}}}
	for _, other := range []any{map[string]any{"a": 1.0}, map[string]any{"a": 2.0, "b": row["b"]},
		map[string]any{"a": 1.0, "b": []any{"x"}}, map[string]any{"a": 1.0, "b": []any{"x", map[string]any{"c": false}}}} {
		if holds(other, row) {
			t.Errorf("%v holds %v", other, row)
		}
	}
	if more := map[string]any{"a": 1.0, "b": row["b"], "new": "y"}; !holds(more, row) {
		t.Errorf("%v does not hold %v", more, row)
	}
}

func rowsOf(t *testing.T, path string) (rows []any) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(data, &rows)
	}
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// holds reports whether all that was is, whatever came beside.
func holds(is, was any) bool {
	switch was := was.(type) {
	case map[string]any:
		is, ok := is.(map[string]any)
		for name, one := range was {
			ok = ok && holds(is[name], one)
		}
		return ok
	case []any:
		is, ok := is.([]any)
		ok = ok && len(is) == len(was)
		for i := 0; ok && i < len(was); i++ {
			ok = holds(is[i], was[i])
		}
		return ok
	}
	return reflect.DeepEqual(is, was)
}

// The latest frozen journal has a record of every kind there is.
func TestFrozenHasEveryKind(t *testing.T) {
	source, err := os.ReadFile(filepath.Join("..", "kinds.go"))
	if err != nil {
		t.Fatal(err)
	}
	names := frozenNames(t)
	book := record.Book{Dir: thaw(t, names[len(names)-1]).Dir}
	if err := book.Read(); err != nil {
		t.Fatal(err)
	}
	kinds := regexp.MustCompile(`RecordKind\(\) string +\{ return "([a-z]+)" \}`).FindAllSubmatch(source, -1)
	if len(kinds) < 25 {
		t.Fatalf("kinds.go has %d kinds", len(kinds))
	}
	for _, kind := range kinds {
		if !slices.ContainsFunc(book.Records, func(r record.Record) bool { return r.Kind == string(kind[1]) }) {
			t.Errorf("%s has no record of kind %s: make the next frozen journal, see the head of this file",
				names[len(names)-1], kind[1])
		}
	}
}

var frozenAt = time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)

const frozenBuild = `---
title: Pilot boat
scale: 1/48
started: 2026-03-01
finish: painted
runners:
  - {letter: A, parts: 12, class: flat, classes: {small: "11-12"}, missing: "12"}
  - {letter: B, parts: "1-4", class: clear, not-used: "4"}
stages: [cut, clean, {id: hull-seam, title: Seam of the hull, kind: seam}, paint, repair]
totals: {hull-seam: 3}
---
A harbor pilot boat.

## Before paint

- [x] wash
- [ ] mask
`

// makeFrozen makes a journal with a record of every kind, by this program.
func makeFrozen(t *testing.T, dir string) {
	now := frozenAt
	clock := func() time.Time { now = now.Add(time.Minute); return now }
	root := filepath.Join(dir, "journal")
	if err := journal.Create(root, "The harbor bench", "Europe/Lisbon", now); err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) {
		if err := journal.WriteFile(filepath.Join(root, filepath.FromSlash(name)), []byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	write("builds/pilot-boat/build.md", frozenBuild)
	write("builds/pilot-boat/diary/2026-03-14.md", "# The hull\n\nThe seam is gone.\n")
	write("builds/mail-seaplane/build.md", "---\ntitle: Mail seaplane\nscale: 1/72\nstages: [clean, paint]\nprivate: true\n---\n")
	write("builds/pilot-boat/diary/2026-03-15.md", "---\nprivate: true\n---\n# Not for others\n\nThe second try.\n")
	j, err := journal.OpenAt(root, clock)
	if err != nil {
		t.Fatal(err)
	}
	add := func(body journal.Body) journal.Record {
		r, err := j.Append(body)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	photo := func(n uint8, tags journal.Tags, more func(*journal.PhotoBody)) string {
		img := image.NewGray(image.Rect(0, 0, 4, 3))
		img.SetGray(1, 1, color.Gray{Y: 10 * n})
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			t.Fatal(err)
		}
		src := filepath.Join(t.TempDir(), "a.png")
		if err := os.WriteFile(src, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		sum := sha256.Sum256(b.Bytes())
		hash := hex.EncodeToString(sum[:])
		at := frozenAt.Add(time.Duration(n) * 7 * time.Minute)
		path, err := j.Place(src, hash, at, ".png")
		if err != nil {
			t.Fatal(err)
		}
		body := journal.PhotoBody{Hash: hash, Path: path, Name: "a.png", Folder: "pilot-boat/clean", Size: int64(b.Len()),
			Format: "png", Width: 4, Height: 3, Turn: 1, Camera: journal.Camera{Make: "Tarrow", Model: "T-24", Serial: "0042"},
			Instant: journal.Instant{At: at, Wall: at.Format("2006:01:02 15:04:05"), Source: "DateTimeOriginal", Offset: "journal zone"},
			Tags:    tags, Why: reason.Whys{"build": {By: reason.Folder, Name: "pilot-boat"}, "stage": {By: reason.Folder, Name: "clean"}},
			Words: []string{"hull"}, Fingerprint: strings.Repeat("0f", 8), Sharp: 12.5}
		if more != nil {
			more(&body)
		}
		add(body)
		return hash
	}
	clean := journal.Tags{Build: "pilot-boat", Stage: "clean", View: "left", Light: "raking"}
	begun := add(journal.BeginBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Start: now, Tools: []string{"file"}})
	part := func(runner, number string) []journal.PartRef {
		return []journal.PartRef{{Runner: runner, Number: number, Count: 1}}
	}
	add(journal.DoneBody{Session: begun.ID(), Build: "pilot-boat", Stage: "clean", Parts: part("A", "1"), At: now})
	add(journal.DoneBody{Session: begun.ID(), Build: "pilot-boat", Stage: "clean", Count: 3, At: now})
	add(journal.BreakBody{Session: begun.ID(), Start: now, End: now.Add(time.Minute)})
	clock()
	add(journal.NoteBody{Build: "pilot-boat", Session: begun.ID(), Parts: part("A", "1"), Text: "peg cut on the left", At: now})
	about := func(number string) journal.Noted {
		return journal.Noted{Build: "pilot-boat", Parts: part("A", number), Text: "by lamp", At: now}
	}
	add(journal.CheckedBody{Noted: about("3"), State: "not-used"})
	add(journal.CheckedBody{Noted: about("4"), State: "damaged"})
	sub := about("5")
	sub.Sub = "cab"
	add(journal.SubBody{Noted: sub})
	held := add(journal.HoldBody{Noted: journal.Noted{Build: "pilot-boat", Sub: "cab", At: now}, Is: "curing", Of: "filler", Hours: 12})
	add(journal.ReleaseBody{Hold: held.ID(), Text: "hard", At: now.Add(time.Minute)})
	add(journal.HoldBody{Noted: about("6"), Is: "masked"})
	prep := add(journal.PrepBody{Noted: about("6"), Is: "pegs", With: part("A", "5"), Angle: "45°", Side: "port"})
	again := about("6")
	again.Instead = prep.ID()
	add(journal.PrepBody{Noted: again, Is: "pegs", Side: "starboard"})
	add(journal.HandsBody{Noted: journal.Noted{Build: "pilot-boat", At: now}, Session: begun.ID(), Is: "blister", Where: "left thumb"})
	before := photo(1, clean, nil)
	after := photo(2, clean, func(b *journal.PhotoBody) {
		b.Tags.Role = "after"
		b.Cards = []journal.CardSeen{{Text: mustText(t, journal.Card{Says: journal.CountCard, Count: 2}),
			Corners: [8]float64{1, 1, 2, 1, 2, 2, 1, 2}, Error: 0.25}}
	})
	undated := photo(3, journal.Tags{}, func(b *journal.PhotoBody) {
		b.Instant.Source, b.Instant.Doubts = "file time", reason.Doubts{{Is: reason.DayOnly}}
	})
	photo(4, clean, func(b *journal.PhotoBody) {
		b.Name, b.Format, b.Length, b.Codec, b.Frame = "a.mov", "mov", 7500, "hvc1", [2]int{1080, 1920}
		b.Width, b.Height, b.Fingerprint, b.Sharp = 0, 0, "", 0
		b.Instant.Wall = b.Instant.At.UTC().Format(time.DateTime) + " UTC"
		b.Instant.Source, b.Instant.Offset, b.Instant.Meant = "movie header", journal.ByStandard, reason.ByName
	})
	add(journal.EndBody{Session: begun.ID(), End: now})
	add(journal.CorrectBody{Session: begun.ID(), Add: part("A", "2"), Note: new("by lamp")})
	add(journal.TagBody{Photo: before, Set: journal.Tags{Role: "before"}, Caption: new("first light")})
	add(journal.CardBody{Photo: after, Cards: []string{mustText(t, journal.Card{Says: journal.CountCard, Count: 4})}})
	add(journal.DatedBody{Photo: undated, First: "2019-03-01", Last: "2019-05-31", Said: "spring 2019"})
	add(journal.ClockBody{Camera: journal.Camera{Make: "Tarrow", Model: "T-24"}, Fast: "1m0s", From: "2026-03-01", To: "2026-03-31"})
	xmp := filepath.Join(t.TempDir(), "a.xmp")
	if err := os.WriteFile(xmp, []byte("<x/>"), 0o644); err != nil {
		t.Fatal(err)
	}
	kept, err := j.PlaceBeside(xmp, j.State.FindPhoto(before)[0].Path)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256([]byte("<x/>"))
	add(journal.BesideBody{Photo: before, Hash: hex.EncodeToString(sum[:]), Path: kept, Name: "a.xmp", Format: "xmp", Size: 4,
		Why: reason.Link{By: reason.XMPAlong}})
	add(journal.AsideBody{Hash: strings.Repeat("ab", 32), Path: "inbox/aside/a.png", CopyOf: before,
		Why: reason.Link{By: reason.SmallerCopy, Width: 2, Height: 2, Of: before}})
	add(journal.RepairBody{Hash: after, Path: j.State.FindPhoto(after)[0].Path, From: "good.png"})
	add(journal.WorkBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Date: "2026-03-02", Minutes: 40, Known: journal.Remembered, Count: 5, Counted: true})
	mistake := add(journal.MistakeBody{Build: "pilot-boat", Stage: "clean", Kind: "gouge", Parts: part("A", "2"), Cause: "dull blade", Mended: "putty", Minutes: 12, At: now})
	repair := add(journal.BeginBody{Build: "pilot-boat", Stage: "repair", Kind: "repair", Start: now, For: mistake.ID()})
	clock()
	add(journal.EndBody{Session: repair.ID(), End: now})
	add(journal.ReopenBody{Build: "pilot-boat", Stage: "clean", Parts: part("A", "1"), Why: "a nub is left", At: now})
	trial := add(journal.TrialBody{What: "glass file", Question: "is it quicker?", Build: "pilot-boat", At: now, Tool: "file", Card: 7})
	add(journal.ObserveBody{Trial: trial.ID(), Text: "clogs", Photo: after, At: now})
	add(journal.ReviewBody{Trial: trial.ID(), Text: "Keep it.", At: now})
	mix := add(journal.MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []journal.MixPart{{What: "red", Parts: 3}, {What: "thinner", Parts: 2, Thins: true}}, Coats: 2, Batch: "7", Parts: part("A", "1"), Photo: after, At: now})
	add(journal.MixBody{Build: "pilot-boat", Name: "hull red", Recipe: []journal.MixPart{{What: "red", Parts: 2.5}}, Sub: "wheelhouse", Text: "warmer", Instead: mix.ID(), At: now})
	add(journal.AdditionBody{Build: "pilot-boat", Kind: "addition", Text: "wire", Where: "rails", Parts: part("A", "1"), At: now})
	add(journal.AdditionBody{Build: "pilot-boat", Kind: "reference", Text: "harbor photo", Where: "folder 3", Photo: before, At: now})
	add(journal.SandingBody{Build: "pilot-boat", Parts: part("A", "2"), Surface: "flat", Finish: "primed", Remove: "nub", Steps: []sanding.Step{{Grit: 400, Scale: "P", Backing: "hard block", Check: "no step is felt"}, {Backing: "soft cloth", Wet: true}}, Text: "mind the edge", At: now})
	score := 3
	add(journal.MarkBody{Photo: after, Criterion: 4, Score: &score, Rubric: journal.Rubric})
	add(journal.MarkBody{Photo: before, Criterion: 4, Rubric: journal.Rubric, Judge: "Ines"})
	add(journal.VerdictBody{Left: before, Right: after, Criterion: 4, Outcome: "right"})
	add(journal.PackBody{Pack: "p1", Pairs: []journal.PackPair{{ID: "q1", Left: after, Right: before, Criterion: 4}}})
	add(journal.AnswersBody{Pack: "p1", Sheet: "s1", Judge: "Ines", Answers: []journal.PackAnswer{{Pair: "q1", Outcome: "left"}}})
	add(journal.PointsBody{A: before, B: after, Pairs: []journal.PointPair{{0.1, 0.1, 0.2, 0.1}, {0.9, 0.8, 0.9, 0.9}}})
	add(journal.AlikeBody{A: before, B: after})
	add(journal.AlikeBody{A: undated, B: after, Not: true})
	add(journal.SheetBody{Measured: 49.5, From: "2026-03-01"})
	add(journal.PrivateBody{Photo: before, At: now})
	add(journal.PrivateBody{Build: "mail-seaplane", Date: "2026-03-14", At: now})
	out, in := true, false
	old := strings.Repeat("5e", 32)
	add(journal.PastBody{Photos: []string{old, before}, Set: journal.Tags{Build: "pilot-boat", Stage: "paint", Role: "before"}, First: "1998-03-01", Last: "1998-05-31", Said: "spring 1998", Made: strings.Repeat("0c", 32)})
	add(journal.PastBody{Photos: []string{old}, Clear: []string{"role"}, Out: &out})
	add(journal.PastBody{Photos: []string{strings.Repeat("6f", 32)}, Set: journal.Tags{Kit: 1, View: "left", Light: "raking", Parts: part("A", "2")}, Out: &in})
	add(journal.PauseBody{Build: "mail-seaplane", From: now, Why: "no wire", Next: "the floats", Waiting: "wire"})
	add(journal.ResumeBody{Build: "mail-seaplane", At: now.Add(time.Minute)})
	clock()
	add(journal.FinishBody{Build: "mail-seaplane", Date: "2026-03-14", At: now})
	wrong := add(journal.NoteBody{Build: "pilot-boat", Text: "wrong", At: now})
	add(journal.RetractBody{Record: wrong.ID(), Sum: wrong.Sum(), Why: "wrong build"})
	add(journal.LostBody{Dev: "bench-91c0", From: 1, To: 2})
	add(journal.BeginBody{Build: "pilot-boat", Stage: "paint", Kind: "paint", Start: now})
	tables := filepath.Join(t.TempDir(), "tables")
	if err := os.RemoveAll(filepath.Join(root, ".cache")); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Join(dir, "tables"), 0o755); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(thaw(t, filepath.Base(dir)).State, tables); err != nil {
		t.Fatal(err)
	}
	for _, table := range Tables {
		data, err := os.ReadFile(filepath.Join(tables, table.Name+".json"))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, "tables", table.Name+".json"), data, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

func mustText(t *testing.T, c journal.Card) string {
	t.Helper()
	text, err := c.Text()
	if err != nil {
		t.Fatal(err)
	}
	return text
}
