// rakelight skill: how good the work is, and what to practice next.

package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

var skillCmd = &command{
	name: "skill", line: "say how good the work is, and what to practice next",
	usage: `Usage: rakelight skill [BUILD] [--judge NAME | --everybody] [--json | --csv]

Says what the blind pairs and the marks tell of a build (the latest one unless
you name one): the chance that its work is picked over that of each earlier build, by
criterion; the marks, raw; how your eye has drifted on photos you marked twice,
and how well you agree with yourself; how judges agree on pairs both judged; and what to practice next: at most three
things, each with its reason, and none where there is too little to go by.

Chances rest on your verdicts and those of judges who are shown to agree with you
beyond chance (kappa on ten pairs or more, its whole range above 0). Until you have
judged a pair yourself they rest on the judge with the most verdicts, and it says so.

  --judge NAME    the marks and verdicts of another judge alone
  --everybody     chances by the verdicts of all judges together

` + factFields + `
Example:
  rakelight skill pilot-boat
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("skill", pflag.ContinueOnError)
		judge := fs.String("judge", "", "")
		everybody := fs.Bool("everybody", false, "")
		as := formatFlags(fs)
		alone := func([]string) error {
			if *judge != "" && *everybody {
				return &usageError{"--judge and --everybody exclude each other"}
			}
			return nil
		}
		j, rest, err := a.openWith(fs, args, alone, takes(0, 1, "skill takes one build"), as.check)
		if err != nil {
			return err
		}
		build, err := paceBuild(j.State, rest)
		if err != nil {
			return err
		}
		who, err := j.State.FindJudge(*judge)
		if err != nil {
			return err
		}
		var judges []string // none: those of the pool
		switch {
		case *everybody:
			judges = j.State.Judges()
		case who != "":
			judges = []string{who}
		}
		sk := j.State.Quality(build, who, judges...)
		if as.table() {
			return as.write(a, skillFacts(sk))
		}
		a.printSkill(j.State, sk)
		return nil
	},
}

func skillFacts(sk journal.Quality) []fact {
	var facts []fact
	for c, r := range sk.Rankings {
		for _, e := range sk.Earlier {
			ch := r.Chance(sk.Build.ID, e.ID)
			if ch.OK || ch.N > 0 || c == 0 {
				facts = append(facts, fact{What: "chance", Build: sk.Build.ID, Against: e.ID, Criterion: c,
					Unit: "chance", N: ch.N, Judges: sk.Counted}.
					value(ch.OK, ch.P, ch.Interval, ch.Why.String()).claim(ch.Claim))
			}
		}
	}
	for c, r := range sk.Rankings {
		for _, item := range r.Items {
			st := r.Standing(item)
			facts = append(facts, fact{What: "standing", Build: item, Criterion: c, Unit: "chance", N: st.N,
				Judges: sk.Counted}.value(st.OK, st.P, st.Interval, st.Why.String()).claim(st.Claim))
		}
	}
	for _, one := range sk.Sights() {
		facts = append(facts, chanceSightFacts(sk, one)...)
	}
	for _, m := range sk.Marks {
		mean := m.Mean()
		facts = append(facts, fact{What: "mark", Build: m.Build, Criterion: m.Criterion, Unit: "points", N: mean.N,
			Judge: sk.Judge}.
			value(mean.OK, mean.Value, mean.Interval, mean.Why.String()))
	}
	facts = append(facts,
		fact{What: "drift", Unit: "points", N: sk.Drift.N, Judge: sk.Judge}.value(sk.Drift.OK, sk.Drift.Mean,
			sk.Drift.Interval, sk.Drift.Why.String()).claim(sk.Drift.Claim),
		fact{What: "agreement", Unit: "kappa", N: sk.Agreement.N, Judge: sk.Judge}.value(sk.Agreement.OK,
			sk.Agreement.Kappa, sk.Agreement.Interval, sk.Agreement.Why.String()))
	if r := sk.Repeats; r.Twice > 0 {
		facts = append(facts, fact{What: "same verdict again", Unit: "share", N: r.Twice, Judge: sk.Judge}.value(true,
			float64(r.Same)/float64(r.Twice), metrics.Interval{}, r.Doubt().String()))
	}
	for _, one := range sk.Agreed {
		g := one.Agreement
		facts = append(facts,
			fact{What: "agreement of judges", Unit: "kappa", N: g.N, Judge: one.A, With: one.B}.value(g.OK, g.Kappa,
				g.Interval, g.Why.String()),
			fact{What: "same answers", Unit: "share", N: g.N, Judge: one.A, With: one.B}.value(g.OK, g.Same,
				metrics.Interval{}, g.Why.String()))
	}
	for _, ad := range sk.Advice {
		facts = append(facts, fact{What: "practice", Build: sk.Build.ID, Kind: ad.Stage, Criterion: ad.Criterion,
			Why: ad.What + ": " + ad.Why})
	}
	return facts
}

// chanceSightFacts are the smallest chance over an average build that the pairs could have
// shown, and the pairs that one of two in three would take.
func chanceSightFacts(sk journal.Quality, one journal.CriterionSight) []fact {
	of := fact{Build: sk.Build.ID, Criterion: one.Criterion, N: one.N, Judges: sk.Counted}
	smallest, more := of, of
	smallest.What, smallest.Unit = "smallest chance", "chance"
	least := one.Smallest()
	smallest = smallest.value(!one.Blind(), least, metrics.Interval{}, "no difference can be seen yet")
	more.What, more.Unit = "more pairs", "pair"
	n, ok := one.Worthwhile()
	return []fact{smallest, more.value(ok, float64(n), metrics.Interval{}, "more pairs than one would ask for")}
}

func (a *app) printSkill(s *journal.State, sk journal.Quality) {
	a.println(sk.Build.Title)
	a.printChances(sk)
	a.printSkillSights(sk)
	a.printf("  %s\n", sk.Drift.Sentence().String())
	who := "Your agreement with yourself"
	if sk.Judge != "" {
		who = "Agreement of " + sk.Judge + " with " + sk.Judge
	}
	a.printf("  %s\n", sk.Agreement.Sentence(say.Own(who)).String())
	a.printAgreement(s, sk)
	if len(sk.Advice) == 0 {
		a.println("  What to practice next: nothing yet: too few marks, mistakes and sessions.")
	} else {
		a.println("  What to practice next:")
		for i, ad := range sk.Advice {
			a.printf("    %d. %s: %s\n", i+1, ad.What, ad.Why)
		}
	}
	if len(sk.Marks) == 0 {
		return
	}
	title := map[string]string{}
	for _, b := range s.Builds {
		title[b.ID] = b.Title
	}
	a.printf("\n")
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fprintf(t, "build\tcriterion\tmean mark\t95 %%\tmarks\tnot applicable\n")
	for _, m := range sk.Marks {
		mean, span := m.Mean(), "–"
		if mean.Interval.OK {
			span = fmt.Sprintf("%.1f to %.1f", mean.Interval.Low, mean.Interval.High)
		}
		value := "–"
		if mean.OK {
			value = fmt.Sprintf("%.1f", mean.Value)
		}
		fprintf(t, "%s\t%s\t%s\t%s\t%d\t%d\n", m.Build, m.Name, value, span, mean.N, m.NotApplicable)
	}
	t.Flush()
}

// printSkillSights says how much the pairs of the build could have shown.
func (a *app) printSkillSights(sk journal.Quality) {
	sights := sk.Sights()
	if len(sights) == 0 {
		return
	}
	a.println("  How much can be seen, against an average build:")
	for _, one := range sights {
		a.printf("    %s (%s): %s\n", one.Name, count(one.N, "pair"), one.Sentence().String())
	}
}

// printAgreement says how judges agree on pairs both judged, and whose verdicts
// the chances rest on when they are not yours alone.
func (a *app) printAgreement(s *journal.State, sk journal.Quality) {
	said, left := sk.Witnesses(s.Judges())
	for _, line := range said {
		a.printf("  %s\n", line.String())
	}
	if left {
		a.println("  With --everybody they rest on the verdicts of all.")
	}
}

// printChances says a sentence for each earlier build and criterion with
// enough pairs, and how many are missing where there are too few.
func (a *app) printChances(sk journal.Quality) {
	said := false
	for c, r := range sk.Rankings {
		on := "all criteria together"
		if c > 0 {
			on = journal.Criteria[c-1].Name.English()
		}
		for _, e := range sk.Earlier {
			ch := r.Chance(sk.Build.ID, e.ID)
			if ch.OK || ch.N > 0 {
				a.printf("  %s\n", ch.Sentence(on, sk.Build.Title, e.Title, r.Judges).String())
				said = true
			}
		}
	}
	if !said {
		a.println("  No blind pairs of this build and an earlier one yet, so nothing is said of better or worse.")
		return
	}
	if line := sk.Repeats.Sentence(sk.Judge).String(); line != "" {
		a.printf("  %s\n", line)
	}
	if r := sk.Rankings[0]; r.SideJudged && (r.SideInterval.Low > 0 || r.SideInterval.High < 0) {
		side := "left"
		if r.Side < 0 {
			side = "right"
		}
		a.printf("  The judges lean to the photo on the %s; the chances have that taken out.\n", side)
	}
}
