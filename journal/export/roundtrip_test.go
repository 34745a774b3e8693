// Test that what is exported, read back as Help tells it, is the state.

package export

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// fromJSON reads a table as any program would.
func fromJSON[R any](t *testing.T, dir, name string) (rows []R) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name+".json"))
	if err == nil {
		err = json.Unmarshal(data, &rows)
	}
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// fromCSV reads the same from CSV: by the names in the first line, a field that is no
// text as JSON, a moment as text, nothing as absent.
func fromCSV[R any](t *testing.T, dir, name string) (rows []R) {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines[1:] {
		row := map[string]json.RawMessage{}
		for i, cell := range line {
			field := fieldNamed(reflect.TypeFor[R](), lines[0][i])
			switch quoted, err := json.Marshal(cell); {
			case err != nil:
				t.Fatal(err)
			case cell == "":
			case field.Kind() == reflect.String || field == reflect.TypeFor[time.Time]():
				row[lines[0][i]] = quoted
			default:
				row[lines[0][i]] = json.RawMessage(cell)
			}
		}
		data, err := json.Marshal(row)
		var one R
		if err == nil {
			err = json.Unmarshal(data, &one)
		}
		if err != nil {
			t.Fatalf("%s: %v in %q", name, err, line)
		}
		rows = append(rows, one)
	}
	return rows
}

func fieldNamed(row reflect.Type, name string) reflect.Type {
	for i := range row.NumField() {
		if tag, _, _ := strings.Cut(row.Field(i).Tag.Get("json"), ","); tag == name {
			return row.Field(i).Type
		}
	}
	return nil
}

// same compares rows turned back with the state's values, as JSON without what is empty:
// a moment is one wherever its zone comes from.
func same[R, V any](t *testing.T, dir, name string, want []V, back func(R) V) {
	t.Helper()
	for from, rows := range map[string][]R{"json": fromJSON[R](t, dir, name), "csv": fromCSV[R](t, dir, name)} {
		if len(rows) != len(want) {
			t.Errorf("%s.%s has %d rows, the state %d", name, from, len(rows), len(want))
			continue
		}
		for i, row := range rows {
			if got, wants := filled(t, back(row)), filled(t, want[i]); !reflect.DeepEqual(got, wants) {
				t.Errorf("%s.%s, row %d:\n%v, the state has\n%v", name, from, i+1, got, wants)
			}
		}
	}
}

// filled is a value as JSON has it, without what is empty.
func filled(t *testing.T, v any) any {
	t.Helper()
	data, err := json.Marshal(v)
	var is any
	if err == nil {
		err = json.Unmarshal(data, &is)
	}
	if err != nil {
		t.Fatal(err)
	}
	return withoutEmpty(is)
}

func withoutEmpty(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for name, one := range v {
			if one = withoutEmpty(one); one == nil {
				delete(v, name)
			} else {
				v[name] = one
			}
		}
		if len(v) == 0 {
			return nil
		}
	case []any:
		for i := range v {
			v[i] = withoutEmpty(v[i])
		}
		if len(v) == 0 {
			return nil
		}
	}
	return v
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * float64(time.Second))) }

// A build with all that build.md may say of one is exported whole. What is new of a build
// is filled in here, so that it is exported.
func TestAllOfABuildIsExported(t *testing.T) {
	totals := map[string]map[string]int{"seam": {"flat": 8, "curved": 6}}
	b := journal.Build{ID: "pilot-boat", Title: "Pilot boat", Scale: "1/48", Started: "2026-01-04", Finished: "2026-05-01",
		ReadyBy: "2026-05-08", Private: true, ShowIn: "Ships, waterline", Closed: "bench-1/9",
		Resumed: time.Date(2026, 4, 2, 19, 0, 0, 0, time.UTC), Finish: "painted",
		Kits: []journal.Kit{{Title: "Hull", Scale: "1/48", Totals: map[string]int{"seam": 14}, TotalsByClass: totals,
			Runners: []journal.Runner{{Letter: "A", Parts: []string{"1", "2", "3"}, Class: "flat", NotUsed: []string{"2"},
				Missing: []string{"3"}, Spared: []string{"2"}, Classes: map[string]string{"1": "curved"}}}}},
		Stages: []journal.Stage{{ID: "seam", Title: "Seams", Kind: "seam"}}, TotalsByClass: totals,
		Totals: map[string]int{"seam": 14}, Body: "A boat.", Checklist: []journal.CheckItem{{Section: "Hull", Text: "Sand", Done: true}}}
	for _, v := range []any{b, b.Kits[0], b.Kits[0].Runners[0], b.Stages[0], b.Checklist[0]} {
		for i, of := 0, reflect.ValueOf(v); i < of.NumField(); i++ {
			if of.Field(i).IsZero() {
				t.Errorf("%s of %s says nothing here", of.Type().Field(i).Name, of.Type())
			}
		}
	}
	checkRoundTrip(t, &journal.State{Builds: []*journal.Build{&b}})
}

func checkRoundTrip(t *testing.T, s *journal.State) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "tables")
	if _, err := Write(s, dir); err != nil {
		t.Fatal(err)
	}
	same(t, dir, "builds", s.Builds, func(r Build) *journal.Build {
		b := &journal.Build{ID: r.ID, Title: r.Title, Scale: r.Scale, Started: r.Started, Finished: r.Finished,
			ReadyBy: r.ReadyBy, ShowIn: r.ShowClass, Closed: r.Closed, Resumed: r.Resumed, Finish: r.Finish,
			Totals: r.Totals, TotalsByClass: r.ByClass, Body: r.Body, Private: r.Private}
		for _, k := range r.Kits {
			kit := journal.Kit{Title: k.Title, Scale: k.Scale, Totals: k.Totals, TotalsByClass: k.ByClass}
			for _, one := range k.Runners {
				kit.Runners = append(kit.Runners, journal.Runner(one))
			}
			b.Kits = append(b.Kits, kit)
		}
		for _, one := range r.Stages {
			b.Stages = append(b.Stages, journal.Stage(one))
		}
		for _, one := range r.Checklist {
			b.Checklist = append(b.Checklist, journal.CheckItem(one))
		}
		return b
	})
	same(t, dir, "photos", s.Photos, func(r Photo) *journal.Photo {
		p := &journal.Photo{Hash: r.Hash, Path: r.Path, Name: r.Name, Folder: r.Folder, Words: r.Words, Size: r.Size,
			Format: r.Format, Width: r.Width, Height: r.Height, Turn: r.Turn, Camera: r.Camera, Instant: r.Instant,
			Tags: journal.Tags{Build: r.Build, Kit: r.Kit, Stage: r.Stage, Role: r.Role, View: r.View, Light: r.Light,
				Parts: r.Parts}, Why: r.Why, Guess: r.Guess, Kind: r.Kind, Caption: r.Caption, Fingerprint: r.Print,
			Length: r.Length, Codec: r.Codec, Frame: r.Frame,
			Sharp: r.Sharp, Cards: r.Cards, Lapsed: journal.Lapse{Role: r.Lapsed, Last: r.Held}, CardsBy: r.CardsBy,
			DatedBy: r.DatedBy, Trial: r.Trial, Burst: r.Burst, Record: r.Record}
		for _, one := range r.Beside {
			p.Beside = append(p.Beside, journal.Original(one))
		}
		return p
	})
	tallies := map[string][]journal.Tally{}
	for _, r := range fromJSON[Part](t, dir, "parts") {
		all := tallies[r.Session]
		if len(all) < r.Tally {
			all = append(all, journal.Tally{At: r.At, Back: r.Back, Why: r.Why, Record: r.Record, Photo: r.Photo})
		}
		if last := &all[r.Tally-1]; r.Runner == "" {
			last.Bare = r.Count
		} else {
			last.Parts = append(last.Parts, journal.PartRef{Kit: r.Kit, Runner: r.Runner, Number: r.Number, Count: r.Count})
		}
		tallies[r.Session] = all
	}
	if a, b := fromJSON[Part](t, dir, "parts"), fromCSV[Part](t, dir, "parts"); !reflect.DeepEqual(filled(t, a), filled(t, b)) {
		t.Errorf("parts.json and parts.csv differ: %v, %v", a, b)
	}
	same(t, dir, "sessions", s.Sessions, func(r Session) *journal.Session {
		one := &journal.Session{ID: r.ID, Build: r.Build, Kit: r.Kit, Stage: r.Stage, Kind: r.Kind, Class: r.Class,
			Start: r.Start, End: r.End, Open: r.Open, Net: seconds(r.Net), Date: r.Date, Known: r.Known, How: r.How,
			Parts: r.Parts, Bare: r.Bare, Reopened: r.Reopened, Again: r.Again, Counted: r.Counted, Note: r.Note,
			Cards: r.Cards, Trials: r.Trials, Tools: r.Tools, For: r.For, Tallies: tallies[r.ID]}
		for _, c := range r.Classes {
			one.Classes = append(one.Classes, journal.ClassCount(c))
		}
		for _, b := range r.Breaks {
			one.Breaks = append(one.Breaks, journal.Span(b))
		}
		if r.Unseen != nil {
			one.Unseen = journal.Span(*r.Unseen)
		}
		for _, c := range r.Charged {
			one.Charged = append(one.Charged, journal.Charge(c))
		}
		if d := r.Doubt; d != nil {
			one.Doubt = reason.LengthDoubt{Is: d.Is, Ran: seconds(d.Ran), Overnight: d.Overnight, Cards: d.Cards}
		}
		if one.Done() != r.Done {
			t.Errorf("session %s: %d done, the parts are %d", r.ID, r.Done, one.Done())
		}
		return one
	})
	same(t, dir, "pauses", s.Pauses, func(r Pause) journal.Pause { return journal.Pause(r) })
	same(t, dir, "diary", s.Diary, func(r Day) journal.DiaryDay { return journal.DiaryDay(r) })
	same(t, dir, "notes", s.Notes, func(r Note) journal.Note { return journal.Note(r) })
	same(t, dir, "checks", s.Checks, func(r Checked) journal.Checked {
		n := journal.Noted{Build: r.Build, Kit: r.Kit, Parts: r.Parts, Photo: r.Photo, Text: r.Text, Instead: r.Instead, At: r.At}
		return journal.Checked{CheckedBody: journal.CheckedBody{Noted: n, State: r.State}, Written: journal.Written{Record: r.Record, Replaced: r.Replaced}}
	})
	same(t, dir, "subs", s.Subs, func(r Sub) journal.Sub {
		n := journal.Noted{Build: r.Build, Kit: r.Kit, Parts: r.Parts, Sub: r.Sub, Photo: r.Photo, Text: r.Text, Instead: r.Instead, At: r.At}
		return journal.Sub{SubBody: journal.SubBody{Noted: n, Over: r.Over}, Written: journal.Written{Record: r.Record, Replaced: r.Replaced}}
	})
	same(t, dir, "holds", s.Holds, func(r Hold) journal.Hold {
		n := journal.Noted{Build: r.Build, Kit: r.Kit, Parts: r.Parts, Sub: r.Sub, Photo: r.Photo, Text: r.Text, Instead: r.Instead, At: r.At}
		return journal.Hold{HoldBody: journal.HoldBody{Noted: n, Is: r.What, Of: r.Of, Hours: r.Takes / 3600}, Written: journal.Written{Record: r.Record, Replaced: r.Replaced},
			Until: r.Until, EndText: r.EndText, Released: r.Released}
	})
	same(t, dir, "preps", s.Preps, func(r Prep) journal.Prep {
		n := journal.Noted{Build: r.Build, Kit: r.Kit, Parts: r.Parts, Sub: r.Sub, Photo: r.Photo, Text: r.Text, Instead: r.Instead, At: r.At}
		return journal.Prep{PrepBody: journal.PrepBody{Noted: n, Is: r.What, With: r.With, Angle: r.Angle, Side: r.Side}, Written: journal.Written{Record: r.Record, Replaced: r.Replaced}}
	})
	same(t, dir, "hands", s.Hands, func(r Hands) journal.Hands {
		n := journal.Noted{Build: r.Build, Kit: r.Kit, Photo: r.Photo, Text: r.Text, Instead: r.Instead, At: r.At}
		return journal.Hands{HandsBody: journal.HandsBody{Noted: n, Session: r.Session, Is: r.What, Where: r.Where}, Written: journal.Written{Record: r.Record, Replaced: r.Replaced}}
	})
	same(t, dir, "mistakes", s.Mistakes, func(r Mistake) journal.Mistake {
		return journal.Mistake{Build: r.Build, Stage: r.Stage, Kind: r.Kind, Parts: r.Parts, Cause: r.Cause,
			Mended: r.Mended, Lost: seconds(r.Lost), At: r.At, Record: r.Record}
	})
	same(t, dir, "mixes", s.Mixes, func(r Mix) journal.Mix { return journal.Mix(r) })
	same(t, dir, "additions", s.Additions, func(r Addition) journal.Addition { return journal.Addition(r) })
	same(t, dir, "sanding", s.Sandings, func(r Sanding) journal.SandingPlan { return journal.SandingPlan(r) })
	var supplies []Supply
	for _, b := range s.Builds {
		for _, one := range s.SuppliesOf(b) {
			supplies = append(supplies, Supply{b.ID, one.Section, one.Text, one.State, one.Ordered, one.Come, one.Cost, one.Line})
		}
	}
	same(t, dir, "supplies", supplies, func(r Supply) Supply { return r })
	same(t, dir, "trials", s.Trials, func(r Trial) *journal.Trial {
		one := &journal.Trial{ID: r.ID, What: r.What, Question: r.Question, Build: r.Build, Tool: r.Tool, Card: r.Card,
			At: r.At, Review: r.Review, Closed: r.Closed}
		for _, o := range r.Observations {
			one.Observations = append(one.Observations, journal.Observation(o))
		}
		return one
	})
	same(t, dir, "marks", s.Marks, func(r Mark) journal.Mark {
		m := journal.Mark{Photo: r.Photo, Criterion: r.Criterion, NA: r.Score == nil, Rubric: r.Rubric, Judge: r.Judge,
			At: r.At, Record: r.Record}
		if r.Score != nil {
			m.Score = *r.Score
		}
		return m
	})
	same(t, dir, "verdicts", s.Verdicts, func(r Verdict) journal.Verdict { return journal.Verdict(r) })
	same(t, dir, "packs", s.Packs, func(r Pack) journal.Pack { return journal.Pack(r) })
	same(t, dir, "privates", s.Privates, func(r Private) journal.Private { return journal.Private(r) })
	same(t, dir, "alikes", s.Alikes, func(r Alike) journal.Alike { return journal.Alike(r) })
	same(t, dir, "past", s.Past, func(r Past) journal.PastSaid {
		return journal.PastSaid{Photo: r.Photo, Tags: journal.Tags{Build: r.Build, Kit: r.Kit, Stage: r.Stage, Role: r.Role, View: r.View, Light: r.Light, Parts: r.Parts},
			Out: r.Out, Wanted: r.Wanted, First: r.First, Last: r.Last, Said: r.Said, Records: r.Records}
	})
	same(t, dir, "points", s.Points, func(r Points) journal.Points { return journal.Points(r) })
	same(t, dir, "clocks", s.Clocks, func(r Clock) journal.ClockFault { return journal.ClockFault(r) })
	same(t, dir, "sheets", s.Sheets, func(r Sheet) journal.SheetSize { return journal.SheetSize(r) })
	same(t, dir, "asides", s.Asides, func(r Aside) journal.Aside { return journal.Aside(r) })
	same(t, dir, "repairs", s.Repairs, func(r Repair) journal.Repair {
		return journal.Repair{RepairBody: journal.RepairBody{Hash: r.Hash, Path: r.Path, Was: r.Was, Aside: r.Aside,
			From: r.From}, At: r.At, Record: r.Record}
	})
}

// Every field is told, in the tables and in what stands in them.
func TestFieldsAreTold(t *testing.T) {
	names := map[string]bool{}
	for _, table := range Tables {
		if table.About == "" || names[table.Name] {
			t.Errorf("table %q is told as %q, or twice", table.Name, table.About)
		}
		names[table.Name] = true
		for i, f := range table.Fields() {
			if f[0] == "" || f[1] == "" || !strings.Contains(Help(), "  "+f[0]+" ") {
				t.Errorf("%s: field %d is called %q and told as %q", table.Name, i+1, f[0], f[1])
			}
			if within := innermost(table.row.Field(i).Type); within.Kind() == reflect.Struct && within != reflect.TypeFor[time.Time]() &&
				within != reflect.TypeFor[journal.PartRef]() {
				for k := range within.NumField() {
					tag, _, _ := strings.Cut(within.Field(k).Tag.Get("json"), ",")
					if tag != "" && !strings.Contains(f[1], tag) {
						t.Errorf("%s.%s does not tell of %s", table.Name, f[0], tag)
					}
				}
			}
		}
	}
}

func innermost(of reflect.Type) reflect.Type {
	switch of.Kind() {
	case reflect.Slice, reflect.Pointer, reflect.Map:
		return innermost(of.Elem())
	}
	return of
}
