// The property of the door: whatever is said in whatever order, the state is whole
// or it was refused, and what is taken back leaves no trace.

package entry

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/plan"
)

// bench is a journal in memory.
type bench struct {
	*testing.T
	rng      *rand.Rand
	plan     journal.Plan
	photos   []string // hashes
	records  []journal.Record
	said     []string         // ids, without those of photos and repairs
	repaired []journal.Record // those of repairs
	through  map[string]int   // things let through, by their type
	now      time.Time
	log      []string
}

func newBench(t *testing.T, seed uint64) *bench {
	b := &bench{T: t, rng: rand.New(rand.NewPCG(seed, 10)), through: map[string]int{}, now: time.Date(2026, 3, 14, 18, 0, 0, 0, time.UTC)}
	b.plan = journal.Plan{Zone: time.UTC}
	for _, id := range []string{"pilot-boat", "lorry"} {
		build, problems := plan.ParseBuild(id, []byte(boat))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		b.plan.Builds = append(b.plan.Builds, build)
	}
	for i := range 6 {
		hash := strings.Repeat(strconv.Itoa(i), 64)
		at := b.now.Add(time.Duration(20*i-120) * time.Minute)
		b.add(journal.PhotoBody{
			Hash: hash, Path: "photos/" + hash[:8] + ".jpg", Name: fmt.Sprintf("p%d.jpg", i), Width: 800, Height: 600, Camera: journal.Camera{Make: "Tarrow", Model: "T-24"},
			Instant: journal.Instant{At: at, Wall: at.Format("2006:01:02 15:04:05"), Source: "DateTimeOriginal", Offset: "stated"},
			Tags:    journal.Tags{Build: []string{"pilot-boat", "lorry"}[i%2], Stage: "clean", Role: "after", View: "left", Light: "diffuse"},
			Cards:   cardsIn(t, i),
		})
		b.photos = append(b.photos, hash)
	}
	return b
}

// cardsIn are the bench cards in the photos: two bear one, of a sheet.
func cardsIn(t *testing.T, photo int) []journal.CardSeen {
	c := journal.Card{Says: journal.CountCard, Count: 2, Sheet: "K7QF"}
	switch photo {
	case 2:
		c = journal.Card{Says: journal.BeginCard, Build: journal.BuildKey("pilot-boat"), Stage: journal.StageKey("clean"), Sheet: "K7QF"}
	case 4:
	default:
		return nil
	}
	text, err := c.Text()
	if err != nil {
		t.Fatal(err)
	}
	return []journal.CardSeen{{Text: text, Corners: [8]float64{100, 100, 200, 100, 200, 200, 100, 200}, Error: 0.2}}
}

// brings is what intake does meanwhile: a file that was kept is put right again.
// Nobody says it, and so nobody takes it back.
func (b *bench) brings() {
	b.Helper()
	hash := one(b, b.photos...)
	b.add(journal.RepairBody{Hash: hash, Path: "photos/" + hash[:8] + ".jpg", Was: strings.Repeat("f", 64), Aside: "inbox/aside/damaged/x.jpg", From: "x.jpg"})
	b.repaired = append(b.repaired, b.records[len(b.records)-1])
	b.log = append(b.log, "a repair of "+hash[:8])
	if after := b.look(); len(after.Problems) > 0 {
		b.fail("a repair left %v", after.Problems)
	}
}

func (b *bench) add(body journal.Body) string {
	b.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		b.Fatal(err)
	}
	r := journal.Record{At: b.now.Add(time.Duration(len(b.records)) * time.Millisecond), Dev: "d", Seq: int64(len(b.records) + 1), Kind: body.RecordKind(), Body: data}
	b.records = append(b.records, r)
	return r.ID()
}

func (b *bench) look() journal.Look { return journal.LookAt(b.plan, b.records, b.now) }

// say says it and reports whether it was let through. What is let through leaves a
// whole state, and what is more than there is, or overlaps, is told.
func (b *bench) say(r Request) bool {
	b.Helper()
	before := b.look()
	plan, err := r.Plan(before)
	var no *Refusal
	var ask *journal.AskError
	switch {
	case errors.As(err, &no):
		b.log = append(b.log, fmt.Sprintf("%T %+v: %v", r, r, no.Reason))
		return false
	case errors.As(err, &ask):
		b.log = append(b.log, fmt.Sprintf("%T %+v: %v", r, r, ask))
		return false
	case err != nil && strings.Contains(err.Error(), "part") || err != nil && strings.Contains(err.Error(), "named twice"):
		return false // how parts are written
	case err != nil && strings.Contains(err.Error(), "is not a time"):
		return false // how a time is written
	case err != nil:
		b.fail("%T %+v: %v, which is no refusal", r, r, err)
		return false
	}
	b.through[fmt.Sprintf("%T", r)]++
	for _, n := range plan.Add {
		b.said = append(b.said, b.add(n))
	}
	b.log = append(b.log, fmt.Sprintf("%T %+v: let through", r, r))
	after := b.look()
	told := arisen(before.State, after.State, b.now)
	if len(after.Problems) > 0 {
		b.fail("it was let through and left %v", after.Problems)
	}
	for _, o := range after.Over() {
		if !slices.Contains(before.Over(), o) && !slices.ContainsFunc(told, func(r Remark) bool { return r.Over == o }) {
			b.fail("nobody was told of %v", o)
		}
	}
	if begin, session := r.(Begin); session && !begin.At.IsZero() && len(before.Running()) < 2 && len(after.Overlaps()) > len(before.Overlaps()) {
		b.fail("a session was begun over another one: %v", after.Overlaps())
	}
	return true
}

func (b *bench) fail(format string, args ...any) {
	b.Helper()
	b.Fatalf("%s\nafter:\n%s", fmt.Sprintf(format, args...), strings.Join(b.log, "\n"))
}

func one[T any](b *bench, of ...T) T { return of[b.rng.IntN(len(of))] }

// random is something said, sensible or not.
func (b *bench) random() Request {
	build := one(b, "pilot-boat", "pilot-boat", "lorry", "lorry", "lorry", "nobody")
	stage := one(b, "cut", "cut", "clean", "clean", "clean", "paint", "repair", "cure", "none")
	parts := one(b, "A1", "A1-A4", "A2,B3", "B1-B6", "3", "1", "0", "A7", "A99", "A1x2", "A1,A1")
	photo, other := one(b, b.photos...), one(b, b.photos...)
	at := one(b, time.Time{}, time.Time{}, b.now.Add(-time.Duration(b.rng.IntN(90))*time.Minute), b.now.Add(5*time.Minute))
	lasted := time.Duration(1+b.rng.IntN(80)) * time.Minute
	l := b.look()
	session := "d/999"
	if len(l.Sessions) > 0 {
		session = one(b, l.Sessions...).ID
	}
	trial := "glass"
	if len(l.Trials) > 0 {
		trial = one(b, l.Trials...).ID
	}
	count := b.rng.IntN(5)
	mistake := ""
	if len(l.Mistakes) > 0 {
		mistake = one(b, l.Mistakes...).Record
	}
	tools := []string{one(b, "file", "FILE", "saw")}
	switch b.rng.IntN(54) {
	case 0, 1, 2:
		return Begin{Build: build, Stage: stage, At: at, Tools: tools, Class: one(b, "", "", "flat", "odd"), For: one(b, "", "", "", mistake)}
	case 3, 4:
		return End{At: at}
	case 5:
		return End{Lasted: lasted}
	case 6, 7:
		return Break{At: at}
	case 8, 9, 10:
		return Done{Parts: parts, At: at, Last: b.rng.IntN(3) == 0}
	case 11:
		return Worked{Build: build, Stage: stage, Minutes: lasted.Minutes(), Date: one(b, "2026-03-14", "2026-03", "1998", "2026-04-01"), Parts: one(b, "", parts)}
	case 12:
		start := b.now.Add(-time.Duration(b.rng.IntN(300)) * time.Minute)
		return Worked{Build: build, Stage: stage, Minutes: lasted.Minutes(), Date: start.Format(time.DateOnly), Start: start, Parts: one(b, "", parts)}
	case 13:
		return Correct{Session: session, Lasted: one(b, 0, lasted), Count: one(b, nil, &count), Stage: one(b, "", stage), Build: one(b, "", "", build), Note: text("x"), Class: one(b, nil, text(""), text("flat"))}
	case 26:
		from := b.now.Add(-time.Duration(b.rng.IntN(200)) * time.Minute)
		rests := []journal.Rest{{Start: from.Add(5 * time.Minute), End: from.Add(9 * time.Minute)}}
		return Correct{Session: session, Start: one(b, time.Time{}, from), End: one(b, time.Time{}, from.Add(lasted)), Breaks: one(b, nil, &rests),
			Parts: one(b, nil, nil, &parts), Add: one(b, "", parts), Take: one(b, "", parts)}
	case 27:
		return one[Request](b, Finish{Build: build, Date: one(b, "", "2026-03-01", "never")}, Unfinish{Build: build})
	case 28:
		return Note{Text: one(b, "pegs cut off", " "), Session: one(b, "", "", session), Build: one(b, "", build), Stage: one(b, "", stage), Parts: one(b, "", parts), At: at}
	case 29:
		return Dated{Photos: []string{photo}, At: one(b, time.Time{}, at), First: one(b, "2019-03-01", "1700-01-01", "x"),
			Last: one(b, "2019-05-31", "2026-03-14", "2030-01-01", "2019-02-01"), Said: one(b, "", "spring 2019")}
	case 14:
		return Reopen{Build: build, Parts: parts, Stage: one(b, "", stage), Session: one(b, "", session)}
	case 15:
		return Pause{Build: build, Why: one(b, "", "no wire")}
	case 16:
		return Resume{Build: build}
	case 17:
		return Tool{Name: tools[0]}
	case 18:
		return Mark{Photo: photo, Criterion: one(b, 0, 1, 4), Score: one(b, nil, &count), Judge: one(b, "", "Mo", "me")}
	case 19:
		return Verdict{Left: photo, Right: other, Criterion: 2, Outcome: one(b, "left", "right", "up"), Judge: one(b, "", "mo")}
	case 20:
		return Mistake{Build: build, Kind: one(b, "gouge", " "), Stage: one(b, "", stage), Parts: one(b, "", parts), Lost: lasted}
	case 21:
		return Trial{What: one(b, "glass file", "new glue"), Card: b.rng.IntN(3), Build: one(b, "", build)}
	case 22:
		if b.rng.IntN(3) == 0 {
			return Review{Trial: trial, Text: "kept"}
		}
		return Observe{Trial: trial, Text: "slow in corners", Photo: one(b, "", photo)}
	case 23:
		return Tag{Photos: []string{photo, other}, Build: one(b, "", build), Stage: one(b, "", stage), Role: one(b, "", "before", "odd"), Parts: one(b, "", parts)}
	case 24:
		if b.rng.IntN(2) == 0 {
			return Alike{A: photo, B: other, Not: b.rng.IntN(3) == 0, Tag: b.rng.IntN(2) == 0}
		}
		return Points{A: photo, B: other, Anyway: b.rng.IntN(2) == 0,
			Pairs: []journal.PointPair{{0.1, 0.1, 0.1, b.rng.Float64()}, {0.8, 0.8, b.rng.Float64(), 0.8}}}
	case 25, 40:
		return b.shop(one(b, "lorry", "pilot-boat", build), parts, photo, at)
	case 30, 31, 32:
		return Cards{Photo: photo, Words: one(b, "begin clean", "begin clean of lorry", "end", "5 parts", "2 parts, end", "runner A", "runner B", "pause", "before", "left view, raking light", "trial 1", "nothing", "0 parts", "begin nowhere")}
	case 33:
		return NoCardsIn{Photo: photo}
	case 34:
		return PrintedSheet{Sheet: one(b, "K7QF", "M2AB", ""), Measured: one(b, 49.5, 47, 0, 500), From: one(b, "", "2026-03-01"), To: one(b, "", "", "2026-02-01")}
	case 35:
		if b.rng.IntN(2) == 0 {
			return Clock{Photo: photo, Really: one(b, "19:32:05", "2026-03-14 18:10:00", "soon")}
		}
		return Clock{Camera: one(b, "tarrow-t-24", "nobody's"), Fast: one(b, time.Hour, -20*time.Minute, 0), From: one(b, "", "2026-03-14"), To: one(b, "", "", "2026-03-01")}
	case 36:
		key := journal.PackBody{Pack: fmt.Sprint("pack-", len(b.records)), Pairs: []journal.PackPair{{ID: "p1", Left: photo, Right: other, Criterion: 2}, {ID: "p2", Left: other, Right: photo, Criterion: 4}}}
		return Pack{key}
	case 37, 38:
		return b.sheet()
	case 52:
		if b.rng.IntN(2) == 0 {
			return Private{Photos: []string{photo}, Not: b.rng.IntN(3) == 0, At: at}
		}
		return Private{Build: one(b, "", build), Date: one(b, "", "2026-03-14", "soon"), Not: b.rng.IntN(3) == 0, At: at}
	case 53:
		unseen := strings.Repeat(fmt.Sprint(b.rng.IntN(10)), 64)
		return Past{Photos: []string{one(b, photo, unseen), one(b, other, unseen, "x")}, Build: one(b, "", build), Stage: one(b, "", stage), Role: one(b, "", "before", "odd"), Parts: one(b, "", "", parts),
			Out: one(b, nil, nil, new(bool), yes()), First: one(b, "", "", "2019-03-01", "x"), Last: one(b, "2019-05-31", "2030-01-01"), Said: one(b, "", "spring 2019")}
	case 41, 42, 43, 44, 45, 46, 47, 48:
		return b.toBook(l, About{Build: one(b, "lorry", "lorry", "", build), Parts: one(b, "A1-A4", "A2,B3", "B1-B6", "A4", parts), Text: one(b, "", "left one short"), Photo: one(b, "", photo), At: one(b, time.Time{}, at)}, session)
	}
	if b.rng.IntN(4) == 0 {
		return RetractAll{Records: []string{one(b, b.records...).ID(), one(b, b.records...).ID()}}
	}
	return RetractAll{Records: []string{one(b, b.records...).ID()}}
}

func yes() *bool { y := true; return &y }

// toBook is something said to the bench book.
func (b *bench) toBook(l journal.Look, about About, session string) Request {
	ids := []string{"", "", "", "d/999"}
	held := []string{""}
	kind := b.rng.IntN(7)
	if kind > 1 && b.rng.IntN(2) == 0 {
		about.Parts, about.Sub = one(b, "cab", ""), one(b, "", "Cab", "none")
	}
	switch kind {
	case 0:
		for _, c := range l.Checks {
			ids = append(ids, c.Record)
		}
		about.Sub, about.Instead = "", one(b, ids...)
		about.Parts = one(b, about.Parts, "A", "B,A2")
		return CheckParts{about, one(b, append(journal.CheckStates, "lost")...)}
	case 1:
		for _, c := range l.Subs {
			ids = append(ids, c.Record)
		}
		about.Instead = one(b, ids...)
		return SubAssembly{about, one(b, "cab", "Cab", "hull", "A1", ""), b.rng.IntN(3) == 0}
	case 2, 6:
		for _, c := range l.Holds {
			ids = append(ids, c.Record)
		}
		about.Instead = one(b, ids...)
		return Hold{about, one(b, append(journal.HoldWhats, "curing")...), one(b, "", "", "filler"), time.Duration(b.rng.IntN(3)) * time.Hour}
	case 3:
		for _, c := range l.Holds {
			held = append(held, c.Record)
		}
		return Release{Hold: one(b, held...), Build: about.Build, Parts: about.Parts, Is: one(b, "", "masked"), At: about.At}
	case 4:
		for _, c := range l.Preps {
			ids = append(ids, c.Record)
		}
		about.Instead = one(b, ids...)
		return Prep{about, one(b, append(journal.PrepWhats, "", "odd")...), one(b, "", "B3", "5"), one(b, "", "45°"), ""}
	}
	for _, c := range l.Hands {
		ids = append(ids, c.Record)
	}
	about.Parts, about.Sub, about.Instead = "", "", one(b, ids...)
	return Hands{about, one(b, "", session), one(b, append(journal.HandsWhats, "")...), "left thumb"}
}

// shop is something said of what the work is done with, sensible or not.
func (b *bench) shop(build, parts, photo string, at time.Time) Request {
	l := b.look()
	instead := []string{"", "", "d/999"}
	for _, m := range l.Mixes {
		instead = append(instead, m.Record)
	}
	for _, a := range l.Additions {
		instead = append(instead, a.Record)
	}
	for _, p := range l.Sandings {
		instead = append(instead, p.Record)
	}
	id := one(b, "", "", one(b, instead...))
	switch b.rng.IntN(3) {
	case 0:
		return Mix{Build: build, Name: one(b, "hull red", "", " gray "), Recipe: one(b, "3 red, 1 thinner", "2.5x red+1 part of white", "red", "0 red", ""),
			Thinner: one(b, "", "2 water"), Coats: one(b, 0, 2, 500), Parts: one(b, "", parts), Photo: one(b, "", photo), Sub: one(b, "", "cab"), Instead: id, At: at}
	case 1:
		return Addition{Build: build, Kind: one(b, "", "reference", "wish"), Text: one(b, "wire for the rail", " "), Where: "bow", Parts: one(b, "", parts), Photo: one(b, "", photo), Instead: id, At: at}
	}
	return SandingPlan{Build: build, Parts: one(b, "", parts), Sub: one(b, "", "cab"), Surface: one(b, "", "flat", "curved", "round"), Finish: one(b, "", "primed", "bare-gloss"),
		Remove: one(b, "nub", "seam", ""), Steps: one(b, "", "", "P400 on block; P1500", "400"), Instead: id, At: at}
}

// sheet is what a judge elsewhere said of a pack.
func (b *bench) sheet() Request {
	given := []journal.PackAnswer{{Pair: "p1", Outcome: one(b, "left", "right", "cannot tell")}}
	if b.rng.IntN(2) == 0 {
		given = append(given, journal.PackAnswer{Pair: one(b, "p2", "p2", "p9"), Outcome: "left"})
	}
	packs := []string{"pack-none"}
	for _, p := range b.look().Packs {
		packs = append(packs, p.ID, p.ID)
	}
	one := Sheet{File: "answers.txt", Pack: one(b, packs...), Sheet: one(b, "s1", "s2"), Judge: one(b, "Mo", "Ines", "me"), Of: one(b, 2, 2, 3), Given: given}
	return Answers{Sheets: []Sheet{one}, Mine: b.rng.IntN(4) == 0}
}

// kinds are all the things that can be said; each must get through now and then,
// else nothing is known of it.
var kinds = []Request{Addition{}, Mix{}, SandingPlan{}, Answers{}, Begin{}, Break{}, Cards{}, CheckParts{}, Clock{}, Correct{}, Dated{}, Done{}, End{}, Finish{}, Hands{}, Hold{}, Mark{}, Mistake{}, NoCardsIn{}, Note{},
	Observe{}, Pack{}, Pause{}, Points{}, Prep{}, PrintedSheet{}, Private{}, Release{}, Reopen{}, Resume{}, RetractAll{}, Review{}, SubAssembly{}, Tag{}, Tool{}, Trial{}, Unfinish{}, Verdict{}, Worked{}}

func TestWhateverIsSaid(t *testing.T) {
	t.Parallel()
	const tables, things = 60, 75
	through, by := 0, map[string]int{}
	for seed := range uint64(tables) {
		b := newBench(t, seed)
		for range things {
			b.now = b.now.Add(time.Duration(b.rng.IntN(20)) * time.Minute)
			if b.rng.IntN(30) == 0 {
				b.brings()
			}
			if b.say(b.random()) {
				through++
			}
		}
		for kind, n := range b.through {
			by[kind] += n
		}
		b.takeAllBack()
	}
	for _, kind := range kinds {
		if by[fmt.Sprintf("%T", kind)] == 0 {
			t.Errorf("no %T was let through, so nothing was tried of it", kind)
		}
	}
	t.Logf("%d of %d things were let through: %v", through, tables*things, by)
	if through < tables*things/4 {
		t.Errorf("only %d of %d things were let through, so little was tried", through, tables*things)
	}
}

// takeAllBack takes back what was said, in any order. After each the state is that
// of the records that are left, and in the end nothing is left of any.
func (b *bench) takeAllBack() {
	b.Helper()
	left := slices.Clone(b.said)
	b.rng.Shuffle(len(left), func(i, k int) { left[i], left[k] = left[k], left[i] })
	for len(left) > 0 {
		var later []string
		for _, id := range left {
			l := b.look()
			if l.RetractedBy(l.Bearers(id)[0]) != "" || kindOf(b, id) == "retract" {
				continue
			}
			if !b.say(RetractAll{Records: []string{id}}) {
				later = append(later, id)
				continue
			}
			b.sameAsWithout()
		}
		if len(later) == len(left) {
			b.fail("none of %v can be taken back", later)
		}
		left = later
	}
	bare := newBench(b.T, 0)
	bare.now = b.now
	l := b.look() // a photo may have been taken back, too
	bare.records = slices.DeleteFunc(append(slices.Clone(b.records[:len(b.photos)]), b.repaired...), func(r journal.Record) bool { return l.RetractedBy(r) != "" })
	end, none := *b.look().State, *bare.look().State
	for _, s := range []*journal.State{&end, &none} {
		for _, p := range s.Photos { // a photo's own record may have been taken back, too
			p.Record = ""
		}
	}
	if !reflect.DeepEqual(end.Sessions, none.Sessions) { // photographed cards begin some
		b.fail("taken back, and left the sessions %s, were %s", sessions(end), sessions(none))
	}
	if len(end.Pauses)+len(end.Marks)+len(end.Verdicts)+len(end.Mistakes)+len(end.Trials)+len(end.Points)+len(end.Alikes)+len(end.Notes)+len(end.Checks)+len(end.Subs)+len(end.Holds)+len(end.Preps)+len(end.Hands)+len(end.Mixes)+len(end.Additions)+len(end.Sandings) > 0 {
		b.fail("taken back, and left: %+v", end)
	}
	for _, p := range end.Photos {
		i := slices.IndexFunc(none.Photos, func(o *journal.Photo) bool { return o.Hash == p.Hash })
		if i < 0 || !reflect.DeepEqual(p, none.Photos[i]) {
			b.fail("a photo is left as %+v", p)
		}
	}
}

func sessions(s journal.State) (all string) {
	for _, one := range s.Sessions {
		all += fmt.Sprintf("%+v\n", *one)
	}
	return all
}

func kindOf(b *bench, id string) string {
	return b.records[slices.IndexFunc(b.records, func(r journal.Record) bool { return r.ID() == id })].Kind
}

// sameAsWithout holds that the state is that of the records which stand, as if
// those taken back had never been.
func (b *bench) sameAsWithout() {
	b.Helper()
	l := b.look()
	standing := slices.DeleteFunc(slices.Clone(b.records), func(r journal.Record) bool {
		return r.Kind == "retract" || l.RetractedBy(r) != ""
	})
	got, want := *l.State, *journal.LookAt(b.plan, standing, b.now).State
	got.Problems, want.Problems = nil, nil // of what hangs on records that never were, it is told
	if !reflect.DeepEqual(got, want) {
		b.fail("what was taken back left a trace")
	}
}

// text is a pointer to a text.
func text(s string) *string { return &s }
