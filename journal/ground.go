// This file notes, while records are folded, what has to be known to go on from the
// state without them: which records the latest sessions were made of, and what
// later records could change that lies further back (advance.go).

package journal

import (
	"maps"
	"slices"
	"strings"
	"time"

	"rakelight/journal/reason"
	"rakelight/journal/record"
)

// ground is what has to be known, besides a state, to go on from it. Maps of a
// ground are never changed once it is made.
type ground struct {
	Strands  map[string][]Record  // the latest sessions → the records they are made of
	Absent   map[string]bool      // what records named and was not here: it may come yet
	Reopened map[string]time.Time // build → the latest moment at which parts of it were opened again
	Loose    map[string]time.Time // build → the latest moment of a count that names no session
	Resumed  map[string]time.Time // build → the latest moment at which it was taken up again
	Runners  map[string]bool      // builds with whole runners by card
	Judges   map[string]string    // as in folding
	Moved    bool                 // the instant of some photo is not the one it was tagged by
	Clips    []openClip           // whose headers other photos may tell the meaning of
	Cards    time.Time            // until then what is added may change what cards say; zero = there are none
	Last     Record               // of all, in their order
	Tops     map[string]int64     // device → its highest number
	From     time.Time            // the state holds at no moment before; zero = it does
	Until    time.Time            // the state holds at no moment after; zero = it does
	Twins    bool                 // two records bear one number, so a name may mean either
	Tail     tail
}

// strandsKept is of how many sessions the records are kept at hand, the latest:
// some weeks at the bench. Who corrects an older one waits for a whole fold.
const strandsKept = 40

// strandKinds are the kinds of records that a session is made of, and nothing else.
var strandKinds = []string{
	BeginBody{}.RecordKind(), WorkBody{}.RecordKind(), EndBody{}.RecordKind(), BreakBody{}.RecordKind(),
	DoneBody{}.RecordKind(), CorrectBody{}.RecordKind(),
}

func newGround() ground {
	return ground{
		Strands: map[string][]Record{}, Absent: map[string]bool{}, Reopened: map[string]time.Time{},
		Loose: map[string]time.Time{}, Resumed: map[string]time.Time{}, Runners: map[string]bool{},
		Tops: map[string]int64{},
	}
}

// clone is a ground that may be changed.
func (g ground) clone() ground {
	g.Strands, g.Absent, g.Judges = maps.Clone(g.Strands), maps.Clone(g.Absent), maps.Clone(g.Judges)
	g.Reopened, g.Loose, g.Resumed = maps.Clone(g.Reopened), maps.Clone(g.Loose), maps.Clone(g.Resumed)
	g.Tops = maps.Clone(g.Tops)
	return g
}

// touch notes that a record had a say in a session.
func (g *ground) touch(session string, r Record) {
	g.Strands[session] = append(g.Strands[session], r)
}

// noteLater keeps the later moment.
func noteLater(in map[string]time.Time, build string, at time.Time) {
	if old, ok := in[build]; !ok || at.After(old) {
		in[build] = at
	}
}

// settleGround finishes the ground once all is folded.
func (f *folding) settleGround(records []Record, gone gone) {
	g, s := &f.ground, f.state
	ids := map[string]bool{}
	for _, r := range records {
		g.Twins = g.Twins || ids[r.ID()]
		ids[r.ID()] = true
		g.Last, g.Tops[r.Dev] = r, max(r.Seq, g.Tops[r.Dev])
	}
	g.Judges = f.judges
	for _, one := range f.runners {
		g.Runners[one.session.Build] = true
	}
	for hash, at := range f.taggedAt {
		p := f.photos[hash]
		g.Moved = g.Moved || p != nil && slices.ContainsFunc(at,
			func(t time.Time) bool { return !t.Equal(p.Instant.At) })
	}
	g.Moved = g.Moved || len(f.settled) > 0
	for _, said := range []map[string]string{f.cardsBy, f.shownBy} { // said of photos that may come yet
		for hash := range said {
			g.Absent[hash] = true
		}
	}
	for hash := range f.datedBy {
		g.Absent[hash] = true
	}
	for hash := range f.pasts {
		g.Absent[hash] = true
	}
	maps.Copy(g.Absent, f.goneHashes)
	for id := range f.gone {
		g.Absent[id] = true
	}
	for id := range retractions(records) {
		g.Absent[id] = true
	}
	g.keepStrands(s)
	f.groundOfCards()
	f.settleTail(records, gone)
}

// keepStrands leaves the records of the latest sessions, of those that nothing but
// their own records had a say in.
func (g *ground) keepStrands(s *State) {
	kept := map[string][]Record{}
	for i, one := range slices.Backward(s.Sessions) {
		records := g.Strands[one.ID]
		own := !one.Cards && !strings.Contains(one.ID, "~") && len(records) > 0 && s.Sessions[i] == one
		for _, r := range records {
			own = own && slices.Contains(strandKinds, r.Kind)
		}
		for _, t := range one.Tallies {
			own = own && !t.Back && t.Photo == ""
		}
		if own && (len(kept) < strandsKept || one.Open) {
			// A count that names no session is asked about twice.
			kept[one.ID] = slices.CompactFunc(records, func(a, b Record) bool { return record.Compare(a, b) == 0 })
		}
	}
	g.Strands = kept
}

// groundOfCards finds until when what cards say may hang on what is added.
func (f *folding) groundOfCards() {
	g, config := &f.ground, f.state.Config
	if len(f.state.Cards) == 0 {
		return
	}
	note := func(at time.Time) {
		if at = at.Add(max(config.Silence(), config.LongestTimer(), CardHold)); at.After(g.Cards) {
			g.Cards = at
		}
	}
	for _, c := range f.state.Cards {
		note(c.At)
	}
	for _, s := range f.state.Sessions {
		switch {
		case s.Cards && s.Open:
			note(time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC))
		case s.Cards || s.How == reason.LooseRest:
			note(s.End)
		}
	}
	for _, p := range f.state.Photos {
		for _, why := range p.Why {
			if why.By == reason.Card || why.By == reason.CardHeld {
				note(p.Instant.At)
			}
		}
	}
}
