// The search: a page whose script looks through the index, and lists of all names by
// letter for those who have no scripts.

package render

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"rakelight/journal/say"
)

// SearchPage is search.html, and without a form search-<letter>.html.
type SearchPage struct {
	Frame
	Form    bool
	Heading string
	Years   string // of which there is a file of the index each, the latest first, apart by spaces
	Stop    string // words that are not looked for, apart by spaces
	Groups  string // in which results are shown, apart by commas
	Letters []Link // to the lists
	Lists   []LetterList
}

// LetterList is the names that begin with a letter.
type LetterList struct {
	ID, Letter string
	Names      []NamePlaces
}

// NamePlaces is a name with where it is met.
type NamePlaces struct {
	Name, Group string
	Places      []Link
}

const (
	searchPage = "search.html"
	// fewNames is how many names stand on the page itself; of more, each letter has a
	// page.
	fewNames = 200
	// fewPlaces is how many places of a name are told: the latest.
	fewPlaces = 12
)

// listsOf are the names of what can be found, by letter.
func (in voice) listsOf(things []findable) []LetterList {
	type key struct {
		group say.Key
		name  string
	}
	at := map[key][]Link{}
	for _, one := range slices.Backward(things) {
		if of := (key{one.Group, one.Title}); one.Named && len(at[of]) < fewPlaces {
			at[of] = append(at[of], Link{Words: cmp.Or(one.Where, in.Say(one.Group)), Href: one.Href})
		}
	}
	by := map[string][]NamePlaces{}
	for of, places := range at {
		letter := letterOf(of.name)
		by[letter] = append(by[letter], NamePlaces{Name: of.name, Group: in.Say(of.group), Places: places})
	}
	var out []LetterList
	for _, letter := range sortedKeys(by) {
		names := by[letter]
		slices.SortFunc(names, func(a, b NamePlaces) int {
			return cmp.Or(cmp.Compare(foldWord(a.Name), foldWord(b.Name)), cmp.Compare(a.Name, b.Name),
				cmp.Compare(a.Group, b.Group))
		})
		out = append(out, LetterList{ID: "letter-" + letter, Letter: in.letterTitle(letter), Names: names})
	}
	return out
}

// letterOf is the list a name stands on: a letter, "0" for figures, "other".
func letterOf(name string) string {
	for _, r := range foldWord(name) {
		switch {
		case r >= 'a' && r <= 'z':
			return string(r)
		case unicode.Is(unicode.N, r):
			return "0"
		case unicode.IsLetter(r):
			return "other"
		}
	}
	return "other"
}

func (in voice) letterTitle(letter string) string {
	switch letter {
	case "0":
		return in.Say("0 to 9")
	case "other":
		return in.Say("Other letters")
	}
	return strings.ToUpper(letter)
}

// page is the address of the list of a letter where it has a page.
func (l LetterList) page() string { return "search-" + strings.TrimPrefix(l.ID, "letter-") + ".html" }

// searchPages are the page, the lists that have pages, and the index.
func (v *view) searchPages() []making {
	things := v.findables()
	lists := v.listsOf(things)
	names := 0
	for _, l := range lists {
		names += len(l.Names)
	}
	page := SearchPage{Form: true, Heading: v.Say("page¦Search"), Stop: strings.Join(strings.Fields(stopList), " "),
		Groups: strings.Join(v.searchGroups(), ",")}
	years := sortedKeys(yearsOf(things))
	slices.Reverse(years)
	page.Years = strings.Join(years, " ")
	var out []making
	if names <= fewNames {
		page.Lists = lists
		for _, l := range lists {
			page.Letters = append(page.Letters, Link{Words: l.Letter, Href: "#" + l.ID})
		}
	} else {
		for _, l := range lists {
			page.Letters = append(page.Letters, Link{Words: l.Letter, Href: l.page()})
		}
		for _, l := range lists {
			one := SearchPage{Heading: v.Say("Names: %s", l.Letter), Lists: []LetterList{l},
				Letters: slices.Clone(page.Letters)}
			for i := range one.Letters {
				one.Letters[i].Here = one.Letters[i].Href == l.page()
			}
			out = append(out, v.searchMaking(l.page(), one))
		}
	}
	out = append(out, v.searchMaking(searchPage, page))
	return append(out, v.searchScripts(things)...)
}

// searchGroups are the groups in words, in their order.
func (in voice) searchGroups() (said []string) {
	for _, group := range searchGroups {
		said = append(said, in.Say(group))
	}
	return said
}

func (v *view) searchMaking(path string, p SearchPage) making {
	return making{path: path, template: "search", of: func() digest { return digestOf(p) }, value: func(*texts) any {
		shown := p // what is digested stays as it is
		shown.Frame = v.frame("", "search", p.Heading)
		if p.Form {
			shown.Script = "search.js"
		}
		return shown
	}}
}
