// The runner check: what was found of each part before the work starts.

package bench

import (
	"slices"

	"rakelight/journal"
)

// checkPage is a runner and what was found of its parts.
type checkPage struct {
	Build, Title string
	As           string // the state that a tap gives
	States       []choice
	Runners      []runnerTab
	Runner       string
	Squares      []square
	Lacks        string // "A5 missing", "" = nothing is lacking
}

// check makes the page of the runner check.
func check(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := checkPage{Build: b.ID, Title: b.Title, As: a.value("as"), Lacks: journal.Lacks(a.Lacking(b.ID))}
	if !slices.Contains(journal.CheckStates, page.As) {
		page.As = journal.CheckStates[0]
	}
	for _, state := range journal.CheckStates {
		page.States = append(page.States, choice{journal.Capital(journal.StateWords(state)), state})
	}
	found := map[string]string{}
	for _, f := range a.FoundOf(b.ID) {
		found[f.Part.Key()] = f.State
	}
	ledger := a.Ledger(b)
	page.Runner = a.value("runner")
	if page.Runner == "" && len(ledger) > 0 {
		page.Runner = ledger[0].Name()
	}
	for _, r := range ledger {
		tab := runnerTab{Name: r.Name(), Here: r.Name() == page.Runner}
		for _, p := range r.Parts {
			state := found[p.Ref.Key()]
			if state == "" && p.Use == journal.NotUsed {
				state = "not-used"
			}
			tab.All++
			if state == "" {
				tab.Left++
			}
			if tab.Here {
				page.Squares = append(page.Squares, checkSquare(p, state))
			}
		}
		page.Runners = append(page.Runners, tab)
	}
	return page, nil
}

func checkSquare(p journal.PartLedger, state string) square {
	s := square{Number: p.Ref.Number, Ref: p.Ref.Key(), Words: "not checked"}
	if state != "" {
		s.Words = journal.StateWords(state)
	}
	switch state {
	case "seen", "come":
		s.State = "done"
	case "not-used":
		s.State = "unused"
	case "missing", "damaged", "asked":
		s.State = "missing"
	}
	return s
}
