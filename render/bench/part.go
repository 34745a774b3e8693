// One part: all that is known of it on one screen, found by its number.

package bench

import (
	"strings"

	"rakelight/journal"
)

// findPage looks for a part.
type findPage struct {
	Asked  string
	Build  string // id of the build looked in
	Title  string
	Builds []offer
	None   string // why nothing was found, "" = nothing was looked for
}

// partPage is one part.
type partPage struct {
	Build, Title string
	Ref          string
	Class        string
	Stands       []stand
	Story        []string
	Notes        []noted
	Mistakes     []noted
}

// stand is how the part stands in a stage.
type stand struct{ Name, Words string }

// noted is something written down of a part.
type noted struct{ Day, Words, Record string }

// find makes the page that looks for a part, or the part's own.
func find(a *asking) (any, error) {
	page := findPage{Asked: strings.TrimSpace(a.value("part"))}
	for _, b := range a.openBuilds() {
		page.Builds = append(page.Builds, offer{Build: b.ID, Title: b.Title})
	}
	name := a.value("build")
	if running := a.Running(); name == "" && len(running) > 0 {
		name = running[0].Build
	}
	if name == "" && len(page.Builds) > 0 {
		name = page.Builds[0].Build
	}
	if name == "" {
		page.None = "There is no open build to look in."
		return page, nil
	}
	b, err := a.ResolveBuild(name)
	if err != nil {
		return nil, err
	}
	page.Build, page.Title = b.ID, b.Title
	return page, nil
}

// part makes the page of a part.
func part(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.value("build"))
	if err != nil {
		return nil, err
	}
	refs, _, err := journal.ParseParts(a.value("part"), b)
	if err != nil {
		return nil, err
	}
	if len(refs) == 0 {
		return nil, &journal.AskError{What: a.value("part") + " names no part", Hint: "write the letter and the number: A12"}
	}
	ref := refs[0]
	page := partPage{Build: b.ID, Title: b.Title, Ref: ref.Key()}
	for _, r := range a.Ledger(b) {
		if r.Kit != ref.Kit || r.Letter != ref.Runner {
			continue
		}
		p := r.Part(ref.Number)
		if p == nil {
			continue
		}
		page.Class = p.Class
		for _, st := range r.Stages {
			s := squareOf(*p, st.ID)
			page.Stands = append(page.Stands, stand{st.Title, s.Words})
		}
		for _, e := range p.Story {
			page.Story = append(page.Story, a.Tell(e))
		}
	}
	for _, n := range a.Notes {
		if n.Build == b.ID && names(n.Parts, ref) {
			page.Notes = append(page.Notes, noted{n.At.In(a.Zone).Format("January 2, 2006"), n.Text, n.Record})
		}
	}
	for _, m := range a.Mistakes {
		if m.Build == b.ID && names(m.Parts, ref) {
			page.Mistakes = append(page.Mistakes, noted{m.At.In(a.Zone).Format("January 2, 2006"), m.Kind, m.Record})
		}
	}
	return page, nil
}

func names(parts []journal.PartRef, ref journal.PartRef) bool {
	for _, p := range parts {
		if p.Is(ref) {
			return true
		}
	}
	return false
}
