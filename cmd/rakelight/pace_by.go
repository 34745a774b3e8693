// rakelight pace --by: the pace of each kind of work by class, tool, build or week.

package main

import (
	"fmt"
	"slices"
	"text/tabwriter"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// paceKeys are what a pace is told by: the groups a session stands in.
var paceKeys = map[string]func(metrics.Work) []string{
	"kind":  func(metrics.Work) []string { return []string{""} },
	"class": func(w metrics.Work) []string { return []string{orUnsaid(w.Class, noClass)} },
	"build": func(w metrics.Work) []string { return []string{w.Build} },
	"week":  func(w metrics.Work) []string { return []string{orUnsaid(w.Week, noWeek)} },
	"tool": func(w metrics.Work) []string {
		if len(w.Tools) == 0 {
			return []string{noTool}
		}
		return w.Tools
	},
}

// What a group is called that no session names.
const noTool, noClass, noWeek = "no tool named", "class not said", "week not known"

func orUnsaid(s, unsaid string) string {
	if s == "" {
		return unsaid
	}
	return s
}

// paced is the pace of one kind of work in one group, its time known in one way.
type paced struct {
	kind, key, known string
	metrics.Pace
}

// pacedBy returns the paces, in the order of kinds, then groups.
func pacedBy(ws []metrics.Work, by func(metrics.Work) []string) []paced {
	type group struct{ kind, key, known string }
	in := map[group][]metrics.Work{}
	var keys []string
	for _, w := range ws {
		if !w.Counted {
			continue
		}
		for _, key := range by(w) {
			in[group{w.Kind, key, w.Known}] = append(in[group{w.Kind, key, w.Known}], w)
			if !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
	}
	slices.Sort(keys)
	var out []paced
	for _, kind := range journal.Kinds {
		for _, key := range keys {
			for _, known := range []string{metrics.Measured, metrics.Estimated, metrics.Remembered} {
				if group := in[group{kind, key, known}]; len(group) > 0 {
					out = append(out, paced{kind, key, known, metrics.PaceOf(group)})
				}
			}
		}
	}
	return out
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
	paces := pacedBy(s.Work(id), keys)
	if as.table() {
		return as.write(a, byFacts(s, id, by, paces))
	}
	if len(paces) == 0 {
		fmt.Fprintln(a.out, "No session with a count yet.")
		return nil
	}
	name := func(p paced) string {
		if by == "tool" && p.key != noTool {
			return s.ToolName(p.key)
		}
		return p.key
	}
	for _, p := range paces {
		unit, _ := metrics.CountedKind(p.kind)
		label := journal.Title(p.kind)
		if key := name(p); key != "" {
			label += ", " + key
		}
		if p.known != metrics.Measured {
			label += ", " + p.known
		}
		fmt.Fprintln(a.out, p.Sentence(label, unit))
	}
	fmt.Fprintln(a.out)
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "stage\t%s\ttime\tsessions\thours\tdone\tan hour\t95 %% low\thigh\t\n", by)
	for _, p := range paces {
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%.1f\t%.0f\t", p.kind, orDash(name(p)), p.known, p.N, p.Hours, p.Parts)
		switch {
		case !p.OK:
			fmt.Fprint(t, "–\t–\t–\t\n")
		case !p.Interval.OK:
			fmt.Fprintf(t, "%.1f\t–\t–\t\n", p.PerHour)
		default:
			fmt.Fprintf(t, "%.1f\t%.1f\t%.1f\t\n", p.PerHour, p.Interval.Low, p.Interval.High)
		}
	}
	return t.Flush()
}

// byFacts are the paces as facts; a group nobody named has no name there.
func byFacts(s *journal.State, build, by string, paces []paced) []fact {
	var facts []fact
	for _, p := range paces {
		unit, _ := metrics.CountedKind(p.kind)
		one := fact{What: "pace", Build: build, Kind: p.kind, Known: p.known, Unit: unit + "/h", N: p.N, Parts: &p.Parts, Hours: &p.Hours, From: p.Sessions}
		switch {
		case by == "build":
			one.Build = p.key
		case by == "tool" && p.key != noTool:
			one.Tool = s.ToolName(p.key)
		case by == "class" && p.key != noClass:
			one.Class = p.key
		case by == "week" && p.key != noWeek:
			one.Week = p.key
		}
		facts = append(facts, one.value(p.OK, p.PerHour, p.Interval, p.Why))
	}
	return facts
}
