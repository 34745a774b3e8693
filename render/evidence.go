// What a number rests on: ways from it to its sessions and photos.

package render

import (
	"cmp"
	"fmt"

	"rakelight/journal"
)

// Behind is what a number rests on, build by build.
type Behind struct {
	Words string // "41 sessions"
	Of    []BehindOf
}

// BehindOf are the things of one build.
type BehindOf struct {
	Tag   Tag
	Links []Link
}

// behindSessions leads to sessions by their ids. Sessions of no build have no
// place and are left out.
func (v *view) behindSessions(ids []string) Behind {
	wanted := make(map[string]bool, len(ids))
	for _, id := range ids {
		wanted[id] = true
	}
	var out Behind
	n := 0
	for _, b := range v.order {
		of := BehindOf{Tag: b.tag("")}
		for _, s := range b.sessions {
			if wanted[s.ID] {
				of.Links = append(of.Links, sessionLink(b, s, ""))
			}
		}
		if len(of.Links) > 0 {
			out.Of = append(out.Of, of)
			n += len(of.Links)
		}
	}
	out.Words = count(n, "session")
	return out
}

// sessionLink leads to a session; people know it by its day.
func sessionLink(b *build, s *journal.Session, root string) Link {
	return Link{Words: cmp.Or(dayOf(s.Date), "day not known"), Href: root + b.href + "#" + sessionID(s.ID)}
}

// photoLink leads to a photo's own place. ok is false for a photo that has
// none: of no build, or not here.
func (v *view) photoLink(hash, words string) (Link, bool) {
	p := v.byHash[hash]
	if p == nil || v.builds[p.Tags.Build] == nil {
		return Link{}, false
	}
	if words == "" {
		words = joinWords(", ", dayShort(p), low(kindTitle(p.Kind)))
	}
	return Link{Words: words, Href: v.builds[p.Tags.Build].href + "#" + v.anchor(p)}, true
}

// dayShort is the day of a photo, or its digits where no day is known.
func dayShort(p *journal.Photo) string {
	if p.Instant.At.IsZero() {
		return p.Short()
	}
	return dayTold(p.Instant)
}

// stageTitle is a stage of a build as its page calls it, and the way to it.
func (v *view) stageLink(build, stage string) Link {
	b := v.builds[build]
	if b == nil {
		return Link{Words: stage}
	}
	st := b.Stage(stage)
	if st == nil {
		return Link{Words: stage}
	}
	return Link{Words: st.Title, Href: b.href + "#stage-" + fileName(st.ID)}
}

// nameOf is a build in running text: its title, or its id where it has no plan.
func (v *view) nameOf(id string) string {
	if b := v.builds[id]; b != nil {
		return b.Title
	}
	return id
}

// span writes an interval: "71 to 95", or why there is none.
func spanOf(ok bool, low, high, why string) string {
	if !ok {
		return "no range: " + why
	}
	return fmt.Sprintf("%s to %s", low, high)
}
