// What was said last, each to be taken back.

package bench

import (
	"cmp"
	"encoding/json"
	"strings"

	"rakelight/journal"
	"rakelight/journal/wording"
)

const latest = 20 // so many things said are listed

// saidPage lists what was said last.
type saidPage struct {
	Said []saidLine
}

// saidLine is one thing said.
type saidLine struct {
	When, Words, Record string
	Back                bool // it was taken back
}

func lastSaid(a *asking) (any, error) {
	all, err := a.journal.LatestSaid(latest)
	if err != nil {
		return nil, err
	}
	var page saidPage
	for _, one := range all {
		page.Said = append(page.Said, saidLine{When: one.At.In(a.Zone).Format("Jan 2, 15:04"), Words: a.wordsOf(one),
			Record: one.ID(), Back: one.Back})
	}
	return page, nil
}

// fields are what records of several kinds say, under the names they say it.
type fields struct {
	Build, Stage, Session, Sub, Name, Text, Why, State, What, Kind string
	Parts                                                          []journal.PartRef
	Count                                                          int
	Over, Not                                                      bool
	Set                                                            journal.Tags
}

// wordsOf is a record in a line: what was said, and of what.
func (a *asking) wordsOf(one journal.Said) string {
	var f fields
	// What is of another form under the same name stays empty: words can do without.
	_ = json.Unmarshal(one.Body, &f)
	if s := a.Session(cmp.Or(f.Session, one.ID())); s != nil {
		f.Build, f.Stage = cmp.Or(f.Build, s.Build), cmp.Or(f.Stage, s.Stage)
	}
	place := f.Build
	if b := a.Build(f.Build); b != nil {
		place = b.Title
		if st := b.Stage(f.Stage); st != nil {
			place += ", " + wording.StageName(*st)
		}
	}
	what := journal.Ranges(f.Parts)
	if f.Count > 0 {
		what = joined(", ", what, countOf(f.Count, "part"))
	}
	words := joined(" ", cmp.Or(what, f.Sub), kindWords(one, f))
	return journal.Capital(cut(joined(": ", place, words)))
}

const longestLine = 160 // characters of something said that are listed

// cut is the beginning of a text that is long.
func cut(text string) string {
	if r := []rune(text); len(r) > longestLine {
		return strings.TrimSpace(string(r[:longestLine])) + "…"
	}
	return text
}

// kindWords is what a record of a kind says, without what it says it of.
func kindWords(one journal.Said, f fields) string {
	switch one.Kind {
	case "begin":
		return "began"
	case "end":
		return "ended"
	case "done":
		return "done"
	case "reopen":
		return "to do again"
	case "checked":
		return journal.StateWords(f.State)
	case "sub":
		if f.Over {
			return "no sub-assembly any more"
		}
		return "made a sub-assembly"
	case "hold":
		var h journal.Hold
		_ = json.Unmarshal(one.Body, &h.HoldBody)
		return joined("; ", h.HoldWords(), f.Text)
	case "release":
		return "a hold is over"
	case "prep":
		var p journal.Prep
		_ = json.Unmarshal(one.Body, &p.PrepBody)
		return p.PrepWords()
	case "pause":
		return joined(": ", "put aside", f.Why)
	case "resume":
		return "taken up again"
	case "mistake":
		return joined(": ", "mistake", f.Kind)
	case "tag":
		t := f.Set
		return joined(": ", "a photo sorted", joined(", ", t.Build, t.Stage, t.Role, t.View, t.Light))
	case "past":
		t := f.Set
		return joined(": ", "old pictures sorted", joined(", ", t.Build, t.Stage, t.Role))
	case "mix":
		return joined(": ", "mix", f.Name)
	case "addition":
		return joined(": ", cmp.Or(f.Kind, "addition"), f.Text)
	case "hands":
		return joined(": ", "hands", cmp.Or(f.What, f.Text))
	case "sanding":
		return "sanding plan"
	case "correct":
		return "session corrected"
	case "work":
		return "worked, from memory"
	case "finish":
		return "finished"
	case "trial":
		return joined(": ", "trial begun", f.What)
	case "observe":
		return joined(": ", "seen in a trial", f.Text)
	case "review":
		return joined(": ", "trial reviewed", f.Text)
	case "mark":
		return "a photo marked"
	case "verdict":
		return "a pair judged"
	case "answers":
		return "the answers of a judge"
	case "alike":
		if f.Not {
			return "two photos are not alike"
		}
		return "two photos are alike"
	case "points":
		return "the same spots of two photos"
	case "dated":
		return "when a photo was taken"
	case "clock":
		return "a camera's clock corrected"
	case "card":
		return "what a card says"
	}
	return joined(": ", one.Kind, f.Text)
}

func joined(with string, words ...string) string { return journal.Joined(with, words...) }
