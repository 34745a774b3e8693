// Photos that want a place: by evenings, many with few taps.

package bench

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// sortPage is the groups of photos to sort, or one of them with its choices.
type sortPage struct {
	Groups []photoGroup
	Group  *photoGroup // the one chosen
	Build  string      // id of the build chosen for it, "" = none yet
	Title  string      // of that build
	Builds []offer     // to choose from
	Stages []offer
	Asks   []ask       // what camera clocks seem to be wrong
	Today  string      // YYYY-MM-DD
	NoDay  *photoGroup // photos of which nobody knows the day, nil = there is none
}

// photoGroup is photos taken one after the other.
type photoGroup struct {
	First  string // hash of its first, which names it
	Words  string // "Thursday, March 14, 19:30 to 20:45"
	What   string // "3 photos, 1 clip and a series of 40"
	Photos []thumb
	Likely *offer // where it seems to belong, nil = nothing says
}

// thumb is a photo as a small picture.
type thumb struct {
	Hash, Name string
	Src        string // "" = it cannot be shown
	Words      string // "19:32, progress"
}

const (
	evening   = 2 * time.Hour // a longer gap begins another group
	mostShown = 80            // photos of a group on one page
)

// sortGroups makes the page.
func (b *Bench) sortGroups(a *asking) (any, error) {
	page := sortPage{Today: a.Now.In(a.Zone).Format(time.DateOnly)}
	var groups [][]*journal.Photo
	for _, p := range toSort(a.State) {
		if n := len(groups); n > 0 && p.Instant.At.Sub(last(groups[n-1]).Instant.At) < evening &&
			len(groups[n-1]) < mostShown {
			groups[n-1] = append(groups[n-1], p)
			continue
		}
		groups = append(groups, []*journal.Photo{p})
	}
	for _, g := range groups {
		if one := b.group(a, g); a.value("group") == one.First {
			page.Group = &one
		} else {
			page.Groups = append(page.Groups, one)
		}
	}
	if page.Group == nil {
		page.Asks, page.NoDay = clockAsks(a.State), b.withoutDay(a)
		return page, nil
	}
	page.Groups = nil
	if name := a.value("build"); name != "" {
		build, err := a.ResolveBuild(name)
		if err != nil {
			return nil, err
		}
		page.Build, page.Title = build.ID, build.Title
		for _, st := range build.Stages {
			page.Stages = append(page.Stages, offer{Build: build.ID, Stage: st.ID, Name: wording.StageName(st)})
		}
		return page, nil
	}
	for _, build := range append(a.openBuilds(), a.finishedBuilds()...) {
		page.Builds = append(page.Builds, offer{Build: build.ID, Title: build.Title})
	}
	return page, nil
}

// toSort are the photos that lack a build or a stage, or have a guessed one, by
// instant; of a series one stands for all.
func toSort(s *journal.State) []*journal.Photo {
	photos := journal.Asked(slices.DeleteFunc(s.ToDo(), func(t journal.ToDo) bool {
		return t.Photo == nil || t.Kind != journal.Unsorted && t.Kind != journal.Guessed
	}))
	slices.SortStableFunc(photos, func(x, y *journal.Photo) int { return x.Instant.At.Compare(y.Instant.At) })
	return photos
}

// withoutDay are photos of which nobody knows the day, so many as are shown at once.
func (b *Bench) withoutDay(a *asking) *photoGroup {
	photos := journal.Asked(slices.DeleteFunc(a.ToDo(), func(t journal.ToDo) bool {
		return t.Photo == nil || t.Kind != journal.NoDate
	}))
	if len(photos) == 0 {
		return nil
	}
	g := b.group(a, photos[:min(mostShown, len(photos))])
	return &g
}

func last[T any](all []T) T { return all[len(all)-1] }

func (b *Bench) group(a *asking, photos []*journal.Photo) photoGroup {
	g := photoGroup{First: photos[0].Hash, Words: spanOf(a, photos), What: whatAre(a.State, photos)}
	places := map[offer]int{}
	for _, p := range photos {
		t := thumb{Hash: p.Hash, Name: p.Name, Words: p.Instant.At.In(a.Zone).Format("15:04")}
		if p.Width > 0 {
			t.Src = b.thumb(p)
		}
		if p.Tags.Role != "" {
			t.Words += ", " + p.Tags.Role
		}
		if s := a.InSeries(p); s != nil {
			t.Words = fmt.Sprintf("%s to %s, a series of %d photos", t.Words, s.Last.In(a.Zone).Format("15:04"),
				s.Frames)
		}
		g.Photos = append(g.Photos, t)
		if build := a.Build(p.Tags.Build); build != nil && build.Stage(p.Tags.Stage) != nil {
			places[offer{Build: build.ID, Title: build.Title, Stage: p.Tags.Stage,
				Name: wording.StageName(*build.Stage(p.Tags.Stage))}]++
		}
	}
	for place, n := range places {
		if g.Likely == nil || cmp.Or(n-places[*g.Likely], cmp.Compare(g.Likely.Build+g.Likely.Stage,
			place.Build+place.Stage)) > 0 {
			g.Likely = &place
		}
	}
	return g
}

// whatAre says how many photos, clips and series there are.
func whatAre(s *journal.State, photos []*journal.Photo) string {
	single, clips := 0, 0
	var series []string
	for _, p := range photos {
		switch one := s.InSeries(p); {
		case one != nil:
			series = append(series, fmt.Sprintf("a series of %d", one.Frames))
		case p.Clip():
			clips++
		default:
			single++
		}
	}
	var all []string
	if single > 0 {
		all = append(all, metrics.Count(single, "photo"))
	}
	if clips > 0 {
		all = append(all, metrics.Count(clips, "clip"))
	}
	all = append(all, series...)
	if n := len(all); n > 1 {
		return strings.Join(all[:n-1], ", ") + " and " + all[n-1]
	}
	return strings.Join(all, "")
}

func spanOf(a *asking, photos []*journal.Photo) string {
	from, to := photos[0].Instant.At.In(a.Zone), last(photos).Instant.At.In(a.Zone)
	words := from.Format("Monday, January 2, 2006, 15:04")
	switch {
	case from.Format(time.DateOnly) != to.Format(time.DateOnly):
		return words + " to " + to.Format("January 2, 15:04")
	case from.Format("15:04") != to.Format("15:04"):
		return words + " to " + to.Format("15:04")
	}
	return words
}

func (a *asking) finishedBuilds() []*journal.Build {
	var done []*journal.Build
	for _, b := range slices.Backward(a.Builds) {
		if b.Finished != "" {
			done = append(done, b)
		}
	}
	return done
}

// Address leads to the group with a build chosen.
func (g photoGroup) Address(build string) string {
	q := url.Values{"group": {g.First}}
	if build != "" {
		q.Set("build", build)
	}
	return "?" + q.Encode()
}
