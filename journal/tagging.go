// This file finds where a photo belongs. Pure: words, instant and state in,
// tags out, each with its reason. The person's own tags are records of their
// own and come above all of this. It is used twice: when a photo is taken in,
// and in the fold for a photo whose instant a clock correction moved.

package journal

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal/reason"
)

// tagging is a photo being tagged: the first reason that names a tag keeps it.
type tagging struct {
	s     *State
	words []Word
	tags  Tags
	why   map[string]reason.Why
	guess bool
	said  []string // folder names and keywords that were no tag yet
}

// Word is a name that was given to a photo before it was taken in: a folder it
// lay in, or a keyword it carries, and that as a reason.
type Word struct {
	Text string
	Why  reason.Why
}

// WordsOf are the words of a photo, the folder's before the keywords.
func WordsOf(folder string, keywords []string) []Word {
	var words []Word
	for _, segment := range strings.Split(folder, "/") {
		if segment != "" {
			words = append(words, Word{segment, reason.Why{By: reason.Folder, Name: segment}})
		}
	}
	for _, word := range keywords {
		if word != "" {
			words = append(words, Word{word, reason.Why{By: reason.Keyword, Name: word}})
		}
	}
	return words
}

// Tag finds the tags of a photo, and why. The order: the folders it lay in,
// its keywords, the session at the time, the nearest session within the settle
// time, which is a guess and said to be one. An instant in doubt never places
// a photo in a session.
func (s *State) Tag(words []Word, at Instant) (Tags, map[string]reason.Why, bool) {
	t := &tagging{s: s, words: words, why: make(map[string]reason.Why)}
	// A build first, wherever it stands: a stage means something only in one.
	for _, w := range words {
		t.build(w)
	}
	for _, w := range words {
		t.word(w)
	}
	t.settle(at)
	return t.tags, t.why, t.guess
}

// tagAgain finds the session of a photo anew after its instant moved. Only
// tags that came from a session, and tags nothing had named, are touched: what
// the person, a folder or a keyword said does not hang on the clock.
func (s *State) tagAgain(p *Photo) {
	t := &tagging{s: s, tags: p.Tags, why: p.Why, words: WordsOf(p.Folder, p.Words)}
	forget := func(name string, clear func()) {
		clear()
		delete(t.why, name)
	}
	lost := t.why["build"].BySession()
	if lost || t.tags.Build == "" {
		// A stage that a word named while a session told the build is looked
		// for again in the build the session tells now.
		if t.tags.Stage != "" && !t.why["stage"].BySession() {
			t.words = append(t.words, Word{t.tags.Stage, t.why["stage"]})
		}
		forget("build", func() { t.tags.Build = "" })
		forget("kit", func() { t.tags.Kit = 0 })
		forget("stage", func() { t.tags.Stage = "" })
		t.guess = false
	} else {
		t.guess = p.Guess && !t.why["stage"].BySession() && !t.why["kit"].BySession()
	}
	if t.why["kit"].BySession() {
		forget("kit", func() { t.tags.Kit = 0 })
	}
	if t.why["stage"].BySession() || t.tags.Stage == "" {
		forget("stage", func() { t.tags.Stage = "" })
	}
	t.settle(p.Instant)
	p.Tags, p.Why, p.Guess = t.tags, t.why, t.guess
}

// settle fills what is unset from the sessions, and says why the rest is not.
func (t *tagging) settle(at Instant) {
	if t.tags.Build == "" && len(t.s.Builds) > 0 {
		t.stageWords() // the session may tell the build, the folder the stage
	}
	t.sessions(at)
	if t.tags.Build == "" {
		t.why["build"] = t.unsorted(at)
	} else if t.tags.Stage == "" {
		t.why["stage"] = t.unsorted(at)
	}
}

// build takes a word as the name of a build: its id or its title.
func (t *tagging) build(w Word) {
	if t.tags.Build != "" {
		return
	}
	slug := Slug(w.Text)
	for _, b := range t.s.Builds {
		if slug != "" && (b.ID == w.Text || Slug(b.ID) == slug || Slug(b.Title) == slug) {
			t.tags.Build, t.why["build"] = b.ID, w.Why
			return
		}
	}
}

// word takes a word as a stage of the build known, a kit, role, view or light.
func (t *tagging) word(w Word) {
	slug := Slug(w.Text)
	set := func(name string, to *string, known []string) {
		if *to == "" && slices.Contains(known, slug) {
			*to, t.why[name] = slug, w.Why
		}
	}
	set("role", &t.tags.Role, Roles)
	set("view", &t.tags.View, Views)
	set("light", &t.tags.Light, Lights)
	b := t.s.Build(t.tags.Build)
	if b == nil {
		return
	}
	if n, ok := strings.CutPrefix(slug, "kit-"); ok && t.tags.Kit == 0 {
		if kit, err := strconv.Atoi(n); err == nil && kit >= 1 && kit <= len(b.Kits) {
			t.tags.Kit, t.why["kit"] = kit, w.Why
		}
	}
	if t.tags.Stage == "" {
		if st, err := t.s.ResolveStage(b, w.Text); err == nil {
			t.tags.Stage, t.why["stage"] = st.ID, w.Why
		}
	}
}

// stageWords remembers words that may be a stage once a session tells the
// build.
func (t *tagging) stageWords() {
	for _, w := range t.words {
		for _, b := range t.s.Builds {
			if _, err := t.s.ResolveStage(b, w.Text); err == nil {
				t.said = append(t.said, w.Text)
				break
			}
		}
	}
}

// sessions fills the build and the stage from the session that covers the
// instant, or else from the nearest one.
func (t *tagging) sessions(at Instant) {
	if t.tags.Build != "" && t.tags.Stage != "" || at.Source == FileTime || at.Doubts.Any() {
		return
	}
	var cover []*Session
	var near *Session
	var away time.Duration
	longest := t.s.Config.LongestTimer()
	reach := t.s.reach
	if reach == 0 { // a state that Fold did not make
		reach = reachOf(t.s.Sessions, longest)
	}
	for _, one := range around(t.s.Sessions, reach, at.At, t.s.Config.SettleTime()) {
		if !t.fits(one) {
			continue
		}
		d := distance(one, at.At, longest)
		if d == 0 {
			cover = append(cover, one)
		} else if near == nil || d < away {
			near, away = one, d
		}
	}
	if len(cover) > 0 {
		t.covered(cover, at.At)
		return
	}
	if near == nil || away > t.s.Config.SettleTime() {
		return
	}
	t.guess = true
	t.take(near, reason.Why{By: reason.NearSession, Session: t.name(near), Away: reason.Length(away),
		Before: at.At.Before(near.Start)})
}

// fits reports whether a session can speak for a photo: one of the build known
// and of the stage named, with a known time at the bench. What a series shows follows
// from tags, and gives none.
func (t *tagging) fits(one *Session) bool {
	if one.Series != "" || one.Kind == "wait" || one.Doubt.Any() || t.tags.Build != "" && one.Build != t.tags.Build {
		return false
	}
	if t.s.Build(one.Build) == nil {
		return false
	}
	// A remembered day has no hour: its start is only where the day begins.
	if one.Known == Remembered {
		start := one.Start.In(t.s.Zone)
		if len(one.Date) < len(time.DateOnly) || start.Hour() == 0 && start.Minute() == 0 && start.Second() == 0 {
			return false
		}
	}
	return true
}

// around are those of the sessions, sorted by start, that may lie within so
// much of the moment. reach is the length of the longest of them. A correction
// of ten years of photos asks this for each.
func around(sessions []*Session, reach time.Duration, at time.Time, within time.Duration) []*Session {
	from, _ := slices.BinarySearchFunc(sessions, at.Add(-within-reach),
		func(s *Session, t time.Time) int { return s.Start.Compare(t) })
	sessions = sessions[from:]
	to, _ := slices.BinarySearchFunc(sessions, at.Add(within+1),
		func(s *Session, t time.Time) int { return s.Start.Compare(t) })
	return sessions[:to]
}

// reachOf is the length of the longest session; one that runs counts as long
// as a timer may.
func reachOf(sessions []*Session, longest time.Duration) time.Duration {
	var reach time.Duration
	for _, one := range sessions {
		if one.Open {
			reach = max(reach, longest)
		} else {
			reach = max(reach, one.End.Sub(one.Start))
		}
	}
	return reach
}

// distance is how far an instant lies from a session, 0 within. A timer that
// runs counts no longer than a timer may.
func distance(one *Session, at time.Time, longest time.Duration) time.Duration {
	end := one.End
	if one.Open {
		end = one.Start.Add(longest)
	}
	switch {
	case at.Before(one.Start):
		return one.Start.Sub(at)
	case at.After(end):
		return at.Sub(end)
	}
	return 0
}

// covered takes the session at the time. Of several on different steps the one
// that began nearest is a guess.
func (t *tagging) covered(cover []*Session, at time.Time) {
	best := cover[0]
	same := true
	for _, one := range cover[1:] {
		same = same && one.Build == best.Build && one.Stage == best.Stage
		if at.Sub(one.Start) < at.Sub(best.Start) {
			best = one
		}
	}
	why := reason.Why{By: reason.InSession, Session: t.name(best)}
	if !same {
		t.guess = true
		why.By, why.Of = reason.OneOfSessions, len(cover)
	}
	t.take(best, why)
}

// take fills the empty tags from a session. A stage the folder named counts
// more than the session's.
func (t *tagging) take(one *Session, why reason.Why) {
	if t.tags.Build == "" {
		t.tags.Build, t.why["build"] = one.Build, why
		for _, w := range t.words {
			if slices.Contains(t.said, w.Text) || strings.HasPrefix(Slug(w.Text), "kit-") {
				t.word(w)
			}
		}
	}
	if t.tags.Stage == "" {
		t.tags.Stage, t.why["stage"] = one.Stage, why
	}
	if t.tags.Kit == 0 && one.Kit != 0 && t.tags.Stage == one.Stage {
		t.tags.Kit, t.why["kit"] = one.Kit, why
	}
}

// name is a session as it is now.
func (t *tagging) name(one *Session) *reason.Session {
	return &reason.Session{ID: one.ID, Build: one.Build, Stage: one.Stage, Began: one.Start.In(t.s.Zone).Format(minute)}
}

// unsorted says why a photo is to sort.
func (t *tagging) unsorted(at Instant) reason.Why {
	if at.Source == FileTime || at.Doubts.Any() {
		return reason.Why{By: reason.TimeInDoubt}
	}
	return reason.Why{By: reason.NoSession, Away: reason.Length(t.s.Config.SettleTime())}
}
