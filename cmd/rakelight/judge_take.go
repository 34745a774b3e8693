// Taking answers to packs: which are new, whose they are, and what stands
// against it.

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/render/judge"
)

// sheetRead is one filled-in sheet and the file it stood in.
type sheetRead struct {
	file string
	judge.Answers
}

// takeAnswers adds answers that came back, all in one write or none. The judge
// is called name here, or is the owner when mine, or is who the sheet says.
func (a *app) takeAnswers(j *journal.Journal, files []string, name string, mine bool) error {
	var sheets []sheetRead
	for _, file := range files {
		read, err := judge.ReadAnswers(file)
		var unread *fs.PathError
		switch {
		case errors.As(err, &unread):
			return fmt.Errorf("no answers taken: %w", err)
		case err != nil:
			return &journal.AskError{What: fmt.Sprintf("%s: %v: no answers taken", file, err), Hint: "ask for the file or the text again, just as the pack gives it"}
		}
		for _, one := range read {
			sheets = append(sheets, sheetRead{file, one})
		}
	}
	t := newTaking(j.State)
	for _, one := range sheets {
		who := one.Judge
		switch {
		case mine:
			who = ""
		case name != "":
			who = name
		case judge.IsOwner(who):
			return &journal.AskError{What: fmt.Sprintf("%s: the judge is called %q, as you are here: no answers taken", one.file, who),
				Hint: "--mine if you filled in the pack yourself, --judge NAME if somebody else did"}
		}
		if err := t.add(one, who); err != nil {
			return err
		}
	}
	written, err := j.AppendAll(t.write)
	if err != nil {
		return fmt.Errorf("no answers taken: %w", err)
	}
	for _, said := range t.said {
		if said.record >= 0 {
			said.line += takeBack(written[said.record])
		}
		a.println(said.line)
	}
	return nil
}

// given is an answer that stands.
type given struct{ outcome, sheet, record string }

// taking is what would be written, and what stands already or would by then.
type taking struct {
	state  *journal.State
	sheets map[[2]string]string // pack and sheet → the judge here, in this command
	stand  map[[3]string]given  // pack, judge, pair
	write  []journal.New
	said   []saying
	names  []string // judges met in this taking
}

// saying is a line for the person; record is the index in write of what it
// tells of, −1 = of none.
type saying struct {
	line   string
	record int
}

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
func (t *taking) add(one sheetRead, who string) error {
	pack := t.state.Pack(one.Pack)
	if pack == nil {
		return &journal.AskError{What: fmt.Sprintf("%s: it answers the pack %s, which this journal does not know: no answers taken", one.file, one.Pack),
			Hint: "a pack made on another computer is known here once that computer's records/ have arrived"}
	}
	if one.Of != len(pack.Pairs) {
		return fmt.Errorf("%s: it speaks of %d pairs, and pack %s has %d: no answers taken", one.file, one.Of, one.Pack, len(pack.Pairs))
	}
	who = t.nameOf(who)
	if err := t.claim(one, who); err != nil {
		return err
	}
	body := journal.AnswersBody{Pack: one.Pack, Sheet: one.Sheet, Judge: who}
	there, differ := 0, 0
	var other given
	for _, answer := range one.Given {
		if _, ok := pack.Pair(answer.Pair); !ok {
			return fmt.Errorf("%s: it answers a pair %s that pack %s does not hold: no answers taken", one.file, answer.Pair, one.Pack)
		}
		switch g, ok := t.stand[[3]string{one.Pack, who, answer.Pair}]; {
		case !ok:
			body.Answers = append(body.Answers, answer)
		case g.outcome == answer.Outcome:
			there++
		default:
			differ++
		}
	}
	for key, g := range t.stand {
		if key[0] == one.Pack && key[1] == who && g.sheet != one.Sheet && (other.record == "" || g.record != "" && g.record < other.record) {
			other = g
		}
	}
	if other.sheet != "" && len(body.Answers)+differ > 0 {
		hint := "another person of that name: --judge NAME"
		if other.record != "" {
			hint += "; the same one, whose new answers shall count: first " + journal.Typed("rakelight retract %s", other.record)
		}
		return &journal.AskError{What: fmt.Sprintf("%s: %s has answered pack %s on another sheet: no answers taken", one.file, journal.JudgeCalled(who), one.Pack), Hint: hint}
	}
	for _, answer := range body.Answers {
		t.stand[[3]string{one.Pack, who, answer.Pair}] = given{outcome: answer.Outcome, sheet: one.Sheet}
	}
	line, record := journal.JudgeCalled(who)+": nothing new", -1
	if n := len(body.Answers); n > 0 {
		untold := 0
		for _, answer := range body.Answers {
			if answer.Outcome == "cannot tell" {
				untold++
			}
		}
		line = fmt.Sprintf("%s: %s taken", journal.JudgeCalled(who), count(n, "answer"))
		if untold > 0 {
			line += fmt.Sprintf(", %d of them “cannot tell”", untold)
		}
		record = len(t.write)
		t.write = append(t.write, journal.New{Kind: "answers", Body: body})
	}
	if there > 0 {
		line += fmt.Sprintf(", %d taken before", there)
	}
	if differ > 0 {
		line += fmt.Sprintf(", %s said otherwise now, and what was said first stands", count(differ, "pair"))
	}
	open := len(pack.Pairs)
	for key := range t.stand {
		if key[0] == one.Pack && key[1] == who {
			open--
		}
	}
	if open > 0 {
		line += fmt.Sprintf(", %s of the pack still open", count(open, "pair"))
	}
	t.said = append(t.said, saying{line, record})
	return nil
}

// claim keeps a sheet for one judge: it is one browser, so one person, whoever
// the file says.
func (t *taking) claim(one sheetRead, who string) error {
	first, taken, record := "", false, ""
	if v := t.state.SheetOf(one.Pack, one.Sheet); v != nil {
		first, taken, record = v.Judge, true, v.Record
	} else if first, taken = t.sheets[[2]string{one.Pack, one.Sheet}]; !taken {
		t.sheets[[2]string{one.Pack, one.Sheet}] = who
	}
	if !taken || strings.EqualFold(first, who) {
		return nil
	}
	hint := "one sheet is one person's: name the files of one judge in a command"
	if record != "" {
		hint = "one sheet is one person's; if it is not " + ofJudge(first) + ", first " + journal.Typed("rakelight retract %s", record)
	}
	return &journal.AskError{What: fmt.Sprintf("%s: this sheet was taken as %s already: no answers taken", one.file, ofJudge(first)), Hint: hint}
}

// ofJudge is a judge's own, as the owner reads it.
func ofJudge(judge string) string {
	if judge == "" {
		return "yours"
	}
	return judge + "’s"
}
