// The state for readers.

package journal

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"
)

// Every field of the state was thought about: readers get it, as far as it is theirs,
// or do not. A new one is private until it is decided in ForReaders.
func TestForReadersKnowsAllOfTheState(t *testing.T) {
	theirs := []string{"Config", "Zone", "Builds", "Sessions", "Photos", "Pauses", "Diary", "Marks", "Verdicts", "Mistakes", "Notes",
		"Trials", "Checks", "Subs", "Holds", "Preps", "Hands", "Points", "Alikes", "Sheets", "Mixes", "Additions", "Sandings", "Series"}
	never := []string{"Clocks", "Cards", "Asides", "Repairs", "Packs", "Privates", "Past", "Unknown", "Problems"}
	worked := []string{"reach", "scatter", "reckoned", "later"} // out of the others
	typ := reflect.TypeOf(State{})
	for i := range typ.NumField() {
		name := typ.Field(i).Name
		if !slices.Contains(slices.Concat(theirs, never, worked), name) {
			t.Errorf("nobody decided what readers see of State.%s", name)
		}
	}
	if n := len(theirs) + len(never) + len(worked); n != typ.NumField() {
		t.Errorf("%d fields are decided, there are %d", n, typ.NumField())
	}
	s := &State{Clocks: []ClockFault{{Serial: "1"}}, Cards: []CardSaid{{}}, Asides: []Aside{{}}, Repairs: []Repair{{}}, Packs: []Pack{{}},
		Privates: []Private{{Build: "x"}}, Past: []PastSaid{{}}, Unknown: []Record{{}}, Problems: []Problem{{}}}
	out := reflect.ValueOf(*s.ForReaders(nil))
	for _, name := range never {
		if out.FieldByName(name).Len() > 0 {
			t.Errorf("readers get State.%s", name)
		}
	}
}

func TestNamesOfPrivatePhotos(t *testing.T) {
	hash := "1f3a9c04b2" + "0000000000000000000000000000000000000000000000000000aa"
	public := "77ab01cd00" + "0000000000000000000000000000000000000000000000000000bb"
	n := namesOf([]*Photo{{Hash: hash, Name: "IMG 7 (2).JPG", Beside: []Original{{Hash: "99ffee0011", Name: "raw.NEF"}}}, {Hash: public, Name: "b.jpg"}, {Hash: "c0ffee0123", Name: "b.jpg"}},
		func(p *Photo) bool { return p.Hash == public }, map[string]bool{"secret-boat": true})
	for in, want := range map[string]string{
		"see 1f3a9c04 and 77ab01cd":                       "see … and 77ab01cd",
		"all of " + hash + ".":                            "all of ….",
		"1F3A9C04":                                        "…",
		"![the bow](1f3a9c04)":                            "the bow",
		"![](<img 7 (2).jpg>) here":                       " here",
		"![the bow](1f3a9c04 \"At last\") and [x](y.pdf)": "the bow and [x](y.pdf)",
		"[it](../../secret-boat/build.md)":                "it",
		"[it](../secret-boat/)":                           "it",
		"[it][1]\n\n[1]: ../secret-boat/build.md":         "[it][1]\n\n[1]: #",
		"[it](https://example.com/secret-boat)":           "[it](https://example.com/secret-boat)",
		"IMG 7 (2).jpg, raw.nef and b.jpg":                "…, … and b.jpg",
		"[p](77ab01cd)":                                   "[p](77ab01cd)",
		"![p](b.jpg)":                                     "![p](b.jpg)",
		"deadbeef1":                                       "deadbeef1",
	} {
		if got := n.without(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// eveningAfterMidnight is a state with an evening at the bench that goes on after midnight.
func eveningAfterMidnight() (s *State, late time.Time) {
	start := time.Date(2026, 3, 14, 21, 0, 0, 0, time.UTC)
	s = &State{Zone: time.UTC, Builds: []*Build{{ID: "lorry", Title: "Lorry"}},
		Sessions: []*Session{{ID: "a/1", Build: "lorry", Start: start, End: start.Add(4 * time.Hour), Date: "2026-03-14"}}}
	return s, start.Add(210 * time.Minute)
}

func TestEvenings(t *testing.T) {
	s, late := eveningAfterMidnight()
	e := s.Evenings()
	for _, c := range []struct {
		at   time.Time
		want string
	}{
		{late, "2026-03-14"}, {late.Add(time.Hour), "2026-03-14"}, // within the settle time after the end
		{late.Add(4 * time.Hour), "2026-03-15"}, {late.Add(-20 * time.Hour), "2026-03-14"}, {time.Time{}, ""},
	} {
		if got := e.Here(c.at); got != c.want {
			t.Errorf("%s is of the evening of %q, want %q", c.at, got, c.want)
		}
	}
	s.Sessions[0].Open, s.Sessions[0].End = true, time.Time{}
	if got := s.Evenings().Here(late); got != "2026-03-14" {
		t.Errorf("while the session runs, it is of %q", got)
	}
}

// What belongs to a private evening stays private after midnight: it would stand on the
// page of that day.
func TestPrivateEveningAfterMidnight(t *testing.T) {
	s, late := eveningAfterMidnight()
	hash := strings.Repeat("1f", 32)
	s.Photos = []*Photo{{Hash: hash, Tags: Tags{Build: "lorry"}, Instant: Instant{At: late}}}
	s.Notes = []Note{{Build: "lorry", Text: "late", At: late}}
	s.Mistakes = []Mistake{{Build: "lorry", Kind: "late", At: late}}
	if out := s.ForReaders(nil); len(out.Photos)+len(out.Notes)+len(out.Mistakes) != 3 {
		t.Fatal("readers do not see what is not private, so this proves nothing")
	}
	for _, day := range []string{"2026-03-14", "2026-03-15"} {
		s.Privates = []Private{{Date: day}}
		out := s.ForReaders(nil)
		if len(out.Photos)+len(out.Notes)+len(out.Mistakes) > 0 || len(out.Sessions) != 1 {
			t.Errorf("%s is private, and readers see %d photos, %d notes and %d mistakes of %d sessions", day,
				len(out.Photos), len(out.Notes), len(out.Mistakes), len(out.Sessions))
		}
		if why := s.Hidden(s.Photos[0]); why != "its day" {
			t.Errorf("hidden by %q", why)
		}
	}
}

// Of a build whose folder is not there nobody knows whether its build.md keeps it
// private.
func TestReadersSeeNothingOfBuildsThatAreNotThere(t *testing.T) {
	s, late := eveningAfterMidnight()
	at := late.AddDate(0, 0, 2)
	s.Sessions = append(s.Sessions, &Session{ID: "a/9", Build: "away", Start: at, End: at, Date: "2026-03-16"})
	s.Mistakes = []Mistake{{Build: "away", Kind: "gouge", At: at}}
	s.Notes = []Note{{Build: "away", Text: "words", At: at}}
	s.Pauses = []Pause{{Build: "away", From: at}}
	s.Trials = []*Trial{{Build: "away", What: "a file", At: at}, {What: "a saw", At: at}}
	out := s.ForReaders(nil)
	if len(out.Sessions) != 1 || len(out.Mistakes)+len(out.Notes)+len(out.Pauses) > 0 || len(out.Trials) != 1 {
		t.Errorf("readers see %d sessions, %d mistakes, %d notes, %d pauses, %d trials", len(out.Sessions),
			len(out.Mistakes), len(out.Notes), len(out.Pauses), len(out.Trials))
	}
}

// Judges of private photos alone are not even counted.
func TestJudgesOfPrivatePhotosAreNotCounted(t *testing.T) {
	s, late := eveningAfterMidnight()
	seen, hidden := strings.Repeat("1f", 32), strings.Repeat("2e", 32)
	for _, hash := range []string{seen, hidden} {
		s.Photos = append(s.Photos, &Photo{Hash: hash, Tags: Tags{Build: "lorry"}, Instant: Instant{At: late}})
	}
	s.Privates = []Private{{Photo: hidden}}
	s.Marks = []Mark{{Photo: hidden, Judge: "Jo"}, {Photo: seen, Judge: "Mara"}}
	s.Verdicts = []Verdict{{Left: seen, Right: hidden, Judge: "Kim"}}
	out := s.ForReaders(nil)
	if len(out.Marks) != 1 || out.Marks[0].Judge != "another judge" || len(out.Verdicts) > 0 {
		t.Errorf("readers see %+v and %+v", out.Marks, out.Verdicts)
	}
}

// wordsIn fills each text of a value with its place, and wordsOf are the places of the
// texts that came out as they were filled in.
func wordsIn(v reflect.Value, place string) {
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		wordsIn(v.Elem(), place)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		wordsIn(v.Index(0), place)
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && v.Type() != reflect.TypeFor[time.Time]() {
				wordsIn(v.Field(i), strings.TrimPrefix(place+"."+f.Name, "."))
			}
		}
	case reflect.String:
		if !strings.HasSuffix(place, ".By") && !strings.HasSuffix(place, ".Replaced") { // what stands in its place: then it does not count
			v.SetString("\x00" + place)
		}
	}
}

func wordsOf(v reflect.Value, into map[string]bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			wordsOf(v.Elem(), into)
		}
	case reflect.Slice:
		for i := range v.Len() {
			wordsOf(v.Index(i), into)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() && v.Type() != reflect.TypeFor[time.Time]() {
				wordsOf(v.Field(i), into)
			}
		}
	case reflect.String:
		if place, as := strings.CutPrefix(v.String(), "\x00"); as {
			into[place] = true
		}
	}
}

// Each text of a person's goes through hiding.text, which takes the names of what is
// private out of it; what does not is no text but a word of a list, a name or a day.
func TestWordsForReadersAreLookedThrough(t *testing.T) {
	s := &State{Zone: time.UTC}
	all := reflect.ValueOf(s).Elem()
	names := []string{"Builds", "Sessions", "Photos", "Pauses", "Diary", "Marks", "Verdicts", "Mistakes", "Notes", "Trials", "Checks",
		"Subs", "Holds", "Preps", "Hands", "Points", "Alikes", "Sheets", "Mixes", "Additions", "Sandings"}
	for _, name := range names {
		wordsIn(all.FieldByName(name), name)
	}
	for _, build := range []*string{&s.Builds[0].ID, &s.Sessions[0].Build, &s.Photos[0].Tags.Build, &s.Pauses[0].Build, &s.Diary[0].Build,
		&s.Mistakes[0].Build, &s.Notes[0].Build, &s.Trials[0].Build, &s.Checks[0].Build, &s.Subs[0].Build, &s.Holds[0].Build, &s.Preps[0].Build,
		&s.Hands[0].Build, &s.Mixes[0].Build, &s.Additions[0].Build, &s.Sandings[0].Build} {
		*build = "lorry"
	}
	for _, photo := range []*string{&s.Photos[0].Hash, &s.Marks[0].Photo, &s.Verdicts[0].Left, &s.Verdicts[0].Right, &s.Points[0].A, &s.Points[0].B, &s.Alikes[0].A, &s.Alikes[0].B} {
		*photo = strings.Repeat("1f", 32)
	}
	s.Sessions[0].Series = "" // those of series are made anew
	s.Builds[0].Stages[0].ID = "clean"
	out := s.ForReaders(func(string) string { return "looked through" })
	left := map[string]bool{}
	for _, name := range names {
		if reflect.ValueOf(out).Elem().FieldByName(name).Len() != 1 {
			t.Errorf("readers do not see %s, so this proves nothing of it", name)
		}
		wordsOf(reflect.ValueOf(out).Elem().FieldByName(name), left)
	}
	for _, place := range strings.Fields(noTexts) {
		if !left[place] {
			t.Errorf("%s is looked through: it need not be listed", place)
		}
		delete(left, place)
	}
	for _, place := range sortedKeys(left) {
		if !strings.HasSuffix(place, ".Runner") && !strings.HasSuffix(place, ".Number") { // of a part
			t.Errorf("%s comes to readers as it was written", place)
		}
	}
}

// noTexts are the words of readers that nobody typed as a text.
const noTexts = `Additions.Kind Builds.Finish Builds.Finished Builds.Kits.Runners.Class Builds.Kits.Runners.Letter
Builds.Kits.Runners.Missing Builds.Kits.Runners.NotUsed Builds.Kits.Runners.Parts Builds.Kits.Runners.Spared Builds.ReadyBy
Builds.Stages.Kind Builds.Started Checks.CheckedBody.State Diary.Date Hands.HandsBody.Is Holds.HoldBody.Is Marks.Rubric
Mistakes.Stage Notes.Stage Photos.Codec Photos.Instant.Meant Photos.Camera.Make Photos.Camera.Model Photos.Cards.Text Photos.Fingerprint Photos.Format
Photos.Instant.Corrected.Text Photos.Instant.Doubts.At Photos.Instant.Doubts.First Photos.Instant.Doubts.Is
Photos.Instant.Doubts.Last Photos.Instant.Doubts.Or Photos.Instant.Doubts.Source Photos.Instant.Doubts.Text
Photos.Instant.Doubts.Wall Photos.Instant.Offset Photos.Instant.Passed.At Photos.Instant.Passed.First
Photos.Instant.Passed.Is Photos.Instant.Passed.Last Photos.Instant.Passed.Or Photos.Instant.Passed.Source
Photos.Instant.Passed.Text Photos.Instant.Passed.Wall Photos.Instant.Source Photos.Instant.Wall Photos.Kind Photos.Name
Photos.Path Photos.Tags.Light Photos.Tags.Role Photos.Tags.Stage Photos.Tags.View Preps.PrepBody.Is Sandings.Finish
Sandings.Remove Sandings.Steps.Backing Sandings.Steps.Check Sandings.Steps.Scale Sandings.Surface Sessions.Charged.Kind
Sessions.Charged.Stage Sessions.Charged.Why Sessions.Class Sessions.Classes.Class Sessions.Date Sessions.Doubt.Is Sessions.How
Sessions.Kind Sessions.Known Sessions.Stage Sheets.From Sheets.Paper Sheets.Sheet Sheets.To Verdicts.Outcome`
