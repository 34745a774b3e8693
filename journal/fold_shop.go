// This file folds what the work is done with: mixes, additions beyond the box, and
// sanding plans. One that another stands in the place of is kept, and does not count.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"rakelight/journal/sanding"
)

// Mix is a paint as it was mixed.
type Mix struct {
	Build   string
	Kit     int
	Name    string
	Recipe  []MixPart
	Coats   int // 0 = not said
	Batch   string
	Parts   []PartRef
	Sub     string // name of a sub-assembly, "" = none
	Photo   string // hash of a photo of the swatch, "" = none
	Text    string
	At      time.Time
	Record  string
	Instead string // id of the mix in whose place this one stands, "" = of none
	By      string // id of the mix that stands in its place: it does not count; "" = it counts
}

// Addition is something beyond the box, or a reference.
type Addition struct {
	Build       string
	Kit         int
	Kind        string // one of AdditionKinds
	Text, Where string
	Parts       []PartRef
	Sub         string
	Photo       string
	At          time.Time
	Record      string
	Instead, By string // as in Mix
}

// SandingPlan is the plan by which parts are sanded.
type SandingPlan struct {
	Build                   string
	Kit                     int
	Parts                   []PartRef
	Sub                     string
	Surface, Finish, Remove string
	Steps                   []sanding.Step // as they were when it was given
	Photo                   string
	Text                    string
	At                      time.Time
	Record                  string
	Instead, By             string // as in Mix
}

// What one record may say: more is a slip of the finger.
const (
	maxMixParts = 1000 // parts of one thing in a recipe
	maxCoats    = 99
)

func (f *folding) mix(r Record) error {
	b, err := read[MixBody](r)
	if err != nil {
		return err
	}
	if err := cmp.Or(b.Check(), countable(b.Parts, 0)); err != nil {
		return err
	}
	err = inPlace(f.state.Mixes, b.Instead, r.ID(), func(m *Mix) (string, *string) { return m.Record, &m.By })
	if err != nil {
		return err
	}
	f.state.Mixes = append(f.state.Mixes, Mix{Build: b.Build, Kit: b.Kit, Name: b.Name, Recipe: b.Recipe,
		Coats: b.Coats, Batch: b.Batch, Parts: b.Parts, Sub: b.Sub, Photo: f.picture(b.Photo), Text: b.Text,
		At: saidAt(b.At, r), Record: r.ID(), Instead: b.Instead})
	return nil
}

// Check refuses a mix that says nothing, and amounts that cannot be.
func (b MixBody) Check() error {
	if b.Name == "" {
		return errors.New("the mix has no name")
	}
	if b.Coats < 0 || b.Coats > maxCoats {
		return fmt.Errorf("%d coats cannot be", b.Coats)
	}
	for _, one := range b.Recipe {
		if one.What == "" || !(one.Parts > 0 && one.Parts <= maxMixParts) || math.IsNaN(one.Parts) {
			return fmt.Errorf("%v parts of %q cannot be mixed", one.Parts, one.What)
		}
	}
	return nil
}

func (f *folding) addition(r Record) error {
	b, err := read[AdditionBody](r)
	if err != nil {
		return err
	}
	switch {
	case b.Text == "":
		return errors.New("it says nothing")
	case !slices.Contains(AdditionKinds, b.Kind):
		return fmt.Errorf("%q is neither an addition nor a reference", b.Kind)
	}
	if err := countable(b.Parts, 0); err != nil {
		return err
	}
	err = inPlace(f.state.Additions, b.Instead, r.ID(), func(a *Addition) (string, *string) { return a.Record, &a.By })
	if err != nil {
		return err
	}
	f.state.Additions = append(f.state.Additions, Addition{Build: b.Build, Kit: b.Kit, Kind: b.Kind, Text: b.Text,
		Where: b.Where, Parts: b.Parts, Sub: b.Sub, Photo: f.picture(b.Photo), At: saidAt(b.At, r), Record: r.ID(),
		Instead: b.Instead})
	return nil
}

func (f *folding) sanding(r Record) error {
	b, err := read[SandingBody](r)
	if err != nil {
		return err
	}
	switch {
	case len(b.Steps) == 0:
		return errors.New("it has no steps")
	case len(b.Parts) == 0 && b.Sub == "":
		return errors.New("it names neither parts nor a sub-assembly")
	}
	if err := countable(b.Parts, 0); err != nil {
		return err
	}
	err = inPlace(f.state.Sandings, b.Instead, r.ID(),
		func(p *SandingPlan) (string, *string) { return p.Record, &p.By })
	if err != nil {
		return err
	}
	f.state.Sandings = append(f.state.Sandings, SandingPlan{Build: b.Build, Kit: b.Kit, Parts: b.Parts, Sub: b.Sub,
		Surface: b.Surface, Finish: b.Finish, Remove: b.Remove, Steps: b.Steps, Photo: f.picture(b.Photo),
		Text: b.Text, At: saidAt(b.At, r), Record: r.ID(), Instead: b.Instead})
	return nil
}

// inPlace puts a record in the place of an earlier one, or of what stands in that
// one's place already: of two corrections of one thing the latest counts. id gives the
// id of one that was said, and where the id of its successor is noted.
func inPlace[T any](all []T, instead, record string, id func(*T) (string, *string)) error {
	if instead == "" {
		return nil
	}
	found := false
	for ids := []string{instead}; len(ids) > 0; ids = ids[1:] {
		for i := range all { // two records may bear one id
			own, by := id(&all[i])
			switch {
			case own != ids[0]:
			case *by == "":
				found, *by = true, record
			case !slices.Contains(ids, *by):
				found, ids = true, append(ids, *by)
			}
		}
	}
	if !found {
		return &absentError{"record", instead}
	}
	return nil
}

// picture is the hash that a photo goes by now: it may lie beside another since.
func (f *folding) picture(hash string) string {
	if p := f.shown(hash); p != nil {
		return p.Hash
	}
	return hash
}

// saidAt is the moment a body gives, else that of its record.
func saidAt(at time.Time, r Record) time.Time {
	if at.IsZero() {
		return r.At
	}
	return at
}

// MixesOf are the mixes of a build that count, by instant.
func (s *State) MixesOf(build string) []Mix {
	return keep(s.Mixes, func(m Mix) bool { return m.Build == build && m.By == "" })
}

// AdditionsOf are the additions and references of a build that count, by instant.
func (s *State) AdditionsOf(build string) []Addition {
	return keep(s.Additions, func(a Addition) bool { return a.Build == build && a.By == "" })
}

// SandingsOf are the sanding plans of a build that count, by instant.
func (s *State) SandingsOf(build string) []SandingPlan {
	return keep(s.Sandings, func(p SandingPlan) bool { return p.Build == build && p.By == "" })
}

// SandingOf is the plan by which a part is sanded: the latest that names it. False
// where none does.
func (s *State) SandingOf(build string, ref PartRef) (SandingPlan, bool) {
	return latestOf(s.SandingsOf(build), func(p SandingPlan) bool { return countOf(p.Parts, ref) > 0 })
}

// SandingOfSub is the plan by which a sub-assembly is sanded, as a whole.
func (s *State) SandingOfSub(build, sub string) (SandingPlan, bool) {
	return latestOf(s.SandingsOf(build), func(p SandingPlan) bool { return p.Sub == sub && sub != "" })
}

// latestOf is the last of some that is meant.
func latestOf[T any](all []T, meant func(T) bool) (one T, ok bool) {
	for _, one := range slices.Backward(all) {
		if meant(one) {
			return one, true
		}
	}
	return one, false
}

// sortShop puts mixes, additions and sanding plans in order.
func (s *State) sortShop() {
	slices.SortStableFunc(s.Mixes, func(a, b Mix) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Record, b.Record))
	})
	slices.SortStableFunc(s.Additions, func(a, b Addition) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Record, b.Record))
	})
	slices.SortStableFunc(s.Sandings, func(a, b SandingPlan) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Record, b.Record))
	})
}

// sayShop are the effects of the records of this file, for who goes on from a state.
var sayShop = map[string]effect{
	MixBody{}.RecordKind(): (*folding).mix, AdditionBody{}.RecordKind(): (*folding).addition,
	SandingBody{}.RecordKind(): (*folding).sanding,
}

// ownShop lets what is said in the shop be changed, without changing the state before.
func (s *State) ownShop() {
	s.Mixes, s.Additions = slices.Clone(s.Mixes), slices.Clone(s.Additions)
	s.Sandings = slices.Clone(s.Sandings)
}
