// This file makes of photographed bench cards what was said with them, by the
// rules at the head of cards.go.

package journal

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"rakelight/journal/reason"
)

// cardRun is the state machine at work.
type cardRun struct {
	f      *folding
	ends   map[string]time.Time
	open   *Session  // by card, running
	proven time.Time // until when a card spoke for it
	last   string    // build worked on last
	lastAt time.Time
	timers []*Session
	ended  ending
	photos []*Photo // in order
	rest   resting
	rests  map[string][]Span // breaks said by hand, by session
}

// ending is the end of a session by card, while a count may still belong to it.
type ending struct {
	session *Session
	at      time.Time
	photo   string
}

// runCards finds what the cards say, after the clocks and before the records
// that may name the sessions.
func (f *folding) runCards(records []Record, gone gone) {
	said := f.cardEvents()
	if len(said) == 0 && !f.cardsBefore() {
		return
	}
	photos := f.photosInOrder()
	run := &cardRun{f: f, ends: map[string]time.Time{}, photos: photos, rests: restsSaid(records, gone)}
	if f.seed != nil {
		run.last, run.lastAt = f.seed.Last, f.seed.LastAt
	}
	for _, p := range photos {
		f.signs = append(f.signs, p.Instant.At)
	}
	for _, r := range records {
		if !is[EndBody](r) || gone.has(r) {
			continue
		}
		if b, err := read[EndBody](r); err == nil {
			run.ends[b.Session] = b.End
		}
	}
	for _, s := range f.sessions {
		run.timers = append(run.timers, s)
	}
	slices.SortFunc(run.timers, func(a, b *Session) int {
		return cmp.Or(a.Start.Compare(b.Start),
			cmp.Compare(a.ID, b.ID))
	})
	for i, before := range f.repeats(photos, said) {
		if c := &said[i]; c.Did.What == Undecided {
			run.seen(c.At)
			run.take(c, before)
			run.log(c.At)
		}
	}
	run.seen(time.Time{})
	if run.open != nil && len(f.signs) > 0 {
		until := f.signs[len(f.signs)-1]
		if f.now.After(until) {
			until = f.now // no photo since: silence, too
			f.ground.From = until
		}
		last, silent := run.fell(until, f.state.Config.Silence())
		if !silent {
			f.ground.Until = last.Add(f.state.Config.Silence())
		}
		run.quiet(until, f.state.Config.Silence())
	}
	f.state.Cards = said
}

// inOrder is the order of photos, and of the cards in them.
func inOrder(a, b *Photo) int {
	return cmp.Or(a.Instant.At.Compare(b.Instant.At), cmp.Compare(a.Hash, b.Hash))
}

// certain reports whether a photo's instant is good enough to put a card in
// order.
func certain(in Instant) bool { return in.Source != FileTime && !in.Doubts.Any() && !in.At.IsZero() }

// cardEvents are all cards in order.
func (f *folding) cardEvents() []CardSaid {
	var all []CardSaid
	for hash, p := range f.photos {
		var texts []string
		for _, c := range p.Cards {
			texts = append(texts, c.Text)
		}
		if said, ok := f.cardSaid[hash]; ok {
			texts, p.CardsBy = said, f.cardsBy[hash]
		}
		slices.Sort(texts)
		begins := 0
		first := len(all)
		for _, text := range slices.Compact(texts) {
			c, err := ParseCard(text)
			one := CardSaid{At: p.Instant.At, Photo: hash, Text: text, Card: c}
			switch {
			case err != nil:
				one.Did.What = NoCard
			case !certain(p.Instant):
				one.Did.What = TimeInDoubt
			case c.Says == BeginCard:
				begins++
			}
			all = append(all, one)
		}
		if begins > 1 {
			for i := first; i < len(all); i++ {
				if all[i].Card.Says == BeginCard {
					all[i].Did.What = TwoBegins
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b CardSaid) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Photo, b.Photo),
			cmp.Compare(strings.IndexByte(cardOrder, byte(a.Card.Says)),
				strings.IndexByte(cardOrder, byte(b.Card.Says))), cmp.Compare(a.Text, b.Text))
	})
	return all
}

// cardOrder is the order in which cards in one picture count.
const cardOrder = "NWKEPBRVLT"

// cardSession is the id of the session that a photo's begin card begins.
func cardSession(hash string) string { return "card-" + hash[:min(16, len(hash))] }

// take is one card's turn.
func (run *cardRun) take(c *CardSaid, before repeat) {
	longest, silence := run.f.state.Config.LongestTimer(), run.f.state.Config.Silence()
	does := strings.IndexByte(shownOnce, byte(c.Card.Says)) >= 0
	switch {
	case before.how == twice:
		run.once(c, before)
	case before.how != anew && does:
		run.again(c, before)
	case c.Card.Says == BeginCard:
		run.quiet(c.At, silence)
		run.begin(c)
	case does:
		run.quiet(c.At, longest)
		run.onRunning(c)
	default:
		if s := run.running(c.At); s != nil && c.Card.Says == TrialCard {
			s.Trials = append(s.Trials, c.Card.Count)
			c.Session = s.ID
		}
		c.Did.What = Holds
		if run.f.photos[c.Photo].OfCards() {
			c.Did.What = HoldsNext
		}
	}
}

// shownOnce are the verbs that say something each time they are shown; the others
// tell what the picture shows, for as long as they lie in it.
const shownOnce = "BEKPNW"

// fell is when the session fell silent, if no photo came for longer than the limit
// at some time between the last card that spoke for it and the moment.
func (run *cardRun) fell(until time.Time, limit time.Duration) (last time.Time, silent bool) {
	if run.open == nil {
		return time.Time{}, false
	}
	last = run.proven
	// A timer begun since is other work: by then this was over.
	began := slices.IndexFunc(run.timers, func(t *Session) bool {
		return t.Known == Measured && t.Start.After(last) && !t.Start.After(until)
	})
	if began >= 0 {
		until = run.timers[began].Start
	}
	from, _ := slices.BinarySearchFunc(run.f.signs, last, time.Time.Compare)
	for _, sign := range run.f.signs[from:] {
		if sign.After(until) || sign.Sub(last) > limit {
			break
		}
		last = sign
	}
	return last, until.Sub(last) > limit || began >= 0
}

// quiet ends the session where it fell silent.
func (run *cardRun) quiet(until time.Time, limit time.Duration) {
	if last, silent := run.fell(until, limit); silent {
		run.close(last, reason.FellSilent)
	}
}

// close ends the session at a moment nobody vouched for.
func (run *cardRun) close(at time.Time, how reason.How) {
	s := run.open
	s.End, s.Open, s.Known, s.How = at, false, Estimated, how
	run.lastAt, run.open = at, nil
	run.stopRest(s)
	run.log(at)
}

// log notes how the run stands, for a tail to go on from.
func (run *cardRun) log(at time.Time) {
	run.f.log.runs = append(run.f.log.runs, loggedRun{at, run.lastAt, run.last, run.rest.session != nil})
}

// cardsBefore reports whether there are cards before the tail that is folded.
func (f *folding) cardsBefore() bool { return f.seed != nil && f.seed.Cards }

// running is the session at a moment: by card, or by timer.
func (run *cardRun) running(at time.Time) *Session {
	if run.open != nil {
		return run.open
	}
	return run.timer(at)
}

// timer is the session by timer that covers the moment, the latest begun.
func (run *cardRun) timer(at time.Time) *Session {
	var found *Session
	for _, s := range run.timers {
		if s.Start.After(at) {
			break
		}
		if s.Known != Measured {
			continue // work told afterwards has no hours to be compared
		}
		end, ended := run.ends[s.ID]
		switch {
		case ended:
		case s.Open:
			end = s.Start.Add(run.f.state.Config.LongestTimer())
		default:
			end = s.End
		}
		if at.Before(end) || at.Equal(end) && s.Open && !ended {
			found = s
		}
	}
	return found
}

func (run *cardRun) begin(c *CardSaid) {
	b, st, wrong := run.stage(c)
	if wrong.Idle() {
		c.Did = wrong
		return
	}
	c.Did = CardCame{What: Began, Build: b.ID, Stage: st.ID}
	if s := run.open; s != nil {
		if s.is(b, st) {
			run.proven = c.At
			run.workAgain(s, c.At)
			c.Session, c.Did.What = s.ID, WentOn
			return
		}
		if c.Did.Ended = s.Stage; s.Build != b.ID {
			c.Did.Ended += " of " + s.Build
		}
		run.endOpen(c)
	} else if t := run.timer(c.At); t != nil {
		c.Session, c.Did.What = t.ID, TimerWentOn
		if !t.is(b, st) {
			c.Did = CardCame{What: TimerRan, Build: t.Build, Stage: t.Stage}
			return
		}
		run.workAgain(t, c.At)
		return
	} else if e := run.ended; e.session != nil && e.photo == c.Photo && e.session.is(b, st) {
		c.Session, c.Did.What = e.session.ID, EndedBeside
		return
	}
	f := run.f
	s := &Session{
		ID: cardSession(c.Photo), Build: b.ID, Stage: st.ID, Kind: st.Kind, Start: c.At, Open: true, Known: Measured,
		Date: c.At.In(f.state.Zone).Format(time.DateOnly), Cards: true,
	}
	f.sessions[s.ID] = s
	run.open, run.proven, run.last, run.lastAt = s, c.At, b.ID, c.At
	c.Session = s.ID
	f.state.endPauses(b.ID, c.At)
}

// is reports whether the session is on the stage.
func (s *Session) is(b *Build, st *Stage) bool { return s.Build == b.ID && s.Stage == st.ID }

// onRunning is an end, a pause or a count: they go to what runs.
func (run *cardRun) onRunning(c *CardSaid) {
	f := run.f
	s := run.running(c.At)
	if c.Card.Says == PauseCard {
		run.pause(c, s)
		return
	}
	after := s == nil && c.Card.Says != EndCard && c.Card.Says != BreakCard
	if after {
		s = run.justEnded(c)
	}
	switch {
	case s == nil:
		c.Did.What = NothingRan
		return
	case c.ofOther(s):
		c.Session, c.Did = s.ID, CardCame{What: OtherBuild, Build: s.Build}
		return
	}
	c.Session, c.Did = s.ID, CardCame{Build: s.Build, Stage: s.Stage}
	switch c.Card.Says {
	case EndCard:
		c.Did.What = EndedStage
		run.end(s, c)
		return
	case BreakCard:
		run.takeBreak(s, c)
	case CountCard:
		run.back(s, c.At)
		s.Bare, s.Counted = s.Bare+c.Card.Count, true
		s.Tallies = append(s.Tallies, Tally{At: c.At, Bare: c.Card.Count, Photo: c.Photo})
		c.Did.What, c.Did.Kind, c.Did.N = Counted, s.Kind, c.Card.Count
		if after {
			c.Did.What = CountedAfter
		}
	case RunnerCard:
		run.back(s, c.At)
		f.runners = append(f.runners, cardRunner{c.Photo, c.Text, s})
		c.Did.What = RunnerDone
	}
	if s == run.open {
		run.proven = c.At
	}
}

// pause puts a build aside: the one that runs, or the one the card names.
func (run *cardRun) pause(c *CardSaid, s *Session) {
	build := run.pauseOf(c, s)
	if build == "" {
		c.Did.What = NothingAside
		return
	}
	run.f.state.Pauses = append(run.f.state.Pauses, Pause{Build: build, From: c.At, Photo: c.Photo})
	c.Did = CardCame{What: PutAside, Build: build}
	if s != nil && !c.ofOther(s) {
		run.end(s, c)
	}
}

// pauseOf is the build a pause card means, "" if none.
func (run *cardRun) pauseOf(c *CardSaid, s *Session) string {
	if s != nil && !c.ofOther(s) {
		return s.Build
	}
	if b, wrong := run.build(c); !wrong.Idle() && c.Card.Build != "" {
		return b.ID
	}
	return ""
}

// ofOther reports whether the card names another build than the session's.
func (c *CardSaid) ofOther(s *Session) bool {
	return c.Card.Build != "" && BuildKey(s.Build) != c.Card.Build
}

// justEnded is the session that an end or a pause card ended just before, to which
// a count may still belong: nothing else has begun since. It is nil if there is
// none, or if the card is of another build.
func (run *cardRun) justEnded(c *CardSaid) *Session {
	if s := run.ended.session; s != nil && c.At.Sub(run.ended.at) <= CardAfter && !c.ofOther(s) {
		return s
	}
	return nil
}

// endOpen ends the session by card at a card that was photographed.
func (run *cardRun) endOpen(c *CardSaid) {
	run.open.End, run.open.Open = c.At, false
	run.stopRest(run.open)
	run.open, run.lastAt = nil, c.At
}

// end ends a session for good.
func (run *cardRun) end(s *Session, c *CardSaid) {
	if s == run.open {
		run.endOpen(c)
	} else if run.endSaid(s) {
		c.Did = CardCame{What: EndByHand, Build: s.Build, Stage: s.Stage}
		return
	} else {
		s.End, s.Open = c.At, false
		run.stopRest(s)
	}
	run.ended = ending{s, c.At, c.Photo}
}

// endSaid reports whether the end of a session by timer is known without cards.
func (run *cardRun) endSaid(s *Session) bool {
	_, ended := run.ends[s.ID]
	return ended || !s.Open
}

// stage is the build and the stage a begin card means.
func (run *cardRun) stage(c *CardSaid) (*Build, *Stage, CardCame) {
	b, wrong := run.build(c)
	if wrong.Idle() {
		return nil, nil, wrong
	}
	var found []*Stage
	for i := range b.Stages {
		st := &b.Stages[i]
		if StageKey(st.ID) == c.Card.Stage {
			return b, st, CardCame{}
		}
		if c.Card.Build == "" && StageKey(st.Kind) == c.Card.Stage {
			found = append(found, st)
		}
	}
	switch len(found) {
	case 1:
		return b, found[0], CardCame{}
	case 0:
		var ids []string
		for _, st := range b.Stages {
			ids = append(ids, st.ID)
		}
		return nil, nil, CardCame{What: NoStage, Build: b.ID, Among: ids}
	}
	return nil, nil, CardCame{What: ManyStages, Build: b.ID, N: len(found)}
}

// build is the build a card means: the one it names, else the running one, else
// the one worked on last, else the only one not finished.
func (run *cardRun) build(c *CardSaid) (*Build, CardCame) {
	s := run.f.state
	if key := c.Card.Build; key != "" {
		found := keep(s.Builds, func(b *Build) bool { return BuildKey(b.ID) == key })
		switch len(found) {
		case 1:
			return found[0], CardCame{}
		case 0:
			return nil, CardCame{What: NoSuchBuild}
		}
		return nil, CardCame{What: TwoBuilds, Among: []string{found[0].ID, found[1].ID}}
	}
	if one := run.running(c.At); one != nil {
		if b := s.Build(one.Build); b != nil {
			return b, CardCame{}
		}
	}
	last, at := run.last, run.lastAt
	for _, t := range run.timers {
		if t.Start.After(c.At) {
			break
		}
		if len(t.Date) == len(time.DateOnly) && t.Start.After(at) {
			last, at = t.Build, t.Start
		}
	}
	if b := s.Build(last); b != nil {
		return b, CardCame{}
	}
	open := s.OpenBuilds()
	if len(open) == 1 {
		return open[0], CardCame{}
	}
	return nil, CardCame{What: NoBuild}
}
