// The words of the pages.

package past

import (
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	old "rakelight/media/past"
)

func count(n int, unit string) string { return metrics.Count(n, unit) }

func joined(with string, words ...string) string { return journal.Joined(with, words...) }

// address is where the group is laid out.
func (g *group) address() string { return Root + "sheet?of=" + g.id() }

// title is what the group is called.
func (g *group) title() string {
	switch {
	case g.build != nil:
		return g.build.Title
	case g.year != "":
		return "Between builds, " + g.year
	}
	return "Likely build " + strings.TrimPrefix(g.likely.ID, "G")
}

// short is the title on the axis.
func (g *group) short() string {
	if g.build == nil && g.likely != nil {
		return "likely " + strings.TrimPrefix(g.likely.ID, "G")
	}
	return g.title()
}

// span is from when to when it goes.
func (g *group) span() string {
	from, to := g.first(), g.last()
	switch {
	case from.Format("2006-01") == to.Format("2006-01"):
		return from.Format("January 2006")
	case from.Year() == to.Year():
		return from.Format("January") + " to " + to.Format("January 2006")
	}
	return from.Format("January 2006") + " to " + to.Format("January 2006")
}

// why is what a likely build rests on.
func (g *group) why() string {
	if g.likely == nil {
		return ""
	}
	w := g.likely.Why
	var all []string
	if names := folderNames(w); names != "" {
		all = append(all, lie(w.InFolder, w.InFolder+w.ByTime)+" in "+names)
		if w.ByTime > 0 {
			all = append(all, fmt.Sprintf("%d taken meanwhile", w.ByTime))
		}
	}
	if w.Rested > 0 {
		all = append(all, "rested for "+count(w.Rested, "day")+", and what came then looks alike")
	}
	if w.Before > 0 {
		all = append(all, "nothing for "+count(w.Before, "day")+" before")
	}
	if w.After > 0 {
		all = append(all, "nothing for "+count(w.After, "day")+" after")
	}
	if w.Doubtful > 0 {
		all = append(all, count(w.Doubtful, "doubtful date"))
	}
	if len(all) == 0 {
		return "A guess: these were taken close to each other."
	}
	return "A guess: " + strings.Join(all, "; ") + "."
}

func lie(n, of int) string {
	if n == of {
		return "all lie"
	}
	return fmt.Sprintf("%d of %d lie", n, of)
}

// folderNames are the folders that speak of a likely build, "" = none do.
func folderNames(w old.Why) string {
	const most = 3
	var all []string
	for _, name := range w.Folders[:min(most, len(w.Folders))] {
		if _, below, ok := strings.Cut(name, "/"); ok {
			name = below // the folder that was named is known
		}
		all = append(all, "“"+name+"”")
	}
	if n := len(w.Folders) - most; n > 0 {
		all = append(all, count(n, "more folder"))
	}
	return strings.Join(all, ", ")
}

// dateless reports whether nothing trustworthy is known of when a picture was taken.
func dateless(p old.Placing) bool {
	return p == old.ByNothing || p == old.ByFileTime || p == old.ByScan
}

// placings say by what a picture, or several, are placed where they are.
var placings = map[old.Placing]string{
	old.ByOriginal:  "with the picture it is a copy of",
	old.ByClock:     "by a guess at the clock of the camera",
	old.ByName:      "by the name, since an editor changed the date within",
	old.ByNeighbors: "by the files numbered around",
	old.ByDay:       "by a day alone, from name or file",
	old.ByFileTime:  "by the time of the file, which copying may have changed",
	old.ByScan:      "by the time of scanning, not of taking",
	old.ByNothing:   "by nothing: no date is stated",
}

// PlacedBy says by what pictures are placed on the axis, after "placed"; "" = as they
// were taken, or as a person said.
func PlacedBy(p old.Placing) string { return placings[p] }

// moment is when a picture was taken, and how that is known where it is in doubt.
func moment(p *old.Picture) string {
	when := p.At.Format("Jan 2, 2006, 15:04")
	switch p.Placed {
	case old.AsTaken:
		return when
	case old.BySaid:
		if p.Said != nil && p.Said.Said != "" {
			return p.Said.Said + ", as you said"
		}
		return p.At.Format("Jan 2, 2006") + ", as you said"
	case old.ByDay:
		when = p.At.Format("Jan 2, 2006")
	case old.ByNothing:
		return "no date"
	}
	if p.Placed.Doubtful() {
		when = "perhaps " + when
	}
	return when + ", placed " + PlacedBy(p.Placed)
}

// clockTimes are the hours of an evening, "" where they are not known.
func clockTimes(some []*picture) string {
	var from, to time.Time
	for _, p := range some {
		if p.Placed != old.AsTaken {
			continue
		}
		if from.IsZero() || p.At.Before(from) {
			from = p.At
		}
		if p.At.After(to) {
			to = p.At
		}
	}
	switch {
	case from.IsZero():
		return ""
	case to.Sub(from) < time.Minute:
		return from.Format("15:04")
	}
	return from.Format("15:04") + "–" + to.Format("15:04")
}

// bytesOf is a size as a person reads it.
func bytesOf(n int64) string {
	switch {
	case n >= 1e9:
		return fmt.Sprintf("%.1f GB", float64(n)/1e9)
	case n >= 1e6:
		return fmt.Sprintf("%.0f MB", float64(n)/1e6)
	}
	return fmt.Sprintf("%d KB", (n+999)/1000)
}
