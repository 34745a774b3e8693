// Taking answers to packs: which are new, whose they are, and what stands against
// it.

package entry

import (
	"slices"
	"strings"

	"rakelight/journal"
)

// Sheet is what one judge said of the pairs of a pack, and the file it stood in.
type Sheet struct {
	File  string
	Pack  string
	Sheet string // random, one a browser in which the pack was opened
	Judge string // as typed there, cleaned by Name; never ""
	Of    int    // pairs in the pack
	Given []journal.PackAnswer
}

// Answers takes in answers that came back, all of them or none.
type Answers struct {
	Sheets []Sheet
	Judge  string // the judge's name here, "" = as the sheets say
	Mine   bool   // the owner filled them in
}

// SheetTaken is what became of a sheet.
type SheetTaken struct {
	Judge     string // "" = the journal's owner
	Taken     int    // answers that are new …
	Untold    int    // … of which "cannot tell"
	Before    int    // answers taken before
	Otherwise int    // pairs of which something else was said first, and stands
	Open      int    // pairs of the pack not answered yet
}

// Plan keeps what a judge once said of a pair. What became of the sheets is in the
// remarks, one each, in their order.
func (r Answers) Plan(l journal.Look) (Plan, error) {
	name, err := Judge(l.State, r.Judge)
	if err != nil {
		return Plan{}, err
	}
	t := newTaking(l.State)
	for _, one := range r.Sheets {
		who := one.Judge
		switch {
		case r.Mine:
			who = ""
		case name != "":
			who = name
		case IsOwner(who):
			return Plan{}, &Refusal{Reason: SheetOwner, File: one.File, Name: who}
		}
		if err := t.add(one, who); err != nil {
			return Plan{}, err
		}
	}
	return t.plan, nil
}

// taking is answers on their way into the journal.
type taking struct {
	state  *journal.State
	plan   Plan
	stand  map[[3]string]given  // pack, judge, pair → the answer that stands
	sheets map[[2]string]string // pack, sheet → the judge it counts for, of those taken in now
	names  []string             // of judges that are new, as the first sheet spells them
}

// given is an answer that stands.
type given struct{ outcome, sheet, record string }

func newTaking(s *journal.State) *taking {
	t := &taking{state: s, stand: map[[3]string]given{}, sheets: map[[2]string]string{}}
	for _, v := range s.Verdicts {
		if v.Pack != "" {
			t.stand[[3]string{v.Pack, v.Judge, v.Pair}] = given{v.Outcome, v.Sheet, v.Record}
		}
	}
	return t
}

// nameOf is the judge's name as the journal has it, or as the sheet before spelled
// it: the fold takes both for one judge.
func (t *taking) nameOf(who string) string {
	who = t.state.JudgeName(who)
	if i := slices.IndexFunc(t.names, func(name string) bool { return strings.EqualFold(name, who) }); i >= 0 {
		return t.names[i]
	}
	t.names = append(t.names, who)
	return who
}

// add takes in a sheet. Answers that stand are left as they are; a second sheet
// of one pack under one name is not mixed with the first unasked, since it may
// well be a second person's.
func (t *taking) add(one Sheet, who string) error {
	pack := t.state.Pack(one.Pack)
	if pack == nil {
		return &Refusal{Reason: UnknownPack, File: one.File, Name: one.Pack}
	}
	if one.Of != len(pack.Pairs) {
		return &Refusal{Reason: OtherPack, File: one.File, Name: one.Pack, Count: one.Of, There: len(pack.Pairs)}
	}
	who = t.nameOf(who)
	if err := t.claim(one, who); err != nil {
		return err
	}
	body := journal.AnswersBody{Pack: one.Pack, Sheet: one.Sheet, Judge: who}
	said, remark := SheetTaken{Judge: who}, Remark{Matter: AnswersTaken}
	for _, answer := range one.Given {
		if _, ok := pack.Pair(answer.Pair); !ok {
			return &Refusal{Reason: UnknownPair, File: one.File, Name: one.Pack, Part: answer.Pair}
		}
		switch g, ok := t.stand[[3]string{one.Pack, who, answer.Pair}]; {
		case !ok:
			body.Answers = append(body.Answers, answer)
		case g.outcome == answer.Outcome:
			said.Before++
		default:
			said.Otherwise++
		}
	}
	if other := t.otherSheet(one, who); other.sheet != "" && len(body.Answers)+said.Otherwise > 0 {
		return &Refusal{Reason: OtherSheet, File: one.File, Judge: who, Name: one.Pack, Record: other.record}
	}
	for _, answer := range body.Answers {
		t.stand[[3]string{one.Pack, who, answer.Pair}] = given{outcome: answer.Outcome, sheet: one.Sheet}
		if answer.Outcome == "cannot tell" {
			said.Untold++
		}
	}
	if said.Taken = len(body.Answers); said.Taken > 0 {
		t.plan.Add = append(t.plan.Add, body)
		remark.New = len(t.plan.Add)
	}
	said.Open = len(pack.Pairs)
	for key := range t.stand {
		if key[0] == one.Pack && key[1] == who {
			said.Open--
		}
	}
	remark.Answers = said
	t.plan.Remarks = append(t.plan.Remarks, remark)
	return nil
}

// otherSheet is an answer of the judge to the pack that stood on another sheet,
// the one first taken.
func (t *taking) otherSheet(one Sheet, who string) given {
	var other given
	for key, g := range t.stand {
		if key[0] == one.Pack && key[1] == who && g.sheet != one.Sheet &&
			(other.record == "" || g.record != "" && g.record < other.record) {
			other = g
		}
	}
	return other
}

// claim keeps a sheet for one judge: it is one browser, so one person, whoever
// the file says.
func (t *taking) claim(one Sheet, who string) error {
	first, taken, record := "", false, ""
	if v := t.state.SheetOf(one.Pack, one.Sheet); v != nil {
		first, taken, record = v.Judge, true, v.Record
	} else if first, taken = t.sheets[[2]string{one.Pack, one.Sheet}]; !taken {
		t.sheets[[2]string{one.Pack, one.Sheet}] = who
	}
	if !taken || strings.EqualFold(first, who) {
		return nil
	}
	return &Refusal{Reason: SheetOfOther, File: one.File, Judge: first, Record: record}
}
