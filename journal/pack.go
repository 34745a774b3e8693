// This file folds packs of blind pairs that were given out, and the answers
// that came back.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Pack is a pack of blind pairs that was given out.
type Pack struct {
	ID     string
	Pairs  []PackPair
	At     time.Time
	Record string
}

// answered names an answer: a judge says one thing of a pair of a pack.
type answered struct{ pack, judge, pair string }

// sheet names a filled-in copy of a pack: one browser, so one person.
type sheet struct{ pack, id string }

// SheetOf returns a verdict that was taken from the sheet of the pack, or nil. It
// tells whose the sheet is: answers counted under two names would be two judges
// that agree on everything.
func (s *State) SheetOf(pack, id string) *Verdict {
	for i, v := range s.Verdicts {
		if id != "" && v.Pack == pack && v.Sheet == id {
			return &s.Verdicts[i]
		}
	}
	return nil
}

// Pack returns the pack with the id, or nil.
func (s *State) Pack(id string) *Pack {
	for i := range s.Packs {
		if s.Packs[i].ID == id {
			return &s.Packs[i]
		}
	}
	return nil
}

// Pair returns the pair of the pack with the id.
func (p *Pack) Pair(id string) (PackPair, bool) {
	i := slices.IndexFunc(p.Pairs, func(one PackPair) bool { return one.ID == id })
	if i < 0 {
		return PackPair{}, false
	}
	return p.Pairs[i], true
}

// JudgeName returns the name as it stands in the journal, whatever its capital
// letters; a new name comes back as it is.
func (s *State) JudgeName(name string) string {
	for _, v := range s.Verdicts {
		if strings.EqualFold(v.Judge, name) {
			return v.Judge
		}
	}
	for _, m := range s.Marks {
		if strings.EqualFold(m.Judge, name) {
			return m.Judge
		}
	}
	return name
}

// judge is the judge's name as it was first written: "mo" and "Mo" are one.
func (f *folding) judge(name string) string {
	key := strings.ToLower(name)
	if _, ok := f.judges[key]; !ok {
		f.judges[key] = name
	}
	return f.judges[key]
}

func (f *folding) pack(r Record) error {
	b, err := read[PackBody](r)
	if err != nil {
		return err
	}
	if b.Pack == "" || f.state.Pack(b.Pack) != nil {
		return fmt.Errorf("there is a pack %q already, or it has no name", b.Pack)
	}
	seen := map[string]bool{}
	for _, p := range b.Pairs {
		if p.ID == "" || seen[p.ID] || p.Left == p.Right {
			return fmt.Errorf("its pair %q is there twice, has no name, or is of one photo", p.ID)
		}
		seen[p.ID] = true
	}
	f.state.Packs = append(f.state.Packs, Pack{b.Pack, b.Pairs, r.At, r.ID()})
	return nil
}

// answers turns answers into verdicts. Those that can be read count, whatever
// else is in the record.
func (f *folding) answers(r Record) error {
	b, err := read[AnswersBody](r)
	if err != nil {
		return err
	}
	pack := f.state.Pack(b.Pack)
	if pack == nil {
		return &absentError{"pack", b.Pack}
	}
	judge := f.judge(b.Judge)
	of := sheet{b.Pack, b.Sheet}
	if first, taken := f.sheets[of]; taken && first != judge && b.Sheet != "" {
		return fmt.Errorf("these answers count for %s already, and one sheet is one person's", cmp.Or(first, "you"))
	}
	var bad []error
	for _, one := range b.Answers {
		pair, ok := pack.Pair(one.Pair)
		if !ok || !slices.Contains(Outcomes, one.Outcome) {
			bad = append(bad, fmt.Errorf("%q is not an answer to a pair %q of its pack", one.Outcome, one.Pair))
			continue
		}
		left, right, err := f.judged(pair.Criterion, pair.Left, pair.Right)
		if err == nil && left == right {
			err = errors.New("both of its photos are one by now")
		}
		if err != nil {
			bad = append(bad, err)
			continue
		}
		key := answered{b.Pack, judge, one.Pair}
		if f.answered[key] {
			continue // two devices may take one file; and what stands, stands
		}
		f.answered[key], f.sheets[of] = true, judge // a sheet of which no answer stands is nobody's yet
		f.state.Verdicts = append(f.state.Verdicts,
			Verdict{Left: left, Right: right, Criterion: pair.Criterion, Outcome: one.Outcome,
				Judge: judge, At: r.At, Record: r.ID(), Pack: b.Pack, Pair: one.Pair, Sheet: b.Sheet})
	}
	if len(bad) > 1 {
		return fmt.Errorf("%w, and %d more of its answers cannot be read", bad[0], len(bad)-1)
	}
	return errors.Join(bad...)
}
