// rakelight status: what runs, what rests, and what there is to do.

package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry/wording"
	"rakelight/journal/metrics"
	reasons "rakelight/journal/wording"
)

var statusCmd = &command{
	name: "status", line: "say what is running, resting and to sort",
	usage: `Usage: rakelight status [BUILD]

Says what runs, how long it has been bench time and what was counted; which builds
rest, with what comes next and what they are waiting for; how many photos there are to
sort, as rakelight check --photos lists them; when this computer made the last second
copy (rakelight copy); and which timers seem to have been forgotten, with the last that
is known of that evening.

With BUILD it says what you need to pick that one up again: why you stopped and what
comes next, the last photo, what is not glued, masked or curing, where loose parts
are, what is missing, and what your prep notes warn of.

Example:
  rakelight status
  rakelight status pilot-boat
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(pflag.NewFlagSet("status", pflag.ContinueOnError), args,
			takes(0, 1, "status takes one build, or none"))
		if err != nil {
			return err
		}
		if len(rest) == 1 {
			b, err := j.State.ResolveBuild(rest[0])
			if err != nil {
				return err
			}
			r, _ := j.State.Return(b.ID)
			a.printf("%s\n", b.ID)
			a.printReturn(j.State, r)
			return nil
		}
		a.tellRunning(j.State)
		a.tellResting(j.State)
		a.tellToSort(j.State)
		a.tellLastCopy(j, false)
		a.askForgotten(j.State)
		a.askFinished(j.State)
		return nil
	},
}

// tellRunning tells of each session that runs how it stands.
func (a *app) tellRunning(s *journal.State) {
	running := s.Running()
	for _, one := range running {
		a.printf("running: %s on %s since %s (%s at the bench", one.Stage, one.Build,
			one.Start.In(s.Zone).Format("2006-01-02 15:04"), journal.Spell(one.NetSoFar(a.now())))
		if rest, rests := one.Resting(); rests {
			a.printf(", a break since %s", rest.Start.In(s.Zone).Format("15:04"))
		}
		if one.Counted {
			a.printf(", %s", wording.Done(one))
		} else {
			a.printf(", nothing counted yet")
		}
		a.printf(")\n")
	}
	if len(running) == 0 {
		a.println("no session is running")
	}
}

// tellResting tells of the open builds that do not run: those that were put aside,
// then those that were begun.
func (a *app) tellResting(s *journal.State) {
	for _, b := range s.Builds {
		if p := s.Paused(b.ID); p != nil && !p.Ended() {
			a.printf("paused: %s since %s; why: %s; next: %s; waiting for: %s\n", b.ID,
				p.From.In(s.Zone).Format("2006-01-02"), orNothing(p.Why), orNothing(p.Next), orNothing(p.Waiting))
		}
	}
	for _, b := range s.Builds {
		sessions := s.SessionsOf(b.ID)
		if b.Finished != "" || s.Paused(b.ID) != nil || len(sessions) == 0 || anyRuns(sessions) {
			continue
		}
		a.printf("resting: %s since %s", b.ID, s.LastDay(b))
		if r := s.Remains(b); r.Next != "" {
			a.printf("; next: %s", nextStep(r))
		}
		a.printf("\n")
	}
}

func anyRuns(sessions []*journal.Session) bool {
	for _, one := range sessions {
		if one.Open {
			return true
		}
	}
	return false
}

// nextStep is the stage to go on with, and how much of it is left.
func nextStep(r journal.Remains) string {
	for _, st := range r.Stages {
		if st.Stage == r.Next {
			return fmt.Sprintf("%s, %s left", st.Stage, metrics.Count(st.Left, st.Unit))
		}
	}
	return r.Next
}

// tellToSort says how many photos want a person's word; check --photos and the
// pages say the same number.
func (a *app) tellToSort(s *journal.State) {
	if n := len(journal.Asked(s.ToDo())); n > 0 {
		a.printf("%s to sort\n", count(n, "photo"))
		a.println("rakelight check --photos lists them, each with what to type")
	}
}

func orNothing(s string) string {
	if s == "" {
		return "not said"
	}
	return s
}

// askForgotten says which timers seem to have been forgotten.
func (a *app) askForgotten(s *journal.State) {
	now := a.now()
	for _, one := range s.Running() {
		if one.Overdue(now, s.Config.LongestTimer()) {
			sign, _ := s.LastSign(one)
			a.say(fmt.Errorf("%s on %s has been running for %s; was the timer forgotten? it is not counted", one.Stage,
				one.Build, journal.Spell(now.Sub(one.Start))),
				wording.EndedThen(one, sign, s.Zone)+`; or rakelight off --worked "1h20" says how long it really was`)
		}
	}
	for _, one := range s.Sessions {
		if one.Doubt.Any() && !one.Open {
			hint := journal.Typed(`rakelight correct %s --worked "1h20"`, one.ID) + " says how long it really was"
			if sign, known := s.LastSign(one); known {
				hint += fmt.Sprintf("; the last that is known of it: %s", sign.At.Format("2006-01-02 15:04"))
			}
			a.say(fmt.Errorf("%s on %s, %s: %s; it is not counted", one.Stage, one.Build,
				one.Start.In(s.Zone).Format("2006-01-02"), reasons.Length(one.Doubt)), hint)
		}
	}
}

// askFinished says which builds seem to be finished.
func (a *app) askFinished(s *journal.State) {
	for _, f := range s.Finishables() {
		a.say(fmt.Errorf("%s", f.String()), strings.TrimSpace(f.Mend()))
	}
}
