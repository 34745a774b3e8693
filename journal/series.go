// This file finds series: photos that one camera took at a steady interval, as it
// does on a stand over the bench. A series is shown as one thing. Nothing is taken
// away and no record is written.

package journal

import (
	"cmp"
	"math/bits"
	"slices"
	"strconv"
	"time"

	"rakelight/journal/reason"
)

// Series are photos at a steady interval.
type Series struct {
	ID          string        // hash of its first frame
	End         string        // hash of its last one
	First, Last time.Time     // their instants
	Camera      Camera        //
	Frames      int           //
	Step        time.Duration // from one to the next, the mean where none is missing, in whole seconds
	Spans       []Span        // the camera ran: from a frame to the last one before it stopped
	Lively      []Span        // of these, where the pictures changed
	Compared    bool          // how the pictures look is known, so that Lively means something
	Trust       reason.Trust  // why the camera's clock is believed, "" = nothing speaks for it

	// Where most of its frames belong: of those that have a place for sure, else by a
	// guess; "" = nothing tells.
	Build string
	Kit   int
	Stage string
	Guess bool
}

// Bounds of a series. Common intervals are from 2 s to some minutes; the clocks of
// cameras tell whole seconds.
const (
	leastStep    = 1500 * time.Millisecond // what two seconds may look like
	mostStep     = 10 * time.Minute
	leastFrames  = 12
	leastLong    = 2 * time.Minute
	shortStep    = 15 * time.Second // a hand keeps a shorter one for a while, too
	leastShort   = 5 * time.Minute  // but hardly for so long
	mostDropped  = 2                // frames missing in a row, until the camera counts as stopped
	mostBetween  = 2                // other photos in a row between two frames
	seriesStop   = 30 * time.Minute
	goesOnFrames = 4  // after a stop: fewer are other photos
	stepsSeen    = 12 // steps of which the middle one is the interval
)

// SeriesBounds is what it takes to be a series, for who tells of it.
type SeriesBounds struct {
	Frames       int           // at least
	From, To     time.Duration // of its interval
	Least        time.Duration // how long it goes on at least
	Below, Short time.Duration // how long, where the interval is below so much
	Stop         time.Duration // how long its camera may stop
	Still        time.Duration // for how long nothing may move until that is no time
}

// BoundsOfSeries are those bounds.
func BoundsOfSeries() SeriesBounds {
	return SeriesBounds{leastFrames, leastStep.Round(time.Second), mostStep, leastLong, shortStep, leastShort,
		seriesStop, stillFor}
}

// Pictures are still where at most stillPrint of the 64 comparisons of their
// fingerprints differ, and still for so long that somebody who works would have shown.
const (
	stillPrint = 3
	stillFor   = 5 * time.Minute
)

// InSeries is the series that a photo is a frame of, nil = it is in none.
func (s *State) InSeries(p *Photo) *Series {
	if p == nil || p.Series == "" {
		return nil
	}
	return s.SeriesNamed(p.Series)
}

// SeriesNamed is the series of that id, or nil.
func (s *State) SeriesNamed(id string) *Series {
	i := slices.IndexFunc(s.Series, func(one Series) bool { return one.ID == id })
	if i < 0 {
		return nil
	}
	return &s.Series[i]
}

// FramesOf are the frames of a series by instant.
func (s *State) FramesOf(id string) []*Photo {
	return keep(s.photos(), func(p *Photo) bool { return id != "" && p.Series == id })
}

// Length is how long the camera ran.
func (s *Series) Length() time.Duration { return lengthOf(s.Spans) }

// seriesRate is how many frames of a series are shown a second.
const seriesRate = 10

// Shown is how long the series is when its frames are shown one after another, ten a
// second.
func (s *Series) Shown() time.Duration { return time.Duration(s.Frames) * time.Second / seriesRate }

// Speed is how many times as fast it is shown as it went.
func (s *Series) Speed() float64 { return s.Length().Seconds() / s.Shown().Seconds() }

func lengthOf(spans []Span) time.Duration {
	var sum time.Duration
	for _, one := range spans {
		sum += one.End.Sub(one.Start)
	}
	return sum
}

// foldSeries finds the series, and names in each frame the one it belongs to.
func (s *State) foldSeries() {
	s.Series = nil
	shots := map[stand][]*Photo{}
	for _, p := range s.Photos { // by instant
		if p.mayBeFrame() {
			shots[p.stand()] = append(shots[p.stand()], p)
		}
	}
	for _, photos := range shots {
		s.Series = append(s.Series, seriesAmong(photos)...)
	}
	slices.SortFunc(s.Series, orderOfSeries)
}

func orderOfSeries(a, b Series) int { return cmp.Or(a.First.Compare(b.First), cmp.Compare(a.ID, b.ID)) }

// stand is what all frames of a series have in common: a camera that nobody turns.
type stand struct {
	camera        Camera
	width, height int
}

func (p *Photo) stand() stand { return stand{p.Camera, p.Width, p.Height} }

// mayBeFrame reports whether enough is known of the photo: its camera, and its time to
// the second.
func (p *Photo) mayBeFrame() bool {
	return !p.Clip() && (p.Camera.Make != "" || p.Camera.Model != "") && p.Instant.ByClock() && !p.Instant.Doubts.Any()
}

// seriesAmong finds the series among the photos of one stand, by instant. Where what
// goes on from a photo for long is no series, as of one from which frames were thrown
// away, it hardly is one from the photo after: the next looked from is an eighth of it
// further, and of those between the first from which there is one. So the time this takes
// grows with the photos, and not with their square.
func seriesAmong(photos []*Photo) []Series {
	var all []Series
	first := 0 // from which none was looked for yet
	for i := 0; i+leastFrames <= len(photos); {
		runs, next := seriesFrom(photos, i)
		if runs == nil {
			first = i + 1
			i += max(1, (next-i)/8)
			continue
		}
		for first < i {
			between := (first + i) / 2
			if earlier, end := seriesFrom(photos, between); earlier != nil {
				runs, next, i = earlier, end, between
			} else {
				first = between + 1
			}
		}
		all = append(all, settleSeries(runs, photos[i:next]))
		i, first = next, next
	}
	return all
}

// seriesFrom is the series that begins with a photo, as the runs between which the
// camera stopped, and the place after its last frame; nil where none begins there, with
// the place after what goes on from there.
func seriesFrom(photos []*Photo, first int) (runs [][]*Photo, next int) {
	step, ok := stepFrom(photos, first)
	if !ok {
		return nil, first
	}
	run, last := runFrom(photos, first, step)
	total := 0
	for run != nil {
		runs, total = append(runs, run), total+len(run)
		run, last = goOnAfter(photos, last, step)
		if run == nil {
			break
		}
	}
	end := runs[len(runs)-1]
	next = first
	for photos[next] != end[len(end)-1] {
		next++
	}
	if !steady(runs, total, step, next+1-first) {
		return nil, next + 1
	}
	return runs, next + 1
}

// steady reports whether runs are those of a timer and no hand's: enough frames for
// long enough, few of them missing, and few photos between.
func steady(runs [][]*Photo, total int, step time.Duration, photos int) bool {
	var long time.Duration
	clean, steps, unbroken := 0, 0, 0
	for _, run := range runs {
		unbroken = max(unbroken, len(run))
		long += run[len(run)-1].Instant.At.Sub(run[0].Instant.At)
		for i := 1; i < len(run); i++ {
			if steps++; (run[i].Instant.At.Sub(run[i-1].Instant.At) - step).Abs() <= jitter(step) {
				clean++
			}
		}
	}
	least := leastLong
	if step < shortStep {
		least = leastShort
	}
	return total >= leastFrames && long >= least && unbroken >= leastFrames &&
		clean*20 >= steps*17 && total*20 >= photos*17
}

// stepFrom is the middle one of the steps from a photo on.
func stepFrom(photos []*Photo, first int) (step time.Duration, ok bool) {
	var steps []time.Duration
	for i := first + 1; i < len(photos) && len(steps) < stepsSeen; i++ {
		d := photos[i].Instant.At.Sub(photos[i-1].Instant.At)
		if d > seriesStop {
			break
		}
		steps = append(steps, d)
	}
	if len(steps) < goesOnFrames-1 {
		return 0, false
	}
	slices.Sort(steps)
	step = meanAround(steps, steps[len(steps)/2])
	return step, step >= leastStep && step <= mostStep
}

// meanAround is the mean of those steps that are a step, within its jitter.
func meanAround(steps []time.Duration, step time.Duration) time.Duration {
	var sum time.Duration
	n := 0
	for _, d := range steps {
		if (d - step).Abs() <= jitter(step) {
			sum, n = sum+d, n+1
		}
	}
	return sum / time.Duration(n)
}

// jitter is how far a step may be off: a second and a half, since a clock tells whole
// ones and a camera has to focus, or six in a hundred of a long one; never more than a
// fifth of it but a second and a quarter.
func jitter(step time.Duration) time.Duration {
	return min(max(1500*time.Millisecond, step*6/100), max(1250*time.Millisecond, step/5))
}

// runFrom are the photos that follow each other by the step from one on, and the place
// of the last.
func runFrom(photos []*Photo, first int, step time.Duration) (run []*Photo, last int) {
	run, last = []*Photo{photos[first]}, first
	for {
		next := frameAfter(photos, last, step)
		if next < 0 {
			return run, last
		}
		run, last = append(run, photos[next]), next
	}
}

// frameAfter is the place of the frame that follows one: so many steps later, and of
// several the nearest to its time; below zero where none follows.
func frameAfter(photos []*Photo, last int, step time.Duration) int {
	found, steps, best := -1, 0, time.Duration(0)
	for i := last + 1; i < len(photos) && i <= last+1+mostBetween; i++ {
		d := photos[i].Instant.At.Sub(photos[last].Instant.At)
		if d > seriesStop { // what is looked at anew when photos come ends there, too
			break
		}
		n := int((d + step/2) / step)
		if n < 1 {
			continue
		}
		if n == 2 && d-step <= jitter(step) { // three seconds after a late frame are two
			n = 1
		}
		off, most := (d - time.Duration(n)*step).Abs(), jitter(step)
		if n > 1 { // else two short steps would not be told from one, or from three
			most = min(most, step/5)
		}
		if n > 1+mostDropped || found >= 0 && n != steps {
			break
		}
		if off <= most && (found < 0 || off < best) {
			found, steps, best = i, n, off
		}
	}
	return found
}

// goOnAfter is how a series goes on after its camera stopped, nil where it does not.
func goOnAfter(photos []*Photo, last int, step time.Duration) (run []*Photo, end int) {
	for i := last + 1; i < len(photos) && i <= last+1+mostBetween; i++ {
		if photos[i].Instant.At.Sub(photos[last].Instant.At) > seriesStop {
			break
		}
		if run, end := runFrom(photos, i, step); len(run) >= goesOnFrames {
			return run, end
		}
	}
	return nil, 0
}

// settleSeries is a series of its runs. around are its frames with what was taken
// between them.
func settleSeries(runs [][]*Photo, around []*Photo) Series {
	frames := slices.Concat(runs...)
	first, last := frames[0], frames[len(frames)-1]
	s := Series{ID: first.Hash, End: last.Hash, First: first.Instant.At, Last: last.Instant.At, Camera: first.Camera,
		Frames: len(frames), Step: meanStep(runs), Trust: trustOf(around), Compared: true}
	seen := 0
	for _, run := range runs {
		s.Spans = append(s.Spans, Span{run[0].Instant.At, run[len(run)-1].Instant.At})
		s.Lively = append(s.Lively, livelyOf(run, max(stillFor, 3*s.Step))...)
	}
	for _, p := range frames {
		p.Series = s.ID
		if p.Fingerprint != "" {
			seen++
		}
	}
	s.Compared = seen*10 >= len(frames)*9
	s.place(frames)
	return s
}

// meanStep is the mean of the steps between which no frame is missing.
func meanStep(runs [][]*Photo) time.Duration {
	var steps []time.Duration
	for _, run := range runs {
		for i := 1; i < len(run); i++ {
			steps = append(steps, run[i].Instant.At.Sub(run[i-1].Instant.At))
		}
	}
	slices.Sort(steps)
	return meanAround(steps, steps[len(steps)/2]).Round(time.Second)
}

// livelyOf is where the pictures of a run changed: all of it but what stayed still for
// long. Of a picture that cannot be compared nobody knows, so it counts as changed.
func livelyOf(run []*Photo, long time.Duration) []Span {
	var out []Span
	from := 0 // of the lively stretch
	add := func(to int) {
		if to > from {
			out = append(out, Span{run[from].Instant.At, run[to].Instant.At})
		}
	}
	for i := 0; i < len(run); {
		still := i
		for still+1 < len(run) && stays(run[i].Fingerprint, run[still+1].Fingerprint) {
			still++
		}
		if run[still].Instant.At.Sub(run[i].Instant.At) >= long {
			add(i)
			from = still
		}
		i = max(still, i+1)
	}
	add(len(run) - 1)
	return out
}

// stays reports whether two pictures show the same.
func stays(a, b string) bool {
	m, errA := strconv.ParseUint(a, 16, 64)
	n, errB := strconv.ParseUint(b, 16, 64)
	return errA == nil && errB == nil && bits.OnesCount64(m^n) <= stillPrint
}

// trustOf is why the clock of the camera that took the photos is believed.
func trustOf(photos []*Photo) reason.Trust {
	in := photos[0].Instant
	switch {
	case in.Corrected.Fast != 0:
		return reason.ClockPutRight
	case slices.ContainsFunc(photos, func(p *Photo) bool { return len(p.Cards) > 0 }):
		return reason.ShowsCard
	case in.Offset == FromGPS:
		return reason.Satellites
	case in.Offset == StatedOffset:
		return reason.StatesZone
	}
	return ""
}

// place finds where most frames belong, of several places the first.
func (s *Series) place(frames []*Photo) {
	type place struct {
		build, stage string
		kit          int
		guess        bool
	}
	counts := map[place]int{}
	var order []place
	for _, p := range frames {
		at := place{p.Tags.Build, p.Tags.Stage, p.Tags.Kit, p.Guess}
		if at.build == "" {
			continue
		}
		if counts[at] == 0 {
			order = append(order, at)
		}
		counts[at]++
	}
	var most place
	for _, at := range order {
		if counts[most] == 0 || most.guess && !at.guess || most.guess == at.guess && counts[at] > counts[most] {
			most = at
		}
	}
	s.Build, s.Kit, s.Stage, s.Guess = most.build, most.kit, most.stage, most.guess
}
