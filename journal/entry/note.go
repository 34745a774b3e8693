// A note made at once.

package entry

import (
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// Note is a note: on the session that runs, or another, on parts, or on a build.
type Note struct {
	Text    string
	Build   string // "" = the session's
	Session string // id, "" = the one that runs, if it is of the build
	Stage   string // "" = the session's
	Parts   string // "A12,B3", "" = of none
	At      time.Time
}

// Plan finds what the note is on; of no session and no build it cannot tell.
func (r Note) Plan(l journal.Look) (Plan, error) {
	text := strings.TrimSpace(r.Text)
	if text == "" {
		return Plan{}, &Refusal{Reason: NoWords}
	}
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	s, b, err := r.on(l, at)
	if err != nil {
		return Plan{}, err
	}
	body := journal.NoteBody{Build: b.ID, Text: text, At: at}
	if s != nil {
		body.Session, body.Stage = s.ID, s.Stage
	}
	if r.Stage != "" {
		st, err := l.StageCalled(b, r.Stage)
		if err != nil {
			return Plan{}, err
		}
		body.Stage = st.ID
	}
	if body.Parts, err = named(b, r.Parts); err != nil {
		return Plan{}, err
	}
	return just(body)
}

// on is the session and the build a note is on; nil is none.
func (r Note) on(l journal.Look, at time.Time) (*journal.Session, *journal.Build, error) {
	if r.Session != "" {
		s, err := session(l, r.Session)
		if err != nil {
			return nil, nil, err
		}
		if r.Build != "" {
			if b, err := l.ResolveBuild(r.Build); err != nil || b.ID != s.Build {
				return nil, nil, &Refusal{Reason: NoSuchSession, Name: r.Session, Build: r.Build}
			}
		}
		return s, buildOf(l, s.Build), nil
	}
	var b *journal.Build
	if r.Build != "" {
		var err error
		if b, err = l.ResolveBuild(r.Build); err != nil {
			return nil, nil, err
		}
	}
	for _, s := range l.Running() {
		if s.Start.Sub(at) < time.Minute && (b == nil || b.ID == s.Build) { // a time typed has no seconds
			return s, buildOf(l, s.Build), nil
		}
	}
	if b != nil {
		return nil, b, nil
	}
	b, err := theOne(l)
	return nil, b, err
}

// inHand is the build a person means by a word said first, or who names none, the one
// that is worked on; while nothing runs, the only one that is open.
func inHand(l journal.Look, name string) (*journal.Build, error) {
	if name != "" {
		return l.ResolveBuild(name)
	}
	var ids []string
	for _, s := range l.Running() {
		if !slices.Contains(ids, s.Build) {
			ids = append(ids, s.Build)
		}
	}
	if len(ids) == 0 {
		for _, b := range l.OpenBuilds() {
			ids = append(ids, b.ID)
		}
	}
	if len(ids) == 1 {
		return buildOf(l, ids[0]), nil
	}
	return nil, &Refusal{Reason: NoBuildNamed, Known: ids}
}

// theOne is the build a person means who names none while nothing runs: the only
// one that is open.
func theOne(l journal.Look) (*journal.Build, error) {
	open := l.OpenBuilds()
	if len(open) == 1 {
		return open[0], nil
	}
	var ids []string
	for _, b := range open {
		ids = append(ids, b.ID)
	}
	return nil, &Refusal{Reason: WhichBuild, Known: ids}
}
