// This file turns the state into page values: what each page shows, decided
// here and only printed by the templates.

package render

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// frame is what every page has.
type frame struct {
	Title   string
	Root    string // the way up to pages/: "" or "../"
	Journal string
}

type photo struct {
	Short, Src, SrcSet, Alt, Caption string
	Width, Height                    int
}

type home struct {
	frame
	Lead      *photo
	Sentences []string
	Builds    []buildLine
}

type buildLine struct {
	ID, Title, Facts string
	Latest           bool
}

type build struct {
	frame
	Lead               *photo
	Name, Facts, Pause string
	Body               template.HTML
	Sentences          []string
	Stages             []stage
	Days               []day
}

type stage struct {
	ID, Title, Facts string
	Photos           []photo
}

type day struct {
	Date, Title string
	Body        template.HTML
}

type toSort struct {
	frame
	Rows []sortRow
}

type sortRow struct {
	Photo        photo
	Why, Command string
}

func homeOf(s *journal.State, sizes map[string][]webSize) home {
	h := home{frame: frame{Title: s.Config.Name, Journal: s.Config.Name}}
	for i, b := range s.Builds {
		h.Builds = append(h.Builds, buildLine{b.ID, b.Title, facts(s, b), i == len(s.Builds)-1})
		if lead := leadOf(s, b, sizes, ""); lead != nil {
			h.Lead = lead
		}
	}
	h.Sentences = sentences(s, len(s.Builds)-1)
	return h
}

// sentences set a build beside every earlier one, the latest of them first, at
// most three.
func sentences(s *journal.State, at int) []string {
	var said []string
	for i := at - 1; i >= 0 && len(said) < 3; i-- {
		earlier, later := s.Builds[i], s.Builds[at]
		if c := metrics.LikeForLike(s.Work(earlier.ID), s.Work(later.ID), 1); c.OK {
			said = append(said, c.Sentence(earlier.Title, later.Title))
		}
	}
	return said
}

func facts(s *journal.State, b *journal.Build) string {
	var parts []string
	if b.Scale != "" {
		parts = append(parts, b.Scale)
	}
	if first := s.FirstDay(b); first != "" {
		last := s.LastDay(b)
		if b.Finished == "" {
			last += ", open"
		}
		parts = append(parts, first+" to "+last)
	}
	hours, n := 0.0, 0
	for _, w := range s.Work(b.ID) {
		hours += w.Hours
		n++
	}
	parts = append(parts, fmt.Sprintf("%.1f h in %d sessions", hours, n), fmt.Sprintf("%d photos", len(s.PhotosOf(b.ID))))
	return strings.Join(parts, " · ")
}

func buildOf(s *journal.State, b *journal.Build, sizes map[string][]webSize) (build, error) {
	p := build{
		frame: frame{Title: b.Title + " · " + s.Config.Name, Root: "../", Journal: s.Config.Name},
		Name:  b.Title, Facts: facts(s, b), Lead: leadOf(s, b, sizes, "../"),
	}
	if pause := s.Paused(b.ID); pause != nil {
		p.Pause = fmt.Sprintf("Why: %s. Next: %s. Waiting for: %s.", pause.Why, pause.Next, pause.Waiting)
	}
	var err error
	if p.Body, err = markdown(b.Body); err != nil {
		return p, err
	}
	for i, one := range s.Builds {
		if one.ID == b.ID {
			p.Sentences = sentences(s, i)
		}
	}
	work := s.Work(b.ID)
	for _, st := range b.Stages {
		shown := stage{ID: st.ID, Title: st.Title}
		var of []metrics.Work
		hours := 0.0
		for _, one := range s.SessionsOf(b.ID) {
			if one.Stage != st.ID {
				continue
			}
			for _, w := range work {
				if w.Session == one.ID {
					hours += w.Hours
					if w.Counted && w.Known == metrics.Measured {
						of = append(of, w)
					}
				}
			}
		}
		shown.Facts = fmt.Sprintf("%.1f h.", hours)
		if unit, ok := metrics.CountedKind(st.Kind); ok && len(of) > 0 {
			shown.Facts += " " + metrics.PaceOf(of).Sentence(st.Title, unit)
		}
		for _, ph := range s.PhotosOf(b.ID) {
			if ph.Tags.Stage == st.ID {
				if v := photoOf(s, ph, sizes, "../"); v != nil {
					shown.Photos = append(shown.Photos, *v)
				}
			}
		}
		if hours > 0 || len(shown.Photos) > 0 {
			p.Stages = append(p.Stages, shown)
		}
	}
	for _, d := range s.Diary {
		if d.Build != b.ID {
			continue
		}
		body, err := markdown(d.Body)
		if err != nil {
			return p, err
		}
		title := d.Title
		if title == "" {
			title = d.Date
		}
		p.Days = append(p.Days, day{d.Date, title, body})
	}
	return p, nil
}

// leadOf is the picture a page opens on: the latest finished one, else the
// latest of all.
func leadOf(s *journal.State, b *journal.Build, sizes map[string][]webSize, root string) *photo {
	var lead *photo
	finished := false
	for _, ph := range s.PhotosOf(b.ID) {
		done := ph.Tags.Role == "finished"
		if finished && !done {
			continue
		}
		if v := photoOf(s, ph, sizes, root); v != nil {
			lead, finished = v, done
		}
	}
	return lead
}

func sortOf(s *journal.State, sizes map[string][]webSize) toSort {
	p := toSort{frame: frame{Title: "To sort · " + s.Config.Name, Journal: s.Config.Name}}
	for _, ph := range s.Photos {
		if !ph.ToSort() && !ph.Guess && ph.Instant.Doubt == "" {
			continue
		}
		v := photoOf(s, ph, sizes, "")
		if v == nil {
			continue
		}
		row := sortRow{Photo: *v, Command: "rakelight tag " + ph.Short() + " BUILD STAGE"}
		switch {
		case ph.ToSort():
			row.Why = "No build or stage: " + ph.Why["build"]
		case ph.Guess:
			row.Why = ph.Why["stage"]
			row.Command = fmt.Sprintf("rakelight tag %s %s %s", ph.Short(), ph.Tags.Build, ph.Tags.Stage)
		default:
			row.Why = "Its time: " + ph.Instant.Doubt
			row.Command = "rakelight why " + ph.Short()
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}

// photoOf is a photo as a page shows it, or nil when its sizes could not be made.
func photoOf(s *journal.State, p *journal.Photo, sizes map[string][]webSize, root string) *photo {
	made := sizes[p.Hash]
	if len(made) == 0 {
		return nil
	}
	v := &photo{Short: p.Short(), Width: made[0].Width, Height: made[0].Height}
	var set []string
	for _, one := range made {
		set = append(set, fmt.Sprintf("%s%s %dw", root, sizeName(p, one.Width), one.Width))
	}
	v.Src, v.SrcSet = root+sizeName(p, made[0].Width), strings.Join(set, ", ")
	words := []string{}
	if b := s.Build(p.Tags.Build); b != nil {
		words = append(words, b.Title)
		if st := b.Stage(p.Tags.Stage); st != nil {
			words = append(words, st.Title)
		}
	}
	for _, w := range []string{p.Tags.Role, p.Tags.View, p.Tags.Light} {
		if w != "" {
			words = append(words, w)
		}
	}
	when := p.Instant.At.Format("2 January 2006")
	v.Alt = strings.Join(append(words, when), ", ")
	v.Caption = v.Alt
	if p.Caption != "" {
		v.Alt, v.Caption = p.Caption, p.Caption+" ("+when+")"
	}
	return v
}

// markdown renders a person's text. Raw HTML stays off, so what comes out is
// goldmark's own markup and nothing from the text passes as such.
func markdown(text string) (template.HTML, error) {
	var b bytes.Buffer
	if err := goldmark.New(goldmark.WithExtensions(extension.GFM)).Convert([]byte(text), &b); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil // safe: raw HTML is off, see above
}
