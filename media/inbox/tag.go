// Where a photo belongs. Pure: facts, instant, folder and state in, tags out,
// each with its reason. The person's own tags are records of their own and
// come above all of this.

package inbox

import (
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// DefaultSettle is how near a session must be for a guess when the journal's
// settings do not say.
const DefaultSettle = 2 * time.Hour

// tagging is a photo being tagged: the first reason that names a tag keeps it.
type tagging struct {
	s     *journal.State
	tags  journal.Tags
	why   map[string]string
	guess bool
	said  []string // folder names and keywords that were no tag yet
}

// Tag finds the tags of a photo, and why. The order: the folders it lay in,
// its keywords, the session at the time, the nearest session within the settle
// time, which is a guess and said to be one. An instant in doubt never places
// a photo in a session.
func Tag(f media.Facts, at journal.Instant, folder string, s *journal.State) (journal.Tags, map[string]string, bool) {
	t := &tagging{s: s, why: make(map[string]string)}
	var words, reasons []string
	add := func(word, reason string) {
		if word != "" {
			words, reasons = append(words, word), append(reasons, reason)
		}
	}
	for _, segment := range strings.Split(folder, "/") {
		add(segment, fmt.Sprintf("it lay in the folder %s", segment))
	}
	// A build first, wherever it stands: a stage means something only in one.
	for _, word := range f.Keywords {
		add(word, fmt.Sprintf("the picture carries the keyword %s", word))
	}
	for i, word := range words {
		t.build(word, reasons[i])
	}
	for i, word := range words {
		t.word(word, reasons[i])
	}
	named := t.tags.Build != ""
	if !named && len(t.s.Builds) > 0 {
		t.stageWords(words) // the session may tell the build, the folder the stage
	}
	t.sessions(at, words, reasons)
	if t.tags.Build == "" {
		t.why["build"] = t.unsorted(at)
	} else if t.tags.Stage == "" {
		t.why["stage"] = t.unsorted(at)
	}
	return t.tags, t.why, t.guess
}

// build takes a word as the name of a build: its id or its title.
func (t *tagging) build(word, why string) {
	if t.tags.Build != "" {
		return
	}
	slug := journal.Slug(word)
	for _, b := range t.s.Builds {
		if slug != "" && (b.ID == word || journal.Slug(b.ID) == slug || journal.Slug(b.Title) == slug) {
			t.tags.Build, t.why["build"] = b.ID, why
			return
		}
	}
}

// word takes a word as a stage of the build known, a kit, role, view or light.
func (t *tagging) word(word, why string) {
	slug := journal.Slug(word)
	set := func(name string, to *string, known []string) {
		if *to == "" && slices.Contains(known, slug) {
			*to, t.why[name] = slug, why
		}
	}
	set("role", &t.tags.Role, journal.Roles)
	set("view", &t.tags.View, journal.Views)
	set("light", &t.tags.Light, journal.Lights)
	b := t.s.Build(t.tags.Build)
	if b == nil {
		return
	}
	if n, ok := strings.CutPrefix(slug, "kit-"); ok && t.tags.Kit == 0 {
		if kit, err := strconv.Atoi(n); err == nil && kit >= 1 && kit <= len(b.Kits) {
			t.tags.Kit, t.why["kit"] = kit, why
		}
	}
	if t.tags.Stage == "" {
		if st, err := t.s.ResolveStage(b, word); err == nil {
			t.tags.Stage, t.why["stage"] = st.ID, why
		}
	}
}

// stageWords remembers words that may be a stage once a session tells the
// build.
func (t *tagging) stageWords(words []string) {
	for _, w := range words {
		for _, b := range t.s.Builds {
			if _, err := t.s.ResolveStage(b, w); err == nil {
				t.said = append(t.said, w)
				break
			}
		}
	}
}

// sessions fills the build and the stage from the session that covers the
// instant, or else from the nearest one.
func (t *tagging) sessions(at journal.Instant, words, reasons []string) {
	if t.tags.Build != "" && t.tags.Stage != "" || at.Source == "file time" || at.Doubt != "" {
		return
	}
	var cover []*journal.Session
	var near *journal.Session
	var away time.Duration
	for _, one := range t.s.Sessions {
		if !t.fits(one) {
			continue
		}
		d := distance(one, at.At, t.s.Config.LongestTimer())
		if d == 0 {
			cover = append(cover, one)
		} else if near == nil || d < away {
			near, away = one, d
		}
	}
	if len(cover) > 0 {
		t.covered(cover, at.At, words, reasons)
		return
	}
	if near == nil || away > settle(t.s.Config) {
		return
	}
	side := "after"
	if at.At.Before(near.Start) {
		side = "before"
	}
	t.guess = true
	t.take(near, fmt.Sprintf("a guess: %s %s the session on %s", journal.Spell(away), side, t.name(near)), words, reasons)
}

// fits reports whether a session can speak for a photo: one of the build known
// and of the stage named, with a known time at the bench.
func (t *tagging) fits(one *journal.Session) bool {
	if one.Kind == "wait" || one.Doubt != "" || t.tags.Build != "" && one.Build != t.tags.Build {
		return false
	}
	if t.s.Build(one.Build) == nil {
		return false
	}
	// A remembered day has no hour: its start is only where the day begins.
	if one.Known == journal.Remembered {
		start := one.Start.In(t.s.Zone)
		if len(one.Date) < len(time.DateOnly) || start.Hour() == 0 && start.Minute() == 0 && start.Second() == 0 {
			return false
		}
	}
	return true
}

// distance is how far an instant lies from a session, 0 within. A timer that
// runs counts no longer than a timer may.
func distance(one *journal.Session, at time.Time, longest time.Duration) time.Duration {
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
func (t *tagging) covered(cover []*journal.Session, at time.Time, words, reasons []string) {
	best := cover[0]
	same := true
	for _, one := range cover[1:] {
		same = same && one.Build == best.Build && one.Stage == best.Stage
		if at.Sub(one.Start) < at.Sub(best.Start) {
			best = one
		}
	}
	why := "taken during the session on " + t.name(best)
	if !same {
		t.guess = true
		why = fmt.Sprintf("a guess: %d sessions ran at that time, this one (%s) began nearest", len(cover), t.name(best))
	}
	t.take(best, why, words, reasons)
}

// take fills the empty tags from a session. A stage the folder named counts
// more than the session's.
func (t *tagging) take(one *journal.Session, why string, words, reasons []string) {
	if t.tags.Build == "" {
		t.tags.Build, t.why["build"] = one.Build, why
		for i, w := range words {
			if slices.Contains(t.said, w) || strings.HasPrefix(journal.Slug(w), "kit-") {
				t.word(w, reasons[i])
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

// name is a session in words: "pilot-boat / clean, 2026-03-14 19:10".
func (t *tagging) name(one *journal.Session) string {
	return fmt.Sprintf("%s, %s", path.Join(one.Build, one.Stage), one.Start.In(t.s.Zone).Format("2006-01-02 15:04"))
}

// unsorted says why a photo is to sort.
func (t *tagging) unsorted(at journal.Instant) string {
	if at.Source == "file time" || at.Doubt != "" {
		return "to sort: no folder or keyword names it, and its time is in doubt"
	}
	return fmt.Sprintf("to sort: no folder or keyword names it, and no session lies within %s", journal.Spell(settle(t.s.Config)))
}

// settle is how near a session must be for a guess.
func settle(c journal.Config) time.Duration {
	if d, err := time.ParseDuration(c.Settle); err == nil && d >= 0 {
		return d
	}
	return DefaultSettle
}
