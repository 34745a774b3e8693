// This file makes of photographed bench cards what was said with them:
// sessions, counts, pauses, roles, views. It is a state machine over the cards
// of all cameras, ordered by their corrected instants. It sees no order of
// arrival: a card that comes weeks late has the effect it would have had in
// time (TestCardsComeInAnyOrder).
//
// Nothing running means no session by card and no timer at that moment.
//
//	card       while nothing runs          while a session runs
//	begin      a session begins            same stage: it goes on; else it ends
//	                                       there, estimated, and the next begins
//	end        listed                      it ends there, measured; a card of
//	                                       another build: listed, it goes on
//	pause      the build is put aside; of  it ends there, measured, and its build
//	           no build: listed            is put aside; of another build: only
//	                                       that one is put aside
//	N parts    listed                      counted in it
//	runner     listed                      the runner's parts that are not done
//	                                       yet are; none left: listed
//	role, view, light: the photo, unless it shows cards alone, and those that
//	           follow of the same camera, until the next of its kind, a begin, end or pause, or half an hour
//	           without a photo of that camera
//	trial      the same; and the session that runs notes it
//	silence    a session that no end, pause or count card speaks for ends with
//	           the last photo before a gap longer than card-silence, estimated;
//	           one that such a card speaks for, before a gap longer than the
//	           longest timer. No photo until now is such a gap
//
// Whole runners give their session the class and the kit that all its parts have.
// Begin puts an end to the pause of its build. A begin of any build (a card of
// the generic set) means the build that runs, or was worked on last, or the only
// one that is not finished. A card that was in the picture before, too, no longer
// than card-twice ago, counts once. Cards in one picture count in the order count,
// end, pause, begin, the rest; two different begins in one picture are listed,
// and neither counts. A card whose photo has a doubtful instant is listed.
// While a timer runs, counts and the end card go to it, and a begin card is
// listed: the two would count the same hour.
//
// What a person says stays above it: a card record replaces what a photo's cards
// say, and all records that name a session may name one by card, whose id is
// card- and the beginning of the photo's hash (of any photo of the same begin).

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// CardSeen is a card found in a photo. Corners are those of its symbol in
// pixels as stored: x, y of upper left, upper right, lower right, lower left as
// the card is read.
type CardSeen struct {
	Text    string     `json:"text"`
	Corners [8]float64 `json:"corners"`
	Error   float64    `json:"error,omitempty"` // standard error of a corner, pixels; 0 = not known
}

// CardBody ("card") is what a person says the cards in a photo say, in place of
// what was read. No cards: they say nothing.
type CardBody struct {
	Photo string   `json:"photo"`
	Cards []string `json:"cards,omitempty"`
}

// CardSaid is one card in one photo and what came of it.
type CardSaid struct {
	At      time.Time
	Photo   string // hash
	Text    string
	Card    Card   // the zero Card when Text is none this version knows
	Session string // id of the session it touched, "" = none
	Effect  string // what it did, in words
	Wrong   string // why it did nothing or contradicts, "" = it does not
	Over    string // that more is done with it than there is, "" = it is not
}

// Came is what came of the card, in words: what it did, or why it did nothing.
func (c CardSaid) Came() string {
	if c.Wrong != "" {
		return "nothing: " + c.Wrong
	}
	if c.Over != "" {
		return c.Effect + "; " + c.Over
	}
	return c.Effect
}

const (
	defaultSilence = 90 * time.Minute
	defaultTwice   = 15 * time.Second
)

// CardHold is how long a role, view or light by card holds without a photo.
const CardHold = 30 * time.Minute

// Silence is how long no photo may come before a session without an end card
// is taken to have ended.
func (c Config) Silence() time.Duration {
	if d, err := time.ParseDuration(c.CardSilence); err == nil && d > 0 {
		return d
	}
	return defaultSilence
}

// Twice is within how much time the same card in two pictures is one.
func (c Config) Twice() time.Duration {
	if d, err := time.ParseDuration(c.CardTwice); err == nil && d >= 0 {
		return d
	}
	return defaultTwice
}

func (f *folding) card(r Record) error {
	b, err := read[CardBody](r)
	if err != nil {
		return err
	}
	if b.Photo == "" {
		return errors.New("it names no photo")
	}
	for _, text := range b.Cards {
		if _, err := ParseCard(text); err != nil {
			return fmt.Errorf("%q: %w", text, err)
		}
	}
	f.cardSaid[b.Photo], f.cardsBy[b.Photo] = slices.Clone(b.Cards), r.ID()
	if f.cardSaid[b.Photo] == nil {
		f.cardSaid[b.Photo] = []string{}
	}
	return nil
}

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
		return nil, nil, fmt.Sprintf("%s has no such stage", b.ID)
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
		c.Effect = fmt.Sprintf("%d done", c.Card.Count)
	case RunnerCard:
		f.runners = append(f.runners, cardRunner{c.Photo, c.Text, s})
		c.Effect = "a whole runner done"
	}
	if s == run.open {
		run.proven = c.At
	}
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
