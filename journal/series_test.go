// Tests of series: steady intervals are found whatever befalls them, and what a hand
// does is none.

package journal

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

// seriesSeed is where the seeds of what is drawn begin. The bounds of series were chosen
// on those from 0, 100000 and 300000.
var seriesSeed = flag.Uint64("series-seed", 500000, "the first seed of drawn series")

// drawn is a camera over a bench whose moments are drawn by lot.
type drawn struct {
	rng    *rand.Rand
	n      int
	photos []*Photo
}

var drawnFrom = time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)

// shot is a photo so many seconds after the beginning, as a clock of whole seconds
// tells it.
func (d *drawn) shot(seconds float64, print string) *Photo {
	at := drawnFrom.Add(time.Duration(seconds) * time.Second)
	d.n++
	p := &Photo{Hash: fmt.Sprintf("%064d", d.n), Camera: Camera{Model: "T-24"}, Width: 400, Height: 300, Fingerprint: print,
		Tags:    Tags{Build: "lorry", Stage: "clean"},
		Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: StatedOffset}}
	d.photos = append(d.photos, p)
	return p
}

// moving is a fingerprint as hands in the picture change it: of 64 comparisons some.
func (d *drawn) moving() string {
	const still = 0x00ff00ff00ff00ff
	bits := uint64(still)
	for range 5 + d.rng.IntN(12) {
		bits ^= 1 << d.rng.IntN(64)
	}
	return fmt.Sprintf("%016x", bits)
}

func (d *drawn) found() *State {
	s := &State{Photos: slices.Clone(d.photos), Zone: time.UTC}
	slices.SortFunc(s.Photos, orderOfPhotos)
	s.foldSeries()
	return s
}

// A camera that stopped for longer than it may begins another series, also where two
// frames of a long interval are missing; so what is found does not depend on how much
// is looked at anew.
func TestNoSeriesGoesOnAfterALongStop(t *testing.T) {
	for _, c := range []struct {
		gap  float64
		want int
	}{{29 * 60, 1}, {30*60 + 20, 2}} {
		d := &drawn{rng: rand.New(rand.NewPCG(1, 1))}
		for i := range 40 {
			at := float64(i) * 600
			if i >= 20 {
				at += c.gap - 600
			}
			d.shot(at, d.moving())
		}
		s := d.found()
		if len(s.Series) != c.want {
			t.Errorf("%.0f s: %d series", c.gap, len(s.Series))
		}
		if stretch := s.stretchAt(s.Photos[39]); len(stretch) != 40/c.want {
			t.Errorf("%.0f s: %d photos are looked at anew", c.gap, len(stretch))
		}
	}
}

// TestSeriesAreFound draws series of common intervals, with a timer that is late now
// and then, frames that were dropped, photos between and a camera that was stopped. Of
// fifty, forty-nine are found as one, with nineteen in twenty of their frames, and all
// at their step.
func TestSeriesAreFound(t *testing.T) {
	drew, missed := 0, 0
	for _, step := range []float64{2, 3, 5, 8, 10, 15, 20, 30, 60, 120, 300, 600} {
		for seed := range uint64(40) {
			d := &drawn{rng: rand.New(rand.NewPCG(*seriesSeed+seed, uint64(step)))}
			n := max(24, int(leastShort.Seconds()/step)+2) + d.rng.IntN(100) // as long as a series has to be
			late := math.Min(0.4, step/20)                                   // seconds, as cameras focus and write
			at, want := d.rng.Float64(), map[string]bool{}
			for i := range n {
				if d.rng.IntN(40) > 0 || i == 0 || i == n-1 {
					want[d.shot(at+math.Abs(d.rng.NormFloat64())*late, d.moving()).Hash] = true
				}
				if d.rng.IntN(30) == 0 { // a card is shown
					d.shot(at+step*(0.2+0.6*d.rng.Float64()), d.moving())
				}
				if i == n/2 && seed%3 == 0 && step < 300 { // its battery was changed
					at += 120 + 900*d.rng.Float64()
				}
				at += step
			}
			s := d.found()
			hit := 0
			for _, p := range d.photos {
				if p.Series != "" && want[p.Hash] {
					hit++
				}
			}
			drew++
			if len(s.Series) != 1 || hit*20 < len(want)*19 {
				missed++
				t.Logf("every %v s, seed %d: %d series, %d of %d frames", step, seed, len(s.Series), hit, len(want))
			}
			for _, one := range s.Series {
				if math.Abs(one.Step.Seconds()-step) > max(1, step/50) {
					t.Errorf("every %v s, seed %d: the step is %v", step, seed, one.Step)
				}
			}
		}
	}
	t.Logf("%d of %d drawn series are not found as one with 19 of 20 frames", missed, drew)
	if missed*50 > drew {
		t.Errorf("%d of %d drawn series are not found as one with 19 of 20 frames", missed, drew)
	}
}

// handMade draws an evening of a person who takes photos by hand: a few now and then,
// many in a row at a pace of their own, rounds of one part after another, bursts.
func handMade(seed uint64) *drawn {
	d := &drawn{rng: rand.New(rand.NewPCG(seed, 5))}
	at := 0.0
	for range 2 + d.rng.IntN(8) {
		// A person's pauses: some usual length, and longer or shorter by a factor. That
		// of people who keep a beat without a clock is about 0.2 (common practice, no source).
		usual := math.Exp(math.Log(1.5) + d.rng.Float64()*math.Log(400)) // 1.5 s … 10 min
		spread := 0.2 + 0.8*d.rng.Float64()
		for range 1 + d.rng.IntN(60) {
			d.shot(at, d.moving())
			at += usual * math.Exp(spread*d.rng.NormFloat64())
		}
		at += 60 + 1200*d.rng.Float64()
		if at > 6*3600 {
			break
		}
	}
	return d
}

// TestHandsMakeNoSeries draws evenings of photos by hand and wants hardly any series in
// them: at most one evening in two hundred.
func TestHandsMakeNoSeries(t *testing.T) {
	const evenings = 3000
	wrong, photos := 0, 0
	for seed := range uint64(evenings) {
		d := handMade(*seriesSeed + seed)
		photos += len(d.photos)
		if s := d.found(); len(s.Series) > 0 {
			wrong++
			t.Logf("seed %d: %d photos every %v", seed, s.Series[0].Frames, s.Series[0].Step)
		}
	}
	t.Logf("%d of %d evenings of %d photos by hand hold a series", wrong, evenings, photos)
	if wrong*200 > evenings {
		t.Errorf("%d of %d evenings by hand hold a series", wrong, evenings)
	}
}

// seriesHabits are other ways to take photos than those that the bounds were chosen on.
var seriesHabits = []struct {
	name   string
	series bool // a timer takes them
	most   int  // of a thousand that are mistaken
	draw   func(d *drawn)
}{
	{"a timer of 2 s", true, 50, timed(2, 0, 0)},
	{"a timer of 10 s", true, 20, timed(10, 0, 0)},
	{"a timer of 60 s", true, 20, timed(60, 0, 0)},
	{"a timer of 5 min", true, 20, timed(300, 0, 0)},
	{"a timer of 10 s, a frame of ten is dropped", true, 30, timed(10, 0.1, 0)},
	{"a timer of 60 s, a frame of ten is dropped", true, 60, timed(60, 0.1, 0)},
	{"a telephone of 5 s that pauses each few minutes", true, 30, timed(5, 0.02, 6)},
	{"a telephone of 30 s that pauses each few minutes", true, 30, timed(30, 0.02, 6)},
	{"a hand that shoots bursts", false, 5, func(d *drawn) {
		for at := 0.0; at < 3*3600; at += 60 + 540*d.rng.Float64() {
			for range 3 + d.rng.IntN(8) {
				d.shot(at, d.moving())
				at += 0.4 + 1.6*d.rng.Float64()
			}
		}
	}},
	{"a photo after each part, every minute, a fifth off", false, 5, beaten(60, 0.2)},
	{"a photo after each part, every minute, a seventh off", false, 20, beaten(60, 0.15)},
	{"a photo after each part, every 20 s, a fifth off", false, 20, beaten(20, 0.2)},
	{"a photo after each part, every 5 min, a fifth off", false, 5, beaten(300, 0.2)},
}

// timed is a timer of so many seconds over two hours at most, with some frames dropped
// and some pauses of up to a quarter of an hour.
func timed(step, dropped float64, pauses int) func(d *drawn) {
	return func(d *drawn) {
		at := d.rng.Float64()
		n := max(40, min(int(7200/step), 400))
		for i := range n {
			if d.rng.Float64() >= dropped || i == 0 {
				d.shot(at+math.Abs(d.rng.NormFloat64())*math.Min(0.4, step/20), d.moving())
			}
			if at += step; pauses > 0 && i%(n/(pauses+1)) == n/(pauses+1)-1 {
				at += 30 + 870*d.rng.Float64()
			}
		}
	}
}

// beaten is a hand that keeps a beat of so many seconds, each pause longer or shorter by
// a factor of so much.
func beaten(usual, spread float64) func(d *drawn) {
	return func(d *drawn) {
		at := 0.0
		for range 30 + d.rng.IntN(30) {
			d.shot(at, d.moving())
			at += usual * math.Exp(spread*d.rng.NormFloat64())
		}
	}
}

// TestSeriesOfOtherHabits holds how often what other people and other timers do is
// taken for what it is not.
func TestSeriesOfOtherHabits(t *testing.T) {
	const each = 200
	for _, c := range seriesHabits {
		wrong, parts, frames, all := 0, 0, 0, 0
		for seed := range uint64(each) {
			d := &drawn{rng: rand.New(rand.NewPCG(*seriesSeed+seed, 11))}
			c.draw(d)
			s := d.found()
			all += len(d.photos)
			hit := 0
			for _, p := range d.photos {
				hit += min(1, len(p.Series))
			}
			frames += hit
			if c.series && (len(s.Series) != 1 || hit*20 < len(d.photos)*19) || !c.series && len(s.Series) > 0 {
				wrong++
			}
			parts += len(s.Series)
		}
		t.Logf("%-60s %3d of %d mistaken, %d series, %.1f %% of the photos are frames", c.name, wrong, each, parts, 100*float64(frames)/float64(all))
		if wrong*1000 > c.most*each {
			t.Errorf("%s: %d of %d mistaken", c.name, wrong, each)
		}
	}
}

// TestStillSeriesIsNoWork holds what of a series counts as work: what changed, without
// stops and without long stretches in which nothing did.
func TestStillSeriesIsNoWork(t *testing.T) {
	const still = "00ff00ff00ff00ff"
	for _, c := range []struct {
		name string
		draw func(d *drawn)
		want string // minutes after the beginning
	}{
		{"it moves all along", func(d *drawn) {
			for i := range 61 {
				d.shot(float64(20*i), d.moving())
			}
		}, "0-20"},
		{"nobody is left at the end", func(d *drawn) {
			for i := range 91 {
				print := d.moving()
				if i > 30 {
					print = still
				}
				d.shot(float64(20*i), print)
			}
		}, "0-10"},
		{"a meal", func(d *drawn) {
			for i := range 121 {
				print := d.moving()
				if i > 30 && i < 90 {
					print = still
				}
				d.shot(float64(20*i), print)
			}
		}, "0-10 30-40"},
		{"hands rest for a minute", func(d *drawn) {
			for i := range 61 {
				print := d.moving()
				if i > 30 && i < 34 {
					print = still
				}
				d.shot(float64(20*i), print)
			}
		}, "0-20"},
		{"the camera stopped", func(d *drawn) {
			for i := range 62 {
				d.shot(float64(20*i+600*(i/31)), d.moving())
			}
		}, "0-10 20-30"},
		{"nothing moves", func(d *drawn) {
			for i := range 61 {
				d.shot(float64(20*i), still)
			}
		}, ""},
	} {
		d := &drawn{rng: rand.New(rand.NewPCG(1, 1))}
		c.draw(d)
		s := d.found()
		if len(s.Series) != 1 {
			t.Errorf("%s: %d series", c.name, len(s.Series))
			continue
		}
		var got []string
		for _, one := range s.Series[0].Lively {
			got = append(got, fmt.Sprintf("%.0f-%.0f", one.Start.Sub(drawnFrom).Minutes(), one.End.Sub(drawnFrom).Minutes()))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %s, want %s", c.name, strings.Join(got, " "), c.want)
		}
	}
}

// seriesRecords are the records of an hour under a camera, from 19:00 on.
func seriesRecords(t *testing.T, change func(i int, b *PhotoBody)) []Record {
	t.Helper()
	var records []Record
	d := &drawn{rng: rand.New(rand.NewPCG(3, 3))}
	for i := range 181 {
		p := d.shot(float64(20*i), d.moving())
		b := PhotoBody{Hash: p.Hash, Path: "photos/" + p.Hash, Width: 400, Height: 300, Camera: p.Camera, Instant: p.Instant,
			Tags: p.Tags, Fingerprint: p.Fingerprint, Why: reason.Whys{"build": {By: reason.Folder, Name: "lorry"}}}
		if change != nil {
			change(i, &b)
		}
		r, err := suppose(b, records)
		if err != nil {
			t.Fatal(err)
		}
		records = append(records, r)
	}
	return records
}

// TestSeriesMakesSessions holds when a series is evidence of work, of which length, and
// how its time is known.
func TestSeriesMakesSessions(t *testing.T) {
	at := func(minutes int) time.Time { return drawnFrom.Add(time.Duration(minutes) * time.Minute) }
	for _, c := range []struct {
		name   string
		change func(i int, b *PhotoBody)
		more   []Body
		want   string
	}{
		{"nobody said anything", nil, nil, "lorry/clean 0-60 60 measured by series"},
		{"its clock is not confirmed", func(_ int, b *PhotoBody) { b.Instant.Offset = HomeOffset }, nil,
			"lorry/clean 0-60 60 estimated by series"},
		{"nobody knows how it looks", func(_ int, b *PhotoBody) { b.Fingerprint = "" }, nil,
			"lorry/clean 0-60 60 estimated by series"},
		{"its frames have no place", func(_ int, b *PhotoBody) { b.Tags = Tags{} }, nil, ""},
		{"its place is a guess", func(_ int, b *PhotoBody) { b.Guess = true }, nil, ""},
		{"a timer covers it", nil, []Body{WorkBody{Build: "seaplane", Stage: "clean", Start: at(-5), Minutes: 80, Known: Measured}},
			"seaplane/clean -5-75 80 measured"},
		{"a timer covers the middle", nil, []Body{WorkBody{Build: "lorry", Stage: "clean", Start: at(20), Minutes: 20, Known: Measured}},
			"lorry/clean 0-20 20 measured by series, lorry/clean 20-40 20 measured, lorry/clean 40-60 20 measured by series"},
		{"a timer covers all but a moment", nil, []Body{WorkBody{Build: "lorry", Stage: "clean", Start: at(4), Minutes: 52, Known: Measured}},
			"lorry/clean 4-56 52 measured"},
		{"a timer runs since", nil, []Body{BeginBody{Build: "lorry", Stage: "clean", Start: at(30)}},
			"lorry/clean 0-30 30 measured by series, lorry/clean runs"},
		{"that evening was told", nil, []Body{WorkBody{Build: "lorry", Stage: "paint", Date: "2026-03-14", Minutes: 60}},
			"lorry/paint told 60 remembered"},
		{"that evening of another build was told", nil, []Body{WorkBody{Build: "seaplane", Stage: "paint", Date: "2026-03-14", Minutes: 60}},
			"seaplane/paint told 60 remembered, lorry/clean 0-60 60 measured by series"},
		{"a second camera on the same bench", func(i int, b *PhotoBody) { b.Camera.Serial = []string{"1", "2"}[i%2] }, nil,
			"lorry/clean 0-60 60 measured by series"},
	} {
		records := seriesRecords(t, c.change)
		for _, body := range c.more {
			r, err := suppose(body, records)
			if err != nil {
				t.Fatal(err)
			}
			records = append(records, r)
		}
		s := Fold(testPlan, records)
		var got []string
		for _, one := range s.Sessions {
			text := fmt.Sprintf("%s/%s %.0f-%.0f %.0f %s", one.Build, one.Stage, one.Start.Sub(drawnFrom).Minutes(),
				one.End.Sub(drawnFrom).Minutes(), one.Net.Minutes(), one.Known)
			switch {
			case one.Open:
				text = fmt.Sprintf("%s/%s runs", one.Build, one.Stage)
			case !s.Clocked(one):
				text = fmt.Sprintf("%s/%s told %.0f %s", one.Build, one.Stage, one.Net.Minutes(), one.Known)
			}
			if one.Series != "" {
				text += " by series"
			}
			got = append(got, text)
		}
		if strings.Join(got, ", ") != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, strings.Join(got, ", "), c.want)
		}
		if len(s.Overlaps()) > 0 {
			t.Errorf("%s: %v", c.name, s.Overlaps())
		}
		for _, w := range s.Work("") {
			if one := s.Session(w.Session); one.Series != "" && (w.Counted || w.Parts > 0) {
				t.Errorf("%s: a series counts parts: %+v", c.name, w)
			}
		}
	}
}
