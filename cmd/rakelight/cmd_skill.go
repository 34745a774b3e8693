// rakelight skill: how good the work is, and what to practise next.

package main

import (
	"flag"
	"fmt"
	"slices"
	"text/tabwriter"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

var skillCmd = &command{
	name: "skill", line: "say how good the work is, and what to practise next",
	usage: `Usage: rakelight skill [BUILD] [--judge NAME | --everybody] [--json | --csv]

Says what the blind pairs and the marks tell of a build (the latest one unless
you name one): the chance that its work beats that of each earlier build, by
criterion; the marks, raw; how your eye has drifted on photos you marked twice,
and how well you agree with yourself; how judges agree on pairs both judged; and what to practise next: at most three
things, each with its reason, and none where the data cannot carry it.

Chances rest on your verdicts and those of judges who are shown to agree with you
beyond chance (kappa on ten pairs or more, its whole interval above 0). A mean over
people who see different things would describe nobody.

  --judge NAME    the marks and verdicts of another judge alone
  --everybody     chances by the verdicts of all judges together

` + factFields + `
Example:
  rakelight skill pilot-boat
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("skill", flag.ContinueOnError)
		judge := fs.String("judge", "", "")
		everybody := fs.Bool("everybody", false, "")
		as := formatFlags(fs)
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if *judge != "" && *everybody {
			return &usageError{"--judge and --everybody exclude each other"}
		}
		if len(rest) > 1 {
			return &usageError{"skill takes one build"}
		}
		table, err := as.wanted()
		if err != nil {
			return err
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		build, err := paceBuild(j.State, rest)
		if err != nil {
			return err
		}
		who, judges := j.State.JudgeName(*judge), j.State.Pool()
		switch {
		case *everybody:
			judges = j.State.Judges()
		case who != "":
			judges = []string{who}
		}
		sk := skillOf(j.State, build, who, judges)
		if table {
			return as.write(a, sk.facts())
		}
		a.printSkill(j.State, sk)
		return nil
	},
}

// skill is what is known of the quality of a build.
type skill struct {
	build     *journal.Build
	earlier   []*journal.Build
	judge     string
	rankings  []metrics.Ranking // 0 over all criteria, then by criterion
	counted   []string          // judges whose verdicts the rankings rest on
	judges    []int             // how many of them, by ranking
	agreed    []journal.Judged
	marks     []metrics.Marks
	drift     metrics.Drift
	agreement metrics.Agreement
	advice    []metrics.Advice
	twice     int // pairs the judge judged twice
	same      int // of them, with the same verdict
}

func skillOf(s *journal.State, b *journal.Build, judge string, judges []string) skill {
	sk := skill{build: b, judge: judge, marks: s.MarksOf(judge), counted: judges, agreed: s.Agreements()}
	for _, e := range s.Builds {
		if e.ID == b.ID {
			break
		}
		sk.earlier = append(sk.earlier, e)
	}
	for c := range len(journal.Criteria) + 1 {
		pairs, n := s.PairsOf(c, judges...)
		sk.rankings, sk.judges = append(sk.rankings, metrics.Rank(pairs)), append(sk.judges, n)
	}
	sk.twice, sk.same = s.Consistency(judge)
	first, second := s.Remarks(judge)
	sk.drift, sk.agreement = metrics.DriftOf(first, second), metrics.Retest(first, second)
	sk.advice = metrics.Practise(marksOfBuild(sk.marks, b.ID), slipsUpTo(s.Slips(), b.ID), slowerKinds(s, b, sk.earlier))
	return sk
}

// marksOfBuild keeps the marks of one build.
func marksOfBuild(marks []metrics.Marks, build string) []metrics.Marks {
	var out []metrics.Marks
	for _, m := range marks {
		if m.Build == build {
			out = append(out, m)
		}
	}
	return out
}

// slipsUpTo cuts the charts off after the build; a build that is not on them
// leaves nothing to judge it by.
func slipsUpTo(slips []metrics.Slips, build string) []metrics.Slips {
	var out []metrics.Slips
	for _, s := range slips {
		for i, b := range s.Builds {
			if b == build {
				out = append(out, metrics.Slips{Kind: s.Kind, Builds: s.Builds[:i+1], Counts: s.Counts[:i+1], Parts: s.Parts[:i+1]})
			}
		}
	}
	return out
}

// slowerKinds compares each stage kind of the build with all earlier builds.
func slowerKinds(s *journal.State, b *journal.Build, earlier []*journal.Build) map[string]metrics.Comparison {
	byKind := func(ws []metrics.Work) map[string][]metrics.Work {
		out := map[string][]metrics.Work{}
		for _, w := range ws {
			out[w.Kind] = append(out[w.Kind], w)
		}
		return out
	}
	var all []metrics.Work
	for _, e := range earlier {
		all = append(all, s.Work(e.ID)...)
	}
	before, now := byKind(all), byKind(s.Work(b.ID))
	out := map[string]metrics.Comparison{}
	for kind, ws := range now {
		if len(before[kind]) > 0 {
			out[kind] = metrics.LikeForLike(before[kind], ws, comparisonSeed)
		}
	}
	return out
}

func (sk skill) facts() []fact {
	var facts []fact
	for c, r := range sk.rankings {
		for _, e := range sk.earlier {
			ch := r.Chance(sk.build.ID, e.ID)
			if ch.OK || ch.N > 0 || c == 0 {
				facts = append(facts, fact{What: "chance", Build: sk.build.ID, Against: e.ID, Criterion: c, Unit: "chance", N: ch.N, Judges: sk.counted}.
					value(ch.OK, ch.P, ch.Interval, ch.Why))
			}
		}
	}
	for _, m := range sk.marks {
		mean := m.Mean()
		facts = append(facts, fact{What: "mark", Build: m.Build, Criterion: m.Criterion, Unit: "points", N: mean.N, Judge: sk.judge}.
			value(mean.OK, mean.Value, mean.Interval, mean.Why))
	}
	facts = append(facts,
		fact{What: "drift", Unit: "points", N: sk.drift.N, Judge: sk.judge}.value(sk.drift.OK, sk.drift.Mean, sk.drift.Interval, sk.drift.Why),
		fact{What: "agreement", Unit: "kappa", N: sk.agreement.N, Judge: sk.judge}.value(sk.agreement.OK, sk.agreement.Kappa, sk.agreement.Interval, sk.agreement.Why))
	for _, one := range sk.agreed {
		g := one.Agreement
		facts = append(facts,
			fact{What: "agreement of judges", Unit: "kappa", N: g.N, Judge: one.A, With: one.B}.value(g.OK, g.Kappa, g.Interval, g.Why),
			fact{What: "same answers", Unit: "share", N: g.N, Judge: one.A, With: one.B}.value(g.OK, g.Same, metrics.Interval{}, g.Why))
	}
	for _, ad := range sk.advice {
		facts = append(facts, fact{What: "practise", Build: sk.build.ID, Kind: ad.Stage, Criterion: ad.Criterion, Why: ad.What + ": " + ad.Why})
	}
	return facts
}

func (a *app) printSkill(s *journal.State, sk skill) {
	fmt.Fprintln(a.out, sk.build.Title)
	a.printChances(sk)
	fmt.Fprintf(a.out, "  %s\n", sk.drift.Sentence())
	who := "Your agreement with yourself"
	if sk.judge != "" {
		who = "Agreement of " + sk.judge + " with " + sk.judge
	}
	fmt.Fprintf(a.out, "  %s\n", sk.agreement.Sentence(who))
	a.printAgreement(s, sk)
	if len(sk.advice) == 0 {
		fmt.Fprintln(a.out, "  What to practise next: nothing that the marks, mistakes and sessions so far could carry.")
	} else {
		fmt.Fprintln(a.out, "  What to practise next:")
		for i, ad := range sk.advice {
			fmt.Fprintf(a.out, "    %d. %s: %s\n", i+1, ad.What, ad.Why)
		}
	}
	if len(sk.marks) == 0 {
		return
	}
	title := map[string]string{}
	for _, b := range s.Builds {
		title[b.ID] = b.Title
	}
	fmt.Fprintln(a.out)
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "build\tcriterion\tmean mark\t95 %\tmarks\tnot applicable")
	for _, m := range sk.marks {
		mean, span := m.Mean(), "–"
		if mean.Interval.OK {
			span = fmt.Sprintf("%.1f to %.1f", mean.Interval.Low, mean.Interval.High)
		}
		value := "–"
		if mean.OK {
			value = fmt.Sprintf("%.1f", mean.Value)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%d\t%d\n", m.Build, m.Name, value, span, mean.N, m.NotApplicable)
	}
	t.Flush()
}

// printAgreement says how judges agree on pairs both judged, and whose verdicts
// the chances rest on when they are not yours alone.
func (a *app) printAgreement(s *journal.State, sk skill) {
	for _, one := range sk.agreed {
		fmt.Fprintf(a.out, "  %s\n", one.Agreement.JudgesSentence(called(one.A)+" and "+one.B))
	}
	if all := s.Judges(); len(all) > 1 || len(all) == 1 && all[0] != "" {
		fmt.Fprintf(a.out, "  The chances rest on the verdicts of %s", named(sk.counted))
		if left := slices.DeleteFunc(all, func(j string) bool { return slices.Contains(sk.counted, j) }); len(left) > 0 {
			fmt.Fprintf(a.out, ", not of %s (--everybody takes all)", named(left))
		}
		fmt.Fprintln(a.out, ".")
	}
}

// printChances says a sentence for each earlier build and criterion with
// enough pairs, and how many are missing where there are too few.
func (a *app) printChances(sk skill) {
	said := false
	for c, r := range sk.rankings {
		what := "work"
		if c > 0 {
			what = journal.Criteria[c-1].Name
		}
		for _, e := range sk.earlier {
			ch := r.Chance(sk.build.ID, e.ID)
			if ch.OK || ch.N > 0 {
				fmt.Fprintf(a.out, "  %s\n", ch.Sentence(what, sk.build.Title, e.Title, sk.judges[c]))
				said = true
			}
		}
	}
	if !said {
		fmt.Fprintln(a.out, "  No blind pairs of this build and an earlier one yet, so nothing is said of better or worse.")
		return
	}
	if sk.twice > 0 {
		fmt.Fprintf(a.out, "  Of %s judged twice, %d got the same verdict again.\n", count(sk.twice, "pair"), sk.same)
	}
	if r := sk.rankings[0]; r.SideJudged && (r.SideInterval.Low > 0 || r.SideInterval.High < 0) {
		side := "left"
		if r.Side < 0 {
			side = "right"
		}
		fmt.Fprintf(a.out, "  The judges lean to the photo on the %s; the chances have that taken out.\n", side)
	}
}
