// This file is when the builder of a story sits at the bench, and what is done then.

package demo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"time"

	"rakelight/journal"
)

// sitting is one evening of a piece of work, or a pause.
type sitting struct {
	work
	nth        int // evening of the work, from 0
	start, end time.Time
	parts      []journal.PartRef // gone through; none where they are only counted
	done       int               // how many were done
}

// sittings are all of a story, in their order.
func (p story) sittings(b *journal.Build, zone *time.Location) ([]sitting, error) {
	rng := rand.New(rand.NewPCG(p.seed, 0x7261_6b65))
	day, err := time.ParseInLocation(time.DateOnly, p.first, zone)
	if err != nil {
		return nil, err
	}
	var all []sitting
	for _, w := range p.work {
		if w.from != "" {
			from, err := time.ParseInLocation(time.DateOnly, w.from, zone)
			if err != nil {
				return nil, err
			}
			if from.After(day) {
				day = from
			}
		}
		if w.pause > 0 {
			from := evening(day, rng)
			day = day.AddDate(0, 0, w.pause)
			all = append(all, sitting{work: w, start: from, end: day.Add(9 * time.Hour)}) // before the bench
			continue
		}
		if b.Stage(w.stage) == nil {
			return nil, fmt.Errorf("the demo's build %s has no stage %s", p.id, w.stage)
		}
		left := w.refs(b)
		for i := range w.evenings {
			one := sitting{work: w, nth: i, start: evening(day, rng)}
			minutes := float64(30 + rng.IntN(50))
			if w.perHour > 0 {
				one.parts = left[len(left)*i/w.evenings : len(left)*(i+1)/w.evenings]
				if p.cards { // whole runners
					one.parts = w.on(i).refs(b)
				}
				one.done = len(one.parts) + w.count*(i+1)/w.evenings - w.count*i/w.evenings
				// The scatter between evenings is about a sixth, which is what
				// short hobby evenings look like; the rate is the story's own.
				rate := w.perHour * p.speed * math.Exp(0.16*rng.NormFloat64())
				minutes = max(8, math.Round(60*float64(one.done)/rate))
			}
			if w.clock != "" {
				at, err := time.Parse("15:04", w.clock)
				if err != nil {
					return nil, err
				}
				one.start = time.Date(day.Year(), day.Month(), day.Day(), at.Hour(), at.Minute(), 0, 0, zone)
				minutes = float64(w.minutes)
			}
			one.end = one.start.Add(time.Duration(minutes * float64(time.Minute)))
			all = append(all, one)
			day = day.AddDate(0, 0, 2+rng.IntN(4))
			if w.clock != "" { // what comes next says its own day and hour
				day = time.Date(one.start.Year(), one.start.Month(), one.start.Day(), 0, 0, 0, 0, zone)
			}
		}
	}
	return all, nil
}

// laidAside tells a build that is put aside to this day.
func (p story) laidAside() bool { return p.work[len(p.work)-1].pause == forever }

// evening is when the builder sits down on a day: most evenings, some Saturday mornings.
func evening(day time.Time, rng *rand.Rand) time.Time {
	hour := 19
	if day.Weekday() == time.Saturday {
		hour = 10
	}
	return time.Date(day.Year(), day.Month(), day.Day(), hour, 5+rng.IntN(40), 0, 0, day.Location())
}

// refs are the parts a piece of work goes through, in runner order.
func (w work) refs(b *journal.Build) []journal.PartRef {
	var refs []journal.PartRef
	kits := b.Kits
	for k, kit := range kits {
		if w.kit > 0 && k+1 != w.kit {
			continue
		}
		for _, r := range kit.Runners {
			if !strings.Contains(w.runners, r.Letter) {
				continue
			}
			skip := map[string]bool{}
			for _, n := range r.NotUsed {
				skip[n] = true
			}
			for _, n := range r.Parts {
				if skip[n] {
					continue
				}
				ref := journal.PartRef{Runner: r.Letter, Number: n, Count: 1}
				if len(kits) > 1 {
					ref.Kit = k + 1
				}
				refs = append(refs, ref)
			}
		}
	}
	return refs
}
