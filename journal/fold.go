// This file folds records into the state.
//
// Invariants, each held by a test:
//   - The order in which records arrive, lines that arrive twice and the split
//     over files and devices do not change the state.
//   - A record that is taken back has no effect, whenever the retraction came.
//   - The instant of a photo follows from its wall time and the clocks that
//     stand now, not from those that stood when it was taken in.
//   - A record this version does not know is kept in Unknown and changes
//     nothing else.

package journal

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"hash/maphash"
	"slices"
	"time"

	"rakelight/journal/record"
)

// Fold makes the state of a plan and all records. It is pure: no clock, no
// file, no random number.
func Fold(plan Plan, records []Record) *State { return foldWith(plan, records, photoCache{}) }

// photoCache remembers bodies of photo records. Photos are by far the most
// records, and taking in a thousand folds a thousand times.
type photoCache map[bodyKey]*PhotoBody

// bodyKey tells the bodies of records apart, also of two records of one id.
type bodyKey struct {
	dev  string
	seq  int64
	hash uint64 // of the body's bytes
}

var bodySeed = maphash.MakeSeed()

// read is the body of a photo's record, in codes. It belongs to the cache: nobody
// changes it.
func (c photoCache) read(r Record) (*PhotoBody, error) {
	key := bodyKey{r.Dev, r.Seq, maphash.Bytes(bodySeed, r.Body)}
	if b, ok := c[key]; ok {
		return b, nil
	}
	b, err := read[PhotoBody](r)
	if err != nil {
		return nil, err
	}
	b.inCodes()
	c[key] = &b
	return &b, nil
}

func foldWith(plan Plan, records []Record, bodies photoCache) *State {
	return foldIn(passes, plan, records, bodies)
}

// foldIn folds in passes; in any order but that of passes it gives another state.
func foldIn(in []pass, plan Plan, records []Record, bodies photoCache) *State {
	return foldAll(in, plan, records, bodies).state
}

// foldAll is foldIn with all that was found on the way.
func foldAll(in []pass, plan Plan, records []Record, bodies photoCache) *folding {
	return foldSeeded(in, plan, records, bodies, nil, nil)
}

// foldSeeded is foldAll of a tail, of which is known what came before: a state that
// holds it.
func foldSeeded(in []pass, plan Plan, records []Record, bodies photoCache, seed *tail,
	before *State) *folding {
	f := folding{
		seed: seed, bodies: bodies, now: plan.Now, planned: plan.Builds, ground: newGround(),
		state: &State{reckoned: &reckoned{},
			Config: plan.Config, Zone: plan.Zone, Builds: slices.Clone(plan.Builds),
			Diary: sortedDiary(plan.Diary), Problems: slices.Clone(plan.Problems),
		},
		sessions: map[string]*Session{}, photos: map[string]*Photo{}, shownBy: map[string]string{},
		asides: map[string]Aside{}, trials: map[string]*Trial{}, answered: map[answered]bool{},
		judges: map[string]string{}, sheets: map[sheet]string{}, taggedAt: map[string][]time.Time{},
		cardSaid: map[string][]string{}, cardsBy: map[string]string{}, alias: map[string]string{},
		accepted: map[string]bool{}, net: map[string]time.Duration{}, reopened: map[string]int{},
		classSaid: map[string]bool{},
		taken:     map[string]bool{}, loose: map[string][]Span{}, replaced: map[string]bool{},
		datedBy: map[string]given{}, settled: map[string]bool{},
		goneHashes: map[string]bool{}, gonePacks: map[string]bool{}, lostParts: map[string]bool{},
		lostCounts: map[string]bool{},
	}
	if f.state.Zone == nil {
		f.state.Zone = time.UTC
	}
	if seed != nil {
		f.state.Clocks, f.state.Pauses = slices.Clone(before.Clocks), slices.Clone(seed.Pauses)
		f.base, f.basePhotos = before.until(seed.Since)
	}
	records = unique(records)
	gone := retracted(records)
	f.noteTakenBack(records, gone)
	f.state.Problems = append(f.state.Problems, twins(records, gone)...)
	for _, p := range in {
		if p.do != nil {
			p.do(&f, records, gone)
		}
		f.run(p.effects, records, gone)
	}
	for _, r := range records {
		if !known(r.Kind) {
			f.state.Unknown = append(f.state.Unknown, r)
		}
	}
	f.settleGround(records, gone)
	return &f
}

// run lets the records of some kinds take effect, in their total order.
func (f *folding) run(effects map[string]effect, records []Record, gone gone) {
	if len(effects) == 0 {
		return
	}
	for _, r := range records {
		apply, ok := effects[r.Kind]
		if !ok || gone.has(r) {
			continue
		}
		f.record = &r
		err := apply(f, r)
		f.record = nil
		var absent *absentError
		if errors.As(err, &absent) {
			f.ground.Absent[absent.id] = true
		}
		if errors.As(err, &absent) && f.isTakenBack(absent.id) {
			continue // it went with what it hung on, and comes back with it
		}
		if err != nil {
			f.problem(r, err)
		}
	}
}

// problem notes why a record has no effect.
func (f *folding) problem(r Record, err error) {
	kind := ""
	if errors.Is(err, ErrOutside) {
		kind = OutsidePath
	}
	f.state.Problems = append(f.state.Problems, Problem{Kind: kind, File: "records/" + r.Dev,
		What: fmt.Sprintf("record %s (%s): %v", r.ID(), r.Kind, err), Record: r.ID()})
}

// folding is a state in the making.
type folding struct {
	state      *State
	seed       *tail      // of the time before a tail; nil = the fold is of all
	base       []*Session // of that time
	basePhotos []*Photo
	log        cardLog
	ground     ground    // what has to be known to go on from the state
	record     *Record   // that takes effect now
	now        time.Time // as Plan.Now
	bodies     photoCache
	planned    []*Build // as the plan has them
	sessions   map[string]*Session
	photos     map[string]*Photo
	shownBy    map[string]string        // hash of a file beside a photo → the photo's
	asides     map[string]Aside         // by hash
	trials     map[string]*Trial        // by record
	answered   map[answered]bool        // answers to packs that stand
	judges     map[string]string        // judge in small letters → as first written
	sheets     map[sheet]string         // filled-in copy of a pack → the judge it counts for
	taggedAt   map[string][]time.Time   // photo → the instants its records tagged it by
	accepted   map[string]bool          // session → its length is vouched for
	net        map[string]time.Duration // session → net time as somebody said it
	reopened   map[string]int           // session and part → how many of it were reopened
	classSaid  map[string]bool          // sessions of which a person said the class
	cardSaid   map[string][]string      // photo → what a person says its cards say
	cardsBy    map[string]string        // photo → the record that says so
	alias      map[string]string        // session by a card photographed twice → the one that stands
	early      []earlyEnd               // ends before their beginnings, so far
	runners    []cardRunner             // whole runners to be counted
	signs      []time.Time              // instants of all photos that are not in doubt, in order, if there are cards
	taken      map[string]bool          // session and part → a person took it off
	loose      map[string][]Span        // session → breaks by card that ended with a photo at the latest
	replaced   map[string]bool          // sessions whose parts a person named anew
	datedBy    map[string]given         // photo → when a person says it was taken
	settled    map[string]bool          // clips of which other photos tell when they were taken
	pasts      map[string]*PastSaid     // picture of the years before → what was said of it; nil = nothing new

	gone       map[string]bool // records that were taken back, and sessions begun by cards of such photos
	goneHashes map[string]bool // photos and files beside whose records were all taken back
	gonePacks  map[string]bool
	lostParts  map[string]bool // build and part → a count of it was taken back
	lostCounts map[string]bool // session → a count in it was taken back
}

// unique sorts records and drops lines that arrived twice. Two different
// records under one id (a copied device folder) are both kept.
func unique(records []Record) []Record {
	out := slices.Clone(records)
	slices.SortFunc(out, record.Compare)
	return slices.CompactFunc(out, func(a, b Record) bool { return record.Compare(a, b) == 0 })
}

func read[T any](r Record) (T, error) {
	var body T
	if err := json.Unmarshal(r.Body, &body); err != nil {
		return body, fmt.Errorf("its body is not understood: %v", err)
	}
	return body, nil
}

// settleSessions makes the state's sessions: breaks, net times, doubts, order.
func (f *folding) settleSessions() {
	longest := f.state.Config.LongestTimer()
	for _, s := range f.sessions {
		f.settle(s, longest)
		f.sortOf(s)
		f.state.Sessions = append(f.state.Sessions, s)
	}
	f.findUnseen()
	f.state.reach = reachOf(f.state.Sessions, longest)
	slices.SortFunc(f.state.Sessions, orderOfSessions)
	f.chargeRepairs()
}

// finish settles what depends on the whole: kinds and order.
func (f *folding) finish() {
	for _, p := range f.photos {
		p.Kind = f.kind(p.Tags.Build, p.Tags.Stage, "")
		f.state.Photos = append(f.state.Photos, p)
	}
	s := f.state
	slices.SortFunc(s.Photos, orderOfPhotos)
	sortNotes(s.Notes)
	s.foldSeries()
	s.foldBursts()
	s.addSeriesSessions()
	s.sayOver()
	f.settlePast()
	s.sortSkill()
	s.settleBook()
	s.sortShop()
	s.sortRepairs()
	for hash, a := range f.asides {
		if f.photos[hash] == nil && f.shownBy[hash] == "" {
			s.Asides = append(s.Asides, a)
		}
	}
	slices.SortFunc(s.Asides, func(a, b Aside) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path),
			cmp.Compare(a.Hash, b.Hash))
	})
	sortPauses(s.Pauses)
	s.sortBuilds()
	s.scatter = scatterOf(s.Work(""))
	slices.SortFunc(s.Problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.What, b.What))
	})
}

func orderOfPhotos(a, b *Photo) int {
	return cmp.Or(a.Instant.At.Compare(b.Instant.At), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Hash, b.Hash))
}

// sortedDiary are the days of a plan in the order of the state.
func sortedDiary(days []DiaryDay) []DiaryDay {
	days = slices.Clone(days)
	slices.SortFunc(days, func(a, b DiaryDay) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Build, b.Build))
	})
	return days
}

func orderOfSessions(a, b *Session) int {
	return cmp.Or(a.Start.Compare(b.Start), cmp.Compare(a.ID, b.ID))
}

func sortNotes(notes []Note) {
	slices.SortStableFunc(notes, func(a, b Note) int {
		return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Record, b.Record))
	})
}

func sortPauses(pauses []Pause) {
	slices.SortStableFunc(pauses, func(a, b Pause) int {
		return cmp.Or(a.From.Compare(b.From), cmp.Compare(a.Build, b.Build))
	})
}

// sortBuilds puts the builds in the order of their first days.
func (s *State) sortBuilds() {
	first := map[string]string{}
	for _, b := range s.Builds {
		first[b.ID] = s.FirstDay(b)
	}
	slices.SortFunc(s.Builds, func(a, b *Build) int {
		return cmp.Or(cmp.Compare(first[a.ID], first[b.ID]), cmp.Compare(a.ID, b.ID))
	})
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
