// The stills of a week: which there are, what stands on each, and their captions. How
// they are drawn is package still's.

package render

import (
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/media"
	"rakelight/media/card"
	"rakelight/render/still"
)

// Still is one picture of a week.
type Still struct {
	Name    string // of its file: "01-title.jpg"
	Caption string // one line
	Look    still.Look
	on      func(load loader) (still.Still, error) // what stands on it
}

// loader gives a photo as a still shows it.
type loader func(p *journal.Photo, l media.Laid) (image.Image, error)

const (
	mostPairs    = 3 // then-and-now pairs of a week
	mostCharted  = 4 // builds in the chart
	mostMistakes = 2
)

// StillsOf are the stills of the week that begins on a Monday, in their order. What
// stands on them is made as each is drawn, so that one photo at a time is held.
func StillsOf(s *journal.State, monday, now time.Time, night bool) []Still {
	v := viewForOthers(s, now)
	w := v.week(monday)
	set := &stillSet{w: w, look: still.Look{Night: night}}
	if len(w.builds) == 0 {
		return nil
	}
	set.title()
	set.done()
	set.pairs()
	set.chart()
	set.runners()
	set.slips()
	set.tip()
	set.words()
	set.waits(s)
	return set.all
}

// Draw draws the still and returns the bytes of its file: a JPEG where there is a photo
// on it, else a PNG, both without a word in them. Errors are those of media.Sizes and of
// the file system.
func (s Still) Draw(j *journal.Journal) ([]byte, error) {
	on, err := s.on(func(p *journal.Photo, l media.Laid) (image.Image, error) {
		file, err := j.Original(p.Path)
		if err != nil {
			return nil, err
		}
		return l.Picture(file, p.Turn)
	})
	if err != nil {
		return nil, err
	}
	img := still.Draw(on, s.Look)
	var b bytes.Buffer
	if strings.HasSuffix(s.Name, ".png") {
		err = png.Encode(&b, img)
	} else {
		err = jpeg.Encode(&b, img, &jpeg.Options{Quality: stillQuality})
	}
	return b.Bytes(), err
}

// stillQuality is more than a page needs: an editor of films compresses once more.
const stillQuality = 92

// stillSet are the stills of a week in the making.
type stillSet struct {
	w    *talkWeek
	look still.Look
	all  []Still
}

// add adds a still; photo says that a photo is on it.
func (s *stillSet) add(name, caption string, photo bool, on func(load loader) (still.Still, error)) {
	ending := ".png"
	if photo {
		ending = ".jpg"
	}
	s.all = append(s.all, Still{Name: fmt.Sprintf("%02d-%s%s", len(s.all)+1, name, ending),
		Caption: strings.Join(strings.Fields(said(caption)), " "), Look: s.look, on: on})
}

// state adds a still of words.
func (s *stillSet) state(name, over, text, foot string) {
	one := still.Statement{Over: said(over), Text: said(text), Foot: said(foot)}
	s.add(name, joinWords(": ", over, text), false, func(loader) (still.Still, error) { return one, nil })
}

// scaled is how a picture is laid in another size.
func scaled(l media.Laid, w, h int) media.Laid {
	by := float64(l.Width) / float64(w)
	l.From = card.Homography{by, 0, 0, 0, float64(l.Height) / float64(h), 0, 0, 0, 1}.Then(l.From)
	l.Width, l.Height = w, h
	return l
}

func (s *stillSet) title() {
	v, w := s.w.v, s.w
	t := still.Title{Over: unmarked(v.name()), Heading: fmt.Sprintf("Week %d", w.number()), Under: w.span()}
	for _, b := range w.builds[:min(3, len(w.builds))] {
		t.Lines = append(t.Lines, unmarked(b.Title))
	}
	var shown []*journal.Photo
	for _, b := range w.builds {
		if shown = keepPhotos(b.photos, v.print); len(shown) > 0 {
			break
		}
	}
	photo := v.portrait(shown)
	caption := t.Heading + ", " + t.Under + ": " + journal.Listed(t.Lines)
	s.add("title", caption, photo != nil, func(load loader) (still.Still, error) {
		if photo == nil {
			return t, nil
		}
		width, height := still.TitleSize(s.look, photo.Width, photo.Height)
		var err error
		t.Picture, err = load(photo, asTaken(photo, width, height))
		return t, err
	})
}

func (s *stillSet) done() {
	var works []metrics.Work
	for _, b := range s.w.builds {
		works = append(works, b.works()...)
	}
	if len(works) == 0 {
		return
	}
	text := s.w.v.benchTime(works) + " at the bench"
	var sessions []*journal.Session
	for _, b := range s.w.builds {
		sessions = append(sessions, b.sessions...)
	}
	if counts := s.w.v.countsOf(sessions); len(counts) > 0 {
		text += ": " + journal.Listed(counts)
	}
	s.state("done", "What got done", text+".", s.w.sums(works))
}

// pairs are the best then-and-now pairs: of each kind of work of the week, most hours
// first, before and after of a stage where that was shown in the week, then the step
// beside that of the first build.
func (s *stillSet) pairs() {
	v := s.w.v
	shown := map[string]bool{}
	n := 0
	add := func(p pair) {
		if key := p.href; shown[key] || n == mostPairs {
			return
		} else {
			shown[key] = true
		}
		n++
		s.pair(p)
	}
	for _, b := range s.w.builds {
		fresh := map[string]bool{}
		for _, p := range b.photos {
			fresh[p.Hash] = true
		}
		for _, kind := range b.kindsByHours() {
			for _, p := range v.pairs() {
				if p.within && p.a.b == b.build && p.kind == kind && fresh[p.b.photo.Hash] &&
					p.comparable() {
					add(p)
				}
			}
			for _, p := range v.pairs() {
				if !p.within && !p.byHand && p.b.b == b.build && p.kind == kind && p.comparable() {
					add(p) // the first build comes first
					break
				}
			}
		}
	}
}

// kindsByHours are the kinds of work of the week, most hours first.
func (b *talkBuild) kindsByHours() []string {
	spent := map[string]float64{}
	for _, one := range b.sessions {
		spent[one.Kind] += one.Hours()
	}
	var kinds []string
	for _, kind := range journal.Kinds {
		if _, ok := spent[kind]; ok {
			kinds = append(kinds, kind)
		}
	}
	slices.SortStableFunc(kinds, func(x, y string) int { return cmp.Compare(spent[y], spent[x]) })
	return kinds
}

func (s *stillSet) pair(p pair) {
	v := s.w.v
	one := still.Pair{Heading: s.w.v.kindTitle(p.kind) + ", then and now"}
	l, _ := v.layOf(p)
	for i, side := range [2]side{p.a, p.b} {
		out := &one.Sides[i]
		// Here a build is then or now, whatever its place among all.
		out.Shade = still.Shade{Ramp: 10 * i, Dash: side.b.shape, Shape: side.b.shape}
		out.Label, out.Words = yearOf(side.b.first), unmarked(side.b.Title)
		if p.within {
			out.Label, out.Words = [2]string{"Before", "After"}[i], s.w.v.dayTold(side.photo.Instant)
		}
	}
	if p.within {
		one.Heading = unmarked(joinWords(", ", p.a.b.Title, s.w.v.low(s.w.v.stageTitle(p.a.b.Stage(p.stage)))))
	} else if one.Sides[0].Label == one.Sides[1].Label {
		for i, side := range [2]side{p.a, p.b} {
			one.Sides[i].Label, one.Sides[i].Words = s.w.v.dayTold(side.photo.Instant), unmarked(side.b.Title)
		}
	}
	if l != nil {
		one.Foot = "Laid over each other by the bench card that both show. Nothing was retouched."
	}
	caption := fmt.Sprintf("%s: %s, %s; %s, %s", one.Heading, one.Sides[0].Label, one.Sides[0].Words,
		one.Sides[1].Label, one.Sides[1].Words)
	s.add("pair-"+fileName(p.kind), caption, true, func(load loader) (still.Still, error) {
		for i, photo := range [2]*journal.Photo{p.a.photo, p.b.photo} {
			laid := asTaken(photo, photo.Width, photo.Height)
			if l != nil {
				laid = l.laid[i]
			}
			width, height := still.SideSize(s.look, laid.Width, laid.Height)
			picture, err := load(photo, scaled(laid, width, height))
			if err != nil {
				return nil, err
			}
			one.Sides[i].Picture = picture
		}
		return one, nil
	})
}

// chart is of the kind of work that took most of the week's hours and has a pace in
// two builds at least: up to the week's own, four of them. Below stands what the pace
// page says of it.
func (s *stillSet) chart() {
	v := s.w.v
	for _, b := range s.w.builds {
		for _, kind := range b.kindsByHours() {
			var paced []*build
			for _, other := range v.order[:slices.Index(v.order, b.build)+1] {
				if ps := other.paces(v.voice, kind); len(ps) > 0 && ps[0].Known.Word == journal.Measured {
					paced = append(paced, other)
				}
			}
			if len(paced) < 2 || paced[len(paced)-1] != b.build {
				continue
			}
			s.chartOf(kind, firstAndLatest(paced, mostCharted))
			return
		}
	}
}

func (s *stillSet) chartOf(kind string, builds []*build) {
	v := s.w.v
	rate := plural(unit(kind)) + " an hour"
	one := still.Chart{Over: s.w.v.kindTitle(kind), Heading: capital(rate) + ", build by build",
		Axis: capital(rate) + ", with the 95 % range"}
	for _, b := range builds {
		p := b.paces(v.voice, kind)[0]
		row := still.Row{Label: unmarked(b.Title), Year: yearOf(b.first), Value: p.PerHour,
			Words: s.w.v.figure(p.PerHour),
			Low:   p.Interval.Low, High: p.Interval.High, Interval: p.Interval.OK, Shade: b.drawn(),
			Rests: s.w.v.count(p.N, "session"), Range: "no range yet"}
		if p.Interval.OK {
			row.Range = s.w.v.figure(p.Interval.Low) + " to " + s.w.v.figure(p.Interval.High)
		}
		one.Rows = append(one.Rows, row)
	}
	last := builds[len(builds)-1]
	if c, ok := v.SpeedsOfKinds(last.Build)[kind]; ok {
		earlier, later := v.before(last.Build)
		one.Foot = said(v.of(c.Sentence(earlier, later)))
	}
	s.add("chart-"+fileName(kind), one.Over+": "+s.w.v.low(one.Heading)+". "+one.Foot, false,
		func(loader) (still.Still, error) { return one, nil })
}

// drawn is the shade of a build as stills draw it.
func (b *build) drawn() still.Shade {
	one := still.Shade{Shape: b.shape, Dash: b.shape}
	fmt.Sscanf(b.shade, "r%d", &one.Ramp) // as viewOf wrote it
	return one
}

// runners are those of the kit on whose named parts most time was spent in the week, at
// the stage in which it was.
func (s *stillSet) runners() {
	for _, b := range s.w.builds {
		for _, kind := range b.kindsByHours() {
			i := slices.IndexFunc(b.sessions, func(one *journal.Session) bool {
				unit, _ := metrics.CountedKind(kind)
				return one.Kind == kind && unit == "part" && len(one.Parts) > 0 && b.Stage(one.Stage) != nil
			})
			if i >= 0 {
				s.runnersOf(b.build, *b.Stage(b.sessions[i].Stage), b.sessions[i].Parts[0].Kit)
				return
			}
		}
	}
}

func (s *stillSet) runnersOf(b *build, st journal.Stage, kit int) {
	one := still.Runners{Over: unmarked(b.Title)}
	if len(b.Kits) > 1 && kit > 0 && kit <= len(b.Kits) && b.Kits[kit-1].Title != "" {
		one.Over = unmarked(joinWords(", ", b.Title, b.Kits[kit-1].Title))
	}
	left, all := 0, 0
	for _, r := range s.w.v.Ledger(b.Build) {
		if r.Kit != kit && kit != 0 || len(r.Parts) == 0 {
			continue
		}
		n, of := r.Left(st.ID)
		left, all = left+n, all+of
		runner := still.Runner{Name: r.Letter}
		for _, p := range r.Parts {
			runner.Squares = append(runner.Squares, drawnSquare(p, st.ID))
		}
		one.Runners = append(one.Runners, runner)
	}
	if len(one.Runners) == 0 {
		return
	}
	title := unmarked(s.w.v.stageTitle(&st))
	one.Heading = fmt.Sprintf("%s: %d of %d parts done", title, all-left, all)
	one.Foot = fmt.Sprintf("Filled: %s done. Corner: begun in another stage. Struck: not for use. ? missing, ! damaged, + asked for.",
		s.w.v.low(title))
	s.add("runners", one.Over+". "+one.Heading, false, func(loader) (still.Still, error) { return one, nil })
}

// drawnSquare is a part on its runner, as it stands in one stage.
func drawnSquare(p journal.PartLedger, stage string) still.Square {
	sq := still.Square{Number: p.Ref.Number, Look: "not"}
	switch {
	case p.Use == journal.NotUsed:
		sq.Look = "unused"
	case p.Use == journal.Missing:
		sq.Look, sq.Sign = "lacks", lackSigns[p.Found]
	case p.Stands[stage] == journal.PartDone:
		sq.Look = "done"
	case len(p.Stands) > 0:
		sq.Look = "begun"
	}
	return sq
}

func (s *stillSet) slips() {
	n := 0
	for _, b := range s.w.builds {
		for _, m := range b.mistakes {
			if n == mostMistakes {
				return
			}
			n++
			text := stop(capital(m.Kind))
			if m.Mended != "" {
				text += " " + stop(capital(m.Mended))
			}
			foot := joinWords(", ", weekday(s.w.date(m.At)), b.Title, partWords(m.Parts), m.Cause)
			s.state("mistake", "What went wrong, and what it taught", text, foot)
		}
	}
}

func (s *stillSet) tip() {
	if t := s.w.tip(); t.short != "" {
		s.state("tip", t.title, t.short, t.care)
	}
}

// words are the last words of the week.
func (s *stillSet) words() {
	var last *journal.DiaryDay
	for _, b := range s.w.builds {
		for i := range b.days {
			if d := &b.days[i]; last == nil || d.Date > last.Date {
				last = d
			}
		}
	}
	if last == nil {
		return
	}
	if text := s.w.v.texts().excerpt(last.Body); text != "" {
		s.state("words", weekday(last.Date), quoted(text), "")
	}
}

func (s *stillSet) waits(whole *journal.State) {
	lines := s.w.waits(whole)
	if len(lines) == 0 {
		return
	}
	i := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "Next on ") })
	i = max(i, 0)
	rest := slices.Delete(slices.Clone(lines), i, i+1)
	rest = slices.DeleteFunc(rest, func(l string) bool { return strings.HasPrefix(l, "Ready by ") })
	s.state("waits", "What waits", lines[i], strings.Join(rest, " "))
}
