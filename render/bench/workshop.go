// What the work is done with: sub-assemblies, mixes, additions, the plan by which a
// part is sanded, and the lists of the build.

package bench

import (
	"slices"
	"strconv"
	"strings"

	"rakelight/journal"
	"rakelight/journal/sanding"
)

// subPage names a group of parts by tapping them.
type subPage struct {
	Build, Title string
	Subs         []subLine
	HoldChoices  []choice
	Runners      []subRunner // with all their parts, so that what is ticked on one stays ticked
}

// subRunner is a runner with the parts that may be chosen.
type subRunner struct {
	Name    string
	Squares []square
}

// subLine is a sub-assembly that is there, and what holds it.
type subLine struct {
	Name, Parts string
	Holds       []held
}

func sub(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := subPage{Build: b.ID, Title: b.Title, HoldChoices: holds}
	for _, s := range a.SubsOf(b.ID) {
		line := subLine{Name: s.Sub, Parts: journal.Ranges(s.Parts)}
		for _, h := range a.HoldsOf(b.ID) {
			if h.Names(nil, s.Sub) {
				line.Holds = append(line.Holds, held{a.HeldSince(h), h.Record, overs[h.Is]})
			}
		}
		page.Subs = append(page.Subs, line)
	}
	for _, r := range a.Ledger(b) {
		one := subRunner{Name: r.Name()}
		for _, p := range r.Parts {
			if p.Use != journal.NotUsed {
				one.Squares = append(one.Squares, square{Number: p.Ref.Number, Ref: p.Ref.Key()})
			}
		}
		if len(one.Squares) > 0 {
			page.Runners = append(page.Runners, one)
		}
	}
	return page, nil
}

// mixPage lists the paints of a build as they were mixed, and takes another.
type mixPage struct {
	Build, Title string
	Mixes        []string
}

func mix(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := mixPage{Build: b.ID, Title: b.Title}
	for _, m := range slices.Backward(a.MixesOf(b.ID)) {
		page.Mixes = append(page.Mixes, mixWords(m))
	}
	return page, nil
}

// mixWords is a mix in a line: "hull red: 3 red, 1 white, 2 thinner; 2 coats".
func mixWords(m journal.Mix) string {
	var recipe []string
	for _, p := range m.Recipe {
		recipe = append(recipe, strconv.FormatFloat(p.Parts, 'g', -1, 64)+" "+p.What)
	}
	coats := ""
	if m.Coats > 0 {
		coats = countOf(m.Coats, "coat")
	}
	return joined("; ", joined(": ", m.Name, strings.Join(recipe, ", ")), coats, m.Batch,
		joined(", ", journal.Ranges(m.Parts), m.Sub), m.Text)
}

// additionPage lists what is not from the box, and takes more.
type additionPage struct {
	Build, Title string
	Additions    []string
}

func addition(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := additionPage{Build: b.ID, Title: b.Title}
	for _, one := range slices.Backward(a.AdditionsOf(b.ID)) {
		page.Additions = append(page.Additions,
			journal.Capital(joined(", ", joined(": ", one.Kind, one.Text), one.Where, journal.Ranges(one.Parts))))
	}
	return page, nil
}

// sandingPage chooses by what plan a part is sanded.
type sandingPage struct {
	Build, Title, Part          string
	Surfaces, Finishes, Removes []choice
	Surface, Finish             string // as far as the build tells
}

func sandingOf(a *asking) (any, error) {
	b, ref, err := a.partAsked()
	if err != nil {
		return nil, err
	}
	page := sandingPage{Build: b.ID, Title: b.Title, Part: ref.Key(), Surface: b.ClassOf(ref), Finish: "primed",
		Surfaces: wordChoices(sanding.Surfaces), Finishes: wordChoices(sanding.Finishes),
		Removes: wordChoices(sanding.Removes)}
	if !slices.Contains(sanding.Surfaces, page.Surface) {
		page.Surface = sanding.Surfaces[0]
	}
	return page, nil
}

func wordChoices(words []string) []choice {
	var all []choice
	for _, w := range words {
		all = append(all, choice{journal.Title(w), w})
	}
	return all
}

// sandingSteps are the steps of the plan a part was given, a line each; "" = none was.
func (a *asking) sandingSteps(build string, ref journal.PartRef) (title string, steps []string) {
	p, ok := a.SandingOf(build, ref)
	if !ok {
		return "", nil
	}
	for _, s := range p.Steps {
		steps = append(steps, s.String())
	}
	return joined(", ", p.Surface, strings.ReplaceAll(p.Finish, "-", " "), p.Remove), steps
}

// tasksPage is the lists of a build.
type tasksPage struct {
	Build, Title string
	Lists        []taskList
}

type taskList struct {
	Section string
	Items   []journal.CheckItem
}

// tasks makes the page of the lists that are not of supplies: those have their own.
func tasks(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := tasksPage{Build: b.ID, Title: b.Title}
	supplies := a.SuppliesOf(b)
	for _, item := range b.Checklist {
		if slices.ContainsFunc(supplies, func(s journal.Supply) bool { return s.Section == item.Section }) {
			continue
		}
		if n := len(page.Lists); n == 0 || page.Lists[n-1].Section != item.Section {
			page.Lists = append(page.Lists, taskList{Section: item.Section})
		}
		list := &page.Lists[len(page.Lists)-1]
		list.Items = append(list.Items, item)
	}
	return page, nil
}
