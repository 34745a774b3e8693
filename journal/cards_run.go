// This file makes of photographed bench cards what was said with them, by the
// rules at the head of cards.go.

package journal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal/metrics"
)

// cardRun is the state machine at work.
type cardRun struct {
	f      *folding
	signs  []time.Time // instants of all photos that are not in doubt
	ends   map[string]time.Time
	open   *Session  // by card, running
	proven time.Time // until when a card spoke for it
	last   string    // build worked on last
	lastAt time.Time
	timers []*Session
}

// runCards finds what the cards say, after the clocks and before the records
// that may name the sessions.
func (f *folding) runCards(records []Record, gone map[string]bool) {
	said := f.cardEvents()
	if len(said) == 0 {
		return
	}
	run := &cardRun{f: f, ends: map[string]time.Time{}}
	for _, p := range f.photos {
		if certain(p.Instant) {
			run.signs = append(run.signs, p.Instant.At)
		}
	}
	slices.SortFunc(run.signs, time.Time.Compare)
	for _, r := range records {
		if b, err := read[EndBody](r); r.Kind == "end" && !gone[r.ID()] && err == nil {
			run.ends[b.Session] = b.End
		}
	}
	for _, s := range f.sessions {
		run.timers = append(run.timers, s)
	}
	slices.SortFunc(run.timers, func(a, b *Session) int { return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.ID, b.ID)) })
	run.twice(said)
	for i := range said {
		if c := &said[i]; c.Effect == "" && c.Wrong == "" {
			run.take(c)
		}
	}
	if run.open != nil && len(run.signs) > 0 {
		until := run.signs[len(run.signs)-1]
		if f.now.After(until) {
			until = f.now // no photo since: silence, too
		}
		run.quiet(until, f.state.Config.Silence())
	}
	f.state.Cards = said
}

// certain reports whether a photo's instant is good enough to put a card in
// order.
func certain(in Instant) bool { return in.Source != "file time" && in.Doubt == "" && !in.At.IsZero() }

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
				one.Wrong = "its text is none this version knows"
			case !certain(p.Instant):
				one.Wrong = "the time of its photo is in doubt"
			case c.Says == BeginCard:
				begins++
			}
			all = append(all, one)
		}
		if begins > 1 {
			for i := first; i < len(all); i++ {
				if all[i].Card.Says == BeginCard {
					all[i].Wrong = "two stages begin in one picture"
				}
			}
		}
	}
	slices.SortFunc(all, func(a, b CardSaid) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Photo, b.Photo),
			cmp.Compare(strings.IndexByte(cardOrder, byte(a.Card.Says)), strings.IndexByte(cardOrder, byte(b.Card.Says))), cmp.Compare(a.Text, b.Text))
	})
	return all
}

// cardOrder is the order in which cards in one picture count.
const cardOrder = "NWEPBRVLT"

// twice marks cards that the picture before showed, too. It looks from picture
// to picture, so that a row of shots of one card is one, however long.
func (run *cardRun) twice(said []CardSaid) {
	before := map[string]int{} // text → place, of the picture before
	for i := 0; i < len(said); {
		next := i
		here := map[string]int{}
		for ; next < len(said) && said[next].Photo == said[i].Photo; next++ {
			c := &said[next]
			if c.Wrong != "" {
				continue
			}
			here[c.Text] = next
			if at, ok := before[c.Text]; ok && c.At.Sub(said[at].At) <= run.f.state.Config.Twice() {
				c.Effect = "the same card as " + seconds(c.At.Sub(said[at].At)) + " before: counted once"
				if c.Card.Says == BeginCard {
					first := run.f.alias[cardSession(said[at].Photo)]
					run.f.alias[cardSession(c.Photo)] = cmp.Or(first, cardSession(said[at].Photo))
				}
			}
		}
		if len(here) > 0 {
			before = here
		}
		i = next
	}
}

// seconds writes a short time.
func seconds(d time.Duration) string { return fmt.Sprintf("%d s", int(d.Round(time.Second).Seconds())) }

// cardSession is the id of the session that a photo's begin card begins.
func cardSession(hash string) string { return "card-" + hash[:min(16, len(hash))] }

// take is one card's turn.
func (run *cardRun) take(c *CardSaid) {
	longest, silence := run.f.state.Config.LongestTimer(), run.f.state.Config.Silence()
	switch c.Card.Says {
	case BeginCard:
		run.quiet(c.At, silence)
		run.begin(c)
	case EndCard, PauseCard, CountCard, RunnerCard:
		run.quiet(c.At, longest)
		run.onRunning(c)
	default:
		if s := run.running(c.At); s != nil && c.Card.Says == TrialCard {
			s.Trials = append(s.Trials, c.Card.Count)
			c.Session = s.ID
		}
		c.Effect = "holds for this photo and those that follow"
		if run.f.photos[c.Photo].OfCards() {
			c.Effect = "holds for the photos that follow"
		}
	}
}

// quiet ends the session if no photo came for longer than the limit at some
// time between the last card that spoke for it and the moment.
func (run *cardRun) quiet(until time.Time, limit time.Duration) {
	if run.open == nil {
		return
	}
	last := run.proven
	// A timer begun since is other work: by then this was over.
	began := slices.IndexFunc(run.timers, func(t *Session) bool {
		return t.Known == Measured && t.Start.After(last) && !t.Start.After(until)
	})
	if began >= 0 {
		until = run.timers[began].Start
	}
	from, _ := slices.BinarySearchFunc(run.signs, last, time.Time.Compare)
	for _, sign := range run.signs[from:] {
		if sign.After(until) || sign.Sub(last) > limit {
			break
		}
		last = sign
	}
	if until.Sub(last) > limit || began >= 0 {
		run.close(last, fellSilent)
	}
}

// fellSilent is how a session ended that nothing else did.
const fellSilent = "no end card: it ended with the last photo before a silence"

// close ends the session at a moment nobody vouched for.
func (run *cardRun) close(at time.Time, how string) {
	s := run.open
	s.End, s.Open, s.Known, s.How = at, false, Estimated, how
	run.lastAt, run.open = at, nil
}

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
	if wrong != "" {
		c.Wrong = wrong
		return
	}
	if s := run.open; s != nil {
		if s.Build == b.ID && s.Stage == st.ID {
			run.proven = c.At
			c.Session, c.Effect = s.ID, "it runs already and goes on"
			return
		}
		run.close(c.At, "no end card: the next begin card ended it")
	} else if t := run.timer(c.At); t != nil {
		c.Session = t.ID
		if t.Build == b.ID && t.Stage == st.ID {
			c.Effect = "a timer runs on it already and goes on"
		} else {
			c.Wrong = fmt.Sprintf("a timer ran on %s of %s at that time; the card begins nothing", t.Stage, t.Build)
		}
		return
	}
	f := run.f
	s := &Session{
		ID: cardSession(c.Photo), Build: b.ID, Stage: st.ID, Kind: st.Kind, Start: c.At, Open: true, Known: Measured,
		Date: c.At.In(f.state.Zone).Format(time.DateOnly), Cards: true,
	}
	f.sessions[s.ID] = s
	run.open, run.proven, run.last, run.lastAt = s, c.At, b.ID, c.At
	c.Session, c.Effect = s.ID, fmt.Sprintf("%s of %s begins", st.ID, b.ID)
	for i := range f.state.Pauses {
		p := &f.state.Pauses[i]
		if p.Build == b.ID && !p.From.After(c.At) && (p.Until.IsZero() || p.Until.After(c.At)) {
			p.Until = c.At
		}
	}
}

// onRunning is an end, a pause or a count: they go to what runs.
func (run *cardRun) onRunning(c *CardSaid) {
	f := run.f
	s := run.running(c.At)
	other := s != nil && c.Card.Build != "" && BuildKey(s.Build) != c.Card.Build
	if c.Card.Says == PauseCard {
		build := ""
		if s != nil && !other {
			build = s.Build
		} else if b, wrong := run.build(c); wrong == "" && c.Card.Build != "" {
			build = b.ID
		}
		if build == "" {
			c.Wrong = "nothing ran, and it names no build of this journal"
			return
		}
		f.state.Pauses = append(f.state.Pauses, Pause{Build: build, From: c.At, Photo: c.Photo})
		c.Effect = build + " is put aside"
		if s != nil && !other {
			run.end(s, c)
		}
		return
	}
	switch {
	case s == nil:
		c.Wrong = "nothing ran at that time"
		return
	case other:
		c.Session, c.Wrong = s.ID, fmt.Sprintf("it is of another build than %s, which ran at that time and goes on", s.Build)
		return
	}
	c.Session = s.ID
	switch c.Card.Says {
	case EndCard:
		c.Effect = fmt.Sprintf("%s of %s ends", s.Stage, s.Build)
		run.end(s, c)
		return
	case CountCard:
		s.Bare, s.Counted = s.Bare+c.Card.Count, true
		s.Tallies = append(s.Tallies, Tally{At: c.At, Bare: c.Card.Count, Photo: c.Photo})
		c.Effect = countedIn(c.Card.Count, s)
	case RunnerCard:
		f.runners = append(f.runners, cardRunner{c.Photo, c.Text, s})
		c.Effect = "a whole runner done"
	}
	if s == run.open {
		run.proven = c.At
	}
}

// countedIn says what a count card counted: joins where seams are filled, coats
// where paint is laid.
func countedIn(n int, s *Session) string {
	unit, ok := metrics.CountedKind(s.Kind)
	switch {
	case !ok:
		return fmt.Sprintf("%d counted in %s", n, s.Stage)
	case n != 1:
		unit += "s"
	}
	return fmt.Sprintf("%d %s counted in %s", n, unit, s.Stage)
}

// end ends a session for good.
func (run *cardRun) end(s *Session, c *CardSaid) {
	if s == run.open {
		s.End, s.Open = c.At, false
		run.open, run.lastAt = nil, c.At
		return
	}
	if _, ended := run.ends[s.ID]; ended || !s.Open {
		c.Wrong = fmt.Sprintf("its end was said by hand; %s of %s stays as it is", s.Stage, s.Build)
		return
	}
	s.End, s.Open = c.At, false
}

// stage is the build and the stage a begin card means.
func (run *cardRun) stage(c *CardSaid) (*Build, *Stage, string) {
	b, wrong := run.build(c)
	if wrong != "" {
		return nil, nil, wrong
	}
	var found []*Stage
	for i := range b.Stages {
		st := &b.Stages[i]
		if StageKey(st.ID) == c.Card.Stage {
			return b, st, ""
		}
		if c.Card.Build == "" && StageKey(st.Kind) == c.Card.Stage {
			found = append(found, st)
		}
	}
	switch len(found) {
	case 1:
		return b, found[0], ""
	case 0:
		var ids []string
		for _, st := range b.Stages {
			ids = append(ids, st.ID)
		}
		return nil, nil, fmt.Sprintf("%s has no such stage; its stages are %s", b.ID, strings.Join(ids, ", "))
	}
	return nil, nil, fmt.Sprintf("%s has %d stages of that kind", b.ID, len(found))
}

// noSuchBuild is why a card of a build without a folder says nothing.
const noSuchBuild = "it names a build that is not in this journal; was its folder renamed?"

// build is the build a card means: the one it names, else the running one, else
// the one worked on last, else the only one not finished.
func (run *cardRun) build(c *CardSaid) (*Build, string) {
	s := run.f.state
	if key := c.Card.Build; key != "" {
		found := keep(s.Builds, func(b *Build) bool { return BuildKey(b.ID) == key })
		switch len(found) {
		case 1:
			return found[0], ""
		case 0:
			return nil, noSuchBuild
		}
		return nil, fmt.Sprintf("it may be of %s or of %s", found[0].ID, found[1].ID)
	}
	if one := run.running(c.At); one != nil {
		if b := s.Build(one.Build); b != nil {
			return b, ""
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
		return b, ""
	}
	open := keep(s.Builds, func(b *Build) bool { return b.Finished == "" })
	if len(open) == 1 {
		return open[0], ""
	}
	return nil, "it names no build, and none was worked on before"
}
