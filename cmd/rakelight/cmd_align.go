// rakelight align: lays a photo over another by spots a person points at.

package main

import (
	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/render/align"
)

var alignCmd = &command{
	name: "align", line: "lay a photo over another by the same spots in both",
	usage: `Usage: rakelight align PHOTO PHOTO [--at "X,Y=X,Y X,Y=X,Y" [--anyway]]
       rakelight align

Serves a page on this computer that shows both photos. Tap the same spot in each,
two or three times, and save: their comparison then shows the earlier photo
shifted, turned and scaled to lie over the later one, with a switch to as taken.
Three spots also show how well they agree. Photos that both show a bench card are
laid over each other by the card; spots on top of that say where the work lies.
Without photos it lists the pairs that were laid by hand. Stop it with Ctrl-C.

  --at SPOTS    two or three spots without the page: the place in the first photo
                and that in the second, as shares of the width and the height of
                each upright picture from 0 to 1
  --anyway      keep spots that agree badly (three that are more than 5 % of the
                width off) or that turn the photo by more than 60°

Example:
  rakelight align 1f3a9c04 77ab01c2 --at "0.31,0.42=0.33,0.40 0.70,0.55=0.72,0.52"
`,
	run: func(a *app, args []string) error {
		var said entry.Points
		fs := pflag.NewFlagSet("align", pflag.ContinueOnError)
		at := fs.String("at", "", "")
		fs.BoolVar(&said.Anyway, "anyway", false, "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) != 0 && len(rest) != 2 || len(rest) == 0 && *at != "" {
			return &usageError{"align takes two photos"}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.listAligned(j.State)
		}
		said.A, said.B = rest[0], rest[1]
		if *at != "" {
			if said.Pairs, err = align.Parse(*at); err != nil {
				return &usageError{err.Error()}
			}
			done, err := entry.Do(j, said)
			if err != nil {
				return err
			}
			return a.printAligned(done)
		}
		one, err := entry.Still(j.State, said.A)
		if err != nil {
			return err
		}
		other, err := entry.Still(j.State, said.B)
		if err != nil {
			return err
		}
		if one == other {
			return &entry.Refusal{Reason: entry.SamePhoto}
		}
		s, err := align.Serve(a.ctx, j, one, other)
		if err != nil {
			return err
		}
		a.printf("Point at the same spots at %s (Ctrl-C ends)\n", s.URL)
		select {
		case <-a.ctx.Done():
			a.println("nothing was saved")
			return s.Close()
		case <-s.Saved:
		}
		if err := s.Finish(); err != nil {
			return err
		}
		return a.printAligned(*s.Said())
	},
}

// printAligned tells what the spots of two photos come to.
func (a *app) printAligned(done entry.Outcome) error {
	body := done.Add[0].(journal.PointsBody)
	photos := done.State.PhotosByHash()
	one, other := photos[body.A], photos[body.B]
	spots, err := entry.Fit(one, other, body.Pairs)
	if err != nil {
		return err
	}
	words := wording.Spots(spots)
	for _, r := range done.Remarks {
		words += "; " + wording.Remark(r).What
	}
	a.printf("%s over %s, %s%s\n", one.Short(), other.Short(), words, takeBack(done.Records[0]))
	return nil
}

// listAligned lists the photos that were laid over each other by hand.
func (a *app) listAligned(s *journal.State) error {
	photos := s.PhotosByHash()
	for _, p := range s.Points {
		var words string
		if spots, err := entry.Fit(photos[p.A], photos[p.B], p.Pairs); err != nil {
			words = wording.Text(err)
		} else {
			words = wording.Spots(spots)
		}
		a.printf("%s over %s, %s (%s takes it back)\n", photos[p.A].Short(), photos[p.B].Short(), words,
			journal.Typed("rakelight retract %s", p.Record))
	}
	if len(s.Points) == 0 {
		a.println("no photo was laid over another by hand")
	}
	return nil
}
