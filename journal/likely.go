// This file guesses where a photo that wants a person's word may belong. Its guesses are
// proposals to the person and never tags: hours or days may lie between.

package journal

import (
	"slices"
	"time"
)

// LikelyBuild is the build to propose for a photo of which nothing tells it: of those that
// have sessions or photos both by its day and from its day on, the one that has the
// nearest; nil = there is none, or its time is in doubt.
func (s *State) LikelyBuild(p *Photo) *Build {
	if p.Instant.Source == FileTime || p.Instant.Doubts.Any() {
		return nil
	}
	const never = time.Duration(-1)
	type sides struct{ before, after time.Duration }
	near := map[string]*sides{}
	day := p.Instant.At.In(s.zone()).Format(time.DateOnly)
	see := func(build string, at time.Time) {
		one := near[build]
		if one == nil {
			one = &sides{never, never}
			near[build] = one
		}
		away := p.Instant.At.Sub(at)
		same := at.In(s.zone()).Format(time.DateOnly) == day
		if (away >= 0 || same) && (one.before == never || away.Abs() < one.before) {
			one.before = away.Abs()
		}
		if (away <= 0 || same) && (one.after == never || away.Abs() < one.after) {
			one.after = away.Abs()
		}
	}
	for _, other := range s.photos() {
		if other.Tags.Build != "" && other.Hash != p.Hash && !other.Guess && !other.Instant.Doubts.Any() &&
			other.Instant.Source != FileTime {
			see(other.Tags.Build, other.Instant.At)
		}
	}
	for _, one := range s.Sessions {
		if one.Kind != "wait" && !one.Start.IsZero() {
			see(one.Build, one.Start)
		}
	}
	var likely *Build
	var nearest time.Duration
	for _, b := range s.Builds {
		one := near[b.ID]
		if one == nil || one.before == never || one.after == never {
			continue
		}
		if away := min(one.before, one.after); likely == nil || away < nearest {
			likely, nearest = b, away
		}
	}
	return likely
}

// LikelyStage is the stage to propose for a photo whose build is known, as LikelyStageOf.
func (s *State) LikelyStage(p *Photo) string { return s.LikelyStageOf(p.Tags.Build, p) }

// LikelyStageOf is the stage to propose for a photo as one of a build: that of the
// build's last session before it, else of its first one after; of a build without
// sessions, the same of its photos; where neither tells, or its time is in doubt, the
// build's only stage. "" = none.
func (s *State) LikelyStageOf(build string, p *Photo) string {
	b := s.Build(build)
	if b == nil {
		return ""
	}
	likely := ""
	if p.Instant.Source != FileTime && !p.Instant.Doubts.Any() {
		for _, one := range s.SessionsOf(b.ID) {
			if one.Kind == "wait" || one.Start.IsZero() || b.Stage(one.Stage) == nil {
				continue
			}
			if likely != "" && one.Start.After(p.Instant.At) {
				break
			}
			likely = one.Stage
		}
		if likely == "" {
			likely = s.stageOfPhotos(b, p)
		}
	}
	if likely == "" && len(b.Stages) == 1 {
		likely = b.Stages[0].ID
	}
	return likely
}

// stageOfPhotos is the stage of the last photo of a build before another one, else of the
// first after it.
func (s *State) stageOfPhotos(b *Build, p *Photo) string {
	all := s.photos()
	says := func(o *Photo) bool {
		return o.Tags.Build == b.ID && o.Hash != p.Hash && !o.Guess && !o.Instant.Doubts.Any() &&
			b.Stage(o.Tags.Stage) != nil
	}
	i, _ := slices.BinarySearchFunc(all, p.Instant.At,
		func(o *Photo, at time.Time) int { return o.Instant.At.Compare(at) })
	for _, o := range slices.Backward(all[:i]) {
		if says(o) {
			return o.Tags.Stage
		}
	}
	if k := slices.IndexFunc(all[i:], says); k >= 0 {
		return all[i+k].Tags.Stage
	}
	return ""
}
