// Questions that wait for an answer by a tap: timers that were forgotten, sessions
// nobody vouched for, what a dry fit leaves open, clocks that seem to be wrong.

package bench

import (
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// ask is a question that waits for the person's answer.
type ask struct {
	Words   string
	Answers []reply
}

// reply is an answer that can be tapped: fields of something said.
type reply struct {
	Words  string
	Fields map[string]string
}

// asks are the questions that wait on the mat: of what runs, else of what ran. One
// kind at a time, so that the parts stay in reach.
func (a *asking) asks() []ask {
	running := a.Running()
	if forgotten := a.forgotten(running); len(forgotten) > 0 {
		return forgotten
	}
	for _, s := range running {
		if s.Kind == "dry-fit" || s.Kind == "assemble" {
			all := dryFitAsks(s.Build, a.DryFitQuestions(s.Build))
			return all[:min(1, len(all))]
		}
	}
	if len(running) > 0 {
		return nil
	}
	return a.doubtful()
}

// forgotten asks of timers that ran too long.
func (a *asking) forgotten(running []*journal.Session) (all []ask) {
	for _, s := range running {
		if !s.Overdue(a.Now, a.Config.LongestTimer()) {
			continue
		}
		one := ask{Words: "This timer has run since " + s.Start.In(a.Zone).Format("Monday 15:04") +
			". Was it forgotten? It does not count until you say."}
		say := func(words string, lasted time.Duration) {
			one.Answers = append(one.Answers, reply{words,
				map[string]string{"what": "end", "lasted": minutesOf(lasted)}})
		}
		if sign, known := a.LastSign(s); known {
			say("It ended at "+sign.At.In(a.Zone).Format("15:04"), sign.At.Sub(s.Start))
		}
		for _, hours := range []time.Duration{1, 2, 3} {
			say(fmt.Sprintf("I was there %d h", hours), hours*time.Hour)
		}
		if ran := a.Now.Sub(s.Start); ran < 24*time.Hour {
			say("I was there all the time", ran)
		}
		all = append(all, one)
	}
	return all
}

// minutesOf is a length as a person types it.
func minutesOf(d time.Duration) string {
	return fmt.Sprintf("%d min", max(1, int(d.Round(time.Minute).Minutes())))
}

// doubtful asks of the latest session whose length nobody vouched for.
func (a *asking) doubtful() []ask {
	var s *journal.Session
	for _, b := range a.openBuilds() {
		for _, one := range a.SessionsOf(b.ID) {
			if one.Doubt.Any() && !one.Open && (s == nil || one.Start.After(s.Start)) {
				s = one
			}
		}
	}
	if s == nil {
		return nil
	}
	name := s.Build + ", " + s.Stage
	if b := a.Build(s.Build); b != nil && b.Stage(s.Stage) != nil {
		name = b.Title + ", " + wording.StageName(*b.Stage(s.Stage))
	}
	one := ask{Words: name + ", " + s.Start.In(a.Zone).Format("Monday, January 2, 15:04") +
		": how long were you there? It does not count until you say."}
	say := func(words string, fields map[string]string) {
		fields["what"], fields["session"] = "correct", s.ID
		one.Answers = append(one.Answers, reply{words, fields})
	}
	if sign, known := a.LastSign(s); known {
		say("Until "+sign.At.In(a.Zone).Format("15:04"), map[string]string{"lasted": minutesOf(sign.At.Sub(s.Start))})
	}
	for _, hours := range []time.Duration{1, 2, 3} {
		say(fmt.Sprintf("%d h", hours), map[string]string{"lasted": minutesOf(hours * time.Hour)})
	}
	if s.Net > 0 {
		say("All of "+journal.Spell(s.Net), map[string]string{"accept": "yes"})
	}
	return []ask{one}
}

// dryFitAsks asks of the first part of which something is open before glue, and lets
// it be said of all of them at once.
func dryFitAsks(build string, open []journal.DryFitQuestion) (all []ask) {
	gates, pegs := journal.GatesAndPegs(open)
	if len(gates) > 0 {
		all = append(all, prepAsk(build, gates, "were its gates cut together with those of the mating part?",
			[]prepReply{{"Together", "gates-together", ""}, {"Apart", "gates-apart", ""}}))
	}
	if len(pegs) > 0 {
		all = append(all, prepAsk(build, pegs, "do its pegs show from outside?",
			[]prepReply{{"They show", "pegs", "they show"}, {"They do not show", "pegs", "they do not show"}}))
	}
	return all
}

// prepReply is an answer that is kept as a prep note.
type prepReply struct{ words, what, text string }

func prepAsk(build string, parts []journal.PartRef, question string, replies []prepReply) ask {
	one := ask{Words: parts[0].Key() + ": " + question}
	for i, r := range replies {
		say := func(words, of string) {
			one.Answers = append(one.Answers, reply{words, map[string]string{"what": "prep", "build": build,
				"parts": of, "kind": r.what, "text": r.text}})
		}
		say(r.words, parts[0].Key())
		if n := len(parts); n > 1 && i == len(replies)-1 {
			say(fmt.Sprintf("All %d: %s", n, strings.ToLower(r.words[:1])+r.words[1:]), journal.Ranges(parts))
		}
	}
	return one
}

// clockAsks asks of cameras whose clock disagrees with the bench.
func clockAsks(s *journal.State) (all []ask) {
	for _, p := range s.ProposeClocks() {
		wrong, by := "fast", p.Fast
		if by < 0 {
			wrong, by = "slow", -by
		}
		all = append(all, ask{
			Words: fmt.Sprintf("The clock of %s seems to be %s %s: moved by that, %d of %s fall into %s at the bench; "+
				"as it is, %d do.", p.Camera.Name, journal.Spell(by), wrong, p.Would, countOf(p.Photos, "photo"),
				metrics.Count(p.Sessions, "session"), p.Inside),
			Answers: []reply{{"Move its photos", map[string]string{"what": "clock", "camera": p.Camera.Name,
				"fast": p.Fast.String(), "from": p.From, "to": p.To}}},
		})
	}
	return all
}
