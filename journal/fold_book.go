// This file folds the bench book: what was found of parts, what they are grouped
// into, what has to be remembered of them, and how the hands are.

package journal

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Written is the record of an entry of the bench book.
type Written struct {
	Record   string
	Replaced string // id of the record that corrects it: it counts no more; "" = it counts
}

// Counts reports whether the entry counts: none stands in its place.
func (w Written) Counts() bool { return w.Replaced == "" }

// Checked is what was found of parts.
type Checked struct {
	CheckedBody
	Written
}

// Sub is a sub-assembly as somebody said it.
type Sub struct {
	SubBody
	Written
}

// Hold is what has to be remembered until it ends.
type Hold struct {
	HoldBody
	Written
	Until    time.Time // when it ended; zero = it has not
	EndText  string    // what was said then
	Released string    // record that ended it
}

// Prep is what was done to parts.
type Prep struct {
	PrepBody
	Written
}

// Hands is how the hands were.
type Hands struct {
	HandsBody
	Written
}

// bookEntry is an entry of the bench book that is folded.
type bookEntry interface {
	noted() *Noted
	written() *Written
}

func (n *Noted) noted() *Noted       { return n }
func (w *Written) written() *Written { return w }

func oneOfWords(w string, of []string) error {
	if slices.Contains(of, w) {
		return nil
	}
	return fmt.Errorf("%q is none of %s", w, strings.Join(of, ", "))
}

// enter puts an entry into the book, and takes the one it corrects out of what
// counts. Two devices may correct one entry: then the later record counts.
func enter[E any, P interface {
	*E
	bookEntry
}](f *folding, r Record, book *[]E, one E) error {
	n, w := P(&one).noted(), P(&one).written()
	if n.Build == "" {
		return errors.New("it names no build")
	}
	if err := countable(n.Parts, 0); err != nil {
		return err
	}
	if n.At.IsZero() {
		n.At = r.At
	}
	if p := f.shown(n.Photo); p != nil {
		n.Photo = p.Hash
	}
	w.Record = r.ID()
	if n.Instead != "" {
		last := lastInstead[E, P](*book, n.Instead)
		if last == nil || last.Record == w.Record {
			return &absentError{"record", n.Instead}
		}
		last.Replaced = w.Record
	}
	*book = append(*book, one)
	return nil
}

// lastInstead is the entry with the id, or the last of those that stand in its
// place; nil = it is not here.
func lastInstead[E any, P interface {
	*E
	bookEntry
}](book []E, id string) *Written {
	var last *Written
	for range book { // ids that two records bear may lead in a ring
		i := slices.IndexFunc(book, func(e E) bool { return P(&e).written().Record == id })
		if i < 0 {
			return last
		}
		last = P(&book[i]).written()
		if last.Counts() {
			return last
		}
		id = last.Replaced
	}
	return last
}

func (f *folding) checked(r Record) error {
	b, err := read[CheckedBody](r)
	if err != nil {
		return err
	}
	if err := oneOfWords(b.State, CheckStates); err != nil {
		return err
	}
	return enter(f, r, &f.state.Checks, Checked{CheckedBody: b})
}

func (f *folding) sub(r Record) error {
	b, err := read[SubBody](r)
	if err != nil {
		return err
	}
	if b.Sub = strings.Join(strings.Fields(b.Sub), " "); b.Sub == "" {
		return errors.New("it has no name")
	}
	return enter(f, r, &f.state.Subs, Sub{SubBody: b})
}

func (f *folding) hold(r Record) error {
	b, err := read[HoldBody](r)
	if err != nil {
		return err
	}
	if err := oneOfWords(b.Is, HoldWhats); err != nil {
		return err
	}
	if b.Hours < 0 || b.Hours > maxCuring {
		return fmt.Errorf("%v hours is no time to cure", b.Hours)
	}
	return enter(f, r, &f.state.Holds, Hold{HoldBody: b})
}

// maxCuring bounds what a typing error can say, in hours: a year.
const maxCuring = 366 * 24

func (f *folding) release(r Record) error {
	b, err := read[ReleaseBody](r)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(f.state.Holds, func(h Hold) bool { return h.Record == b.Hold })
	if i < 0 {
		return &absentError{"hold", b.Hold}
	}
	if b.At.IsZero() {
		b.At = r.At
	}
	h := &f.state.Holds[i]
	h.Until, h.EndText, h.Released = b.At, b.Text, r.ID()
	return nil
}

func (f *folding) prep(r Record) error {
	b, err := read[PrepBody](r)
	if err != nil {
		return err
	}
	if b.Is != "" {
		if err := oneOfWords(b.Is, PrepWhats); err != nil {
			return err
		}
	}
	if err := countable(b.With, 0); err != nil {
		return err
	}
	return enter(f, r, &f.state.Preps, Prep{PrepBody: b})
}

func (f *folding) hands(r Record) error {
	b, err := read[HandsBody](r)
	if err != nil {
		return err
	}
	if b.Is != "" {
		if err := oneOfWords(b.Is, HandsWhats); err != nil {
			return err
		}
	}
	if b.Session != "" {
		s, err := f.session(b.Session)
		if err != nil {
			return err
		}
		b.Session = s.ID
	}
	return enter(f, r, &f.state.Hands, Hands{HandsBody: b})
}

// settleBook puts the bench book in order. What ended stays ended where it is
// corrected later.
func (s *State) settleBook() {
	sortBook(s.Checks)
	sortBook(s.Subs)
	sortBook(s.Holds)
	sortBook(s.Preps)
	sortBook(s.Hands)
	for range s.Holds { // along those that stand in the place of others, in whatever order
		more := false
		for _, h := range s.Holds {
			if h.Replaced == "" || h.Until.IsZero() {
				continue
			}
			i := slices.IndexFunc(s.Holds, func(o Hold) bool { return o.Record == h.Replaced })
			if i >= 0 && s.Holds[i].Until.IsZero() {
				s.Holds[i].Until, s.Holds[i].EndText, s.Holds[i].Released = h.Until, h.EndText, h.Released
				more = true
			}
		}
		if !more {
			return
		}
	}
}

// sortBook puts entries in the order of their minutes, those of one minute in that of
// their records: a time that is typed has no seconds.
func sortBook[E any, P interface {
	*E
	bookEntry
}](book []E) {
	slices.SortStableFunc(book, func(a, b E) int {
		return P(&a).noted().At.Truncate(time.Minute).Compare(P(&b).noted().At.Truncate(time.Minute))
	})
}

// cloneBook lets the book be changed.
func (s *State) cloneBook() {
	s.Checks, s.Subs, s.Holds = slices.Clone(s.Checks), slices.Clone(s.Subs), slices.Clone(s.Holds)
	s.Preps, s.Hands = slices.Clone(s.Preps), slices.Clone(s.Hands)
}

// setNotUsed marks the parts that are said not to be for use, as the plan does. The
// plan's own builds are not the state's to change.
func (f *folding) setNotUsed() {
	sortBook(f.state.Checks)
	marks := map[string]map[string]PartRef{} // build → part → itself
	for _, c := range f.state.Checks {
		if marks[c.Build] == nil {
			marks[c.Build] = map[string]PartRef{}
		}
		if !c.Counts() {
			continue
		}
		for _, p := range c.Parts {
			delete(marks[c.Build], p.Key())
			if c.State == "not-used" {
				marks[c.Build][p.Key()] = p
			}
		}
	}
	for i, b := range f.state.Builds {
		at := slices.IndexFunc(f.planned, func(one *Build) bool { return one.ID == b.ID })
		if at < 0 || marks[b.ID] == nil {
			continue
		}
		one := *b
		one.Kits = withoutParts(f.planned[at].Kits, marks[b.ID])
		f.state.Builds[i] = &one
	}
}

// withoutParts are kits in which parts are not for use.
func withoutParts(kits []Kit, parts map[string]PartRef) []Kit {
	kits = slices.Clone(kits)
	for _, key := range sortedKeys(parts) {
		p := parts[key]
		i := max(0, p.Kit-1)
		if i >= len(kits) {
			continue
		}
		kits[i].Runners = slices.Clone(kits[i].Runners)
		for n := range kits[i].Runners {
			r := &kits[i].Runners[n]
			if r.Letter == p.Runner && !slices.Contains(r.NotUsed, p.Number) {
				r.NotUsed, r.Spared = append(slices.Clone(r.NotUsed), p.Number), append(r.Spared, p.Number)
			}
		}
	}
	return kits
}
