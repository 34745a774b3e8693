// Package sanding knows how kit parts are sanded: grits with the scale their number
// is of, the published grain sizes, and which steps lead to which finish.
//
// Start with For, which gives the plan for a surface, a finish and what is to be
// removed, and with Step, one of its steps. The default steps are common practice,
// no source; a person may put own ones in their place. A grit is never converted
// from one scale to another: the same number means other grains there. The package
// knows no journal, reads no file and never says what a person has to wear.
package sanding

// What a plan is for: the surface, what the plastic ends as, what is to be removed.
var (
	Surfaces = []string{"flat", "curved", "small", "clear", "resin"}
	Finishes = []string{"primed", "bare-matte", "bare-gloss"}
	Removes  = []string{"nub", "line", "seam", "filler", "scratches"}
)

// Plan is the steps for a surface, a finish and what is to be removed.
type Plan struct {
	Surface string   // one of Surfaces; of a person's own plan "" = any
	Finish  string   // one of Finishes; likewise
	Remove  string   // one of Removes; likewise
	Steps   []Step   // in their order, coarse to fine
	Own     bool     // the person's, else the default: common practice, no source
	Hints   []string // what to mind all along, a sentence each
}

// For is the plan for a surface, a finish and what is to be removed, each one of
// the words above. Of a person's own plans the one that names most of the three
// counts, of several such the last; without any the default. Words it does not know
// have no default: a plan without steps.
func For(own []Plan, surface, finish, remove string) Plan {
	plan := Plan{Surface: surface, Finish: finish, Remove: remove, Hints: hints(surface, finish, remove)}
	best := -1
	for _, p := range own {
		if n := p.names(surface, finish, remove); n >= best && n >= 0 {
			best, plan.Steps, plan.Own = n, p.Steps, true
		}
	}
	if !plan.Own {
		plan.Steps = defaults(surface, finish, remove)
	}
	return plan
}

// names is how many of the three a person's plan names, -1 where it is for others.
func (p Plan) names(surface, finish, remove string) int {
	n := 0
	for _, one := range [][2]string{{p.Surface, surface}, {p.Finish, finish}, {p.Remove, remove}} {
		switch one[0] {
		case "":
		case one[1]:
			n++
		default:
			return -1
		}
	}
	return n
}
