// The numbers of rakelight pace, one fact each, and learning and chains.

package main

import (
	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// paceFacts are the numbers of a build, alone and against earlier ones.
func paceFacts(s *journal.State, b *journal.Build, earlier []*journal.Build) []fact {
	work := s.Work(b.ID)
	var facts []fact
	for _, sum := range metrics.Hours(work, func(w metrics.Work) string { return w.Kind }) {
		for _, one := range []struct {
			known string
			hours float64
		}{{metrics.Measured, sum.Measured}, {metrics.Estimated, sum.Estimated}, {metrics.Remembered, sum.Remembered}} {
			if one.hours > 0 {
				facts = append(facts, fact{What: "hours", Build: b.ID, Kind: sum.Key, Known: one.known,
					Value: &one.hours, Unit: "h", N: sum.N})
			}
		}
	}
	byKind, byClass := map[string][]metrics.Work{}, map[metrics.Cell][]metrics.Work{}
	var cells []metrics.Cell
	for _, w := range work {
		c := metrics.Cell{Kind: w.Kind, Class: w.Class, Finish: w.Finish}
		if byClass[c] == nil {
			cells = append(cells, c)
		}
		byKind[w.Kind], byClass[c] = append(byKind[w.Kind], w), append(byClass[c], w)
	}
	for _, kind := range journal.Kinds {
		facts = append(facts, pacesOf(fact{What: "pace", Build: b.ID, Kind: kind}, byKind[kind])...)
		facts = append(facts, reworkFacts(b.ID, kind, work)...)
		for _, c := range cells {
			if c.Kind == kind && c.Class != "" {
				facts = append(facts, pacesOf(fact{What: "pace", Build: b.ID, Kind: kind, Class: c.Class,
					Finish: c.Finish}, byClass[c])...)
			}
		}
	}
	steps := s.MarksOfSteps("")
	for _, kind := range journal.Kinds {
		if mean := steps[journal.Step{Build: b.ID, Kind: kind}].Mean(); mean.OK {
			facts = append(facts, fact{What: "mark of the stage", Build: b.ID, Kind: kind, Unit: "points",
				N: mean.N}.value(true, mean.Value, mean.Interval, mean.Why.String()))
		}
	}
	if l := s.LearningTogether(b); l.N > 0 {
		facts = append(facts, fact{What: "learning rate, all together", Build: l.Build, Known: metrics.Measured,
			Unit: "ratio", N: l.N, From: l.Sessions}.value(l.OK, l.Rate, l.Interval, l.Why.String()).
			claim(l.Claim))
	}
	for _, l := range s.Learnings(b) {
		facts = append(facts, fact{What: "learning rate", Build: l.Build, Kind: l.Kind, Known: metrics.Measured,
			Unit: "ratio", N: l.N, Parts: &l.Parts, From: l.Sessions}.
			value(l.OK, l.Rate, l.Interval, l.Why.String()).claim(l.Claim))
	}
	facts = append(facts, sightFacts(s, b, earlier)...)
	for _, e := range earlier {
		facts = append(facts, speedFacts(b.ID, e.ID, s.Speed(e, b))...)
	}
	if len(earlier) > 1 {
		facts = append(facts, speedFacts(b.ID, "all earlier", s.SpeedSince(b))...)
		for _, link := range s.Chain(b, earlier) {
			facts = append(facts, fact{What: "chain", Build: link.Build, Unit: "ratio", N: link.Comparison.N2,
				From: link.Comparison.LaterSessions}.
				value(link.OK, link.Speed, link.Interval, link.Why.String()))
		}
	}
	return facts
}

// pacesOf are the paces of the works by how their time was known.
func pacesOf(of fact, ws []metrics.Work) []fact {
	unit, ok := metrics.CountedKind(of.Kind)
	if !ok {
		return nil
	}
	var facts []fact
	for _, known := range []string{metrics.Measured, metrics.Estimated, metrics.Remembered} {
		p := metrics.PaceOf(metrics.KnownAs(ws, known))
		if p.N+p.Untimed == 0 {
			continue
		}
		one := of
		one.Known, one.Unit, one.N, one.Parts, one.Hours, one.From = known, unit+"/h", p.N, &p.Parts, &p.Hours,
			p.Sessions
		facts = append(facts, one.value(p.OK, p.PerHour, p.Interval, p.Why.String()))
		if p.Uncounted > 0 {
			least := of
			least.What, least.Known, least.Unit, least.N = "pace at least", known, unit+"/h", p.Uncounted
			least.Hours = &p.UncountedHours
			facts = append(facts, least.value(p.OK, p.AtLeast, metrics.Interval{}, p.Why.String()))
		}
	}
	return facts
}

// reworkFacts are the paces with rework charged, where something was mended.
func reworkFacts(build, kind string, ws []metrics.Work) []fact {
	unit, ok := metrics.CountedKind(kind)
	if !ok {
		return nil
	}
	var facts []fact
	for _, known := range []string{metrics.Measured, metrics.Estimated, metrics.Remembered} {
		r := metrics.ReworkOf(metrics.KnownAs(ws, known), kind)
		if r.Repairs == 0 && r.Own.Reopened == 0 {
			continue
		}
		p := r.Charged
		facts = append(facts, fact{What: "pace with rework", Build: build, Kind: kind, Known: known, Unit: unit + "/h",
			N: p.N, Parts: &p.Parts,
			Hours: &p.Hours, Rework: &r.Hours, Reopened: &r.Own.Reopened, From: p.Sessions}.value(p.OK, p.PerHour,
			p.Interval, p.Why.String()))
	}
	return facts
}

// sightFacts are the smallest change each kind of work could have shown against
// the earlier builds together, and the evenings that one of 20 % would take.
func sightFacts(s *journal.State, b *journal.Build, earlier []*journal.Build) []fact {
	var facts []fact
	for _, one := range s.Sights(b, earlier) {
		against := "all earlier"
		if len(earlier) == 1 {
			against = earlier[0].ID
		}
		of := fact{Build: b.ID, Against: against, Kind: one.Kind, N: one.Earlier.N + one.Later.N, From: one.Sessions}
		smallest, more := of, of
		smallest.What, smallest.Unit = "smallest change", "ratio"
		if ratio := one.Smallest(); one.Blind {
			smallest.Why = "no range yet"
		} else {
			smallest.Value = &ratio
		}
		more.What, more.Unit = "more evenings", "evening"
		if n, ok := one.MoreFor(metrics.Fifth); ok {
			evenings := float64(n)
			more.Value = &evenings
		} else {
			more.Why = "the evenings before are too few"
		}
		facts = append(facts, smallest, more)
	}
	return facts
}

func speedFacts(build, against string, c metrics.Comparison) []fact {
	speed := fact{What: "speed", Build: build, Against: against, Unit: "ratio", N: c.N1 + c.N2,
		From: append(append([]string{}, c.EarlierSessions...), c.LaterSessions...)}.
		value(c.OK, c.Speed, c.Interval, c.Why.String()).claim(c.Claim)
	if c.Rework {
		rework := c.ReworkEarlier + c.ReworkLater
		speed.Rework = &rework
	}
	facts := []fact{speed}
	for _, row := range c.Cells {
		speed := row.Speed
		facts = append(facts, fact{What: "speed of a cell", Build: build, Against: against, Kind: row.Kind,
			Class: row.Class, Finish: row.Finish,
			Value: &speed, Unit: "ratio", N: row.Earlier.N + row.Later.N,
			From: append(append([]string{}, row.Earlier.Sessions...), row.Later.Sessions...)})
	}
	for _, row := range c.LeftOut {
		facts = append(facts, fact{What: "left out", Build: build, Against: against, Kind: row.Kind, Class: row.Class,
			Finish: row.Finish,
			N:      row.Earlier.N + row.Later.N, Why: row.Why.String()})
	}
	return facts
}

// printLearning says the learning rates there are, and of what there is none yet.
func (a *app) printLearning(s *journal.State, b *journal.Build) {
	none := ""
	for _, l := range append([]journal.Learned{s.LearningTogether(b)}, s.Learnings(b)...) {
		label := "All kinds of work together"
		if l.Kind != "" {
			label = wording.KindName(l.Kind)
		}
		if l.Build != "" {
			label += ", this build alone"
		}
		unit, _ := metrics.CountedKind(l.Kind)
		switch {
		case l.OK:
			a.printf("  %s\n", l.Sentence(label, unit).String())
		case l.Build == "" && l.Kind != "":
			if none != "" {
				none += ", "
			}
			none += l.Kind
		}
	}
	if none != "" {
		a.printf("  no learning rate yet: %s\n", none)
	}
}

// printYears compares with all earlier builds together, and along the chain.
func (a *app) printYears(s *journal.State, b *journal.Build, earlier []*journal.Build) {
	a.printOneComparison(s.SpeedSince(b), "all earlier builds", b.Title, "earlier", b.ID)
	a.printf("\n%s\n", metrics.ChainSentence(s.Chain(b, earlier), func(id string) string { return id }).String())
}
