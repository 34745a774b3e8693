// What was done on a day or in a week, in sentences.

package render

import (
	"strings"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// Done is what was done on a build.
type Done struct {
	Tag   Tag
	Words string // "Cleanup: 12 parts in 1.2 h (A1-A12). Seams: 3 joins in 40 min."
}

// timed are sessions as work: those that run still, or whose length is in doubt,
// are in no number.
func timed(sessions []*journal.Session) []metrics.Work {
	var out []metrics.Work
	for _, s := range sessions {
		if !benchSession(s) {
			continue
		}
		out = append(out, metrics.Work{Session: s.ID, Build: s.Build, Kind: s.Kind, Hours: s.Hours(), Known: s.Known,
			Parts: float64(s.Done()), Counted: s.Counted})
	}
	return out
}

// timeTold says the hours of some work, and how they are known where a timer did
// not measure all of them; "" where there are none.
func (in voice) timeTold(ws []metrics.Work) string {
	sums := metrics.Hours(ws, func(metrics.Work) string { return "" })
	if len(sums) == 0 {
		return ""
	}
	s, total := sums[0], in.benchTime(ws)
	parts, how := make([]string, 0, 3), say.Key("")
	for _, one := range []struct {
		h   float64
		how string
	}{{s.Measured, journal.Measured}, {s.Remembered, journal.Remembered}, {s.Estimated, journal.Estimated}} {
		if one.h > 0 {
			how = knownHours[one.how]
			parts = append(parts, in.Say(how, in.inHours(one.h)))
		}
	}
	switch {
	case len(parts) == 0 && total == in.Say("under 1 min"), s.Measured > 0 && len(parts) == 1:
		return total
	case len(parts) == 0:
		return ""
	case len(parts) == 1:
		return in.Say(how, total)
	}
	return total + " (" + strings.Join(parts, ", ") + ")"
}

// knownHours say how hours are known.
var knownHours = map[string]say.Key{journal.Measured: "%s measured", journal.Remembered: "%s remembered",
	journal.Estimated: "%s estimated"}

// doneOf says what some sessions did, build by build in the order of the first of
// each.
func (v *view) doneOf(root string, sessions []*journal.Session) []Done {
	var out []Done
	var builds []string
	by := map[string][]*journal.Session{}
	for _, s := range sessions {
		if by[s.Build] == nil {
			builds = append(builds, s.Build)
		}
		by[s.Build] = append(by[s.Build], s)
	}
	for _, id := range builds {
		if words := v.doneWords(v.builds[id], by[id]); words != "" {
			out = append(out, Done{Tag: v.builds[id].tag(root), Words: words})
		}
	}
	return out
}

// doneWords say what some sessions of a build did, stage by stage.
func (in voice) doneWords(b *build, sessions []*journal.Session) string {
	var stages []string
	by := map[string][]*journal.Session{}
	for _, s := range sessions {
		if by[s.Stage] == nil {
			stages = append(stages, s.Stage)
		}
		by[s.Stage] = append(by[s.Stage], s)
	}
	var said []string
	for _, id := range stages {
		title := in.kindTitle(by[id][0].Kind)
		if st := b.Stage(id); st != nil {
			title = in.stageTitle(st)
		}
		n, parts := in.counted(by[id])
		words := n
		if t := in.timeTold(timed(by[id])); t != "" {
			words = t
			if n != "" {
				words = in.Say("%s in %s", n, t)
			}
		}
		if parts != "" {
			words += " (" + parts + ")"
		}
		said = append(said, joinWords(": ", title, words)+".")
	}
	return strings.Join(said, " ")
}

// counted says how many some sessions of a stage did, "" where nobody counted, and
// which parts were named.
func (in voice) counted(sessions []*journal.Session) (number, parts string) {
	n, said := 0, false
	var refs []journal.PartRef
	for _, s := range sessions {
		if s.Open || s.Doubt.Any() {
			continue
		}
		if _, ok := metrics.CountedKind(s.Kind); ok && s.Counted {
			n, said = n+s.Done(), true
			refs = append(refs, s.Parts...)
		}
	}
	if !said || n <= 0 {
		return "", ""
	}
	return in.count(n, say.Noun(unit(sessions[0].Kind))), in.partsTold(refs)
}

// longList is how long a list of parts may be to be read, in letters: of a longer
// one the runners are named.
const longList = 48

func (in voice) partsTold(refs []journal.PartRef) string {
	words := strings.ReplaceAll(journal.Ranges(refs), ",", ", ")
	if len(words) <= longList {
		return words
	}
	var runners []string
	seen := map[string]bool{}
	for _, r := range refs {
		if !seen[r.Runner] {
			seen[r.Runner] = true
			runners = append(runners, r.Runner)
		}
	}
	if len(runners) == 1 {
		return in.Say("runner %s", runners[0])
	}
	return in.Say("runners %s", in.List(runners))
}

// doneAs says what so many done of a kind of work are, with their number. Of what is
// done to parts, the word for parts stands once: bare goes without it.
var doneAs = map[string]struct{ words, bare say.Noun }{
	"cut":      {"part cut off", "done¦cut off"},
	"clean":    {"part cleaned up", "done¦cleaned up"},
	"dry-fit":  {"part dry fitted", "done¦dry fitted"},
	"assemble": {"part assembled", "done¦assembled"},
	"seam":     {"join at the seams", ""},
	"prime":    {"coat of primer", ""},
	"paint":    {"coat of paint", ""},
	"detail":   {"painted detail", ""},
	"gloss":    {"gloss coat", ""},
	"decal":    {"decal", ""},
	"top-coat": {"top coat", ""},
}

// countsOf are what a span of sessions did, in the order of the trade: "58 parts cut
// off", "40 cleaned up", "3 joins at the seams". The word parts stands once.
func (in voice) countsOf(sessions []*journal.Session) []string {
	by := map[string]int{}
	for _, w := range timed(sessions) {
		if _, ok := metrics.CountedKind(w.Kind); ok && w.Counted {
			by[w.Kind] += int(w.Parts)
		}
	}
	var out []string
	parts := false
	for _, kind := range journal.Kinds {
		n, as := by[kind], doneAs[kind]
		if n <= 0 {
			continue
		}
		noun := as.words
		if as.bare != "" {
			if parts {
				noun = as.bare
			}
			parts = true
		}
		out = append(out, in.count(n, noun))
	}
	return out
}
