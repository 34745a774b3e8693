// This file says why photos are not judged, for a person who finds no pair.

package journal

import (
	"fmt"
	"strings"

	"rakelight/journal/reason"
)

// judgeable reports whether a photo can stand in a blind pair: it shows a build's
// work as it was left, in a picture of its own and not among the frames of a series, no
// card tells what build it is, and its place is known.
func (p *Photo) judgeable() bool {
	return p.Series == "" && p.Tags.Build != "" && p.Tags.View != "" && p.Tags.Light != "" && p.Tags.Role != "before" &&
		p.Tags.Role != "problem" &&
		p.Width > 0 && len(p.Cards) == 0 && !p.Clip() && !p.foundAlike()
}

// foundAlike reports whether view or light were taken over from a photo that it was found
// alike to. Which photos of a build those are was chosen by how they look beside later
// work, with both in sight: no verdict, and so no claim, may rest on that choice. A photo
// that its person tags is one like any other.
func (p *Photo) foundAlike() bool {
	return p.Why["view"].By == reason.Alike || p.Why["light"].By == reason.Alike
}

// NoPairs says in a sentence why no two photos compare: what is wanted, and how
// many photos are left out for which reason, each photo by the first that holds.
func (s *State) NoPairs() string {
	reasons := []string{"with a bench card in them: take one more without the card", "of before or of a problem",
		"with no build", "with no view or no light tagged", "that are clips", "frames of a series",
		"tagged only as one they were called alike to: tag view and light yourself"}
	left := make([]int, len(reasons))
	for _, p := range s.photos() {
		switch {
		case p.judgeable():
		case p.Clip():
			left[4]++
		case p.Series != "":
			left[5]++
		case len(p.Cards) > 0:
			left[0]++
		case p.Tags.Role == "before" || p.Tags.Role == "problem":
			left[1]++
		case p.Tags.Build == "":
			left[2]++
		case p.Tags.View == "" || p.Tags.Light == "":
			left[3]++
		case p.foundAlike():
			left[6]++
		}
	}
	var out []string
	for i, n := range left {
		if n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, reasons[i]))
		}
	}
	said := "two builds need a photo each of the same kind of work, from the same view and under the same light (rakelight tag says so)"
	if len(out) > 0 {
		said += "; of " + fmt.Sprint(len(s.photos())) + " photos these are never judged as they are: " +
			strings.Join(out, "; ")
	}
	return said
}
