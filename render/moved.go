// Addresses of comparisons that an earlier version wrote for every two builds.
// They may have been passed on, so they lead to where the two photos stand now.

package render

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rakelight/journal"
)

// movedName is the file that lists these addresses. It is made once, from the
// list of an earlier version, and never grows.
const movedName = ".moved"

// Moved is what stands at such an address.
type Moved struct {
	Title string
	Two   Link    // where the two stand beside each other
	Each  [2]Link // their own places
}

// moved reads the list, which a folder written by this version from the
// beginning does not have.
func (o *output) moved() ([]string, error) {
	data, err := os.ReadFile(filepath.Join(o.dir, movedName))
	if err == nil {
		return strings.Fields(string(data)), nil
	}
	var names []string
	for _, name := range o.list() {
		if name == anyTwoPage {
			return nil, nil // this version has written here
		}
		if strings.HasPrefix(name, "compare/") {
			names = append(names, name)
		}
	}
	if len(names) == 0 || !errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var list bytes.Buffer
	for _, name := range names {
		list.WriteString(name + "\n")
	}
	_, err = o.writeChanged(file{path: movedName, data: list.Bytes()})
	return names, err
}

// movedPages are the pages at those of the names that no page of today has. A
// name tells its step and its two builds as it was made; of builds that are gone
// nothing is left to lead to.
func (v *view) movedPages(names []string) []making {
	if len(names) == 0 {
		return nil
	}
	wanted := map[string]bool{}
	for _, name := range names {
		wanted[strings.ToLower(name)] = !v.taken[strings.ToLower(name)]
	}
	var out []making
	old := &view{taken: map[string]bool{}} // addresses as they were given out then
	for _, kind := range journal.Kinds {
		shown := v.shownIn(kind)
		for i, a := range shown {
			for _, b := range shown[i+1:] {
				name := old.address(stepPair(kind, a, b))
				if !wanted[strings.ToLower(name)] {
					continue
				}
				out = append(out, making{path: name, template: "moved",
					of:    func() digest { return v.movedDigest(kind, a, b) },
					value: func(*texts) any { return v.movedPage(v.pairOf(kind, a, b)) }})
			}
		}
	}
	return out
}

func (v *view) movedPage(p pair) Moved {
	m := Moved{
		Title: v.kindTitle(p.kind) + ": " + p.a.b.named() + " and " + p.b.b.named(),
		Two:   Link{Words: "the two photos side by side", Href: top + v.anyTwo(p.a.photo, p.b.photo)},
	}
	for i, s := range []side{p.a, p.b} {
		pic := v.picture(top, s.photo, "")
		m.Each[i] = Link{Words: pic.Alt, Href: pic.Home}
	}
	return m
}
