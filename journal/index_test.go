// Tests of the index: what it says is what the fold of all records says, whatever
// happened to the journal and to the index.

package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"hash/crc32"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/plan"
	"rakelight/journal/reason"
	"rakelight/journal/record"
)

var (
	indexRuns = flag.Int("index-runs", 12, "histories in TestIndexAgrees")
	indexSeed = flag.Uint64("index-seed", 1, "the first of them")
	indexLong = flag.Bool("index-long", false, "histories of hundreds of steps in TestIndexAgrees, and tails as long as those of a person's journal")
)

// fate is a journal to which anything happens.
type fate struct {
	t     *testing.T
	dir   string
	rng   *rand.Rand
	now   time.Time
	seq   map[string]int64 // of other devices
	kept  []string         // copies of .cache/index as it was
	lives *Journal         // a process that lives on
	theme []int            // places of what is said most often in this one
	log   []string
}

const fateToml = `format = 1
name = "Bench"
zone = "Europe/Lisbon"
`

func newFate(t *testing.T, seed uint64) *fate {
	h := &fate{t: t, dir: t.TempDir(), rng: rand.New(rand.NewPCG(seed, 7)), seq: map[string]int64{},
		now: time.Date(2026, 3, 1, 18, 0, 0, 0, time.UTC)}
	for range 2 + h.rng.IntN(5) { // few things said over and over meet each other
		h.theme = append(h.theme, h.rng.IntN(1000))
	}
	h.write("journal.toml", fateToml)
	h.plan("lorry", "")
	h.plan("seaplane", "")
	return h
}

// likeHash is another hash that begins as one does: sessions begun by cards of such
// photos bear one name.
func likeHash(hash string, n int) string { return hash[:16] + fateHash(n)[16:] }

// fateHash is a hash of which the beginning tells cards' sessions apart, as hashes do.
func fateHash(n int) string {
	sum := sha256.Sum256([]byte(fmt.Sprint(n)))
	return hex.EncodeToString(sum[:])
}

func (h *fate) path(name string) string { return filepath.Join(h.dir, filepath.FromSlash(name)) }

func (h *fate) write(name, text string) {
	h.t.Helper()
	if err := os.MkdirAll(filepath.Dir(h.path(name)), 0o755); err != nil {
		h.t.Fatal(err)
	}
	if err := os.WriteFile(h.path(name), []byte(text), 0o644); err != nil {
		h.t.Fatal(err)
	}
}

func (h *fate) plan(build, more string) {
	h.write("builds/"+build+"/build.md", "---\ntitle: "+build+"\n"+more+`runners:
  - {letter: A, parts: "1-20", class: flat}
  - {letter: B, parts: "1-6", class: small}
stages: [clean, paint, repair]
totals: {paint: 9}
---
Words`+fmt.Sprint(h.rng.IntN(3))+`.

## Supplies
- [`+pick(h.rng, []string{" ", "x"})+`] wire
`)
}

func (h *fate) clock() time.Time { return h.now }

func (h *fate) open() *Journal {
	h.t.Helper()
	j, err := OpenAt(h.dir, h.clock)
	if err != nil {
		h.t.Fatal(err)
	}
	return j
}

// folded is the state without the index.
func (h *fate) folded() *State {
	h.t.Helper()
	written, err := plan.Read(h.dir)
	book := record.Book{Dir: h.dir}
	if err == nil {
		err = book.Read()
	}
	if err != nil {
		h.t.Fatal(err)
	}
	written.Problems, written.Now = append(written.Problems, book.Problems...), h.now
	return Fold(written, book.Records)
}

// agree holds what a journal says against the fold.
func (h *fate) agree(who string, got *State) {
	h.t.Helper()
	if got.later != nil {
		h.answers(got)
	}
	h.same(who, got, h.folded())
}

func (h *fate) same(who string, got, want *State) {
	h.t.Helper()
	if got.later != nil {
		all := *got
		all.whole()
		got = &all
	}
	if reflect.DeepEqual(got, want) {
		return
	}
	h.t.Errorf("%s differs after\n%s", who, strings.Join(h.log, "\n"))
	a, b := reflect.ValueOf(*got), reflect.ValueOf(*want)
	for i := range a.NumField() {
		if name := a.Type().Field(i); name.IsExported() && !reflect.DeepEqual(a.Field(i).Interface(), b.Field(i).Interface()) {
			x, y := lines(a.Field(i)), lines(b.Field(i))
			h.t.Errorf("%s:\n%s\nwant\n%s", name.Name, strings.Join(besides(x, y), "\n"), strings.Join(besides(y, x), "\n"))
		}
	}
	h.t.FailNow()
}

// lines are the elements of a list, or a value.
func lines(v reflect.Value) (all []string) {
	if v.Kind() != reflect.Slice {
		one, _ := json.Marshal(v.Interface())
		return []string{string(one)}
	}
	for i := range v.Len() {
		one, _ := json.Marshal(v.Index(i).Interface())
		all = append(all, string(one))
	}
	return all
}

// besides are those of some that are not among others, of two lists alike both.
func besides(some, others []string) []string {
	all := slices.DeleteFunc(slices.Clone(some), func(one string) bool { return slices.Contains(others, one) })
	if len(all) == 0 {
		return some
	}
	return all
}

// answers holds what a state that was read without its photos answers against what
// it answers with them.
func (h *fate) answers(got *State) {
	h.t.Helper()
	want := h.folded()
	for _, b := range want.Builds {
		if got.FirstDay(b) != want.FirstDay(b) || got.LastDay(b) != want.LastDay(b) {
			h.t.Errorf("%s is from %s to %s, want %s to %s", b.ID, got.FirstDay(b), got.LastDay(b), want.FirstDay(b), want.LastDay(b))
		}
	}
	if p := pick(h.rng, want.Photos); p != nil {
		if x, y := got.FindPhoto(p.Short()+p.Hash[8:60]), want.FindPhoto(p.Short()+p.Hash[8:60]); !reflect.DeepEqual(x, y) {
			h.t.Errorf("%v are found, want %v", x, y)
		}
	}
	if x, y := got.Finishables(), want.Finishables(); !slices.Equal(x, y) {
		h.t.Errorf("finishable are %v, want %v\n%s", x, y, strings.Join(h.log, "\n"))
	}
}

// recordsOf are the records of entries of the bench book.
func recordsOf[E any, P interface {
	*E
	bookEntry
}](book []E) (ids []string) {
	for _, e := range book {
		ids = append(ids, P(&e).written().Record)
	}
	return ids
}

// supposes holds what a journal would be with more against the fold of all, and looks
// that it is what it was.
func (h *fate) supposes(j *Journal, said []Body) {
	h.t.Helper()
	l := j.Look()
	all := l
	all.stood = standing{}
	want, err := all.Suppose(said...)
	if err != nil {
		h.t.Fatal(err)
	}
	got, err := l.Suppose(said...)
	if err != nil {
		h.t.Fatal(err)
	}
	h.same("what is supposed", got, want)
	h.agree("who supposed", j.State)
}

// pick is one of some; its zero value of none.
func pick[T any](rng *rand.Rand, all []T) T {
	var none T
	if len(all) == 0 {
		return none
	}
	// The latest are meant most often.
	return all[max(rng.IntN(len(all)), rng.IntN(len(all)))]
}

// say is something a person says, with what is there.
func (h *fate) say(s *State) Body {
	rng, now := h.rng, h.now
	session, photo := &Session{ID: "bench-ffff/9", Build: "lorry", Start: now}, &Photo{Hash: fateHash(99)}
	hash := func() string {
		if rng.IntN(20) == 0 && photo.Hash != "" {
			return likeHash(photo.Hash, rng.IntN(4))
		}
		return fateHash(100 + rng.IntN(30))
	}
	switch n := rng.IntN(10); {
	case n == 0: // perhaps it comes later
		session = &Session{ID: fmt.Sprintf("bench-%d/%d", rng.IntN(2), 1+rng.IntN(9)), Build: "lorry", Start: now}
		photo = &Photo{Hash: hash()}
	case len(s.Sessions) > 0:
		session = pick(rng, s.Sessions)
	}
	if len(s.photos()) > 0 && photo.Record == "" && rng.IntN(10) > 0 {
		photo = pick(rng, s.photos())
	}
	ago := now.Add(-time.Duration(rng.IntN(100)) * time.Minute)
	if rng.IntN(8) == 0 { // said of days ago, perhaps across the beginning of what is folded anew
		ago = ago.Add(-time.Duration(rng.IntN(300)) * time.Hour)
	}
	b := []string{"lorry", "lorry", "seaplane", "gone"}[rng.IntN(4)]
	parts := []PartRef{{Runner: []string{"A", "B"}[rng.IntN(2)], Number: fmt.Sprint(1 + rng.IntN(4)), Count: rng.IntN(2)}}
	minutes, score := float64(rng.IntN(90)), rng.IntN(6)
	begin := BeginBody{Build: b, Stage: "clean", Kind: "clean", Start: ago, Tools: []string{"saw"}[:rng.IntN(2)]}
	end := EndBody{Session: session.ID, End: ago}
	done := DoneBody{Session: session.ID, Build: b, Parts: parts, Count: rng.IntN(3), At: ago}
	taken := func(cards ...CardSeen) PhotoBody {
		hash := hash()
		at := []time.Time{ago, now, now.AddDate(0, -rng.IntN(30), 0), now.Add(2 * time.Second)}[rng.IntN(4)]
		return PhotoBody{Hash: hash, Path: "photos/" + hash, Name: "a.jpg", Cards: cards, Width: 1200, Height: 900,
			Camera:  Camera{Model: []string{"T-24", "P5"}[rng.IntN(2)]},
			Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: []string{HomeOffset, StatedOffset}[rng.IntN(2)]},
			Tags:    Tags{Build: []string{b, ""}[rng.IntN(2)], Stage: []string{"clean", ""}[rng.IntN(2)], Role: []string{"finished", ""}[rng.IntN(2)]},
			Why:     reason.Whys{"build": randomWhy(rng), "stage": randomWhy(rng)}, Fingerprint: "00ff00ff00ff00ff", Sharp: rng.Float64()}
	}
	again := func() PhotoBody { // one more of the moment
		one := taken()
		if last := pick(rng, s.photos()); last != nil {
			at := last.Instant.At.Add(2 * time.Second)
			one.Camera, one.Tags, one.Why = last.Camera, last.Tags, maps.Clone(last.Why)
			one.Instant = Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: StatedOffset}
		}
		return one
	}
	card := func(c Card) Body {
		text, err := c.Text()
		if err != nil {
			h.t.Fatal(err)
		}
		return taken(CardSeen{Text: text})
	}
	noted := func(of []string) Noted {
		n := Noted{Build: b, Parts: parts, Sub: []string{"Cab", "Hull"}[rng.IntN(2)], Photo: []string{"", photo.Hash}[rng.IntN(2)], At: ago}
		if rng.IntN(3) == 0 {
			n.Instead = pick(rng, append(of, fmt.Sprintf("bench-%d/%d", rng.IntN(2), 1+rng.IntN(9))))
		}
		return n
	}
	tag := TagBody{Photo: photo.Hash, Set: Tags{Role: Roles[rng.IntN(5)], Build: []string{"", b}[rng.IntN(2)]}, Clear: []string{"stage"}[:rng.IntN(2)]}
	often := []Body{begin, end, done, done, taken(), again(), tag, BreakBody{Session: session.ID, Start: ago, End: []time.Time{{}, now}[rng.IntN(2)]},
		CorrectBody{Session: session.ID, Minutes: []*float64{nil, &minutes}[rng.IntN(2)], AddTool: []string{"file"}},
		NoteBody{Build: b, Session: []string{"", session.ID}[rng.IntN(2)], Text: "peg cut", At: ago},
		MarkBody{Photo: photo.Hash, Criterion: 4, Score: &score, Rubric: Rubric, Judge: []string{"", "Mo", "mo"}[rng.IntN(3)]},
		VerdictBody{Left: pick(rng, append(slices.Clip(s.photos()), photo)).Hash, Right: photo.Hash, Criterion: 4, Outcome: Outcomes[rng.IntN(4)]},
		MistakeBody{Build: b, Kind: "gouge", Stage: "clean", Minutes: 5, At: ago},
		PauseBody{Build: b, From: ago, Why: "no wire"}, ResumeBody{Build: b, At: ago},
		AlikeBody{A: pick(rng, append(slices.Clip(s.photos()), photo)).Hash, B: photo.Hash, Not: rng.IntN(3) == 0},
		[]Body{PrivateBody{Photo: photo.Hash, Not: rng.IntN(3) == 0, At: ago}, PrivateBody{Build: b, Date: []string{"", ago.Format(time.DateOnly)}[rng.IntN(2)], Not: rng.IntN(3) == 0, At: ago}}[rng.IntN(2)],
		CheckedBody{noted(recordsOf(s.Checks)), []string{"seen", "not-used", "missing"}[rng.IntN(3)]}, SubBody{noted(recordsOf(s.Subs)), rng.IntN(2) == 0},
		HoldBody{noted(recordsOf(s.Holds)), HoldWhats[rng.IntN(3)], "glue", float64(rng.IntN(2))}, ReleaseBody{pick(rng, append(recordsOf(s.Holds), session.ID)), "dry", ago},
		PrepBody{Noted: noted(recordsOf(s.Preps)), Is: PrepWhats[rng.IntN(8)]}, HandsBody{noted(recordsOf(s.Hands)), []string{"", session.ID}[rng.IntN(2)], "sore", "thumb"},
		WorkBody{Build: b, Stage: "clean", Kind: "clean", Date: ago.Format(time.DateOnly), Start: ago, Minutes: 10 + minutes, Parts: parts, Count: rng.IntN(9), Known: Measured},
		WorkBody{Build: b, Stage: "repair", Kind: "repair", Date: ago.Format(time.DateOnly), Start: ago, Minutes: minutes, Parts: parts, For: []string{"", "clean", pick(rng, s.Mistakes).Record}[rng.IntN(3)]},
	}
	out := rng.IntN(2) == 0
	often = append(often, PastBody{Photos: []string{hash(), hash()}, Set: Tags{Build: b, Stage: []string{"", "clean"}[rng.IntN(2)]}, Clear: []string{"stage"}[:rng.IntN(2)], Out: []*bool{nil, &out}[rng.IntN(2)]},
		PastBody{Photos: []string{hash(), photo.Hash}[rng.IntN(2):], Set: Tags{Role: Roles[rng.IntN(5)]}, First: []string{"", "2026-02-01"}[rng.IntN(2)], Last: "2026-02-03"})
	if len(s.Past) > 0 { // one that says something of a photo, if any does
		of := pick(rng, s.Past)
		if one := s.PastOf(photo.Hash); one != nil {
			of = *one
		}
		often = append(often, RetractBody{Record: pick(rng, of.Records)})
	}
	often = append(often, h.sayShop(s, b, photo.Hash, parts, ago)...)
	seldom := []Body{
		ReopenBody{Build: b, Parts: parts, At: ago}, ReopenBody{Build: b, Session: session.ID, Count: 1, At: ago},
		DoneBody{Build: b, Count: 2, At: ago}, CorrectBody{Session: session.ID, Build: &b, Start: &ago},
		card(Card{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}), card(Card{Says: EndCard}), card(Card{Says: CountCard, Count: 3}),
		card(Card{Says: RunnerCard}), card(Card{Says: RoleCard, Word: "before"}), card(Card{Says: PauseCard}),
		RetractBody{Record: pick(rng, s.Notes).Record}, RetractBody{Record: session.ID}, RetractBody{Record: photo.Record}, FinishBody{Build: b, Date: []string{"", "2026-03-09"}[rng.IntN(2)], At: now},
		ClockBody{Camera: Camera{Model: "T-24"}, Fast: "20m"}, DatedBody{Photo: hash(), First: "2026-02-01", Last: "2026-02-03"},
		BesideBody{Photo: photo.Hash, Hash: hash(), Path: "photos/" + photo.Hash + ".nef", Format: "nef"},
		AsideBody{Hash: hash(), Path: "inbox/aside/x", CopyOf: photo.Hash},
		CardBody{Photo: photo.Hash}, TrialBody{What: "gel", At: ago}, hologram{1},
	}
	all := slices.Concat(often, seldom)
	switch n := h.rng.IntN(10); {
	case n < 6:
		return all[h.theme[rng.IntN(len(h.theme))]%len(all)]
	case n == 6:
		return seldom[rng.IntN(len(seldom))]
	}
	return often[rng.IntN(len(often))]
}

// happen lets one thing happen.
func (h *fate) happen() {
	rng := h.rng
	switch n := rng.IntN(44); {
	case n < 18: // a command
		j := h.open()
		if rng.IntN(2) == 0 {
			var err error
			if j, err = OpenBench(h.dir, h.clock); err != nil {
				h.t.Fatal(err)
			}
			h.answers(j.State)
		}
		var said []Body
		for range 1 + rng.IntN(3) {
			said = append(said, h.say(j.State))
		}
		h.did("a command says %s", kindsOf(said))
		h.supposes(j, said)
		if _, err := j.AppendAll(said); err != nil {
			h.t.Fatal(err)
		}
		h.agree("the command", j.State)
	case n < 25: // the process that lives on
		said := h.say(h.lives.State)
		h.did("the process says %s", kindsOf([]Body{said}))
		if _, err := h.lives.Append(said); err != nil {
			h.t.Fatal(err)
		}
		h.agree("the process", h.lives.State)
	case n < 28:
		h.syncs()
	case n < 30: // time passes
		h.now = h.now.Add(time.Duration(rng.IntN(40)) * time.Hour)
		h.did("it is %v", h.now)
		j, err := OpenBench(h.dir, h.clock)
		if err != nil {
			h.t.Fatal(err)
		}
		h.agree("a look from the bench", j.State)
	case n == 30: // the clock is set
		h.now = h.now.Add(-time.Duration(rng.IntN(50)) * time.Hour)
		h.did("the clock is set back to %v", h.now)
	case n < 34:
		h.edit()
	case n < 37:
		h.damageIndex()
	case n == 37, n == 40:
		h.cards()
	case n == 41:
		h.series()
	case n > 41: // a night
		h.now = h.now.Add(20 * time.Hour)
		h.did("a night passes")
	default:
		h.damageRecords()
	}
	h.now = h.now.Add(time.Duration(rng.IntN(30)) * time.Minute)
}

// series is an evening under a camera on a stand, taken in by and by.
func (h *fate) series() {
	rng := h.rng
	step := []int{20, 60}[rng.IntN(2)]
	prints := []string{"00ff00ff00ff00ff", "ff00ff00ff00ff00"}
	b, model, from := []string{"lorry", "lorry", ""}[rng.IntN(3)], []string{"T-24", "P5"}[rng.IntN(2)], 1000*rng.IntN(1000)
	h.did("a series every %d s by %s", step, model)
	for range 1 + rng.IntN(3) {
		var said []Body
		for i := range 12 + rng.IntN(12) {
			if rng.IntN(10) == 0 {
				continue
			}
			at, hash := h.now.Add(time.Duration(i*step)*time.Second), fateHash(from+i)
			said = append(said, PhotoBody{Hash: hash, Path: "photos/" + hash, Name: "s.jpg", Width: 1200, Height: 900, Camera: Camera{Model: model},
				Instant:     Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: []string{HomeOffset, StatedOffset}[rng.IntN(2)]},
				Fingerprint: prints[rng.IntN(2)], Tags: Tags{Build: b, Stage: "clean"}, Why: reason.Whys{"build": {By: reason.Folder, Name: b}}})
		}
		from += 50
		h.now = h.now.Add(time.Duration(24*step) * time.Second)
		j := h.lives
		if rng.IntN(2) == 0 {
			j = h.open()
		}
		if rng.IntN(2) == 0 {
			rng.Shuffle(len(said), func(i, k int) { said[i], said[k] = said[k], said[i] })
		}
		if _, err := j.AppendAll(said); err != nil {
			h.t.Fatal(err)
		}
		h.agree("who took a series in", j.State)
	}
	if p := pick(rng, h.folded().FramesOf(pick(rng, h.folded().Series).ID)); p != nil && rng.IntN(3) == 0 {
		h.did("a frame is taken back")
		j := h.open()
		if _, err := j.Append(RetractBody{Record: p.Record}); err != nil {
			h.t.Fatal(err)
		}
		h.agree("who took a frame back", j.State)
	}
}

// cards is an evening by cards, and the next day.
func (h *fate) cards() {
	var said []Body
	like := -1 // the card whose photo begins as another does
	if h.rng.IntN(3) == 0 {
		like = h.rng.IntN(4)
	}
	for i, c := range []Card{{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}, {Says: RunnerCard, Word: "B"}, {Says: CountCard, Count: 2}, {Says: EndCard}} {
		text, err := c.Text()
		if err != nil {
			h.t.Fatal(err)
		}
		at := h.now.Add(time.Duration(10*i) * time.Minute)
		hash := fateHash(1000*h.rng.IntN(1000) + i)
		if before := h.folded().Cards; i == like && len(before) > 0 {
			hash = likeHash(pick(h.rng, before).Photo, h.rng.IntN(1000))
		}
		said = append(said, PhotoBody{Hash: hash, Path: "photos/" + hash, Name: "c.jpg", Width: 1200, Height: 900, Camera: Camera{Model: "P5"},
			Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: StatedOffset}, Cards: []CardSeen{{Text: text}}})
	}
	h.now = h.now.Add(time.Hour)
	h.did("an evening by cards")
	j := h.open()
	if _, err := j.AppendAll(said); err != nil {
		h.t.Fatal(err)
	}
	h.agree("the evening by cards", j.State)
	h.now = h.now.Add(time.Duration(4+h.rng.IntN(20)) * time.Hour)
}

func kindsOf(said []Body) string {
	var kinds []string
	for _, b := range said {
		kinds = append(kinds, b.RecordKind())
	}
	return strings.Join(kinds, ", ")
}

func (h *fate) did(format string, args ...any) { h.log = append(h.log, fmt.Sprintf(format, args...)) }

// syncs brings records of another device, which wrote them then or long ago.
func (h *fate) syncs() {
	dev := fmt.Sprintf("bench-%d", h.rng.IntN(2))
	s := h.folded()
	at := h.now.Add(-time.Duration(h.rng.IntN(3)*h.rng.IntN(200)) * time.Hour)
	var lines []byte
	for range 1 + h.rng.IntN(3) {
		if h.seq[dev] == 0 || h.rng.IntN(12) > 0 { // else two records bear one number
			h.seq[dev]++
		}
		said := h.say(s)
		if h.rng.IntN(3) == 0 { // what others may have named already
			said = BeginBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: at}
		}
		body, err := json.Marshal(said)
		if err != nil {
			h.t.Fatal(err)
		}
		line, err := record.EncodeLine(Record{At: at, Dev: dev, Seq: h.seq[dev], Kind: said.RecordKind(), Body: body})
		if err != nil {
			h.t.Fatal(err)
		}
		lines = append(append(lines, line...), '\n')
		at = at.Add(time.Minute)
	}
	name := "records/" + dev + "/" + at.Format("2006-01") + ".jsonl"
	old, _ := os.ReadFile(h.path(name))
	h.write(name, string(old)+string(lines))
	h.did("%s comes with %d lines of %v", name, strings.Count(string(lines), "\n"), at)
}

// edit writes what a person writes by hand.
func (h *fate) edit() {
	switch h.rng.IntN(5) {
	case 0:
		h.plan("lorry", pick(h.rng, []string{"", "finished: 2026-03-20\n", "started: 2026-01-0" + fmt.Sprint(1+h.rng.IntN(9)) + "\n"}))
	case 1:
		h.write("builds/"+pick(h.rng, []string{"lorry", "seaplane"})+"/diary/2026-0"+fmt.Sprint(1+h.rng.IntN(5))+"-03.md", fmt.Sprint("# Day\n\n", h.rng.IntN(10)))
	case 2:
		h.write("journal.toml", fateToml+pick(h.rng, []string{"", "longest = \"3h\"\n", "settle = \"30m\"\n", "[[clock]]\nmodel = \"P5\"\nfast = \"5m\"\n"}))
	case 3:
		h.plan(pick(h.rng, []string{"gone", "gone-too"}), "")
	case 4:
		os.RemoveAll(h.path("builds/gone-too"))
	}
	if err := h.lives.Reload(); err != nil {
		h.t.Fatal(err)
	}
	h.did("a file is written by hand")
}

// damageIndex lets anything happen to the index.
func (h *fate) damageIndex() {
	files, _ := filepath.Glob(h.path(indexDir + "/*"))
	name := pick(h.rng, files)
	data, err := os.ReadFile(name)
	if err != nil || len(data) == 0 {
		return
	}
	switch n := h.rng.IntN(7); n {
	case 0:
		os.Remove(name)
	case 1:
		os.WriteFile(name, data[:h.rng.IntN(len(data)+1)], 0o644)
	case 2:
		data[h.rng.IntN(len(data))] ^= 1 << h.rng.IntN(8)
		os.WriteFile(name, data, 0o644)
	case 3: // keep it, to come back later
		dir := h.t.TempDir()
		if err := os.CopyFS(dir, os.DirFS(h.path(indexDir))); err != nil {
			h.t.Fatal(err)
		}
		h.kept = append(h.kept, dir)
	case 4, 5: // an older one comes back, whole or in part: a write that was cut off, a copy that a sync program brings
		if len(h.kept) == 0 {
			return
		}
		from := pick(h.rng, h.kept)
		old, _ := filepath.Glob(filepath.Join(from, "*"))
		for _, one := range old {
			if bytes, err := os.ReadFile(one); err == nil && (n == 4 || h.rng.IntN(2) == 0) {
				os.WriteFile(h.path(indexDir+"/"+filepath.Base(one)), bytes, 0o644)
			}
		}
	case 6:
		h.byAnother()
	}
	h.did("the index is damaged in %s", filepath.Base(name))
}

// byAnother lets another version of the program, which folds otherwise, write the
// index of the same files.
func (h *fate) byAnother() {
	x := index{dir: h.path(indexDir)}
	head, ok := x.readHead()
	if !ok {
		return
	}
	for i, part := range head.Parts {
		if strings.HasPrefix(part.Name, statePart+".") {
			data := freezeState.Append(nil, &State{Zone: time.UTC})
			head.Parts[i] = indexPart{"state.another" + partEnding, int64(len(data)), crc32.Checksum(data, castagnoli)}
			os.WriteFile(filepath.Join(x.dir, head.Parts[i].Name), data, 0o644)
		}
	}
	body := freezeHead.Append(nil, head)
	line := strings.Replace(headLine(body), programShape(), "another program", 1)
	os.WriteFile(filepath.Join(x.dir, headName), append([]byte(line+"\n"), body...), 0o644)
}

// damageRecords does what disks, sync programs and people do to records.
func (h *fate) damageRecords() {
	files, _ := filepath.Glob(h.path("records/*/*.jsonl"))
	name := pick(h.rng, files)
	data, err := os.ReadFile(name)
	if err != nil || len(data) == 0 {
		return
	}
	before, _ := os.Stat(name)
	switch h.rng.IntN(6) {
	case 0:
		data = data[:h.rng.IntN(len(data))]
	case 1: // at the same size, and with the time it had
		data[h.rng.IntN(len(data))] ^= 1 << h.rng.IntN(7)
		os.WriteFile(name, data, 0o644)
		os.Chtimes(name, before.ModTime(), before.ModTime())
		h.did("a byte of %s is another", name)
		return
	case 2:
		os.WriteFile(strings.TrimSuffix(name, ".jsonl")+" (1).jsonl", data, 0o644)
	case 3: // what a person mends: all copies and lines that are broken go
		for _, one := range files {
			if !strings.Contains(one, "(1)") {
				lines, _ := os.ReadFile(one)
				var whole []byte
				for _, line := range slices.Collect(strings.Lines(string(lines))) {
					if _, err := record.DecodeLine([]byte(strings.TrimSuffix(line, "\n"))); err == nil {
						whole = append(whole, line...)
					}
				}
				os.WriteFile(one, whole, 0o644)
			} else {
				os.Remove(one)
			}
		}
		h.did("the records are mended")
		return
	case 4:
		data = append(data, `{"at":"2026-03-01T18`...)
	case 5:
		os.Remove(name)
		h.did("%s is removed", name)
		return
	}
	os.WriteFile(name, data, 0o644)
	h.did("%s is damaged", name)
}

// The state through the index is the state without it, after any history of
// entries, edits by hand, records of other devices, damage, writes that were cut
// off and clocks that were set.
func TestIndexAgrees(t *testing.T) {
	through, all := 0, 0
	defer func(least int) { tailLeast = least }(tailLeast)
	steps := 300
	if !*indexLong {
		tailLeast, steps = 4, 30 // as if the journals were long
	}
	for run := range *indexRuns {
		h := newFate(t, *indexSeed+uint64(run))
		h.log = append(h.log, fmt.Sprintf("-index-seed %d -index-runs 1", *indexSeed+uint64(run)))
		h.lives = h.open()
		for range steps {
			h.happen()
			j := h.open()
			all++
			if j.book.IsBrief() && j.index.at.IsZero() {
				through++
			}
			h.agree("a fresh look", j.State)
			if h.rng.IntN(3) == 0 {
				if err := h.lives.Refresh(); err != nil {
					t.Fatal(err)
				}
				if h.lives.stale() {
					if err := h.lives.fold(); err != nil {
						t.Fatal(err)
					}
				}
				if h.lives.stamps != nil && plan.Unchanged(h.dir, h.lives.stamps) {
					h.agree("the process that lives on", h.lives.State)
				}
			}
		}
	}
	t.Logf("%d of %d looks went through an index as it stood", through, all)
	if through < all/4 { // the others had no index to go by, or one that did not hold
		t.Errorf("only %d of %d looks went through the index", through, all)
	}
}

// An index that was damaged in any of its files is thrown away, and is whole again
// after the next look.
// Words below the front matter of a build change nothing else: the records are not
// read again for their sake.
func TestWordsOfBuildsAreReadAlone(t *testing.T) {
	h := newFate(t, 5)
	j := h.open()
	for range 12 {
		if _, err := j.Append(h.say(j.State)); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := j.Append(FinishBody{Build: "lorry", Date: "2026-03-01"}); err != nil {
		t.Fatal(err)
	}
	if j = h.open(); !j.book.IsBrief() {
		t.Fatal("the index is not there")
	}
	wire := func() Supply { return j.State.SuppliesOf(j.State.Build("lorry"))[0] }
	for _, state := range []string{SupplyOrdered, SupplyCome, SupplyMissing} {
		if err := j.ChangeSupply("lorry", wire(), SupplyChange{State: state}); err != nil {
			t.Fatal(err)
		}
		if !j.book.IsBrief() || wire().State != state {
			t.Errorf("%s: %+v, read whole: %v", state, wire(), !j.book.IsBrief())
		}
		h.agree("after "+state, j.State)
		one := h.open()
		if !one.book.IsBrief() {
			t.Errorf("%s: the next one reads all", state)
		}
		h.agree("the next", one.State)
	}
	if err := j.AddSupply("lorry", "salt"); err != nil || !j.book.IsBrief() || len(j.State.SuppliesOf(j.State.Build("lorry"))) != 2 {
		t.Errorf("added: %+v, %v", j.State.SuppliesOf(j.State.Build("lorry")), err)
	}
	h.agree("after one more", j.State)
}

func TestIndexIsMadeAnew(t *testing.T) {
	h := newFate(t, 3)
	j := h.open()
	for range 30 {
		if _, err := j.Append(h.say(j.State)); err != nil {
			t.Fatal(err)
		}
	}
	looks := func() (through bool) {
		t.Helper()
		one := h.open()
		h.agree("the look", one.State)
		return one.book.IsBrief() && one.index.at.IsZero()
	}
	looks() // what the process wrote lately is in the records alone
	files, err := filepath.Glob(h.path(indexDir + "/*"))
	if err != nil || len(files) < 6 || !looks() {
		t.Fatal(files, err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for what, bytes := range map[string][]byte{"flipped": slices.Concat(data[:len(data)/2], []byte{data[len(data)/2] ^ 4}, data[len(data)/2+1:]),
			"cut": data[:len(data)-1], "longer": append(slices.Clip(data), 'x'), "empty": nil} {
			if err := os.WriteFile(name, bytes, 0o644); err != nil {
				t.Fatal(err)
			}
			if looks() {
				t.Errorf("%s %s: the index was taken", filepath.Base(name), what)
			}
			if !looks() {
				t.Errorf("%s %s: the index was not made anew", filepath.Base(name), what)
			}
		}
	}
}

// What is said in a process that lives on changes what it is of, and folds nothing
// else again: a session that nothing was said of is the very same afterwards.
func TestAppendsGoOn(t *testing.T) {
	h := newFate(t, 4)
	j := h.open()
	at := h.now
	begin := func(start time.Time) string {
		t.Helper()
		r, err := j.Append(BeginBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: start})
		if err != nil {
			t.Fatal(err)
		}
		return r.ID()
	}
	old := begin(at.Add(-48 * time.Hour))
	if _, err := j.Append(EndBody{Session: old, End: at.Add(-47 * time.Hour)}); err != nil {
		t.Fatal(err)
	}
	first, now := j.State.Session(old), begin(at)
	for i := range 200 {
		hash := fateHash(i)
		said := []Body{
			PhotoBody{Hash: hash, Path: "photos/" + hash, Instant: Instant{At: at.Add(time.Duration(i%7) * time.Hour)}},
			TagBody{Photo: hash, Set: Tags{Build: "lorry", Stage: "clean"}},
			DoneBody{Session: now, Build: "lorry", Count: 1, At: at},
			NoteBody{Build: "lorry", Session: old, Text: "peg cut", At: at},
		}[i%4:]
		if i%4 == 1 { // of the photo before
			said[0] = TagBody{Photo: fateHash(i - 1), Set: Tags{Role: "after"}}
		}
		if _, err := j.Append(said[0]); err != nil {
			t.Fatal(err)
		}
		if j.State.Session(old) != first {
			t.Fatalf("a %s folded all again", said[0].RecordKind())
		}
	}
	if len(j.State.Photos) != 50 || len(j.State.Notes) != 50 || j.State.Session(now).Bare != 50 {
		t.Errorf("%d photos, %d notes, %d counted", len(j.State.Photos), len(j.State.Notes), j.State.Session(now).Bare)
	}
	h.agree("the process", j.State)
}

// The photos of an evening by cards, what is taken back of it and corrected, and a
// correction of an old session fold nothing of the time before: an older session
// stays the very same.
func TestTailGoesOn(t *testing.T) {
	defer func(least int) { tailLeast = least }(tailLeast)
	tailLeast = 4
	h := newFate(t, 5)
	j := h.open()
	said := func(b Body) Record {
		t.Helper()
		r, err := j.Append(b)
		if err != nil {
			t.Fatal(err)
		}
		h.now = h.now.Add(10 * time.Minute)
		return r
	}
	photo := 0
	take := func(cards ...Card) Record {
		t.Helper()
		photo++
		hash := fateHash(photo)
		body := PhotoBody{Hash: hash, Path: "photos/" + hash, Width: 1200, Height: 900,
			Instant: Instant{At: h.now, Wall: h.now.Format(time.DateTime), Source: "DateTimeOriginal", Offset: StatedOffset}}
		for _, c := range cards {
			text, err := c.Text()
			if err != nil {
				t.Fatal(err)
			}
			body.Cards = append(body.Cards, CardSeen{Text: text})
		}
		return said(body)
	}
	begin := Card{Says: BeginCard, Build: BuildKey("lorry"), Stage: StageKey("clean")}
	old := said(BeginBody{Build: "lorry", Stage: "clean", Kind: "clean", Start: h.now}).ID()
	said(EndBody{Session: old, End: h.now})
	older := said(WorkBody{Build: "seaplane", Stage: "clean", Date: "2026-02-01", Minutes: 20, Known: Remembered}).ID()
	for range 3 {
		h.now = h.now.Add(24 * time.Hour)
		take(begin)
		take()
		take(Card{Says: EndCard})
	}
	h.now = h.now.Add(24 * time.Hour)
	take(begin)
	h.agree("the process", j.State)
	first := j.State.Session(older)
	still := func(what string) {
		t.Helper()
		if j.State.Session(older) != first {
			t.Errorf("%s folded all again", what)
			first = j.State.Session(older)
		}
		h.agree(what, j.State)
	}
	take(Card{Says: RunnerCard, Word: "B"})
	still("a runner by card")
	last := take(Card{Says: CountCard, Count: 2})
	still("a count by card")
	said(RetractBody{Record: last.ID()})
	still("a retraction")
	take(Card{Says: EndCard})
	still("an end by card")
	card := j.State.Sessions[len(j.State.Sessions)-1]
	minutes := 33.0
	said(CorrectBody{Session: card.ID, Minutes: &minutes})
	still("a correction of a session by card")
	for range 30 {
		take()
	}
	still("photos after the cards")
	note := said(NoteBody{Build: "lorry", Text: "peg cut", At: h.now})
	said(RetractBody{Record: note.ID(), Sum: note.Sum()})
	still("a note taken back")
	if len(j.State.Notes) > 0 {
		t.Error(j.State.Notes)
	}
	if now := j.State.Session(card.ID); !card.Cards || now.Net != 33*time.Minute || now.Bare != 0 || len(now.Parts) != 6 {
		t.Errorf("%+v", now)
	}
}

// A session too old for its records to be at hand is corrected without folding all.
func TestOldIsCorrected(t *testing.T) {
	h := newFate(t, 6)
	j := h.open()
	var ids []string
	var said []Body
	for i := range strandsKept + 20 {
		start := h.now.Add(time.Duration(i-100) * 24 * time.Hour)
		said = append(said, WorkBody{Build: "lorry", Stage: "clean", Kind: "clean", Date: start.Format(time.DateOnly), Start: start,
			Minutes: 30, Known: Measured})
	}
	records, err := j.AppendAll(said)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range records {
		ids = append(ids, r.ID())
	}
	if j = h.open(); j.stood.ground.Strands[ids[3]] != nil {
		t.Fatal("its records are at hand")
	}
	first, minutes := j.State.Session(ids[4]), 44.0
	for range 2 {
		if _, err := j.Append(CorrectBody{Session: ids[3], Minutes: &minutes}); err != nil {
			t.Fatal(err)
		}
		minutes++
	}
	if j.State.Session(ids[4]) != first {
		t.Error("all was folded again")
	}
	if now := j.State.Session(ids[3]); now.Net != 45*time.Minute {
		t.Errorf("%+v", now)
	}
	h.agree("the process", j.State)
}
