// A simulated person and the journal of that person: a whole folder, as years at
// the bench would leave it. What is true of the person is known here, so that
// tests can ask how often the pages and commands claim what is not.

package main

import (
	"crypto/sha256"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"rakelight/journal"
)

// person is what is true of somebody at the bench. The sizes of the scatter are
// our choice, for want of a published study of hobby evenings.
type person struct {
	seed       uint64
	builds     int     // at most those of simulatedBuilds
	evenings   int     // at the bench, a build
	classes    int     // of parts, at most those of simulatedClasses
	gain       float64 // of the latest build, in every stage: 0.25 does a quarter more an hour
	kits       float64 // log-sd of how hard the builds are
	moods      float64 // log-sd of the evenings, shared by the sessions of one
	follow     float64 // correlation of an evening with the one before
	scatter    float64 // log-sd of the sessions
	remembered float64 // share of sessions whose time was typed later
	uncounted  float64 // share of sessions of which no parts were said
	idle       float64 // share of sessions in which nothing got done
	photos     int     // of results, a build
	pairs      int     // judged blind, over all builds
	repeated   float64 // share of them judged once more
	effects    float64 // sd of the photos' own luck, in log odds
}

// usual is somebody in whom nothing changes.
func usual(seed uint64) person {
	return person{seed: seed, builds: 4, evenings: 12, classes: 4, moods: 0.2, follow: 0.3, scatter: 0.25, remembered: 0.06,
		uncounted: 0.08, idle: 0.03, photos: 12, pairs: 120, repeated: 0.1, effects: 0.8}
}

// simulatedNow is when the simulated journals are looked at.
var simulatedNow = time.Date(2026, 11, 22, 21, 0, 0, 0, time.UTC)

var simulatedBuilds = []struct{ id, title, scale string }{
	{"lorry", "Field-kitchen lorry", "1/35"},
	{"pilot-boat", "Pilot boat", "1/48"},
	{"seaplane", "Mail seaplane", "1/72"},
	{"lightship", "Lightship diorama", "1/350"},
	{"second-lorry", "Second field-kitchen lorry", "1/35"},
	{"second-boat", "Second pilot boat", "1/48"},
}

// simulatedStages are stage kinds that are counted, with the minutes one part of
// the easiest class takes.
var simulatedStages = []struct {
	kind    string
	minutes float64
}{
	{"cut", 1.5}, {"clean", 3}, {"assemble", 5}, {"seam", 7}, {"prime", 5}, {"paint", 8}, {"detail", 8}, {"decal", 6},
}

// simulatedClasses are the classes of parts, one a runner, with how much longer
// they take and how many of the parts they are, about.
var simulatedClasses = []struct {
	runner, class string
	times, share  float64
}{
	{"A", "flat", 1, 0.4}, {"B", "curved", 1.5, 0.3}, {"C", "small", 0.8, 0.2}, {"D", "clear", 2, 0.1},
}

// simulatedSlips are kinds of mistake, with how many come on a hundred parts.
var simulatedSlips = []struct {
	kind    string
	hundred float64
}{
	{"gouge", 2}, {"glue smear", 1.5}, {"step at a join", 1}, {"part lost", 0.7},
}

// simulatedTools are tools on trial that change nothing, with their stage.
var simulatedTools = []struct{ tool, stage string }{{"glass file", "clean"}, {"sanding sponge", "seam"}}

// simulation is a journal in the making.
type simulation struct {
	person
	rng    *rand.Rand
	lines  []simulatedLine
	speed  float64   // of this person over the usual
	kit    []float64 // what a part of each build takes over the usual
	mood   float64   // of the evening
	trials []*string // ids of the trials
	photos []simulatedPhoto
	plans  []simulatedPlan
}

// simulatedLine is a record to be, at the moment it is written. id, if not nil, is
// told the id it gets; body is asked for in the order of writing.
type simulatedLine struct {
	at   time.Time
	id   *string
	body func() journal.Body
}

// simulatedPlan is what build.md is made of.
type simulatedPlan struct {
	parts           [4]int   // of each runner
	totals          []string // of the stages whose joins, coats, items or decals no runner tells
	started, ending string
}

// simulatedPhoto is a photo of a result, and its own luck.
type simulatedPhoto struct {
	hash, kind string
	build      int
	luck       float64
	at         time.Time
}

// simulate writes the journal of a person into dir, which must not be there yet.
// The same person gives the same bytes.
func simulate(dir string, p person) error {
	s := &simulation{person: p, rng: rand.New(rand.NewPCG(p.seed, 0x6e6f_7468))}
	s.speed = math.Exp(0.2 * s.rng.NormFloat64())
	s.mood = s.moods * s.rng.NormFloat64()
	if err := journal.Create(dir, "The bench by the harbor", "UTC", simulatedNow); err != nil {
		return err
	}
	for range 1 + s.rng.IntN(len(simulatedTools)) {
		s.trials = append(s.trials, new(string))
	}
	days := s.calendar()
	for b := range s.builds {
		s.kit = append(s.kit, math.Exp(s.kits*s.rng.NormFloat64()))
		s.build(b, days[b])
	}
	s.try(days)
	s.judge()
	if err := s.writeBuilds(dir); err != nil {
		return err
	}
	if err := s.writePhotos(dir); err != nil {
		return err
	}
	return s.writeRecords(dir)
}

// calendar draws the evenings of each build, so that the latest lies a few days
// back.
func (s *simulation) calendar() [][]time.Time {
	var days [][]time.Time
	day := 0
	var all [][]int
	for range s.builds {
		var of []int
		for range s.evenings {
			day += 1 + s.poisson(2)
			of = append(of, day)
		}
		all = append(all, of)
		day += 40 + s.rng.IntN(80)
	}
	latest := all[s.builds-1][s.evenings-1]
	first := simulatedNow.Truncate(24*time.Hour).AddDate(0, 0, -4-latest)
	for _, of := range all {
		var ds []time.Time
		for _, n := range of {
			ds = append(ds, first.AddDate(0, 0, n))
		}
		days = append(days, ds)
	}
	return days
}

func (s *simulation) say(at time.Time, body journal.Body) {
	s.lines = append(s.lines, simulatedLine{at: at, body: func() journal.Body { return body }})
}

func (s *simulation) poisson(mean float64) int {
	return int(distuv.Poisson{Lambda: mean, Src: s.rng}.Rand())
}

// build goes through the evenings of a build: one to three sessions each, from
// stage to stage, now and then a step back.
func (s *simulation) build(b int, days []time.Time) {
	q := s.queues()
	sessions := make([]int, len(days))
	total := 0
	for i := range sessions {
		sessions[i] = 1 + s.rng.IntN(3)
		total += sessions[i]
	}
	done := 0
	shown := map[int]time.Time{} // when a stage was last worked on
	for i, day := range days {
		s.mood = s.follow*s.mood + math.Sqrt(1-s.follow*s.follow)*s.moods*s.rng.NormFloat64()
		at := day.Add(19*time.Hour + time.Duration(s.rng.IntN(40))*time.Minute)
		for range sessions[i] {
			step := (float64(done) + 3*s.rng.Float64() - 1) / float64(total)
			stage := min(len(simulatedStages)-1, max(0, int(step*float64(len(simulatedStages)))))
			at = s.session(b, stage, at, q)
			shown[stage] = at
			done++
		}
	}
	s.mend(b, days, q)
	s.shoot(b, shown, days[len(days)-1])
	s.plans = append(s.plans, planOf(q, days, b == s.builds-1))
}

// planOf makes a build of what was done: of all there is, or where it goes on, of
// four fifths of it.
func planOf(q *queue, days []time.Time, goesOn bool) simulatedPlan {
	plan := simulatedPlan{started: days[0].Format(time.DateOnly)}
	size := func(done int) int { return max(1, done) }
	if goesOn {
		size = func(done int) int { return done*5/4 + 2 }
	} else {
		plan.ending = days[len(days)-1].Format(time.DateOnly)
	}
	for stage, done := range q.done {
		all := 0
		for c, n := range done {
			plan.parts[c] = max(plan.parts[c], size(n))
			all += n
		}
		if kind := simulatedStages[stage].kind; !slices.Contains([]string{"cut", "clean", "assemble"}, kind) {
			plan.totals = append(plan.totals, fmt.Sprintf("%s: %d", kind, size(all)))
		}
	}
	return plan
}

// queue is which parts of a build come next, stage by stage.
type queue struct {
	mix  [4]float64          // share of each class
	done [][4]int            // of each stage, the parts done of each class
	next []int               // class that each stage is at
	told [][]journal.PartRef // parts of each stage that were counted by name
}

// queues draws the mix of a build's parts.
func (s *simulation) queues() *queue {
	q := &queue{done: make([][4]int, len(simulatedStages)), next: make([]int, len(simulatedStages)),
		told: make([][]journal.PartRef, len(simulatedStages))}
	var sum float64
	for c := range s.classes {
		q.mix[c] = simulatedClasses[c].share * math.Exp(0.5*s.rng.NormFloat64())
		sum += q.mix[c]
	}
	for c := range q.mix {
		q.mix[c] /= sum
	}
	return q
}

// turn keeps to a class for about an hour of work, so that about half of the
// sessions hold one class and the others several.
func (s *simulation) turn(q *queue, stage int) int {
	if total := q.done[stage]; total == [4]int{} || s.rng.Float64() < simulatedStages[stage].minutes/60 {
		at := s.rng.Float64()
		for c, share := range q.mix {
			if at -= share; at < 0 || c == s.classes-1 {
				q.next[stage] = c
				break
			}
		}
	}
	return q.next[stage]
}

// session is one stretch at the bench. Parts get done at random times, at a rate
// that is the person's own, the kit's, the evening's and the session's; so their
// number is a Poisson one. It returns when the next may begin.
func (s *simulation) session(b, stage int, at time.Time, q *queue) time.Time {
	st := simulatedStages[stage]
	minutes := math.Min(80, math.Max(15, 40*math.Exp(0.35*s.rng.NormFloat64())))
	body := journal.WorkBody{Build: simulatedBuilds[b].id, Stage: st.kind, Kind: st.kind, Start: nearFive(at),
		Date: at.Format(time.DateOnly), Minutes: math.Max(5, 5*math.Round(minutes/5)), Known: journal.Measured,
		Counted: true}
	pace := s.speed * math.Exp(s.mood+s.scatter*s.rng.NormFloat64())
	if b == s.builds-1 {
		pace *= 1 + s.gain
	}
	counted, idle := s.rng.Float64() >= s.uncounted, s.rng.Float64() < s.idle
	for left := minutes; !idle; {
		c := s.turn(q, stage)
		left -= st.minutes * simulatedClasses[c].times * s.kit[b] / pace * s.rng.ExpFloat64()
		if left < 0 {
			break
		}
		q.done[stage][c]++
		body.Parts = append(body.Parts, journal.PartRef{Runner: simulatedClasses[c].runner,
			Number: fmt.Sprint(q.done[stage][c]), Count: 1})
	}
	end := at.Add(time.Duration(minutes * float64(time.Minute)))
	s.slip(body, end)
	if !counted {
		body.Counted, body.Parts = false, nil
	}
	q.told[stage] = append(q.told[stage], body.Parts...)
	if s.rng.Float64() < s.remembered {
		body.Known, body.Start = journal.Remembered, time.Time{}
	}
	for i := range s.trials {
		if simulatedTools[i].stage == st.kind && b >= s.builds-2 && s.rng.IntN(2) == 0 {
			body.Tools = []string{simulatedTools[i].tool}
		}
	}
	s.say(end, body)
	return end.Add(10 * time.Minute)
}

// nearFive is a time as people note it.
func nearFive(at time.Time) time.Time { return at.Round(5 * time.Minute) }

// slip draws the mistakes of a session.
func (s *simulation) slip(w journal.WorkBody, at time.Time) {
	for _, slip := range simulatedSlips {
		for range s.poisson(slip.hundred / 100 * float64(len(w.Parts))) {
			s.say(at, journal.MistakeBody{Build: w.Build, Stage: w.Stage, Kind: slip.kind,
				Minutes: float64(5 + s.rng.IntN(15)), At: at})
		}
	}
}

// mend opens a few parts again and mends them.
func (s *simulation) mend(b int, days []time.Time, q *queue) {
	for range s.poisson(1.5) {
		stage := s.rng.IntN(len(simulatedStages))
		n := len(q.told[stage])
		if n == 0 {
			continue
		}
		build, kind := simulatedBuilds[b].id, simulatedStages[stage].kind
		at := days[len(days)-1].Add(23*time.Hour + time.Duration(stage)*time.Minute)
		i := s.rng.IntN(n)
		part := q.told[stage][i]
		q.told[stage] = slices.Delete(q.told[stage], i, i+1)
		s.say(at, journal.ReopenBody{Build: build, Stage: kind, Parts: []journal.PartRef{part}, Why: "it shows", At: at})
		day := at.AddDate(0, 0, 1)
		s.say(at.Add(time.Hour), journal.WorkBody{Build: build, Stage: "repair", Kind: "repair",
			Start: nearFive(at), Date: day.Format(time.DateOnly), Minutes: float64(5 + 5*s.rng.IntN(4)),
			Known: journal.Measured, For: kind})
	}
}

// shownStages are the stages that photos are taken of: clean, seam, paint and
// assemble, in turn, so that some criteria get five marks a build.
var shownStages = []int{1, 3, 5, 2}

// shoot takes photos of the results and marks them: on every criterion the same
// skill, the photo's luck, and the noise of the eye.
func (s *simulation) shoot(b int, shown map[int]time.Time, last time.Time) {
	for i := range s.person.photos {
		stage := shownStages[i%len(shownStages)]
		at, worked := shown[stage]
		if !worked {
			at = last.Add(21 * time.Hour)
		}
		at = at.Add(time.Duration(7*i+stage) * time.Minute)
		p := simulatedPhoto{kind: simulatedStages[stage].kind, build: b, luck: s.effects * s.rng.NormFloat64(), at: at}
		p.hash = fmt.Sprintf("%x", sha256.Sum256(pictureOf(s.seed, b, i)))
		s.photos = append(s.photos, p)
		s.say(at, journal.PhotoBody{Hash: p.hash, Path: p.path(), Name: fmt.Sprintf("IMG_%d%02d.jpg", b, i),
			Size: int64(len(pictureOf(s.seed, b, i))), Format: "jpeg", Width: tinyWidth, Height: tinyHeight,
			Camera:  journal.Camera{Make: "Tarrow", Model: "T-24"},
			Instant: journal.Instant{At: at, Source: "DateTimeOriginal"},
			Tags: journal.Tags{Build: simulatedBuilds[b].id, Stage: p.kind, Role: "after", View: "front",
				Light: "diffuse"}})
		for _, c := range criteriaShown(p.kind) {
			s.mark(p, c, at.Add(24*time.Hour))
			if b == 0 { // looked at again, years later, by the same eye
				s.mark(p, c, simulatedNow.Add(-20*time.Hour))
			}
		}
	}
}

func (s *simulation) mark(p simulatedPhoto, criterion int, at time.Time) {
	score := int(math.Round(math.Max(0, math.Min(journal.TopScore, 2+0.4*p.luck+0.6*s.rng.NormFloat64()))))
	s.say(at, journal.MarkBody{Photo: p.hash, Criterion: criterion, Score: &score, Rubric: journal.Rubric})
}

// criteriaShown are the criteria that photos of a stage kind show.
func criteriaShown(kind string) (numbers []int) {
	for _, c := range journal.Criteria {
		if slices.Contains(c.Kinds, kind) {
			numbers = append(numbers, c.Number)
		}
	}
	return numbers
}

// judge draws the verdicts of one judge: by the photos' luck alone, with ties
// after Davidson.
func (s *simulation) judge() {
	at := simulatedNow.Add(-19 * time.Hour)
	var judged []journal.VerdictBody
	luck := map[string]float64{}
	for _, p := range s.photos {
		luck[p.hash] = p.luck
	}
	again := int(s.repeated * float64(s.pairs))
	for n := range s.pairs {
		var v journal.VerdictBody
		if n < s.pairs-again {
			l := s.photos[s.rng.IntN(len(s.photos))]
			var like []simulatedPhoto
			for _, p := range s.photos {
				if p.kind == l.kind && p.build != l.build {
					like = append(like, p)
				}
			}
			on := criteriaShown(l.kind)
			if len(like) == 0 || len(on) == 0 {
				continue
			}
			v = journal.VerdictBody{Left: l.hash, Right: like[s.rng.IntN(len(like))].hash,
				Criterion: on[s.rng.IntN(len(on))]}
			judged = append(judged, v)
		} else if len(judged) > 0 {
			v = judged[s.rng.IntN(len(judged))]
			if s.rng.IntN(2) == 0 {
				v.Left, v.Right = v.Right, v.Left
			}
		} else {
			continue
		}
		v.Outcome = s.outcome(luck[v.Left] - luck[v.Right])
		at = at.Add(20 * time.Second)
		s.say(at, v)
	}
}

func (s *simulation) outcome(d float64) string {
	const tie = 0.5
	left, right := math.Exp(d/2), math.Exp(-d/2)
	switch at := s.rng.Float64() * (left + right + tie); {
	case s.rng.Float64() < 0.02:
		return "cannot tell"
	case at < left:
		return "left"
	case at < left+right:
		return "right"
	}
	return "no difference"
}

// try begins the trials of the tools, notes something, and reviews the first of
// two.
func (s *simulation) try(days [][]time.Time) {
	from := days[max(0, s.builds-2)][0]
	for i, id := range s.trials {
		t := simulatedTools[i]
		at := from.Add(time.Duration(10+i) * time.Hour)
		s.lines = append(s.lines, simulatedLine{at, id, func() journal.Body {
			return journal.TrialBody{What: t.tool, Question: "Does it change anything?", At: at}
		}})
		noted := at.AddDate(0, 0, 9)
		s.lines = append(s.lines, simulatedLine{at: noted, body: func() journal.Body {
			return journal.ObserveBody{Trial: *id, Text: "Lies well in the hand.", At: noted}
		}})
		if i == 0 && len(s.trials) > 1 {
			closed := simulatedNow.Add(-18 * time.Hour)
			s.lines = append(s.lines, simulatedLine{at: closed, body: func() journal.Body {
				return journal.ReviewBody{Trial: *id, Text: "Kept.", At: closed}
			}})
		}
	}
}
