// This file judges all claims of change of a journal together: what of it may be
// said as change, and what is only shown with its range.

package journal

import (
	"slices"
	"strconv"
	"sync"

	"rakelight/journal/metrics"
)

// What a claim weighs beside the others. The first questions of a builder, am I
// faster and am I better, share most of the level between them, the first twice as
// much as the second, because few evenings show less than many pairs; the other wholes
// need more to be said. Our choice, by simulation.
const (
	weighsSpeed = 16
	weighsSkill = 8
	weighsRest  = 1
)

// leastShare is the share of a build's counted hours that a comparison must speak for
// to be claimed of the build.
const leastShare = 0.5

// Claims are the comparisons of a journal's latest build, each with Claimed set as
// the family of all claims lets it. Other builds have figures and no claims: what
// was once said of them was said when they were the latest.
type Claims struct {
	Build  *Build                        // the latest with counted bench time; nil = none, and then no speed
	Since  metrics.Comparison            // Build beside all builds before it together
	Before *Build                        // the build before it with counted bench time, nil = none
	Beside metrics.Comparison            // Build beside Before
	Kinds  map[string]metrics.Comparison // Since, in one kind of work each

	together Learned                  // the learning of Build, all kinds of work together
	learned  []Learned                // and by kind
	judged   Quality                  // of the latest build that was judged, without its advice; its Build is nil = none was
	tried    map[string]metrics.Tried // by trial
	made     map[claim]bool
}

// claim names a claim: what it is of, and of which part of that.
type claim struct {
	of   string // "speed", "learning", "skill", "eye", "mistakes", "trial", "weak"
	part string // kind of work, build, kind of mistake, id of a trial; "" = the whole
	more string // a part of the part
}

// reckoned keeps what rests on the whole of a state, and takes long. States that
// differ in nothing of that share one.
type reckoned struct {
	judge, replay sync.Once
	claims        Claims
	replays       []metrics.Replay
}

// numbers is what was reckoned of the state.
func (s *State) numbers() *reckoned {
	if s.reckoned == nil { // a state that no fold made
		s.reckoned = &reckoned{}
	}
	return s.reckoned
}

// Claims returns the journal's claims. They are reckoned when first asked for.
func (s *State) Claims() *Claims {
	kept := s.numbers()
	kept.judge.Do(func() { kept.claims = s.judgeClaims() })
	return &kept.claims
}

// judgeClaims makes every comparison that may end in words of change, and lets
// the family decide on all of them at once.
func (s *State) judgeClaims() Claims {
	var f family
	c := Claims{Build: s.LatestCounted(), Kinds: map[string]metrics.Comparison{},
		tried: map[string]metrics.Tried{}}
	if c.Build != nil {
		s.compareLatest(&c)
		f.speeds(&c)
		c.together, c.learned = s.learningTogether(c.Build), s.learnings(c.Build)
		f.learning(c.together, c.learned)
	}
	if b := s.LatestJudged(); b != nil {
		c.judged = s.quality(b, "")
		f.skill(c.judged)
	}
	f.slips(s.slips())
	f.weak(s.MarksOf(""))
	for _, t := range s.Trials {
		c.tried[t.ID] = s.try(t)
		f.trial(t.ID, c.tried[t.ID])
	}
	c.made = f.judge()
	c.settle()
	return c
}

// settle sets Claimed in what is kept.
func (c *Claims) settle() {
	c.together.Claimed = c.made[c.together.claim()]
	for i := range c.learned {
		c.learned[i].Claimed = c.made[c.learned[i].claim()]
	}
	for i := range c.judged.Rankings {
		c.judged.Rankings[i].made = c.made
	}
	for id, t := range c.tried {
		for i := range t.Kinds {
			t.Kinds[i].Comparison.Claimed = c.made[claim{"trial", id, t.Kinds[i].Kind}]
		}
		for i := range t.Marks {
			t.Marks[i].Gap.Claimed = c.made[claim{"trial", id, strconv.Itoa(t.Marks[i].Criterion)}]
		}
	}
	c.Since.Claimed = c.made[claim{of: "speed"}]
	c.Beside.Claimed = c.made[besideClaim(c.Before)]
	for kind, one := range c.Kinds {
		one.Claimed = c.made[claim{of: "speed", part: kind}]
		c.Kinds[kind] = one
	}
}

// compareLatest compares the latest build with those before it.
func (s *State) compareLatest(c *Claims) {
	for _, b := range s.Earlier(c.Build) {
		if s.counted(b) {
			c.Before = b
		}
	}
	if c.Before == nil {
		return
	}
	c.Since = s.since(c.Build)
	c.Beside = metrics.LikeForLike(s.Work(c.Before.ID), s.Work(c.Build.ID))
	c.Kinds = s.speedsOfKinds(c.Build)
}

// LatestCounted is the latest build with counted, timed sessions, nil when none has
// any.
func (s *State) LatestCounted() *Build {
	for _, b := range slices.Backward(s.Builds) {
		if s.counted(b) {
			return b
		}
	}
	return nil
}

func (s *State) counted(b *Build) bool {
	return slices.ContainsFunc(s.Work(b.ID), func(w metrics.Work) bool {
		return w.Counted && w.Hours > 0 && w.Known == Measured
	})
}

// LatestJudged is the latest build that was judged in blind pairs, nil when none
// was.
func (s *State) LatestJudged() *Build {
	pairs, _ := s.PairsOf(0)
	in := map[string]bool{}
	for _, p := range pairs {
		in[p.Left], in[p.Right] = true, true
	}
	for _, b := range slices.Backward(s.Builds) {
		if in[b.ID] {
			return b
		}
	}
	return nil
}

func besideClaim(b *Build) claim {
	if b == nil {
		return claim{}
	}
	return claim{"speed", "", b.ID}
}

// family collects the hypotheses.
type family struct {
	names []claim // by the number that is a Hypothesis' name
	all   []metrics.Hypothesis
}

func (f *family) hypothesis(c claim, of metrics.Claim, weight float64) metrics.Hypothesis {
	f.names = append(f.names, c)
	return metrics.Hypothesis{Name: strconv.Itoa(len(f.names) - 1), Tested: of.Tested, PValue: of.PValue,
		Weight: weight}
}

func (f *family) judge() map[claim]bool {
	made := map[claim]bool{}
	for name := range metrics.Family(metrics.FamilyLevel, f.all...) {
		at, _ := strconv.Atoi(name)
		made[f.names[at]] = true
	}
	return made
}

// speeds: faster than all before, and behind it than the build before, and in each
// kind of work.
func (f *family) speeds(c *Claims) {
	since := c.Since.Claim
	since.Tested = since.Tested && c.Since.Coverage >= leastShare
	whole := f.hypothesis(claim{of: "speed"}, since, weighsSpeed)
	if c.Before != nil && len(c.Kinds) > 0 {
		beside := c.Beside.Claim
		beside.Tested = beside.Tested && c.Beside.Coverage >= leastShare
		whole.Parts = append(whole.Parts, f.hypothesis(besideClaim(c.Before), beside, float64(len(c.Kinds))))
	}
	for _, kind := range Kinds {
		if one, ok := c.Kinds[kind]; ok {
			whole.Parts = append(whole.Parts, f.hypothesis(claim{of: "speed", part: kind}, one.Claim, 1))
		}
	}
	f.all = append(f.all, whole)
}

// learning: all kinds of work together, and behind it each of them.
func (f *family) learning(together Learned, of []Learned) {
	whole := f.hypothesis(together.claim(), together.Claim, weighsRest)
	for _, l := range of {
		whole.Parts = append(whole.Parts, f.hypothesis(l.claim(), l.Claim, 1))
	}
	f.all = append(f.all, whole)
}

func (l Learned) claim() claim { return claim{"learning", l.Kind, l.Build} }

// skill: better than those before it over all criteria, and behind it than each of
// them, and on each criterion.
func (f *family) skill(q Quality) {
	whole := f.hypothesis(standingClaim(0, q.Build.ID), q.Rankings[0].Standing(q.Build.ID).Claim, weighsSkill)
	for c, r := range q.Rankings[1:] {
		whole.Parts = append(whole.Parts, f.hypothesis(standingClaim(c+1, q.Build.ID), r.Standing(q.Build.ID).Claim, 1))
	}
	for i, e := range q.Earlier {
		weight := 1.0
		if i == len(q.Earlier)-1 {
			weight = float64(len(q.Rankings)) // the build before: asked for first
		}
		one := f.hypothesis(chanceClaim(0, q.Build.ID, e.ID), q.Rankings[0].Chance(q.Build.ID, e.ID).Claim, weight)
		for c, r := range q.Rankings[1:] {
			one.Parts = append(one.Parts, f.hypothesis(chanceClaim(c+1, q.Build.ID, e.ID),
				r.Chance(q.Build.ID, e.ID).Claim, 1))
		}
		whole.Parts = append(whole.Parts, one)
	}
	f.all = append(f.all, whole, f.hypothesis(claim{of: "eye"}, q.Drift.Claim, weighsRest))
}

func standingClaim(criterion int, build string) claim {
	return claim{"standing", strconv.Itoa(criterion), build}
}

// chanceClaim is the same whichever of the two is asked for first.
func chanceClaim(criterion int, a, b string) claim {
	return claim{"chance", strconv.Itoa(criterion), min(a, b) + "\x00" + max(a, b)}
}

// trial: each kind of work and each criterion with a tool on trial; together they
// weigh as one.
func (f *family) trial(id string, t metrics.Tried) {
	whole := f.hypothesis(claim{of: "trial", part: id}, metrics.Claim{}, weighsRest)
	for _, k := range t.Kinds {
		whole.Parts = append(whole.Parts, f.hypothesis(claim{"trial", id, k.Kind}, k.Comparison.Claim, 1))
	}
	for _, m := range t.Marks {
		whole.Parts = append(whole.Parts, f.hypothesis(claim{"trial", id, strconv.Itoa(m.Criterion)}, m.Gap.Claim, 1))
	}
	f.all = append(f.all, whole)
}

// slips: more mistakes, or fewer, than before, and behind it each kind.
func (f *family) slips(slips []metrics.Slips) {
	whole := f.hypothesis(claim{of: "mistakes"}, allSlips(slips).PerHundred().Claim, weighsRest)
	for _, one := range slips {
		whole.Parts = append(whole.Parts, f.hypothesis(claim{of: "mistakes", part: one.Kind},
			one.PerHundred().Claim, 1))
	}
	f.all = append(f.all, whole)
}

// weak: each criterion that stands apart from the others of the build of the last
// marks; together they weigh as one.
func (f *family) weak(marks []metrics.Marks) {
	if len(marks) == 0 {
		return
	}
	whole := f.hypothesis(claim{of: "weak"}, metrics.Claim{}, weighsRest)
	for criterion, gap := range metrics.Gaps(marks) {
		name := weakClaim(marks[len(marks)-1].Build, criterion)
		whole.Parts = append(whole.Parts, f.hypothesis(name, gap.Claim, 1))
	}
	f.all = append(f.all, whole)
}

func weakClaim(build string, criterion int) claim {
	return claim{"weak", build, strconv.Itoa(criterion)}
}
