// What the invented builds were worked with: paints as they were mixed, what was not
// from the box, and a few sanding plans.

package demo

import (
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// worked is something said at the end of the first evening of a stage of a build.
type worked struct {
	build, stage string
	say          func(build string, at time.Time) entry.Request
}

// mixed is a paint as it was mixed.
func mixed(m entry.Mix) func(string, time.Time) entry.Request {
	return func(build string, at time.Time) entry.Request {
		m.Build, m.At = build, at
		return m
	}
}

// added is something beyond the box, or a reference.
func added(a entry.Addition) func(string, time.Time) entry.Request {
	return func(build string, at time.Time) entry.Request {
		a.Build, a.At = build, at
		return a
	}
}

// sanded is the plan that parts were given.
func sanded(p entry.SandingPlan) func(string, time.Time) entry.Request {
	return func(build string, at time.Time) entry.Request {
		p.Build, p.At = build, at
		return p
	}
}

var workedWith = []worked{
	{"lorry", "paint", mixed(entry.Mix{Name: "lorry green", Recipe: "2 green, 1 brown, 1 thinner", Coats: 2})},
	{"seaplane", "clean", sanded(entry.SandingPlan{Parts: "C1-C6", Remove: "line"})},
	{"seaplane", "clean", sanded(entry.SandingPlan{Parts: "D1-D5", Remove: "nub",
		Text: "only where the gate shows in the window"})},
	{"seaplane", "paint", mixed(entry.Mix{Name: "mail cream", Recipe: "6 white, 1 yellow, 3 thinner", Coats: 3,
		Parts: "A1-A6", Text: "thin coats; P2000 wet before the last"})},
	{"seaplane", "line", added(entry.Addition{Text: "fishing line for the rigging",
		Where: "between the wing struts"})},
	{"pilot-boat", "clean", added(entry.Addition{Kind: "reference",
		Text: "drawing of the rails, from the harbor office", Where: "folder at the bench"})},
	{"pilot-boat", "clean", sanded(entry.SandingPlan{Parts: "A1,A2", Remove: "nub",
		Steps: "P400 on hard block: drag a thumbnail across; P600 on hard block; P1000 on sponge, wet: nothing shows",
		Text:  "dark green hides nothing"})},
	{"pilot-boat", "paint", mixed(entry.Mix{Name: "hull green", Recipe: "5 dark green, 1 black, 2 thinner",
		Coats: 2, Parts: "A1,A2", Batch: "jar of February"})},
	{"pilot-boat", "detail", added(entry.Addition{Text: "0.3 mm wire for the rails",
		Where: "foredeck and wheelhouse roof"})},
	{"lightship", "paint", mixed(entry.Mix{Name: "lightship red", Recipe: "3 signal red, 1 orange, 2 thinner",
		Coats: 2, Text: "kept in a closed jar for touching up"})},
}

// tellWork says what the builds were worked with, each on the evening it belongs to.
func tellWork(j *journal.Journal) error {
	var said []entry.Request
	for _, one := range workedWith {
		all := j.State.SessionsOf(one.build)
		i := slices.IndexFunc(all, func(s *journal.Session) bool { return s.Stage == one.stage && !s.End.IsZero() })
		if i >= 0 {
			said = append(said, one.say(one.build, all[i].End))
		}
	}
	if _, err := entry.DoAll(j, said...); err != nil {
		return toldBy(err)
	}
	return nil
}
