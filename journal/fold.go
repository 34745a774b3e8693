// This file folds records into the state.
//
// Invariants, each held by a test:
//   - The order in which records arrive, lines that arrive twice and the split
//     over files and devices do not change the state.
//   - A record that is taken back has no effect, whenever the retraction came.
//   - A record this version does not know is kept in Unknown and changes
//     nothing else.

package journal

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"
)

// Plan is what a person wrote by hand: the settings, the builds, the diary.
type Plan struct {
	Config   Config
	Zone     *time.Location
	Builds   []*Build
	Diary    []DiaryDay
	Problems []Problem
}

// Fold makes the state of a plan and all records. It is pure: no clock, no
// file, no random number.
func Fold(plan Plan, records []Record) *State {
	f := folding{
		state: &State{
			Config: plan.Config, Zone: plan.Zone, Builds: slices.Clone(plan.Builds),
			Diary: slices.Clone(plan.Diary), Problems: slices.Clone(plan.Problems),
		},
		sessions: map[string]*Session{}, photos: map[string]*Photo{}, accepted: map[string]bool{}, net: map[string]float64{},
	}
	if f.state.Zone == nil {
		f.state.Zone = time.UTC
	}
	records = unique(records)
	gone := retracted(records)
	// Later steps refer to what earlier steps made, so the kinds go in passes;
	// within a pass the total order holds. A clock that ran behind on one
	// device then cannot put an end before its beginning.
	for _, pass := range passes {
		for _, r := range records {
			if apply, ok := pass[r.Kind]; ok && !gone[r.ID()] {
				if err := apply(&f, r); err != nil {
					f.state.Problems = append(f.state.Problems, Problem{File: "records/" + r.Dev, What: fmt.Sprintf("record %s (%s): %v", r.ID(), r.Kind, err)})
				}
			}
		}
	}
	for _, r := range records {
		if !known(r.Kind) {
			f.state.Unknown = append(f.state.Unknown, r)
		}
	}
	f.finish()
	return f.state
}

// passes are the record kinds by the order in which they take effect.
var passes = []map[string]func(*folding, Record) error{
	{"begin": (*folding).begin, "work": (*folding).work, "photo": (*folding).photo, "pause": (*folding).pause},
	{"end": (*folding).end, "break": (*folding).rest, "resume": (*folding).resume},
	{"done": (*folding).done, "tag": (*folding).tag, "correct": (*folding).correct},
	{"reopen": (*folding).reopen},
}

func known(kind string) bool {
	if kind == "retract" {
		return true
	}
	for _, pass := range passes {
		if _, ok := pass[kind]; ok {
			return true
		}
	}
	return false
}

// folding is a state in the making.
type folding struct {
	state    *State
	sessions map[string]*Session
	photos   map[string]*Photo
	accepted map[string]bool    // session → its length is vouched for
	net      map[string]float64 // session → net minutes as corrected
}

// unique sorts records and drops lines that arrived twice. Two different
// records under one id (a copied device folder) are both kept.
func unique(records []Record) []Record {
	out := slices.Clone(records)
	slices.SortFunc(out, compareRecords)
	return slices.CompactFunc(out, func(a, b Record) bool {
		return a.At.Equal(b.At) && a.Dev == b.Dev && a.Seq == b.Seq && a.Kind == b.Kind && bytes.Equal(a.Body, b.Body)
	})
}

// retracted is the set of record ids taken back. A retraction can itself be
// taken back, so the chain is followed from its newest end.
func retracted(records []Record) map[string]bool {
	gone := map[string]bool{}
	for _, r := range slices.Backward(records) {
		if r.Kind != "retract" || gone[r.ID()] {
			continue
		}
		var b RetractBody
		if json.Unmarshal(r.Body, &b) == nil {
			gone[b.Record] = true
		}
	}
	return gone
}

func read[T any](r Record) (T, error) {
	var body T
	if err := json.Unmarshal(r.Body, &body); err != nil {
		return body, fmt.Errorf("its body is not understood: %v", err)
	}
	return body, nil
}

func (f *folding) begin(r Record) error {
	b, err := read[BeginBody](r)
	if err != nil {
		return err
	}
	f.sessions[r.ID()] = &Session{
		ID: r.ID(), Build: b.Build, Kit: b.Kit, Stage: b.Stage, Kind: f.kind(b.Build, b.Stage, b.Kind), Class: b.Class,
		Start: b.Start, Open: true, Known: Measured, Date: b.Start.In(f.state.Zone).Format(time.DateOnly),
	}
	return nil
}

func (f *folding) work(r Record) error {
	b, err := read[WorkBody](r)
	if err != nil {
		return err
	}
	s := &Session{
		ID: r.ID(), Build: b.Build, Kit: b.Kit, Stage: b.Stage, Kind: f.kind(b.Build, b.Stage, b.Kind), Class: b.Class,
		Start: b.Start, Date: b.Date, Known: b.Known, Parts: b.Parts, Bare: b.Count,
		Counted: b.Counted || len(b.Parts) > 0 || b.Count > 0, Note: b.Note,
		Net: time.Duration(b.Minutes * float64(time.Minute)),
	}
	if s.Start.IsZero() {
		s.Start = firstMoment(b.Date, f.state.Zone)
	}
	s.End = s.Start.Add(s.Net)
	f.sessions[r.ID()] = s
	return nil
}

// firstMoment is where a date of any precision begins; the zero time when it
// is none.
func firstMoment(date string, zone *time.Location) time.Time {
	for _, layout := range []string{time.DateOnly, "2006-01", "2006"} {
		if t, err := time.ParseInLocation(layout, date, zone); err == nil {
			return t
		}
	}
	return time.Time{}
}

// kind is the kind of a stage as the build's plan has it now; what the record
// says counts for stages the plan no longer lists.
func (f *folding) kind(build, stage, said string) string {
	if b := f.state.Build(build); b != nil {
		if st := b.Stage(stage); st != nil {
			return st.Kind
		}
	}
	if said == "" && slices.Contains(Kinds, stage) {
		return stage
	}
	return said
}

func (f *folding) session(id string) (*Session, error) {
	if s := f.sessions[id]; s != nil {
		return s, nil
	}
	return nil, fmt.Errorf("it names the session %q, which is not here (perhaps another device's records are still to come)", id)
}

func (f *folding) end(r Record) error {
	b, err := read[EndBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	if b.End.Before(s.Start) {
		return fmt.Errorf("the session would end before it began")
	}
	s.End, s.Open = b.End, false
	return nil
}

func (f *folding) rest(r Record) error {
	b, err := read[BreakBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	for i := range s.Breaks {
		if s.Breaks[i].Start.Equal(b.Start) {
			if !b.End.IsZero() {
				s.Breaks[i].End = b.End
			}
			return nil
		}
	}
	s.Breaks = append(s.Breaks, Span{b.Start, b.End})
	return nil
}

func (f *folding) done(r Record) error {
	b, err := read[DoneBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	s.Parts = append(s.Parts, b.Parts...)
	s.Bare += b.Count
	s.Counted = true
	return nil
}

func (f *folding) correct(r Record) error {
	b, err := read[CorrectBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	if b.Start != nil {
		s.Start = *b.Start
		s.Date = s.Start.In(f.state.Zone).Format(time.DateOnly)
	}
	if b.End != nil {
		s.End, s.Open = *b.End, false
	}
	if b.Minutes != nil {
		f.net[s.ID] = *b.Minutes
	}
	if b.Count != nil {
		s.Bare, s.Counted = *b.Count, true
	}
	for _, one := range []struct {
		from *string
		to   *string
	}{{b.Build, &s.Build}, {b.Stage, &s.Stage}, {b.Class, &s.Class}, {b.Note, &s.Note}} {
		if one.from != nil {
			*one.to = *one.from
		}
	}
	if b.Build != nil || b.Stage != nil {
		s.Kind = f.kind(s.Build, s.Stage, s.Kind)
	}
	if b.Accept {
		f.accepted[s.ID] = true
	}
	return nil
}

func (f *folding) reopen(r Record) error {
	b, err := read[ReopenBody](r)
	if err != nil {
		return err
	}
	if b.Session != "" && b.Count > 0 {
		s, err := f.session(b.Session)
		if err != nil {
			return err
		}
		s.Reopened += b.Count
	}
	for _, part := range b.Parts {
		s := f.latestWith(b.Build, part, b.At)
		if s == nil {
			return fmt.Errorf("%s of %s was not done before, so it cannot be opened again", part, b.Build)
		}
		s.Reopened += part.Count
	}
	return nil
}

// latestWith is the latest session of the build, begun before the moment, that
// did the part.
func (f *folding) latestWith(build string, part PartRef, before time.Time) *Session {
	var latest *Session
	for _, s := range f.sessions {
		if s.Build != build || s.Start.After(before) || !slices.ContainsFunc(s.Parts, part.same) {
			continue
		}
		if latest == nil || cmp.Or(s.Start.Compare(latest.Start), cmp.Compare(s.ID, latest.ID)) > 0 {
			latest = s
		}
	}
	return latest
}

func (f *folding) pause(r Record) error {
	b, err := read[PauseBody](r)
	if err != nil {
		return err
	}
	f.state.Pauses = append(f.state.Pauses, Pause{Build: b.Build, From: b.From, Why: b.Why, Next: b.Next, Waiting: b.Waiting})
	return nil
}

func (f *folding) resume(r Record) error {
	b, err := read[ResumeBody](r)
	if err != nil {
		return err
	}
	for i := range f.state.Pauses {
		p := &f.state.Pauses[i]
		if p.Build == b.Build && !p.From.After(b.At) && (p.Until.IsZero() || p.Until.After(b.At)) {
			p.Until = b.At
		}
	}
	return nil
}

func (f *folding) photo(r Record) error {
	b, err := read[PhotoBody](r)
	if err != nil {
		return err
	}
	if f.photos[b.Hash] != nil {
		return nil // taken in on two devices: the first record counts
	}
	why := make(map[string]string, len(b.Why))
	for k, v := range b.Why {
		why[k] = v
	}
	f.photos[b.Hash] = &Photo{
		Hash: b.Hash, Path: b.Path, Name: b.Name, Folder: b.Folder, Size: b.Size, Format: b.Format,
		Width: b.Width, Height: b.Height, Turn: b.Turn, Camera: b.Camera, Instant: b.Instant,
		Tags: b.Tags, Why: why, Guess: b.Guess, Record: r.ID(),
	}
	return nil
}

// said is the reason of a tag a person gave.
const said = "you said so"

func (f *folding) tag(r Record) error {
	b, err := read[TagBody](r)
	if err != nil {
		return err
	}
	p := f.photos[b.Photo]
	if p == nil {
		return fmt.Errorf("it names a photo that is not here (perhaps another device's records are still to come)")
	}
	set := func(name string, to *string, value string) {
		if value != "" || slices.Contains(b.Clear, name) {
			*to, p.Why[name] = value, said
		}
	}
	if b.Set.Build != "" && b.Set.Build != p.Tags.Build && b.Set.Stage == "" {
		// A stage belongs to its build: the old one means nothing in the new.
		p.Tags.Stage, p.Why["stage"] = "", "the build was changed"
	}
	set("build", &p.Tags.Build, b.Set.Build)
	set("stage", &p.Tags.Stage, b.Set.Stage)
	set("role", &p.Tags.Role, b.Set.Role)
	set("view", &p.Tags.View, b.Set.View)
	set("light", &p.Tags.Light, b.Set.Light)
	if b.Set.Kit != 0 || slices.Contains(b.Clear, "kit") {
		p.Tags.Kit, p.Why["kit"] = b.Set.Kit, said
	}
	if len(b.Set.Parts) > 0 || slices.Contains(b.Clear, "parts") {
		p.Tags.Parts, p.Why["parts"] = b.Set.Parts, said
	}
	if b.Set.Build != "" || b.Set.Stage != "" {
		p.Guess = false
	}
	if b.Caption != nil {
		p.Caption = *b.Caption
	}
	return nil
}

// finish settles what depends on the whole: breaks, net times, doubts, order.
func (f *folding) finish() {
	longest := f.state.Config.LongestTimer()
	for _, s := range f.sessions {
		f.settle(s, longest)
		f.state.Sessions = append(f.state.Sessions, s)
	}
	for _, p := range f.photos {
		p.Kind = f.kind(p.Tags.Build, p.Tags.Stage, "")
		f.state.Photos = append(f.state.Photos, p)
	}
	s := f.state
	slices.SortFunc(s.Sessions, func(a, b *Session) int { return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.ID, b.ID)) })
	slices.SortFunc(s.Photos, func(a, b *Photo) int {
		return cmp.Or(a.Instant.At.Compare(b.Instant.At), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Hash, b.Hash))
	})
	slices.SortStableFunc(s.Pauses, func(a, b Pause) int { return cmp.Or(a.From.Compare(b.From), cmp.Compare(a.Build, b.Build)) })
	slices.SortFunc(s.Diary, func(a, b DiaryDay) int { return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Build, b.Build)) })
	slices.SortFunc(s.Builds, func(a, b *Build) int {
		return cmp.Or(cmp.Compare(s.FirstDay(a), s.FirstDay(b)), cmp.Compare(a.ID, b.ID))
	})
	slices.SortFunc(s.Problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.What, b.What))
	})
}

// settle computes a session's breaks and net time.
func (f *folding) settle(s *Session, longest time.Duration) {
	s.Breaks = mergeBreaks(s.Breaks, s)
	if minutes, ok := f.net[s.ID]; ok {
		s.Net = time.Duration(minutes * float64(time.Minute))
		if s.Open {
			s.End, s.Open = s.Start.Add(s.Net), false
		}
		return
	}
	if s.Open || s.Known != Measured || len(s.Breaks) == 0 && s.Net > 0 {
		return
	}
	s.Net = s.End.Sub(s.Start)
	for _, b := range s.Breaks {
		s.Net -= b.End.Sub(b.Start)
	}
	if s.Net > longest && !f.accepted[s.ID] {
		s.Doubt = fmt.Sprintf("the timer ran %s without a break entered", Spell(s.Net))
	}
}

// mergeBreaks sorts breaks, joins those that overlap and clips them to the
// session. A break that still runs in an ended session ends with it.
func mergeBreaks(breaks []Span, s *Session) []Span {
	if len(breaks) == 0 {
		return nil
	}
	slices.SortFunc(breaks, func(a, b Span) int { return cmp.Or(a.Start.Compare(b.Start), a.End.Compare(b.End)) })
	var out []Span
	for _, b := range breaks {
		if !s.Open {
			if b.End.IsZero() || b.End.After(s.End) {
				b.End = s.End
			}
			if b.Start.Before(s.Start) {
				b.Start = s.Start
			}
			if !b.End.After(b.Start) {
				continue
			}
		}
		if n := len(out) - 1; n >= 0 && !out[n].End.IsZero() && !b.Start.After(out[n].End) {
			if b.End.IsZero() || b.End.After(out[n].End) {
				out[n].End = b.End
			}
			continue
		}
		out = append(out, b)
	}
	return out
}
