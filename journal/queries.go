// This file answers questions about the state.

package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal/metrics"
)

// PhotosOf returns the photos of a build by instant.
func (s *State) PhotosOf(build string) []*Photo {
	return keep(s.photos(), func(p *Photo) bool { return p.Tags.Build == build })
}

// PhotosByHash returns all photos by their hashes. The map is the caller's.
func (s *State) PhotosByHash() map[string]*Photo {
	of := make(map[string]*Photo, len(s.photos()))
	for _, p := range s.photos() {
		of[p.Hash] = p
	}
	return of
}

// SessionsOf returns the sessions of a build by start.
func (s *State) SessionsOf(build string) []*Session {
	return keep(s.Sessions, func(one *Session) bool { return one.Build == build })
}

// Running returns the sessions that have no end yet.
func (s *State) Running() []*Session {
	return keep(s.Sessions, func(one *Session) bool { return one.Open })
}

func keep[T any](all []T, good func(T) bool) []T {
	var out []T
	for _, one := range all {
		if good(one) {
			out = append(out, one)
		}
	}
	return out
}

// OpenBuilds are the builds that are neither finished nor gone.
func (s *State) OpenBuilds() []*Build {
	return keep(s.Builds, func(b *Build) bool { return b.Finished == "" && s.Gone(b.ID) == nil })
}

// ResolveBuild finds the build a person means by its id or by the beginning of
// its id or title.
func (s *State) ResolveBuild(name string) (*Build, error) {
	if b := s.Build(name); b != nil {
		return b, nil
	}
	slug := Slug(name)
	found := keep(s.Builds, func(b *Build) bool {
		return slug != "" && (strings.HasPrefix(Slug(b.ID), slug) || strings.HasPrefix(Slug(b.Title), slug))
	})
	if len(found) == 1 {
		return found[0], nil
	}
	var ids []string
	for _, b := range s.Builds {
		ids = append(ids, b.ID)
	}
	if len(ids) == 0 {
		return nil, &AskError{What: fmt.Sprintf("there is no build %q, nor any other yet", name),
			Hint: Typed("rakelight build %s", slug) + " begins one"}
	}
	fits := make([]string, len(found))
	for i, b := range found {
		fits[i] = b.ID
	}
	return nil, noneOrMany("build", name, fits, "the builds are "+strings.Join(ids, ", "))
}

// ResolveStage finds the stage of the build a person means: by its id, or by
// its kind if only one stage is of that kind.
func (s *State) ResolveStage(b *Build, name string) (*Stage, error) {
	slug := Slug(name)
	if i := slices.IndexFunc(b.Stages, func(st Stage) bool { return st.ID == slug || Slug(st.ID) == slug }); i >= 0 {
		return &b.Stages[i], nil
	}
	var found []*Stage
	var ids []string
	for i := range b.Stages {
		ids = append(ids, b.Stages[i].ID)
		if b.Stages[i].Kind == slug {
			found = append(found, &b.Stages[i])
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	fits := make([]string, len(found))
	for i, st := range found {
		fits[i] = st.ID
	}
	return nil, noneOrMany("stage of "+b.ID, name, fits, "its stages are "+strings.Join(ids, ", "))
}

// onPages are the kinds of stages by the slugs of what pages call them, where that is
// not the kind itself (package wording has the words).
var onPages = map[string]string{
	"wash-parts": "wash", "cut-off": "cut", "cleanup": "clean", "clean-up": "clean", "seams": "seam",
	"detail-painting": "detail", "decals": "decal", "panel-lines": "line", "weathering": "weather",
	"topcoat": "top-coat", "curing": "wait",
}

// StageCalled is ResolveStage for what a person types, who may call a stage as pages do:
// by its title, or as the trade calls its kind, if only one stage is called so. Names of
// folders and files are taken by ResolveStage alone, so that photos keep their places.
func (s *State) StageCalled(b *Build, name string) (*Stage, error) {
	st, err := s.ResolveStage(b, name)
	if err == nil {
		return st, nil
	}
	slug := Slug(name)
	var titled, ofKind []*Stage
	for i := range b.Stages {
		st := &b.Stages[i]
		if slug != "" && Slug(st.Title) == slug {
			titled = append(titled, st)
		}
		if kind := onPages[slug]; kind != "" && (st.ID == kind || st.Kind == kind) {
			ofKind = append(ofKind, st)
		}
	}
	for _, found := range [][]*Stage{titled, ofKind} {
		if len(found) == 1 {
			return found[0], nil
		}
	}
	return nil, err
}

// noneOrMany is the error for a name that is none of what there is, or that fits
// several of them.
func noneOrMany(what, name string, fits []string, hint string) error {
	if len(fits) == 0 {
		return &AskError{What: fmt.Sprintf("no %s is called %q", what, name), Hint: hint}
	}
	n := len(fits)
	return &AskError{What: fmt.Sprintf("%q fits more than one %s: %s and %s", name, what,
		strings.Join(fits[:n-1], ", "), fits[n-1]), Hint: "name the one you mean in full"}
}

// Paused returns the pause the build is in, or nil.
func (s *State) Paused(build string) *Pause {
	for i := range s.Pauses {
		if s.Pauses[i].Build == build && s.Pauses[i].Until.IsZero() {
			return &s.Pauses[i]
		}
	}
	return nil
}

// FirstDay is the first day of the build, YYYY-MM-DD, or as much of it as is sure: as its
// plan says, else of its first session, photo or diary day; "" when it has none. See Span.
func (s *State) FirstDay(b *Build) string {
	from, _ := s.Span(b)
	return from.Date
}

// LastDay is the last day of the build, as FirstDay is its first.
func (s *State) LastDay(b *Build) string {
	_, to := s.Span(b)
	return to.Date
}

func (s *State) days(build string) []string {
	var days []string
	for _, one := range s.Sessions {
		if one.Build == build && len(one.Date) == len(time.DateOnly) {
			days = append(days, one.Date)
		}
	}
	if seen := s.shownOf(build); seen.First != "" {
		days = append(days, seen.First, seen.Last)
	}
	for _, d := range s.Diary {
		if d.Build == build {
			days = append(days, d.Date)
		}
	}
	return days
}

// shortest is the least bench time a pace may rest on: a timer that was on for
// seconds was not on while the parts were done.
const shortest = time.Minute

// Work returns the sessions of a build ("" = of all) as the metrics take them.
// Running sessions and those in doubt stay out; those
// under a minute have parts and no hours.
func (s *State) Work(build string) []metrics.Work {
	var works []metrics.Work
	for _, one := range s.Sessions {
		if build != "" && one.Build != build || one.Open || one.Doubt.Any() || one.Kind == "wait" {
			continue
		}
		_, countable := metrics.CountedKind(one.Kind)
		hours := one.Hours()
		if one.Net < shortest {
			hours = 0
		}
		w := metrics.Work{
			Session: one.ID, Build: one.Build, Kit: one.Kit, Kind: one.Kind, Class: one.Class,
			Finish: s.finish(one), Week: week(one), Evening: evening(one), Start: placed(one), Hours: hours,
			Parts: float64(one.Done()), Reopened: float64(one.Reopened),
			Tools: toolKeys(one), Counted: one.Counted && countable, Known: one.Known,
			Scatter: s.scatter,
		}
		w.Mix, w.Unclassed = s.mixOf(one)
		works = append(works, w.Charge(shares(one))...)
	}
	return works
}

// toolKeys are the keys of the tools of a session.
func toolKeys(one *Session) []string {
	var keys []string
	for _, name := range one.Tools {
		keys = append(keys, ToolKey(name))
	}
	return keys
}

// shares are the shares of a repair by the stage kind that caused it.
func shares(one *Session) map[string]float64 {
	if len(one.Charged) == 0 {
		return nil
	}
	byKind := map[string]float64{}
	for _, c := range one.Charged {
		byKind[c.Kind] += c.Share
	}
	return byKind
}

// finish is what the surface of the session's parts ends as: a part that gets
// paint hides more than one that stays bare.
func (s *State) finish(one *Session) string {
	if b := s.Build(one.Build); b != nil {
		return b.Finish
	}
	return ""
}

// placed is when the session began, zero when not even its day is known: "1998"
// does not say what came before what.
func placed(one *Session) time.Time {
	if len(one.Date) != len(time.DateOnly) {
		return time.Time{}
	}
	return one.Start
}

// smallHours is when an evening is over, after midnight: whoever sits down before
// four in the morning still belongs to the evening before.
const smallHours = 4 * time.Hour

// evening is the day of the evening a session belongs to, "" when not even its
// day is known.
func evening(one *Session) string {
	start := placed(one)
	if start.IsZero() {
		return ""
	}
	return start.Add(-smallHours).Format(time.DateOnly)
}

// week is the ISO week of a session whose day is known, else "".
func week(one *Session) string {
	day, err := time.Parse(time.DateOnly, one.Date)
	if err != nil {
		return ""
	}
	year, n := day.ISOWeek()
	return fmt.Sprintf("%d-W%02d", year, n)
}
