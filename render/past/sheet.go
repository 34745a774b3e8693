// The contact sheet of a build, of a likely one, or of a year's pictures that belong
// to none: by evenings.

package past

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/wording"
)

// sheetPage is a group laid out, or two that are about to be one.
type sheetPage struct {
	Group    groupValues
	And      *groupValues // laid out with it, nil = none
	Axis     *axis
	Evenings []eveningRow
	Stages   []stageKey
	Titles   []titled // builds to choose from
	Guess    string   // title that the folders propose
	Of       string   // ids of the groups, parted by commas
	Before   *neighbor
	After    *neighbor
	Ends     *ends
}

// ends are the first and the last picture that are of the bench.
type ends struct{ First, Last cell }

// neighbor is the group before or after.
type neighbor struct {
	ID, Title, Span, Address, With string
	Build                          string // its id, "" = not named
}

type titled struct{ ID, Title string }

// groupValues are what is told of a group.
type groupValues struct {
	ID, Build, Title, Span, Why string
	Address, Page               string
	Named, Between              bool
	Pictures, Kept, Out, Wanted int
	Size                        string // of what would be copied
	Shade                       int
	Strip                       []cell   // a few of its pictures
	Fate                        *fateAsk // what is asked of what became of it, nil = nothing
}

// eveningRow is what was taken in one go.
type eveningRow struct {
	ID, Day, Time, Note string
	Key                 string // the capital that goes there; the 27th has that of the first again
	Cells               []cell
	Out                 bool // all of it is left out
}

// cell is a picture on the sheet.
type cell struct {
	ID            string
	Src           bool // it can be shown
	Width, Height int  // pixels on the page
	Stage         string
	StageName     string
	Role          string
	Marks         string // "×2": it is there with a copy
	Words         string // for who does not see it, and where it is looked at closely
	About         string // the file
	Out, Kept     bool
	Doubtful      bool
}

// stageKey is a stage of the build with the keys that give it.
type stageKey struct{ ID, Name, Digit, Letter string }

const (
	cellHigh = 96 // pixels of a picture on the sheet
	cellLow  = 72 // the least width
	cellWide = 192
	inStrip  = 7
)

// sheet makes the page of the group that holds the picture of the address.
func sheet(a *asking) any {
	g := a.named(a.value("of"))
	if g == nil {
		return sheetPage{}
	}
	page := sheetPage{Group: a.values(g), Axis: a.axis(g), Of: g.id()}
	pictures := g.pictures
	if and := a.named(a.value("and")); and != nil && and != g {
		v := a.values(and)
		page.And, page.Of = &v, page.Of+","+and.id()
		pictures = slices.Concat(pictures, and.pictures)
		slices.SortStableFunc(pictures, func(x, y *picture) int { return x.At.Compare(y.At) })
	}
	page.Evenings, page.Ends = a.evenings(pictures), a.ends(pictures)
	if g.build != nil {
		page.Stages = stageKeys(g.build)
	} else {
		page.Guess = g.guess(a.state)
	}
	for _, b := range a.state.Builds {
		if b != g.build {
			page.Titles = append(page.Titles, titled{b.ID, b.Title})
		}
	}
	i := slices.Index(a.groups, g)
	page.Before, page.After = a.neighbor(g, i-1, -1), a.neighbor(g, i+1, 1)
	return page
}

// neighbor is the group at a place, or the next beyond it that is a build; nil where
// there is none.
func (a *asking) neighbor(of *group, i, step int) *neighbor {
	for ; i >= 0 && i < len(a.groups); i += step {
		if g := a.groups[i]; g.year == "" {
			n := &neighbor{ID: g.id(), Title: g.title(), Span: g.span(), Address: g.address()}
			if g.build != nil {
				n.Build = g.build.ID
			}
			if of.build == nil && g.build == nil {
				n.With = of.address() + "&and=" + g.id()
			}
			return n
		}
	}
	return nil
}

// values are what is told of a group.
func (a *asking) values(g *group) groupValues {
	v := groupValues{ID: g.id(), Title: g.title(), Span: g.span(), Why: g.why(), Address: g.address(),
		Named: g.build != nil, Between: g.year != "", Pictures: len(g.pictures),
		Kept: g.kept(), Out: g.out(), Shade: g.shade}
	if g.build != nil {
		v.Build = g.build.ID
		if v.Kept > 0 {
			v.Page = a.Page(a.journal, g.build.ID)
		}
		v.Fate = a.fateOf(g.build)
	}
	n, size := g.wanted()
	v.Wanted, v.Size = n, bytesOf(size)
	in := slices.DeleteFunc(slices.Clone(g.pictures), func(p *picture) bool { return p.Out() || p.Width == 0 })
	for i := range min(inStrip, len(in)) {
		v.Strip = append(v.Strip, a.cell(g, in[i*(len(in)-1)/max(1, min(inStrip, len(in))-1)]))
	}
	return v
}

// ends are the first and the last picture of the bench, nil where there is none.
func (a *asking) ends(pictures []*picture) *ends {
	in := slices.DeleteFunc(slices.Clone(pictures), (*picture).Out)
	if len(in) == 0 {
		return nil
	}
	last := in[len(in)-1]
	return &ends{a.cell(a.of[in[0]], in[0]), a.cell(a.of[last], last)}
}

// evenings lays pictures out.
func (a *asking) evenings(pictures []*picture) []eveningRow {
	of := map[string]*picture{}
	for _, p := range pictures {
		of[p.Hash] = p
	}
	var all []eveningRow
	for _, e := range a.survey.Evenings() {
		row := eveningRow{Out: true}
		var some []*picture
		doubtful := 0
		for _, one := range e.Pictures {
			p := of[one.Hash]
			if p == nil {
				continue
			}
			some = append(some, p)
			row.Cells = append(row.Cells, a.cell(a.of[p], p))
			row.Out = row.Out && p.Out()
			if p.Placed.Doubtful() {
				doubtful++
			}
		}
		if len(some) == 0 {
			continue
		}
		row.Key = string(rune('A' + len(all)%26))
		row.ID, row.Day = e.ID, e.First.Format("Jan 2, 2006")
		row.Time = joined(" ", e.First.Format("Mon"), clockTimes(some))
		if e.Said != "" {
			row.Day, row.Time = journal.Capital(e.Said), "as you said"
		}
		if doubtful > 0 {
			row.Note = count(doubtful, "doubtful date")
		}
		all = append(all, row)
	}
	return all
}

// cell is a picture of a group on the sheet.
func (a *asking) cell(g *group, p *picture) cell {
	c := cell{ID: p.id(), Src: p.Width > 0, Width: cellHigh * 4 / 3, Height: cellHigh, Stage: p.tags.Stage,
		Role: p.tags.Role, Out: p.Out(), Kept: p.Kept, Doubtful: p.Placed.Doubtful()}
	if p.Height > 0 {
		c.Width = min(cellWide, max(cellLow, int(math.Round(cellHigh*float64(p.Width)/float64(p.Height)))))
	}
	if g.build != nil {
		if st := g.build.Stage(p.tags.Stage); st != nil {
			c.StageName = wording.StageName(*st)
		}
	}
	copies := ""
	if n := p.alike(); n > 1 {
		c.Marks, copies = fmt.Sprintf("×%d", n), count(n, "copy")
	}
	kept := ""
	if c.Kept {
		kept = "in the journal"
	}
	out := ""
	if c.Out {
		out = "left out"
	}
	c.Words = joined(", ", moment(p.Picture), c.StageName, c.Role, copies, kept, out)
	c.About = joined(" · ", strings.ReplaceAll(p.Folder, "/", " / "), p.Name)
	return c
}

// stageKeys are the stages of a build with their keys: the first nine have digits,
// all a letter of their name that no other key is.
func stageKeys(b *journal.Build) []stageKey {
	taken := map[rune]bool{}
	for _, r := range ownKeys {
		taken[r] = true
	}
	var all []stageKey
	for _, st := range b.Stages {
		if st.Kind == "wait" {
			continue // nothing is done, and no picture is of it
		}
		key := stageKey{ID: st.ID, Name: wording.StageName(st)}
		if n := len(all) + 1; n <= 9 {
			key.Digit = string(rune('0' + n))
		}
		for _, r := range strings.ToLower(key.Name + "abcdefghijklmnopqrstuvwxyz") {
			if r >= 'a' && r <= 'z' && !taken[r] {
				taken[r], key.Letter = true, string(r)
				break
			}
		}
		all = append(all, key)
	}
	return all
}

// ownKeys are letters that say other things: b before, d a date, o another build and so on.
const ownKeys = "bafxndoe"

// guess is a title that the folders of a likely build propose, "" = none does.
func (g *group) guess(s *journal.State) string {
	if g.likely == nil || len(g.likely.Why.Folders) == 0 {
		return ""
	}
	title := path.Base(g.likely.Why.Folders[0])
	for _, name := range g.likely.Why.Folders { // the plainest: "boat", not "boat hull"
		if one := path.Base(name); len(one) < len(title) {
			title = one
		}
	}
	title = journal.Capital(strings.TrimSpace(strings.ReplaceAll(title, "_", " ")))
	if slices.ContainsFunc(s.Builds, func(b *journal.Build) bool { return strings.EqualFold(b.Title, title) }) {
		return ""
	}
	return title
}
