// The review of a year for print: what was built, how long it took, what went wrong and
// what was made of it, what goes on.

package render

import (
	"cmp"
	"slices"

	"rakelight/journal"
	"rakelight/journal/say"
)

// YearSheet is years/<year>-review.html.
type YearSheet struct {
	Frame
	Head   PaperHead
	Facts  []Fact // hours, evenings, weeks, builds finished
	Claim  string // what the latest build says of speed, in its own year
	Built  []YearBuild
	Done   []Fact // how many of each kind of work
	Pair   *YearPair
	Slips  []SlipKind
	Tried  []string
	GoesOn []YearBuild
	Others []Link // the reviews of the other years
	Notes  Blank
}

// YearBuild is a build in a year.
type YearBuild struct {
	Tag     Tag
	Words   string // "12.4 h in 14 sessions"
	State   string // "finished 23 June 2025"
	Next    string // of one that goes on: the next small step
	Picture Picture
}

// YearPair is one step then and now.
type YearPair struct {
	Title     string
	To        Link
	Then, Now YearSide
}

// YearSide is one of the two.
type YearSide struct {
	Picture Picture
	Words   string
}

// Most of each that one sheet of two pages has room for.
const (
	yearBuilds = 6
	yearSlips  = 5
)

// yearsWorked are the years with a session or a finished build, the latest first.
func (v *view) yearsWorked() []string {
	var years []string
	see := func(date string) {
		if y := yearOf(date); len(y) == 4 && !slices.Contains(years, y) {
			years = append(years, y)
		}
	}
	for _, b := range v.order {
		see(b.Finished)
		for _, s := range b.sessions {
			if benchSession(s) {
				see(s.Date)
			}
		}
	}
	slices.Sort(years)
	slices.Reverse(years)
	return years
}

// benchSession reports whether a session has hours that count.
func benchSession(s *journal.Session) bool { return !s.Open && !s.Doubt.Any() && s.Kind != "wait" }

// sessionsIn are the sessions of a build in a year that count.
func (b *build) sessionsIn(year string) []*journal.Session {
	var out []*journal.Session
	for _, s := range b.sessions {
		if benchSession(s) && yearOf(s.Date) == year {
			out = append(out, s)
		}
	}
	return out
}

// buildsIn are the builds with a session in a year, or finished in it.
func (v *view) buildsIn(year string) []*build {
	return keepBuilds(v.order, func(b *build) bool {
		return yearOf(b.Finished) == year || len(b.sessionsIn(year)) > 0
	})
}

func (v *view) yearSheet(year string) YearSheet {
	p := YearSheet{Frame: v.frame(top, "paper", v.Say("The year %s", year)), Notes: lines(40),
		Head: PaperHead{Kind: v.Say("The year in review"), Title: year, Facts: v.name(),
			Back: Link{Words: year, Href: v.yearHref(year)}}}
	if p.Head.Back.Href != "" {
		p.Head.Back.Href = top + p.Head.Back.Href
	}
	builds := v.buildsIn(year)
	p.Facts = v.yearFacts(year, builds)
	if v.claimsIn(year) && v.Claims().Since.OK {
		p.Claim = v.speedSentence().Words
	}
	for _, b := range builds {
		one := YearBuild{Tag: b.tag(top), Words: v.sessionsWords(b.sessionsIn(year)),
			Picture: v.paperPicture(top, v.portraitIn(b, year), asHalf)}
		if yearOf(b.Finished) == year {
			one.State = v.Say("finished %s", v.dayOf(b.Finished))
		}
		p.Built = append(p.Built, one)
	}
	slices.SortStableFunc(p.Built, func(a, b YearBuild) int { // the finished ones first
		return cmp.Compare(min(len(b.State), 1), min(len(a.State), 1))
	})
	p.Built = p.Built[:min(len(p.Built), yearBuilds)]
	p.Done = v.doneIn(year, builds)
	p.Pair = v.yearPair(year)
	p.Slips = v.slipKinds(v.slipsIn(year))
	p.Slips = p.Slips[:min(len(p.Slips), yearSlips)]
	for _, one := range v.Trials {
		if !one.Closed.IsZero() && one.Closed.In(v.zone()).Format("2006") == year {
			p.Tried = append(p.Tried, one.What)
		}
	}
	p.GoesOn = v.goesOn(year)
	for _, other := range v.yearsWorked() {
		if other != year {
			p.Others = append(p.Others, Link{Words: other, Href: top + yearSheetHref(other)})
		}
	}
	return p
}

// claimsIn reports whether the build whose speed is told, the latest one, was worked on
// in a year last.
func (v *view) claimsIn(year string) bool {
	b := v.LatestCounted()
	return b != nil && yearOf(v.builds[b.ID].lastWorked()) == year
}

// yearFacts are the sums of a year.
func (v *view) yearFacts(year string, builds []*build) []Fact {
	byKnown := map[string]float64{}
	weeks, days := map[string]bool{}, map[string]bool{}
	total, sessions, finished := 0.0, 0, 0
	for _, b := range builds {
		if yearOf(b.Finished) == year {
			finished++
		}
		for _, s := range b.sessionsIn(year) {
			byKnown[s.Known] += s.Hours()
			total += s.Hours()
			sessions++
			if week := weekOf(s.Date); week != "" {
				weeks[week], days[s.Date] = true, true
			}
		}
	}
	how := ""
	for _, known := range []string{journal.Measured, journal.Remembered, journal.Estimated} {
		if h := byKnown[known]; h > 0 && h < total {
			how = joinWords(", ", how, v.Say(knownHours[known], v.inHours(h)))
		}
	}
	var facts []Fact
	if sessions > 0 {
		words := joinWords("; ", v.Say("%s in %s", v.inHours(total), v.count(sessions, "dative¦session")), how)
		facts = append(facts, Fact{v.Say("At the bench"), words})
	}
	if len(days) > 0 {
		facts = append(facts, Fact{v.Say("Days"), v.Say("%s in %s", v.count(len(days), "day"),
			v.count(len(weeks), "dative¦week"))})
	}
	facts = append(facts, Fact{v.Say("Builds"), v.Say("%d worked on, %d finished", len(builds), finished)})
	return facts
}

// sessionsWords are the hours of some sessions: "12.4 h in 14 sessions".
func (in voice) sessionsWords(all []*journal.Session) string {
	if len(all) == 0 {
		return ""
	}
	total := 0.0
	for _, s := range all {
		total += s.Hours()
	}
	return in.Say("%s in %s", in.inHours(total), in.count(len(all), "dative¦session"))
}

// portraitIn is the photo that shows best what a build was at the end of a year.
func (v *view) portraitIn(b *build, year string) *journal.Photo {
	return v.portrait(keepPhotos(b.prints, func(p *journal.Photo) bool {
		return yearOf(p.Instant.Day()) <= year
	}))
}

// doneIn is how many were done in a year, by kind of work.
func (in voice) doneIn(year string, builds []*build) []Fact {
	done := map[string]int{}
	for _, b := range builds {
		for _, s := range b.sessionsIn(year) {
			if s.Counted {
				done[s.Kind] += s.Done()
			}
		}
	}
	var out []Fact
	for _, kind := range journal.Kinds {
		if n := done[kind]; n > 0 {
			out = append(out, Fact{in.kindTitle(kind), in.count(n, say.Noun(unit(kind)))})
		}
	}
	return out
}

// yearPair is the step furthest along that was shown in a year and has its like, in
// view and light, in an earlier one: beside that of the earliest build. Without such, it
// is one before and after. The sheet of paper asks how far the years have brought it;
// firstLatest asks it of the one year, changedMost of one build, by its marks.
func (v *view) yearPair(year string) *YearPair {
	p, ok := v.pairIn(year)
	if !ok {
		return nil
	}
	side := func(s side) YearSide {
		pic := v.paperPicture(top, s.photo, asHalf)
		return YearSide{pic, joinWords(", ", s.b.named(), pic.Day)}
	}
	title := v.Say("%s, then and now", v.kindTitle(p.kind))
	if p.within {
		title = v.Say("%s, before and after", v.kindTitle(p.kind))
	}
	return &YearPair{Title: title, To: Link{Words: v.Say("beside each other"), Href: top + p.href},
		Then: side(p.a), Now: side(p.b)}
}

func (v *view) pairIn(year string) (found pair, ok bool) {
	for _, p := range v.pairs() {
		a, b := p.a.photo, p.b.photo
		if p.byHand || !p.comparable() || b.Instant.Said != "" ||
			yearOf(b.Instant.Day()) != year || !p.within && yearOf(a.Instant.Day()) >= year {
			continue
		}
		if !p.within && !(isResult(a) && isResult(b)) { // what stands in for a result shows none
			continue
		}
		if !ok || p.tellsMore(found) {
			found, ok = p, true
		}
	}
	return found, ok
}

// tellsMore reports whether a pair tells more of a year than another: then and now more
// than before and after, a later step more than an earlier one, of one step the pair
// that is farther apart.
func (p pair) tellsMore(than pair) bool {
	if p.within != than.within {
		return than.within
	}
	later := slices.Index(journal.Kinds, p.kind) - slices.Index(journal.Kinds, than.kind)
	return later > 0 || later == 0 && p.a.photo.Instant.At.Before(than.a.photo.Instant.At)
}

// slipsIn are the mistakes of a year.
func (v *view) slipsIn(year string) []journal.Mistake {
	var out []journal.Mistake
	for _, m := range v.Mistakes {
		if m.At.In(v.zone()).Format("2006") == year && v.builds[m.Build] != nil {
			out = append(out, m)
		}
	}
	return out
}

// goesOn are the builds that were open when a year ended; in the year that runs, those
// that are open now.
func (v *view) goesOn(year string) []YearBuild {
	var out []YearBuild
	end := year + "-12-31"
	for _, b := range v.order {
		if b.Finished != "" && b.Finished <= end || b.first > end || b.first == "" && year != v.latestYear() {
			continue
		}
		one := YearBuild{Tag: b.tag(top)}
		if b.Finished == "" && v.latestYear() == year {
			one.State = v.stateOf(b)
			if b.ReadyBy != "" {
				one.State = joinWords("; ", one.State, v.Say("to be ready by %s", v.dayOf(b.ReadyBy)))
			}
			if steps := v.smallSteps(b, v.Paused(b.ID)); len(steps) > 0 && v.atBench(b) {
				one.Next = steps[0]
			}
		} else if b.Finished != "" {
			one.State = v.Say("finished %s", v.dayOf(b.Finished))
		}
		out = append(out, one)
	}
	return out
}

// reviewed reports whether a year has a review.
func (v *view) reviewed(year string) bool { return slices.Contains(v.yearsWorked(), year) }

// latestYear is the latest year that has a review.
func (v *view) latestYear() string {
	if years := v.yearsWorked(); len(years) > 0 {
		return years[0]
	}
	return ""
}

// yearSheetDigest is of the review of a year.
func (v *view) yearSheetDigest(year string) digest {
	var e encoding
	for _, b := range v.buildsIn(year) {
		e.any(v.digest().heads[b])
		e.any(b.sessionsIn(year))
		if p := v.portraitIn(b, year); p != nil {
			e.any(v.digest().photo(p))
		}
	}
	if v.claimsIn(year) {
		e.any(v.numbersDigest()) // what may be claimed rests on all
	}
	if p, ok := v.pairIn(year); ok {
		e.any(p.href)
		e.any(v.digest().heads[p.a.b])
		e.any(v.digest().heads[p.b.b])
		e.any(v.digest().photo(p.a.photo))
		e.any(v.digest().photo(p.b.photo))
	}
	e.any(v.slipsIn(year))
	e.any(v.yearHref(year))
	for _, one := range v.Trials {
		e.any([]string{one.What, one.Closed.In(v.zone()).Format("2006")})
	}
	e.any(v.goesOn(year))
	e.any(v.yearsWorked())
	return e.sum()
}
