// What there is to tell of a week, in the order of telling, to be said to others: so
// nothing private is in it, and it speaks in the builder's own name. A change is told
// only as the answers of the pace page tell it.

package render

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
	"rakelight/journal/wording"
)

// Talk is what there is to tell of a week.
type Talk struct {
	Week    string // "2026-W47"
	Heading string // "Week 47, 16 to 22 November 2026"
	Parts   []TalkPart
}

// TalkPart is one thing to tell.
type TalkPart struct {
	Title string
	Lines []string // a few sentences each
}

// TalkOf is what there is to tell of the week that begins on a Monday. now is the
// moment what waits is told for.
func TalkOf(s *journal.State, monday, now time.Time) Talk {
	w := viewForOthers(s, now).week(monday)
	t := w.talk()
	add := func(title string, lines []string) {
		if len(lines) > 0 {
			t.Parts = append(t.Parts, TalkPart{title, lines})
		}
	}
	if len(w.builds) == 0 {
		add("The week", w.short())
		return t.spoken()
	}
	add("What was planned", w.planned())
	add("What got done", w.done())
	add("Hours and parts", w.hoursAndParts())
	add("Beside the build before", w.besideLast())
	add("What went wrong, and what it taught", w.slips())
	add("A tip from the bench", w.tip().lines)
	add("What waits", w.waits(s))
	return t.spoken()
}

// ShortOf is the week that begins on a Monday in a few lines, of what others may see.
func ShortOf(s *journal.State, monday, now time.Time) Talk {
	w := viewForOthers(s, now).week(monday)
	t := w.talk()
	t.Parts = []TalkPart{{"", w.short()}}
	return t.spoken()
}

// talk is a talk of the week in which nothing is told yet.
func (w *talkWeek) talk() Talk {
	return Talk{Week: weekOf(w.from), Heading: fmt.Sprintf("Week %d, %s", w.number(), w.span())}
}

// viewForOthers is the view of what others may see: the one place that leaves out what
// is private, for talks, stills and films.
func viewForOthers(s *journal.State, now time.Time) *view {
	return viewOfOthers(s, Options{Edition: ForReaders, Today: now})
}

func viewOfOthers(s *journal.State, opts Options) *view {
	public := s.ForReaders(ownWords)
	return viewWith(public, opts, originalsOf(public), nil)
}

// spoken is the talk in the builder's own name.
func (t Talk) spoken() Talk {
	t.Heading = said(t.Heading)
	for i := range t.Parts {
		for k := range t.Parts[i].Lines {
			t.Parts[i].Lines[k] = said(t.Parts[i].Lines[k])
		}
	}
	return t
}

// said is a sentence in the builder's own name; what a person wrote is as it was
// written, with or without the marks of it.
func said(words string) string { return unmarked(string(inFirstPerson([]byte(words)))) }

func unmarked(words string) string { return strings.ReplaceAll(words, ownMark, "") }

// stop ends a sentence that a person may have ended already.
func stop(words string) string {
	words = strings.TrimSpace(words)
	for _, end := range []string{".", "!", "?", "…", ".”", "!”", "?”", "…”"} {
		if strings.HasSuffix(words, end) {
			return words
		}
	}
	if words == "" {
		return ""
	}
	return words + "."
}

// quoted is a sentence that a person wrote, as a quotation.
func quoted(words string) string { return "“" + stop(words) + "”" }

// planned is what was meant to be done: what the last words before said, what stood on
// the note of a pause, and the list of work as far as it is known to be of this week.
func (w *talkWeek) planned() []string {
	var out []string
	t := w.v.texts()
	for _, b := range w.builds {
		for _, p := range b.ended {
			if p.Next != "" {
				out = append(out, fmt.Sprintf("When you put %s aside on %s, the note for the return said: %s", b.Title,
					w.v.day(p.From.In(w.v.zone())), quoted(p.Next)))
			}
		}
		if d := w.wordsBefore(b.build); d != nil && len(out) == 0 {
			if words := t.excerpt(d.Body); words != "" {
				out = append(out, fmt.Sprintf("The last words before this week, on %s, were: %s", w.v.dayOf(d.Date),
					quoted(words)))
			}
		}
		if w.newest {
			out = append(out, w.order(b.build)...)
		}
	}
	return out
}

// wordsBefore are the last words of a build before the week, nil = none, or they are
// more than two months old.
func (w *talkWeek) wordsBefore(b *build) *journal.DiaryDay {
	oldest := w.monday().AddDate(0, -2, 0).Format(time.DateOnly)
	var found *journal.DiaryDay
	for i := range w.v.Diary {
		if d := &w.v.Diary[i]; d.Build == b.ID && d.Date < w.from && d.Date >= oldest {
			found = d
		}
	}
	return found
}

// order is how the lists of work of a build stand. Supplies are no work.
func (w *talkWeek) order(b *build) []string {
	bySection := map[string][]journal.CheckItem{}
	var sections []string
	for _, it := range b.Checklist {
		if bySection[it.Section] == nil {
			sections = append(sections, it.Section)
		}
		bySection[it.Section] = append(bySection[it.Section], it)
	}
	var out []string
	for _, name := range sections {
		ticked, next := 0, ""
		for _, it := range bySection[name] {
			if it.Done {
				ticked++
			} else if next == "" {
				next = it.Text
			}
		}
		all := len(bySection[name])
		if next == "" {
			continue
		}
		list := "the list"
		if name != "" {
			list = "“" + name + "”"
		}
		out = append(out, fmt.Sprintf("On %s of %s %d of %d are ticked; next there is: %s", list, b.Title, ticked, all,
			stop(next)))
	}
	return out
}

// done is what got done, stage by stage, and the words of its days.
func (w *talkWeek) done() []string {
	var out []string
	t := w.v.texts()
	for _, b := range w.builds {
		for _, p := range b.ended {
			out = append(out, fmt.Sprintf("%s is back on the bench since %s.", b.Title, weekday(w.date(p.Until))))
		}
		if words := w.v.doneWords(b.build, b.sessions); words != "" {
			out = append(out, b.Title+": "+words)
		}
		if len(b.sessions) == 0 && len(b.photos) > 0 {
			out = append(out, fmt.Sprintf("%s: %s, and no session was kept.", b.Title, w.v.count(len(b.photos),
				"photo")))
		}
		if w.holds(b.Finished) {
			out = append(out, fmt.Sprintf("%s is finished since %s.", b.Title, weekday(b.Finished)))
		}
		for _, d := range b.days {
			words := joinWords(": ", d.Title, t.excerpt(d.Body))
			if words != "" {
				out = append(out, fmt.Sprintf("%s: %s", weekday(d.Date), quoted(words)))
			}
		}
	}
	return out
}

// date is the day of a moment.
func (w *talkWeek) date(at time.Time) string { return at.In(w.v.zone()).Format(time.DateOnly) }

// vague is how many times its lower end the upper end of a range may be at most for the
// pace of a week to be spoken of.
const vague = 10

// hoursAndParts are the sums, and the pace of each counted kind of work as measured in
// the week alone.
func (w *talkWeek) hoursAndParts() []string {
	var works []metrics.Work
	sessions := 0
	for _, b := range w.builds {
		works = append(works, b.works()...)
		sessions += len(b.sessions)
	}
	if sessions == 0 {
		return []string{"No session was kept this week, so there are no hours to tell."}
	}
	out := []string{w.sums(works)}
	for _, b := range w.builds {
		for _, kind := range journal.Kinds {
			unit, counted := metrics.CountedKind(kind)
			p := metrics.PaceOf(keepWork(metrics.KnownAs(b.works(), metrics.Measured), func(x metrics.Work) bool {
				return x.Kind == kind
			}))
			if counted && p.OK && p.Interval.Low*vague >= p.Interval.High {
				out = append(out, w.v.of(p.Sentence(joinWords(", ", b.Title, w.v.low(w.v.kindTitle(kind))), unit)))
			}
		}
	}
	if w.newest {
		for _, b := range w.builds {
			if words := w.standing(b); words != "" {
				out = append(out, words)
			}
		}
	}
	return out
}

// sums are the hours, by how they are known, and what was counted.
func (w *talkWeek) sums(works []metrics.Work) string {
	var known []string
	for _, how := range []string{metrics.Measured, metrics.Estimated, metrics.Remembered} {
		if some := metrics.KnownAs(works, how); len(some) > 0 {
			known = append(known, fmt.Sprintf("%s %s", w.v.benchTime(some), how))
		}
	}
	evenings := map[string]bool{}
	for _, x := range works {
		evenings[x.Evening] = true
	}
	s := fmt.Sprintf("%s at the bench in %s on %s", w.v.benchTime(works), w.v.count(len(works), "session"),
		w.v.count(len(evenings), "day"))
	switch {
	case len(known) == 1:
		s += ", all " + strings.Fields(known[0])[len(strings.Fields(known[0]))-1]
	case len(known) > 1:
		s += ": " + journal.Listed(known)
	}
	var counts []string
	for _, u := range []string{"part", "join", "coat", "item", "decal"} {
		n := 0.0
		for _, x := range works {
			if unit(x.Kind) == u && x.Counted {
				n += x.Parts
			}
		}
		if n > 0 {
			counts = append(counts, w.v.count(int(n), say.Noun(u)))
		}
	}
	if len(counts) > 0 {
		s += "; " + journal.Listed(counts) + " counted, each in its stage"
	}
	return s + "."
}

// standing is how far the stages of the week are by now.
func (w *talkWeek) standing(b *talkBuild) string {
	left := w.v.Remains(b.Build).Stages
	var words []string
	for _, st := range b.stages() {
		all, known := b.CountOf(&st)
		if _, counted := metrics.CountedKind(st.Kind); !known || !counted || all == 0 {
			continue
		}
		n := 0
		for _, one := range left {
			if one.Stage == st.ID {
				n = one.Left
			}
		}
		words = append(words, fmt.Sprintf("%s %d of %d", w.v.low(w.v.stageTitle(&st)), all-n, all))
	}
	if len(words) == 0 {
		return ""
	}
	return fmt.Sprintf("So far on %s: %s.", b.Title, strings.Join(words, "; "))
}

// besideLast holds the build of the week beside the one before, in the words that the
// pace page has for it, and says so where nothing may be claimed.
func (w *talkWeek) besideLast() []string {
	i := slices.IndexFunc(w.builds, func(b *talkBuild) bool {
		return slices.ContainsFunc(b.works(), func(x metrics.Work) bool { return x.Counted && x.Hours > 0 })
	})
	if i < 0 {
		return nil
	}
	b := w.builds[i].build
	earlier := w.v.countedBefore(b)
	if earlier == nil {
		return []string{fmt.Sprintf("There is no earlier build with counted work to hold %s beside.", b.named())}
	}
	c := w.v.Speed(earlier.Build, b.Build)
	a := w.v.paceAnswer(c, earlier.named(), b.named())
	var out []string
	if !w.newest {
		out = append(out, "By all that is kept until today, later weeks included:")
	}
	out = append(out, fmt.Sprintf("%s: %s", a.Lead, a.Words))
	claimed := changed(c)
	if claims := w.v.Claims(); w.newest && claims.Build == b.Build && len(w.v.Earlier(b.Build)) > 1 {
		before, later := w.v.before(b.Build)
		out = append(out, w.v.of(claims.Since.Sentence(before, later)))
		claimed = claimed || changed(claims.Since)
	}
	if !claimed {
		out = append(out, "So much was measured; there is no difference that one could tell.")
	}
	return out
}

// changed reports whether a comparison claims a change.
func changed(c metrics.Comparison) bool {
	v := c.Verdict()
	return v == metrics.Faster || v == metrics.Slower
}

// countedBefore is the build with counted bench time before one, nil = none.
func (v *view) countedBefore(b *build) *build {
	var found *build
	for _, e := range v.Earlier(b.Build) {
		if slices.ContainsFunc(v.builds[e.ID].work, func(x metrics.Work) bool { return x.Counted && x.Hours > 0 }) {
			found = v.builds[e.ID]
		}
	}
	return found
}

// slips are the mistakes of the week, each with what put it right.
func (w *talkWeek) slips() []string {
	var out []string
	for _, b := range w.builds {
		for _, m := range b.mistakes {
			where := weekday(w.date(m.At))
			if st := b.Stage(m.Stage); st != nil {
				where = joinWords(", ", where, w.v.low(w.v.stageTitle(st)))
			}
			if parts := partWords(m.Parts); parts != "" {
				where = joinWords(" of ", where, parts)
			}
			s := stop(fmt.Sprintf("%s: %s", where, m.Kind))
			if m.Cause != "" {
				s += " Why: " + stop(m.Cause)
			}
			if m.Lost > 0 {
				s += fmt.Sprintf(" It took %s.", w.v.inHours(m.Lost.Hours()))
			}
			if m.Mended != "" {
				s += " What put it right: " + stop(m.Mended)
			}
			if n := w.before(m); n > 0 {
				s += fmt.Sprintf(" It had happened %s before.", times(n))
			}
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		return []string{"No mistake was noted this week."}
	}
	return out
}

// before is how often a mistake of that kind was noted earlier.
func (w *talkWeek) before(m journal.Mistake) int {
	n := 0
	for _, other := range w.v.Mistakes {
		if strings.EqualFold(other.Kind, m.Kind) && other.At.Before(m.At) {
			n++
		}
	}
	return n
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// waits is what cures, what is held, what is not there yet, and what comes next. Supplies
// are asked of the whole state: no reader's page has them, and nobody calls them secret.
func (w *talkWeek) waits(whole *journal.State) []string {
	var out []string
	for _, b := range w.builds {
		for _, p := range b.begun {
			if p.Ended() {
				out = append(out, fmt.Sprintf("%s was %s on %s.", b.Title, p.Why, weekday(w.date(p.From))))
				continue
			}
			s := fmt.Sprintf("%s was put aside on %s.", b.Title, weekday(w.date(p.From)))
			for _, one := range [][2]string{{"Why: ", p.Why}, {"It waits for: ", p.Waiting}, {"Next comes: ", p.Next}} {
				if one[1] != "" {
					s += " " + one[0] + stop(one[1])
				}
			}
			out = append(out, s)
		}
		if w.newest && b.Finished == "" && b.gone == nil {
			out = append(out, w.waitsNow(whole, b.build)...)
		}
	}
	return out
}

// waitsNow is what waits of a build at this moment.
func (w *talkWeek) waitsNow(whole *journal.State, b *build) []string {
	r, ok := w.v.State.Return(b.ID)
	if !ok {
		return nil
	}
	var out []string
	for _, h := range slices.Concat(r.Curing, r.MasksOn, r.NotGlued) {
		what := h.On()
		if h.Sub == "" {
			what = "parts " + what
		}
		s := fmt.Sprintf("%s: %s since %s", what, h.HoldWords(), w.v.dayOf(w.date(h.At)))
		if ready := w.v.ReadyAt(h); !ready.IsZero() {
			if ready.After(w.v.today) {
				s += ", ready on " + weekday(w.date(ready))
			} else {
				s += ", long enough by now"
			}
		}
		out = append(out, stop(capital(s)))
	}
	if len(r.Lacking) > 0 {
		out = append(out, fmt.Sprintf("Of the parts of %s: %s.", b.Title, journal.Lacks(r.Lacking)))
	}
	if of := whole.Build(b.ID); of != nil {
		var missing []string
		for _, one := range whole.SuppliesOf(of) {
			if one.Open() {
				state := joinWords(" on ", one.State, w.v.dayOf(one.Ordered))
				missing = append(missing, fmt.Sprintf("%s (%s)", one.Text, state))
			}
		}
		if len(missing) > 0 {
			out = append(out, "Still to come: "+strings.Join(missing, "; ")+".")
		}
	}
	if st := b.Stage(r.NextStage); st != nil {
		s := fmt.Sprintf("Next on %s: %s", b.Title, w.v.low(w.v.stageTitle(st)))
		for _, left := range w.v.Remains(b.Build).Stages {
			if left.Stage == st.ID {
				s += fmt.Sprintf(", with %s to go", w.v.count(left.Left, say.Noun(left.Unit)))
			}
		}
		out = append(out, stop(s))
	}
	if b.ReadyBy != "" {
		left := wording.Outlook(w.v.Outlook(b.Build, w.v.today, false), w.v.Speaker)
		if words := w.v.of(left.ReadyInFull()); words != "" {
			out = append(out, words)
		}
	}
	return out
}

// short is the week in a few lines.
func (w *talkWeek) short() []string {
	if len(w.builds) == 0 {
		return []string{"Nothing is kept of this week that others may see."}
	}
	var out []string
	for _, b := range w.builds {
		one := b.Title + ": "
		if len(b.sessions) > 0 {
			one += joinWords("; ", fmt.Sprintf("%s in %s", w.v.benchTime(b.works()), w.v.count(len(b.sessions),
				"session")),
				strings.TrimSuffix(w.v.doneWords(b.build, b.sessions), "."))
		} else {
			one += "no session"
		}
		if n := len(b.photos); n > 0 {
			one += "; " + w.v.count(n, "photo")
		}
		if n := len(b.mistakes); n > 0 {
			one += "; " + w.v.count(n, "mistake")
		}
		if n := len(b.days); n > 0 {
			one += fmt.Sprintf("; words of %s", w.v.count(n, "day"))
		}
		out = append(out, one+".")
	}
	return out
}
