// This file finds folder names that were meant to say where a photo belongs and
// do not: misspelled builds, stages, roles, views and lights.

package journal

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// LostFolder is a folder a photo lay in that names nothing here.
type LostFolder struct {
	Name  string
	Meant string // what it was perhaps meant to be, "" = nothing is near
	What  string // what that is: "build", "stage of pilot-boat", "role", "view", "light"
}

// String is what to tell a person.
func (l LostFolder) String() string {
	if l.Meant == "" {
		return fmt.Sprintf("folder %q names no build, stage, role, view or light", l.Name)
	}
	return fmt.Sprintf("folder %q names no %s; did you mean %s?", l.Name, l.What, l.Meant)
}

// LostFolders returns the folders the photo lay in that name nothing, as the
// builds stand now, in their order.
func (s *State) LostFolders(p *Photo) []LostFolder {
	type name struct{ text, what string }
	var names []name
	builds := s.Builds
	for _, b := range s.Builds {
		names = append(names, name{b.ID, "build"})
		if title := Slug(b.Title); title != b.ID {
			names = append(names, name{title, "build"})
		}
	}
	if b := s.Build(p.Tags.Build); b != nil {
		builds = []*Build{b}
	}
	for _, b := range builds {
		for _, st := range b.Stages {
			names = append(names, name{st.ID, "stage of " + b.ID}, name{st.Kind, "stage of " + b.ID})
		}
	}
	for what, list := range map[string][]string{"role": Roles, "view": Views, "light": Lights} {
		for _, one := range list {
			names = append(names, name{one, what})
		}
	}
	slices.SortStableFunc(names, func(a, b name) int { return strings.Compare(a.what+a.text, b.what+b.text) })
	var lost []LostFolder
	for _, w := range WordsOf(p.Folder, nil) {
		slug := Slug(w.Text)
		if slug == "" || slices.ContainsFunc(names, func(n name) bool { return Slug(n.text) == slug }) || isKit(slug) {
			continue
		}
		one, best := LostFolder{Name: w.Text}, 1+len([]rune(slug))/5
		for _, n := range names {
			if d := typos(slug, Slug(n.text)); d <= best && len([]rune(slug)) > 2 {
				if d < best || one.Meant == "" {
					one.Meant, one.What, best = n.text, n.what, d
				}
			}
		}
		lost = append(lost, one)
	}
	return lost
}

// isKit reports whether a folder names a kit.
func isKit(slug string) bool {
	n, ok := strings.CutPrefix(slug, "kit-")
	_, err := strconv.Atoi(n)
	return ok && err == nil
}

// typos is how many letters must be put in, left out or exchanged to make one
// word of the other.
func typos(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for k := range row {
		row[k] = k
	}
	for i := range x {
		corner := row[0]
		row[0] = i + 1
		for k := range y {
			change := corner
			if x[i] != y[k] {
				change++
			}
			corner = row[k+1]
			row[k+1] = min(change, row[k+1]+1, row[k]+1)
		}
	}
	return row[len(y)]
}
