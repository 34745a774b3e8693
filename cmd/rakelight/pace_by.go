// rakelight pace --by: the pace of each kind of work by class, tool, build or week.

package main

import (
	"text/tabwriter"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// paceKeys are what a pace is told by: the groups a session stands in.
var paceKeys = map[string]func(metrics.Work) []string{
	"kind":  func(metrics.Work) []string { return []string{""} },
	"class": func(w metrics.Work) []string { return []string{orUnsaid(w.Class, noClass)} },
	"build": func(w metrics.Work) []string { return []string{w.Build} },
	"week":  func(w metrics.Work) []string { return []string{orUnsaid(w.Week, noWeek)} },
	"tool":  metrics.ByTool,
}

// What a group is called that no session names.
const noTool, noClass, noWeek = "no tool named", "class not said", "week not known"

func orUnsaid(s, unsaid string) string {
	if s == "" {
		return unsaid
	}
	return s
}

func (a *app) paceBy(s *journal.State, names []string, by string, as format) error {
	keys := paceKeys[by]
	if keys == nil {
		return &usageError{"--by is kind, class, tool, build or week"}
	}
	id := ""
	if len(names) == 1 {
		build, err := s.ResolveBuild(names[0])
		if err != nil {
			return err
		}
		id = build.ID
	}
	works := s.Work(id)
	if by == "class" {
		works = metrics.SplitMixed(works)
	}
	paces := metrics.PacesBy(works, journal.Kinds, keys)
	if as.table() {
		return as.write(a, byFacts(s, id, by, paces))
	}
	if len(paces) == 0 {
		a.println("No session with a count yet.")
		return nil
	}
	name := func(p metrics.Grouped) string {
		switch {
		case by == "tool" && p.Key == "":
			return noTool
		case by == "tool":
			return s.ToolName(p.Key)
		}
		return p.Key
	}
	for _, p := range paces {
		unit, _ := metrics.CountedKind(p.Kind)
		label := wording.KindName(p.Kind)
		if key := name(p); key != "" {
			label += ", " + key
		}
		if p.Known != metrics.Measured {
			label += ", " + p.Known
		}
		a.println(p.Sentence(label, unit).String())
	}
	a.printf("\n")
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fprintf(t, "stage\t%s\ttime\tsessions\thours\tdone\tan hour\t95 %% low\thigh\t\n", by)
	for _, p := range paces {
		fprintf(t, "%s\t%s\t%s\t%d\t%s\t%.0f\t", p.Kind, orDash(name(p)), p.Known, p.N,
			metrics.Tenths(p.Hours), p.Parts)
		switch {
		case !p.OK:
			fprintf(t, "–\t–\t–\t\n")
		case !p.Interval.OK:
			fprintf(t, "%.1f\t–\t–\t\n", p.PerHour)
		default:
			fprintf(t, "%.1f\t%.1f\t%.1f\t\n", p.PerHour, p.Interval.Low, p.Interval.High)
		}
	}
	return t.Flush()
}

// byFacts are the paces as facts; a group nobody named has no name there.
func byFacts(s *journal.State, build, by string, paces []metrics.Grouped) []fact {
	var facts []fact
	for _, p := range paces {
		unit, _ := metrics.CountedKind(p.Kind)
		one := fact{What: "pace", Build: build, Kind: p.Kind, Known: p.Known, Unit: unit + "/h", N: p.N,
			Parts: &p.Parts, Hours: &p.Hours, From: p.Sessions}
		switch {
		case by == "build":
			one.Build = p.Key
		case by == "tool" && p.Key != "":
			one.Tool = s.ToolName(p.Key)
		case by == "class" && p.Key != noClass:
			one.Class = p.Key
		case by == "week" && p.Key != noWeek:
			one.Week = p.Key
		}
		facts = append(facts, one.value(p.OK, p.PerHour, p.Interval, p.Why.String()))
	}
	return facts
}
