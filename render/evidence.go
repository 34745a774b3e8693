// What a number rests on: ways from it to its sessions and photos.

package render

import (
	"cmp"

	"rakelight/journal"
)

// Behind is what a number rests on, build by build.
type Behind struct {
	Words string // "41 sessions"
	Of    []BehindOf
}

// BehindOf are the things of one build, or of many; then the tag is a title alone.
type BehindOf struct {
	Tag   Tag
	Links []Link
}

// fewSessions is how many sessions of a build are named one by one. More are
// counted, with the way to the tables they stand in: a list of thousands leads
// nobody anywhere.
const fewSessions = 12

// behindSessions leads to sessions by their ids, or to their builds where these
// are many. Sessions of no build have no place and are left out.
func (v *view) behindSessions(ids []string) Behind {
	wanted := make(map[string]bool, len(ids))
	for _, id := range ids {
		wanted[id] = true
	}
	var out Behind
	var counts []Link
	n := 0
	for _, b := range v.order {
		links, some := v.linksTo(b, wanted, fewSessions)
		if some > 0 {
			out.Of = append(out.Of, BehindOf{b.tag(""), links})
			counts = append(counts, Link{Words: v.Say("%s: %s", b.named(), v.count(some, "session")),
				Href: b.href + "#stages"})
			n += some
		}
	}
	if len(out.Of) > fewBuilds {
		out.Of = []BehindOf{{Tag: Tag{Title: v.count(len(counts), "build")}, Links: counts}}
	}
	out.Words = v.count(n, "session")
	return out
}

// sessionLinks lead to sessions of a build by their ids, one by one where they are no
// more than few.
func (v *view) sessionLinks(b *build, ids []string, few int) []Link {
	wanted := make(map[string]bool, len(ids))
	for _, id := range ids {
		wanted[id] = true
	}
	links, _ := v.linksTo(b, wanted, few)
	return links
}

// linksTo leads to the wanted sessions of a build, one by one where they are no more
// than few, and says how many these are.
func (v *view) linksTo(b *build, wanted map[string]bool, few int) (links []Link, n int) {
	var stages []string
	in := map[string]int{}
	for _, s := range b.sessions {
		if !wanted[s.ID] {
			continue
		}
		n++
		links = append(links, v.sessionLink(b, s, ""))
		if in[s.Stage]++; in[s.Stage] == 1 {
			stages = append(stages, s.Stage)
		}
	}
	if n <= few {
		return links, n
	}
	links = nil
	for _, stage := range stages {
		title, href := stage, b.href+"#stages"
		if st := b.Stage(stage); st != nil {
			title, href = v.stageTitle(st), b.href+"#sessions-"+fileName(stage)
		}
		links = append(links, Link{Words: v.Say("%s: %s", title, v.count(in[stage], "session")), Href: href})
	}
	return links, n
}

// sessionLink leads to a session; people know it by its day.
func (in voice) sessionLink(b *build, s *journal.Session, root string) Link {
	return Link{Words: cmp.Or(in.dayOf(s.Date), in.Say("day not known")), Href: root + b.href + "#" + sessionID(s.ID)}
}

// photoLink leads to a photo's own place. ok is false for a photo that has
// none: of no build, or not here.
func (v *view) photoLink(hash, words string) (Link, bool) {
	p := v.byHash[hash]
	if p == nil || v.builds[p.Tags.Build] == nil {
		return Link{}, false
	}
	if words == "" {
		words = joinWords(", ", v.dayShort(p), v.low(v.kindTitle(p.Kind)))
	}
	return Link{Words: words, Href: v.place(v.builds[p.Tags.Build], p)}, true
}

// dayShort is the day of a photo; where none is known its digits, but for readers
// nothing.
func (v *view) dayShort(p *journal.Photo) string {
	if p.Instant.At.IsZero() {
		if v.mine() {
			return p.Short()
		}
		return ""
	}
	return v.dayTold(p.Instant)
}

// stageLink is a stage of a build as its page calls it, and the way to it.
func (v *view) stageLink(build, stage string) Link {
	b := v.builds[build]
	if b == nil {
		return Link{Words: stage}
	}
	st := b.Stage(stage)
	if st == nil {
		return Link{Words: stage}
	}
	return Link{Words: v.stageTitle(st), Href: b.href + "#stage-" + fileName(st.ID)}
}

// nameOf is a build in running text: its title, or its id where it has no plan.
func (v *view) nameOf(id string) string {
	if b := v.builds[id]; b != nil {
		return b.Title
	}
	return id
}
