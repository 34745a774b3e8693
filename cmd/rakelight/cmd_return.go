// What somebody needs who comes back to a build: rakelight status BUILD, and
// rakelight resume.

package main

import (
	"fmt"
	"strings"

	"rakelight/journal"
)

// printReturn prints what is needed to go on with a build, on one screen.
func (a *app) printReturn(s *journal.State, r journal.Return) {
	tell := func(what, words string) {
		if words != "" {
			a.printf("  %-13s %s\n", what+":", words)
		}
	}
	if p := r.Pause; p != nil {
		tell("stopped", p.From.In(s.Zone).Format("2006-01-02")+", because: "+orNothing(p.Why))
		tell("next", p.Next)
		tell("waiting for", p.Waiting)
	}
	if r.Last != nil {
		tell("last session", fmt.Sprintf("%s, %s (%s)", r.Last.Stage, r.Last.Date, r.Last.ID))
	}
	tell("next stage", r.NextStage)
	if p := r.LastPhoto; p != nil {
		tell("last photo", strings.Join(nonEmpty(p.Short(), p.Instant.Told("2006-01-02 15:04"), p.Tags.Stage,
			p.Tags.Role), ", "))
	}
	for _, h := range append(append(r.NotGlued, r.MasksOn...), r.Curing...) {
		tell("remember", a.heldLine(s, h))
	}
	for _, p := range r.Stored {
		tell("lies in", p.On()+": "+strings.TrimPrefix(p.PrepWords(), "stored: "))
	}
	for _, m := range r.Mixes {
		tell("mix", strings.Join(nonEmpty(m.Name, journal.RecipeWords(m.Recipe)), ": "))
	}
	tell("lacking", journal.Lacks(r.Lacking))
	for _, p := range r.Mind {
		tell("mind", p.On()+": "+p.PrepWords())
	}
	for _, m := range r.Mixes {
		tell("mixed", strings.Join(nonEmpty(m.Words(), onWhat(m.Parts, m.Sub)), "; "))
	}
	for _, one := range r.Supplies {
		tell("to get", one.Text+", "+supplyWords(one))
	}
	gates, pegs := journal.GatesAndPegs(r.Questions)
	if len(gates) > 0 {
		tell("not said yet", "whether the gates were cut together: "+journal.Ranges(gates))
	}
	if len(pegs) > 0 {
		tell("not said yet", "which pegs were cut: "+journal.Ranges(pegs))
	}
	for _, one := range r.Doubtful {
		tell("doubtful", fmt.Sprintf("how long %s of %s was (%s)", one.Stage, one.Date, one.ID))
	}
}

// nonEmpty are the words that say something.
func nonEmpty(words ...string) []string {
	var some []string
	for _, w := range words {
		if w != "" {
			some = append(some, w)
		}
	}
	return some
}
