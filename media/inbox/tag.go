// This file decides where a photo belongs. It is pure; every tag has its why.

package inbox

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// defaultSettle is how near a session must be for a guess.
const defaultSettle = 2 * time.Hour

// Tag finds the tags of a photo from its inbox folder, its keywords, the
// session that covers its instant, or the nearest session, in this order. why
// says for each tag where it came from; guess is true when the place is the
// nearest session's.
func Tag(f media.Facts, at journal.Instant, folder string, s *journal.State) (tags journal.Tags, why map[string]string, guess bool) {
	why = map[string]string{}
	words := strings.FieldsFunc(folder, func(r rune) bool { return r == '/' || r == '\\' })
	read(words, "the inbox folder "+folder, s, &tags, why)
	read(f.Keywords, "a keyword in the photo", s, &tags, why)
	if tags.Build != "" && tags.Stage != "" || strings.HasPrefix(at.Source, "file time") || strings.HasPrefix(at.Doubt, "only the day") {
		if tags.Build == "" && at.Doubt != "" {
			why["build"] = "its time is too uncertain to look for a session"
		}
		return tags, why, false
	}
	near, gap := nearest(s, tags.Build, at.At)
	settle := defaultSettle
	if d, err := time.ParseDuration(s.Config.Settle); err == nil {
		settle = d
	}
	if near == nil || gap > settle {
		if tags.Build == "" {
			why["build"] = "no session is near enough"
		}
		return tags, why, false
	}
	reason := fmt.Sprintf("the session %s on %s covers it", near.Stage, near.Build)
	if gap > 0 {
		guess = true
		reason = fmt.Sprintf("a guess: %s from the session %s on %s", journal.Spell(gap), near.Stage, near.Build)
	}
	if tags.Build == "" {
		tags.Build, why["build"] = near.Build, reason
	}
	if tags.Stage == "" {
		tags.Stage, why["stage"] = near.Stage, reason
	}
	if tags.Kit == 0 && near.Kit != 0 {
		tags.Kit, why["kit"] = near.Kit, reason
	}
	return tags, why, guess
}

// read takes tags out of words: a build, a stage of it, a role, a view, a
// light. A stage named without a build waits for the session to tell it.
func read(words []string, from string, s *journal.State, tags *journal.Tags, why map[string]string) {
	set := func(name string, to *string, value string) {
		if *to == "" {
			*to, why[name] = value, from
		}
	}
	for _, word := range words {
		slug := journal.Slug(word)
		switch {
		case slices.Contains(journal.Roles, slug):
			set("role", &tags.Role, slug)
		case slices.Contains(journal.Views, slug):
			set("view", &tags.View, slug)
		case slices.Contains(journal.Lights, slug):
			set("light", &tags.Light, slug)
		default:
			for _, b := range s.Builds {
				if b.ID == slug || journal.Slug(b.Title) == slug {
					set("build", &tags.Build, b.ID)
				}
			}
		}
	}
	b := s.Build(tags.Build)
	if b == nil {
		return
	}
	for _, word := range words {
		if st, err := s.ResolveStage(b, word); err == nil {
			set("stage", &tags.Stage, st.ID)
		}
	}
}

// nearest is the session closest to the instant, of the build if one is given,
// and how far it is; 0 when it covers the instant. Sessions whose hours are not
// known by the clock say nothing of a photo's time.
func nearest(s *journal.State, build string, at time.Time) (*journal.Session, time.Duration) {
	var best *journal.Session
	var gap time.Duration
	for _, one := range s.Sessions {
		if one.Known != journal.Measured || one.Doubt != "" || build != "" && one.Build != build {
			continue
		}
		var d time.Duration
		switch {
		case at.Before(one.Start):
			d = one.Start.Sub(at)
		case !one.Open && at.After(one.End):
			d = at.Sub(one.End)
		}
		if best == nil || d < gap || d == gap && one.Start.After(best.Start) {
			best, gap = one, d
		}
	}
	return best, gap
}

// Story tells everything that is known of a photo, a line each.
func Story(p *journal.Photo, s *journal.State) []string {
	lines := []string{
		fmt.Sprintf("%s  %s", p.Short(), p.Name),
		fmt.Sprintf("original:  %s (%s, %d × %d, %d bytes, never changed)", p.Path, p.Format, p.Width, p.Height, p.Size),
		fmt.Sprintf("taken:     %s", p.Instant.At.Format("2006-01-02 15:04:05 -07:00")),
		fmt.Sprintf("           from %s%s; zone from %s", p.Instant.Source, quoted(p.Instant.Wall), orNone(p.Instant.Offset)),
	}
	if p.Instant.Corrected != "" {
		lines = append(lines, "           the camera's clock was "+p.Instant.Corrected+"; corrected")
	}
	if p.Instant.Doubt != "" {
		lines = append(lines, "           doubt: "+p.Instant.Doubt)
	}
	if p.Camera.Make+p.Camera.Model != "" {
		lines = append(lines, "camera:    "+strings.TrimSpace(p.Camera.Make+" "+p.Camera.Model))
	}
	for _, t := range []struct{ name, value string }{{"build", p.Tags.Build}, {"stage", p.Tags.Stage}, {"role", p.Tags.Role}, {"view", p.Tags.View}, {"light", p.Tags.Light}} {
		if t.value == "" && p.Why[t.name] == "" {
			continue
		}
		lines = append(lines, fmt.Sprintf("%-10s %s (%s)", t.name+":", orNone(t.value), orNone(p.Why[t.name])))
	}
	if p.ToSort() {
		lines = append(lines, "to sort:   rakelight tag "+p.Short()+" BUILD STAGE says where it belongs")
	}
	return append(lines, "record:    "+p.Record+" (rakelight retract "+p.Record+" takes the photo off the pages)")
}

func quoted(s string) string {
	if s == "" {
		return ""
	}
	return fmt.Sprintf(" %q", s)
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}
