// What can be said from the pages: which fields make which requests of the door.

package past

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/phrase"
	"rakelight/journal/plan"
	"rakelight/journal/wording"
)

// toSay is what the fields make.
type toSay struct {
	requests []entry.Request
	draft    *journal.Draft // a build that is begun, nil = none
	words    string         // what is answered
}

// saying turns fields into what is said; value is that of the button.
type saying func(a *asking, s said, value string) (toSay, error)

// sayings are all that can be said, by name.
var sayings map[string]saying

func init() {
	sayings = map[string]saying{"name": name, "build": toBuild, "stage": stage, "role": role, "ends": stageEnds,
		"date": date, "out": leaveOut, "outall": leaveOut, "outevening": leaveOut, "in": takeIn, "inevening": takeIn,
		"inall": takeIn, "clock": clock, "enter": enter, "fate": fate}
}

// enter is what the Enter key says in a field: what stands in it.
func enter(a *asking, s said, _ string) (toSay, error) {
	switch {
	case s.text("when") != "":
		return date(a, s, "")
	case s.text("title") != "":
		return name(a, s, "")
	}
	return toSay{}, refusal("nothing is said: nothing was written", "choose what to say")
}

func stageName(st journal.Stage) string { return wording.StageName(st) }

// laidOut are the pictures of the groups that the page shows.
func (a *asking) laidOut(s said) (all []*picture) {
	for _, id := range strings.Split(s.text("of"), ",") {
		if g := a.named(id); g != nil {
			all = append(all, g.pictures...)
		}
	}
	slices.SortStableFunc(all, func(x, y *picture) int { return x.At.Compare(y.At) })
	return all
}

// chosen are the pictures that were chosen, one by one or with their evening.
func (a *asking) chosen(s said) []*picture {
	of := map[string]bool{}
	for _, id := range s.Values["p"] {
		for _, one := range strings.Split(id, ",") {
			of[one] = true
		}
	}
	if len(s.Values["e"]) > 0 {
		for _, row := range a.evenings(a.laidOut(s)) {
			for _, c := range row.Cells {
				of[c.ID] = of[c.ID] || slices.Contains(s.Values["e"], row.ID)
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(a.pictures), func(p *picture) bool { return !of[p.id()] })
}

// meant are the pictures that were chosen, without any all that are laid out; those
// that were left out are not among them.
func (a *asking) meant(s said) ([]*picture, error) {
	all := a.chosen(s)
	if len(all) == 0 {
		all = a.laidOut(s)
	}
	return ofTheBench(all)
}

func ofTheBench(all []*picture) ([]*picture, error) {
	in := slices.DeleteFunc(slices.Clone(all), (*picture).Out)
	if len(in) == 0 && len(all) > 0 {
		return nil, refusal("these are left out: nothing was written", "bring them back first")
	}
	if len(in) == 0 {
		return nil, errNoneChosen
	}
	return in, nil
}

var errNoneChosen = refusal("no picture is chosen: nothing was written",
	"choose one, or the first and the last of several")

func hashes(all []*picture) []string {
	var list []string
	for _, p := range all {
		list = append(list, p.Hash)
	}
	return list
}

// number is how many pictures are hit, and which.
func (a *asking) number(all []*picture) string {
	return count(len(all), "picture") + a.which(hashes(all))
}

// name begins a build for pictures, or takes the one that bears the title.
func name(a *asking, s said, _ string) (toSay, error) {
	title := strings.Join(strings.Fields(s.text("title")), " ")
	if title == "" {
		return toSay{}, refusal("the build has no title: nothing was written", "write what you call it")
	}
	for _, b := range a.state.Builds {
		if strings.EqualFold(b.Title, title) || b.ID == title {
			return toBuild(a, s, b.ID)
		}
	}
	all, err := a.meant(s)
	if err != nil {
		return toSay{}, err
	}
	id := plan.BuildName(title)
	if id == "" {
		return toSay{}, refusal("no name for a folder can be made of this title: nothing was written",
			"write it with a letter from a to z or a digit")
	}
	free := id
	for n := 2; a.state.Build(free) != nil; n++ {
		free = fmt.Sprintf("%s-%d", id, n)
	}
	return toSay{[]entry.Request{entry.Past{Photos: hashes(all), Build: free}}, &journal.Draft{ID: free, Title: title},
		title + ": " + a.number(all)}, nil
}

// toBuild says that pictures are of a build that is there.
func toBuild(a *asking, s said, id string) (toSay, error) {
	if id == "" {
		id = s.text("build")
	}
	b := a.state.Build(id)
	if b == nil {
		return toSay{}, refusal("no build is chosen: nothing was written", "choose one, or write a title")
	}
	all, err := a.meant(s)
	if other := s.text("and"); other != "" { // all of a group beside
		if g := a.named(other); g != nil {
			all, err = ofTheBench(g.pictures)
		}
	}
	if err != nil {
		return toSay{}, err
	}
	return toSay{requests: []entry.Request{entry.Past{Photos: hashes(all), Build: b.ID}},
		words: b.Title + ": " + a.number(all)}, nil
}

// stage gives the chosen pictures a stage of their build; with none chosen it fills
// those that have none, and overwrites nothing.
func stage(a *asking, s said, id string) (toSay, error) {
	all, err := a.meant(s)
	if err != nil {
		return toSay{}, err
	}
	filled := ""
	if len(a.chosen(s)) == 0 {
		all = slices.DeleteFunc(all, func(p *picture) bool { return p.tags.Stage != "" })
		if len(all) == 0 {
			return toSay{}, refusal("nothing is chosen, and each picture has its stage: nothing was written",
				"choose the first and the last of those that are to change")
		}
		filled = " without a stage"
	}
	b := a.of[all[0]].build
	if b == nil {
		return toSay{}, refusal("these are of no build yet: nothing was written", "name the build first")
	}
	words := id
	if st := b.Stage(id); st != nil {
		words = stageName(*st)
	}
	return toSay{requests: []entry.Request{entry.Past{Photos: hashes(all), Stage: id}},
		words: words + ": " + count(len(all), "picture") + filled + a.which(hashes(all))}, nil
}

// role marks pictures as before, after, finished or as nothing.
func role(a *asking, s said, id string) (toSay, error) {
	all, err := ofTheBench(a.chosen(s))
	if err != nil {
		return toSay{}, err
	}
	said, words := entry.Past{Photos: hashes(all), Role: id}, id
	if id == "" {
		said.Clear, words = []string{"role"}, "no mark"
	}
	return toSay{requests: []entry.Request{said},
		words: journal.Capital(words) + ": " + a.number(all)}, nil
}

// stageEnds marks the first picture of each stage before and the last after, where
// nothing was said of them; with "finished" the very last is marked so instead.
func stageEnds(a *asking, s said, with string) (toSay, error) {
	first, last := map[string]*picture{}, map[string]*picture{}
	var stages []string
	var finished *picture
	for _, p := range a.laidOut(s) {
		st := p.tags.Stage
		if p.Out() {
			continue
		}
		if with == "finished" {
			finished = p
		}
		if st == "" {
			continue
		}
		if first[st] == nil {
			first[st], stages = p, append(stages, st)
		}
		last[st] = p
	}
	var before, after []*picture
	for _, st := range stages {
		if first[st] != last[st] && first[st].tags.Role == "" {
			before = append(before, first[st])
		}
		if last[st].tags.Role == "" && last[st] != finished {
			after = append(after, last[st])
		}
	}
	var t toSay
	if len(before) > 0 {
		t.requests = append(t.requests, entry.Past{Photos: hashes(before), Role: "before"})
	}
	if len(after) > 0 {
		t.requests = append(t.requests, entry.Past{Photos: hashes(after), Role: "after"})
	}
	if finished != nil && finished.tags.Role != "finished" {
		t.requests = append(t.requests, entry.Past{Photos: hashes([]*picture{finished}), Role: "finished"})
		t.words = "finished: the last picture, "
	}
	if len(t.requests) == 0 {
		return t, refusal("no stage has a first or last picture without a mark: nothing was written", "give the stages first")
	}
	t.words = journal.Capital(t.words + "before: " + count(len(before), "picture") + ", after: " +
		count(len(after), "picture"))
	return t, nil
}

// date says when pictures were taken, as well as it is known.
func date(a *asking, s said, _ string) (toSay, error) {
	all, err := ofTheBench(a.chosen(s))
	if err != nil {
		return toSay{}, err
	}
	when := s.text("when")
	day, err := phrase.ParseDay(when, a.Now().In(a.state.Zone))
	if err != nil {
		return toSay{}, refusal(fmt.Sprintf("%q says no day: nothing was written", when),
			"write a day, a month, a season or a year: 2019-03-14, March 2019, spring 2019, 2019")
	}
	said := entry.Past{Photos: hashes(all), First: day.First.Format(time.DateOnly),
		Last: day.Last.Format(time.DateOnly)}
	if !day.Exact() {
		if said.Said = day.Said; len(day.Said) == len("2006-01") && day.Said[4] == '-' {
			said.Said = day.First.Format("January 2006")
		}
	}
	words := said.Said
	if words == "" {
		words = day.First.Format("January 2, 2006")
	}
	return toSay{requests: []entry.Request{said},
		words: journal.Capital(words) + ": " + a.number(all)}, nil
}

// leaveOut leaves out pictures, an evening of them, or all that are laid out.
func leaveOut(a *asking, s said, of string) (toSay, error) {
	var all []*picture
	switch what, _ := s.what(); what {
	case "outall":
		all = a.laidOut(s)
	case "outevening":
		all = a.inEvening(s, of)
	default:
		all = a.chosen(s)
		if of != "" {
			all = a.pick([]string{of})
		}
	}
	if len(all) == 0 {
		return toSay{}, errNoneChosen
	}
	in := slices.DeleteFunc(slices.Clone(all), func(p *picture) bool { return p.Kept })
	if len(in) == 0 {
		return toSay{}, a.isKept(all)
	}
	words := "Left out: " + a.number(in)
	if n := len(all) - len(in); n > 0 {
		words += "; " + count(n, "picture") + " in the journal already, not left out"
	}
	yes := true
	return toSay{requests: []entry.Request{entry.Past{Photos: hashes(in), Out: &yes}}, words: words}, nil
}

// isKept refuses to leave out pictures that are all in the journal, and says what keeps
// them from others.
func (a *asking) isKept(all []*picture) error {
	names, what := all[0].Short(), "it"
	if len(all) > 1 {
		names, what = "PHOTO…", "them"
	}
	return refusal("in the journal already: "+a.number(all)+
		". Left out is only what was not brought in: nothing was written",
		journal.Typed("rakelight private %s", names)+" keeps "+what+" from the pages for others")
}

// inEvening are the pictures of an evening that are laid out.
func (a *asking) inEvening(s said, id string) []*picture {
	return a.chosen(said{map[string][]string{"e": {id}, "of": s.Values["of"]}})
}

// takeIn says that pictures are of the bench after all.
func takeIn(a *asking, s said, of string) (toSay, error) {
	all := a.chosen(s)
	switch what, _ := s.what(); {
	case what == "inall":
		all = a.laidOut(s)
	case what == "inevening":
		all = a.inEvening(s, of)
	case of != "":
		all = a.pick([]string{of})
	}
	if len(all) == 0 {
		return toSay{}, errNoneChosen
	}
	no := false
	return toSay{requests: []entry.Request{entry.Past{Photos: hashes(all), Out: &no}},
		words: "Of the bench: " + a.number(all)}, nil
}

// clock accepts how far a camera's clock is guessed to have been wrong.
func clock(a *asking, s said, _ string) (toSay, error) {
	for _, c := range a.survey.Clocks {
		one := clockOf(c)
		if one.Model != s.text("model") || one.Make != s.text("make") || one.Serial != s.text("serial") ||
			one.Fast != s.text("fast") {
			continue
		}
		return toSay{requests: []entry.Request{entry.Clock{Of: c.Camera, Fast: c.Fast, From: c.From, To: c.To}},
			words: "The clock of " + one.Camera + " is corrected"}, nil
	}
	return toSay{}, refusal("this is not proposed any more: nothing was written", "load the page again")
}
