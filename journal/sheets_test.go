// Tests of what a ruler says of printed cards.

package journal

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

// sheetBench is a journal with two photos of cards, of a sheet with a mark and
// of one without, on two days.
func sheetBench(t *testing.T) (j *Journal, marked, bare *Photo) {
	t.Helper()
	j, now := bench(t)
	for i, c := range []Card{{Says: EndCard, Sheet: "K7QF"}, {Says: EndCard}} {
		text, err := c.Text()
		if err != nil {
			t.Fatal(err)
		}
		hash := fmt.Sprintf("%064d", i+1)
		at := now.AddDate(0, 0, i)
		body := PhotoBody{Hash: hash, Path: "photos/" + hash, Name: hash, Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "stated"}, Cards: []CardSeen{{Text: text}}}
		if _, err := j.Append(body); err != nil {
			t.Fatal(err)
		}
	}
	return j, j.State.FindPhoto(fmt.Sprintf("%064d", 1))[0], j.State.FindPhoto(fmt.Sprintf("%064d", 2))[0]
}

// A measure holds for the photos of its sheet and days, the latest counts, and
// it can be taken back.
func TestSheetMeasured(t *testing.T) {
	j, marked, bare := sheetBench(t)
	say := func(b SheetBody) Record {
		r, err := j.Append(b)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	is := func(when string, wantMarked, wantBare float64) {
		t.Helper()
		a, b := j.State.PrintedOf(marked, marked.Cards[0]), j.State.PrintedOf(bare, bare.Cards[0])
		if a.Measured != wantMarked || b.Measured != wantBare {
			t.Errorf("%s: %v and %v mm, want %v and %v", when, a.Measured, b.Measured, wantMarked, wantBare)
		}
	}
	is("before", 0, 0)
	say(SheetBody{Sheet: "K7QF", Measured: 47.5})
	is("one sheet", 47.5, 0)
	say(SheetBody{Sheet: "M2AB", Measured: 40})
	is("another sheet", 47.5, 0)
	say(SheetBody{Measured: 48.5, To: "2026-03-14"})
	is("other days", 47.5, 0)
	say(SheetBody{Measured: 48, From: "2026-03-15", To: "2026-03-15"})
	is("its day", 47.5, 48)
	last := say(SheetBody{Sheet: "K7QF", Measured: 47})
	is("said again", 47, 48)
	if _, err := j.Append(RetractBody{Record: last.ID()}); err != nil {
		t.Fatal(err)
	}
	is("taken back", 47.5, 48)
	if len(j.State.Problems) > 0 {
		t.Error(j.State.Problems)
	}
	// Of a photo whose day is not known, only what holds on all days is said.
	unknown := *bare
	unknown.Instant = Instant{}
	if got := j.State.PrintedOf(&unknown, unknown.Cards[0]); got.Known() {
		t.Errorf("a photo without a day: %+v", got)
	}
	used := j.State.SheetsUsed()
	if len(used) != 2 || used[0].Sheet != "" || used[1].Sheet != "K7QF" || used[0].Unmeasured != 0 || used[1].Photos != 1 {
		t.Errorf("%+v", used)
	}
}

// A factor of the measure with the error of a ruler: 0.25 mm of 47.5.
func TestPrinted(t *testing.T) {
	p := Printed{Sheet: "K7QF", Measured: 47.5, Record: "bench-1/1"}
	if f, e := p.Factor(), p.Error(); f != 0.95 || e < 0.0052 || e > 0.0053 {
		t.Errorf("factor %v, error %v", f, e)
	}
	if f, e := (Printed{}).Factor(), (Printed{}).Error(); f != 1 || e != 0 {
		t.Errorf("unmeasured: factor %v, error %v", f, e)
	}
	for name, c := range map[string]struct {
		p, q Printed
		want bool
	}{
		"one sheet, unmeasured":     {Printed{Sheet: "K7QF"}, Printed{Sheet: "K7QF"}, true},
		"one sheet, measured":       {p, p, true},
		"one sheet, printed twice":  {p, Printed{Sheet: "K7QF", Measured: 50, Record: "bench-1/2"}, false},
		"one sheet, one measured":   {p, Printed{Sheet: "K7QF"}, false},
		"two sheets":                {Printed{Sheet: "K7QF"}, Printed{Sheet: "M2AB"}, false},
		"no marks":                  {Printed{}, Printed{}, false},
		"no marks, one measure":     {Printed{Measured: 48, Record: "bench-1/3"}, Printed{Measured: 48, Record: "bench-1/3"}, true},
		"two sheets, same measures": {Printed{Sheet: "K7QF", Measured: 48, Record: "bench-1/3"}, Printed{Sheet: "M2AB", Measured: 48, Record: "bench-1/4"}, false},
	} {
		if c.p.SameSize(c.q) != c.want || c.q.SameSize(c.p) != c.want {
			t.Errorf("%s: want %v", name, c.want)
		}
	}
}

func TestSheetsThatCannotBe(t *testing.T) {
	j, _, _ := sheetBench(t)
	for _, b := range []SheetBody{
		{Measured: 4.75}, {Measured: 475}, {Measured: -47.5}, {}, {Measured: 47.5, Sheet: "K7Q"}, {Measured: 47.5, Sheet: "k7qf"}, {Measured: 47.5, Sheet: "K7Q0"},
		{Measured: 47.5, Error: -1}, {Measured: 47.5, Error: 9}, {Measured: 47.5, From: "March"}, {Measured: 47.5, From: "2026-03-02", To: "2026-03-01"},
	} {
		if b.Check() == nil {
			t.Errorf("%+v is taken for a measure", b)
		}
	}
	if _, err := j.Append(SheetBody{Measured: 4.75}); err != nil {
		t.Fatal(err)
	}
	if len(j.State.Sheets) != 0 || len(j.State.Problems) != 1 || !strings.Contains(j.State.Problems[0].What, "4.75 mm") {
		t.Errorf("%+v, %v", j.State.Sheets, j.State.Problems)
	}
	for text, want := range map[string]float64{"47.5": 47.5, " 47,5 mm ": 47.5, "50mm": 50, "fifty": 0, "NaN": 0, "4 7": 0, "": 0, "Inf": 0} {
		if v, err := ParseMeasured(text); v != want || (err == nil) != (want > 0) {
			t.Errorf("%q: %v, %v; want %v", text, v, err, want)
		}
	}
}

// The cards of a page that was photographed whole say nothing, until that is
// taken back.
func TestWholeSheetSaysNothing(t *testing.T) {
	j, marked, _ := sheetBench(t)
	if len(j.State.Cards) != 2 {
		t.Fatal(j.State.Cards)
	}
	r, err := j.Append(SheetBody{Sheet: "K7QF", Measured: 48, Photo: marked.Hash, Paper: "A4", Error: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	if len(j.State.Cards) != 1 || j.State.Cards[0].Photo == marked.Hash {
		t.Errorf("%+v", j.State.Cards)
	}
	if p := j.State.PrintedOf(j.State.FindPhoto(marked.Hash)[0], marked.Cards[0]); p.Error() != 0.2/48 {
		t.Errorf("%+v is known to %v", p, p.Error())
	}
	if _, err := j.Append(RetractBody{Record: r.ID()}); err != nil {
		t.Fatal(err)
	}
	if len(j.State.Cards) != 2 {
		t.Errorf("%+v", j.State.Cards)
	}
}

// Without a mark a measure must be of cards that bear none.
func TestAskSheet(t *testing.T) {
	j, _, _ := sheetBench(t)
	if err := j.State.AskSheet(SheetBody{Measured: 50}); err != nil {
		t.Error(err)
	}
	var ask *AskError
	only := *j.State
	only.Photos = only.Photos[:1]
	if err := only.AskSheet(SheetBody{Measured: 50}); !errors.As(err, &ask) || !strings.Contains(ask.Hint, "K7QF") {
		t.Errorf("all cards bear marks: %v", err)
	}
	only.Photos = nil
	if err := only.AskSheet(SheetBody{Measured: 50}); !errors.As(err, &ask) {
		t.Errorf("no card at all: %v", err)
	}
	if err := only.AskSheet(SheetBody{Sheet: "M2AB", Measured: 50}); err != nil {
		t.Errorf("measured before it was photographed: %v", err)
	}
}

// Marks are new, can be written, and are told apart by a person.
func TestNewSheet(t *testing.T) {
	j, _, _ := sheetBench(t)
	seen := map[string]bool{}
	for range 50 {
		mark := j.State.NewSheet()
		if _, err := (Card{Says: EndCard, Sheet: mark}).Text(); err != nil || mark == "K7QF" {
			t.Errorf("%q: %v", mark, err)
		}
		seen[mark] = true
	}
	if len(seen) < 48 {
		t.Errorf("of 50 sheets %d have a mark of their own", len(seen))
	}
}
