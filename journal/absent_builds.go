// This file finds builds that records name and the journal does not have: a
// folder was renamed, or is not here yet.

package journal

import (
	"fmt"
	"slices"
	"strings"

	"rakelight/journal/metrics"
)

// LostBuild is a build that records name and no folder is of.
type LostBuild struct {
	ID       string
	Sessions int
	Hours    float64 // of them, as far as they are known
	Photos   int     // tagged with it
}

// LostBuilds are the builds that sessions and photos name without a folder, by
// id. Cards name builds by a short key, so they are not among them: LostCards.
func (s *State) LostBuilds() []LostBuild {
	found := map[string]*LostBuild{}
	of := func(id string) *LostBuild {
		if id == "" || s.Build(id) != nil {
			return &LostBuild{}
		}
		if found[id] == nil {
			found[id] = &LostBuild{ID: id}
		}
		return found[id]
	}
	for _, one := range s.Sessions {
		b := of(one.Build)
		b.Sessions, b.Hours = b.Sessions+1, b.Hours+one.Hours()
	}
	for _, p := range s.photos() {
		of(p.Tags.Build).Photos++
	}
	var lost []LostBuild
	for _, id := range sortedKeys(found) {
		lost = append(lost, *found[id])
	}
	return lost
}

// LostCards is how many bench cards say nothing because the build they name is
// not in the journal.
func (s *State) LostCards() int {
	return len(keep(s.Cards, func(c CardSaid) bool { return c.Did.What == NoSuchBuild }))
}

// lostFindings tells of both, with what to do: the folder's name is what records
// and printed cards name, the title may be changed at will.
func (s *State) lostFindings() []Finding {
	var found []Finding
	idle := keep(s.Builds, func(b *Build) bool {
		return !slices.ContainsFunc(s.Sessions, func(one *Session) bool { return one.Build == b.ID })
	})
	perhaps := ""
	if len(idle) == 1 {
		perhaps = " (perhaps from builds/" + idle[0].ID + ", of which there is no session)"
	}
	for _, b := range s.LostBuilds() {
		var has []string
		if b.Sessions > 0 {
			has = append(has, fmt.Sprintf("%s of %s hours", metrics.Count(b.Sessions, "session"),
				metrics.Tenths(b.Hours)))
		}
		if b.Photos > 0 {
			has = append(has, metrics.Count(b.Photos, "photo"))
		}
		found = append(found, Finding{OtherRemark, "builds/" + b.ID, 0, fmt.Sprintf(
			"records name this build, and it is not in this journal: %s; if its folder was renamed, give it the name %s again%s and change the title in its build.md instead",
			strings.Join(has, " and "), b.ID, perhaps), false})
	}
	if n := s.LostCards(); n > 0 {
		found = append(found, Finding{OtherRemark, "builds", 0, fmt.Sprintf(
			"not counted: %s of a build that is not in this journal; if a build's folder was renamed, give it its old name again%s; rakelight check --photos lists them",
			metrics.Count(n, "bench card"), perhaps), false})
	}
	return found
}
