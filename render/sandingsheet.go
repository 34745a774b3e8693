// The sanding plan of a build for print: the grits with their scale, from each fault
// to the finish by sort of surface, and columns to tick.

package render

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/caution"
	"rakelight/journal/sanding"
)

// SandingSheet is builds/<id>/sanding-plan.html.
type SandingSheet struct {
	Frame
	Head     PaperHead
	Untold   string // why the usual surfaces stand here, "" = the parts list tells the classes
	Others   string // classes no plan is for, "" = there are none
	Surfaces []SurfacePlan
	Hints    []string // what to mind on all of them
	Checks   []SandingCheck
	Given    []GivenPlan
	Grits    []GritColumn
	Rows     []GritRow
	Blank    Blank // rows for what is to be named
	Notes    Blank
	Care     string
	Deferral string
	Own      bool // some steps are the person's own
}

// SurfacePlan is the steps on one sort of surface.
type SurfacePlan struct {
	Title, Backing string // "Flat parts"; what holds the paper, "" = the steps say
	To             []FinishPlan
	Hints          []string
}

// FinishPlan is the steps to one finish.
type FinishPlan struct {
	Title string // "to be primed"
	Rows  []RemovePlan
}

// add adds a row; what is taken away by the steps of the row before stands in that.
func (f *FinishPlan) add(row RemovePlan) {
	n := len(f.Rows)
	if n > 0 && f.Rows[n-1].Own == row.Own && slices.Equal(f.Rows[n-1].Steps, row.Steps) {
		f.Rows[n-1].What += ", " + row.What
		return
	}
	f.Rows = append(f.Rows, row)
}

// RemovePlan is the steps that take one thing away.
type RemovePlan struct {
	What  string
	Own   bool
	Steps []SandStep
}

// SandStep is one step to tick.
type SandStep struct {
	Words string // "P400"; of a person's own with what holds the paper
	Wet   bool
}

// SandingCheck is how to see that a step has done its work.
type SandingCheck struct{ When, Words string }

// GivenPlan is the plan that some parts were given.
type GivenPlan struct {
	Parts     []Link
	Sub, What string
	Steps     []string
	Note      string
}

// GritColumn is a column to tick.
type GritColumn struct{ Grade, Grain string }

// GritRow is parts with a box for each grit that their surface is sanded with.
type GritRow struct {
	Name, Class string
	Boxes       []GritBox
}

// GritBox is a box to tick; ToDo says that the surface is sanded with the grade.
type GritBox struct {
	Grade string
	ToDo  bool
}

// The words of surfaces, finishes and faults on paper.
var (
	surfaceTitles = map[string]string{"flat": "Flat parts", "curved": "Curved parts", "small": "Small parts",
		"clear": "Clear parts", "resin": "Resin parts"}
	finishTitles = map[string]string{"primed": "to be primed", "bare-matte": "left bare, to a matte coat",
		"bare-gloss": "left bare, to a gloss"}
	removeTitles = map[string]string{"nub": "nub", "line": "mold line", "seam": "seam", "filler": "filler",
		"scratches": "scratches"}
)

// How many rows to tick a page holds, and how many of them are empty at least.
const (
	pageOfRows = 26
	fewRows    = 6
)

func (v *view) sandingSheet(b *build) SandingSheet {
	p := SandingSheet{Notes: lines(40), Deferral: caution.Deferral,
		Care: strings.TrimSpace(strings.TrimSuffix(v.CautionOf(b.Build, "clean"), caution.Deferral))}
	p.Frame, p.Head = v.paper(b, "Sanding plan")
	surfaces, others := surfacesOf(b)
	if len(surfaces) == 0 {
		surfaces = []string{"flat", "curved", "small"}
		p.Untold = "build.md tells no class of its parts, so these are the usual three."
	}
	if len(others) > 0 {
		p.Others = "No plan is made for parts of the class " + strings.Join(others, ", ") + "."
	}
	finishes := []string{"primed"}
	if b.Finish == "bare" {
		finishes = []string{"bare-matte", "bare-gloss"}
	}
	var steps []sanding.Step
	used := map[string][]string{} // surface → grades
	checks := sandingChecks{}
	for _, surface := range surfaces {
		one, all := v.surfacePlan(surface, finishes, &checks)
		for _, row := range one.To {
			for _, r := range row.Rows {
				p.Own = p.Own || r.Own
			}
		}
		for _, s := range all {
			used[surface] = append(used[surface], s.Grade())
		}
		steps = append(steps, all...)
		p.Surfaces = append(p.Surfaces, one)
	}
	p.Checks = checks.list
	p.Hints = sharedHints(p.Surfaces)
	if slices.ContainsFunc(steps, func(s sanding.Step) bool { return s.Grit == 0 }) {
		p.Hints = append(p.Hints, "Polish with a soft cloth.")
	}
	for _, plan := range v.SandingsOf(b.ID) {
		p.Given = append(p.Given, v.givenPlan(p.Root, b, plan))
		steps = append(steps, plan.Steps...)
	}
	p.Grits = gritColumns(steps)
	p.Rows = v.gritRows(b, p.Grits, used)
	p.Blank = lines(max(fewRows, pageOfRows-len(p.Rows)))
	return p
}

// surfacesOf are the sorts of surface of a build's parts, in the order in which they
// are told, and the classes that are none.
func surfacesOf(b *build) (surfaces, others []string) {
	all := map[string]bool{}
	for _, k := range b.Kits {
		for _, r := range k.Runners {
			all[r.Class] = true
			for _, c := range classesIn(r) {
				all[c] = true
			}
		}
	}
	for _, s := range sanding.Surfaces {
		if all[s] {
			surfaces = append(surfaces, s)
		}
		delete(all, s)
	}
	delete(all, "")
	for c := range all {
		others = append(others, c)
	}
	slices.Sort(others)
	return surfaces, others
}

// surfacePlan is the plans for a surface, and all their steps.
func (v *view) surfacePlan(surface string, finishes []string, checks *sandingChecks) (SurfacePlan, []sanding.Step) {
	one := SurfacePlan{Title: surfaceTitles[surface]}
	var all []sanding.Step
	own := v.Config.SandingPlans()
	for _, finish := range finishes {
		to := FinishPlan{Title: finishTitles[finish]}
		for _, remove := range sanding.Removes {
			plan := sanding.For(own, surface, finish, remove)
			row := RemovePlan{What: removeTitles[remove], Own: plan.Own}
			if !plan.Own && len(plan.Steps) > 0 {
				one.Backing = plan.Steps[0].Backing
			}
			for _, s := range plan.Steps {
				step := SandStep{Words: s.Grade(), Wet: s.Wet}
				if plan.Own {
					step = SandStep{Words: s.How()}
				}
				row.Steps = append(row.Steps, step)
			}
			checks.add(surface, finish, remove, plan)
			for _, hint := range plan.Hints {
				if !slices.Contains(one.Hints, hint) {
					one.Hints = append(one.Hints, hint)
				}
			}
			all = append(all, plan.Steps...)
			to.add(row)
		}
		one.To = append(one.To, to)
	}
	return one, all
}

// sharedHints takes from the surfaces what is to be minded on all of them, where there
// are several.
func sharedHints(surfaces []SurfacePlan) (shared []string) {
	if len(surfaces) == 0 {
		return nil
	}
	for _, hint := range surfaces[0].Hints {
		if !slices.ContainsFunc(surfaces, func(s SurfacePlan) bool { return !slices.Contains(s.Hints, hint) }) {
			shared = append(shared, hint)
		}
	}
	for i := range surfaces {
		surfaces[i].Hints = slices.DeleteFunc(surfaces[i].Hints,
			func(h string) bool { return slices.Contains(shared, h) })
	}
	return shared
}

// sandingChecks gathers the checks that end steps, each once.
type sandingChecks struct{ list []SandingCheck }

func (c *sandingChecks) add(surface, finish, remove string, plan sanding.Plan) {
	last := len(plan.Steps) - 1
	for i, s := range plan.Steps {
		when := "In between"
		switch {
		case i == last && surface == "clear":
			when = "Last, clear parts"
		case i == last:
			when = "Last, " + finishTitles[finish]
		case i == 0:
			when = "First, " + removeTitles[remove]
		}
		one := SandingCheck{when, s.Check}
		if s.Check != "" && !slices.Contains(c.list, one) {
			c.list = append(c.list, one)
		}
	}
	slices.SortStableFunc(c.list, func(a, b SandingCheck) int { return cmp.Compare(a.place(), b.place()) })
}

// place orders checks: of first steps, of those between, of last ones.
func (c SandingCheck) place() int {
	return slices.IndexFunc([]string{"First", "In between", "Last"},
		func(s string) bool { return strings.HasPrefix(c.When, s) })
}

func (v *view) givenPlan(root string, b *build, plan journal.SandingPlan) GivenPlan {
	one := GivenPlan{Parts: v.partLinks(root, b, plan.Parts), Sub: plan.Sub, Note: plan.Text,
		What: joinWords(", ", removeTitles[plan.Remove], plan.Surface, finishTitles[plan.Finish])}
	for _, s := range plan.Steps {
		one.Steps = append(one.Steps, s.String())
	}
	return one
}

// gritColumns are the grades of some steps, each once: the P grades from coarse to
// fine, then those of other scales as they come, the polish last.
func gritColumns(steps []sanding.Step) []GritColumn {
	var once []sanding.Step
	for _, s := range steps {
		if !slices.ContainsFunc(once, func(o sanding.Step) bool { return o.Grade() == s.Grade() }) {
			once = append(once, s)
		}
	}
	place := func(s sanding.Step) int {
		switch {
		case s.Grit == 0:
			return 2
		case s.Scale == "P":
			return 0
		}
		return 1
	}
	slices.SortStableFunc(once, func(a, b sanding.Step) int {
		if place(a) == 0 && place(b) == 0 {
			return a.Grit - b.Grit
		}
		return place(a) - place(b)
	})
	var out []GritColumn
	for _, s := range once {
		one := GritColumn{Grade: s.Grade()}
		if um, ok := s.Median(); ok {
			one.Grain = fmt.Sprintf("%.0f µm", um)
		}
		out = append(out, one)
	}
	return out
}

// gritRows are the sub-assemblies, then the runners: of a runner all grits of its
// surface have a box.
func (v *view) gritRows(b *build, grits []GritColumn, used map[string][]string) []GritRow {
	var out []GritRow
	add := func(name, class string, has func(grade string) bool) {
		row := GritRow{Name: name, Class: class}
		for _, g := range grits {
			row.Boxes = append(row.Boxes, GritBox{g.Grade, has(g.Grade)})
		}
		out = append(out, row)
	}
	for _, sub := range v.SubsOf(b.ID) {
		add(sub.Sub, "", func(string) bool { return true })
	}
	for i, k := range b.Kits {
		number := i + 1
		if len(b.Kits) == 1 {
			number = 0
		}
		for _, r := range k.Runners {
			classes := append(classesIn(r), r.Class)
			all := true // of a runner without a class that is known
			for _, c := range classes {
				all = all && used[c] == nil
			}
			name := journal.RunnerLedger{Kit: number, Letter: r.Letter}.Name()
			add("Runner "+name, r.Class, func(grade string) bool {
				return all || slices.ContainsFunc(classes,
					func(c string) bool { return slices.Contains(used[c], grade) })
			})
		}
	}
	return out
}
