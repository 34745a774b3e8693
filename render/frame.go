// What stands around every page: title, ways to the other pages, footer.

package render

import (
	"fmt"
	"slices"

	"rakelight/journal"
)

// Frame is shared by all pages.
type Frame struct {
	Mine        bool   // the page is of the builder's own edition
	Lang        string // the language of the page, as HTML names it
	ScriptWords string // JSON: what its scripts say, by the English of it; "" = English
	Feed        string // address of the feed, "" = the page does not name it
	Root        string // leads back to the top: "" or "../"
	Journal     string // the journal's name
	Title       string // of the page, in the browser's tab
	Summary     string // what the page holds, in words
	Class       string // of the page kind, for the style sheet
	Style       string // file of the page kind's own style sheet, "" = none
	Script      string // file of the page kind's own script, "" = none
	Links       []Link // the pages everyone has
	BySeries    bool   // some time was measured by a series of photos
	Builds      []Tag  // the builds in time order: all, or the open and the latest ones
	All         Link   // the page of all builds, where some are left out
}

// Link is a way to another page.
type Link struct {
	Words, Href string
	Here        bool // it is this page
}

// inDiary are the pages that the diary leads to.
var inDiary = map[string]bool{"day": true, "week": true, "year": true}

// frame makes the frame of the page of a class.
func (v *view) frame(root, class, title string) Frame {
	f := Frame{Mine: v.mine(), Lang: v.Language(), ScriptWords: v.scriptWords(class), Root: root, Journal: v.name(),
		Title: title, Class: class,
		Summary: v.summary(class, title)}
	if sheet := ownSheets[class]; sheet != "" {
		f.Style = sheet + ".css"
	}
	if title == "" {
		f.Title = f.Journal
	} else {
		f.Title += " · " + f.Journal
	}
	f.BySeries = slices.ContainsFunc(v.Sessions, func(s *journal.Session) bool {
		return s.Series != "" && s.Known == journal.Measured
	})
	if !v.mine() && v.hasFeed() {
		f.Feed = root + feedPage
	}
	toSort := v.Say("Photos to sort")
	// The count stands on the page it belongs to and on the first one: on all
	// others each photo would change it.
	if n := len(v.asked); n > 0 && (class == "home" || class == "sort") {
		toSort += fmt.Sprintf(" (%d)", n)
	}
	for _, l := range [...][3]string{
		{"home", v.Say("page¦Home"), "index.html"}, {"archive", v.Say("page¦Diary"), archivePage},
		{"sheet", v.Say("Then and now"), "then-and-now.html"},
		{"pace", v.Say("page¦Pace"), "pace.html"}, {"skill", v.Say("page¦Skill"), "skill.html"},
		{"forecast", v.Say("page¦Forecast"), "forecast.html"}, {"mistakes", v.Say("page¦Mistakes"), "mistakes.html"},
		{"trials", v.Say("page¦Trials"), "trials.html"}, {"supplies", v.Say("page¦Supplies"), suppliesPage},
		{"search", v.Say("page¦Search"), searchPage}, {"sort", toSort, "to-sort.html"},
	} {
		if v.shows(l[0]) {
			here := l[0] == class || l[0] == "archive" && inDiary[class]
			f.Links = append(f.Links, Link{Words: l[1], Href: root + l[2], Here: here})
		}
	}
	for _, b := range v.rail() {
		f.Builds = append(f.Builds, b.tag(root))
	}
	if n := len(v.order); n > len(f.Builds) {
		f.All = Link{Words: v.Say("All %d builds", n), Href: root + buildsPage, Here: class == "builds"}
	}
	return f
}

// frameIn is the frame of a page that is a build's, and not its own page.
func (v *view) frameIn(root, class, title string, b *build) Frame {
	f := v.frame(root, class, title)
	tag := b.tag(root)
	i := slices.Index(f.Builds, tag)
	if i < 0 {
		i, f.Builds = 0, slices.Insert(f.Builds, 0, tag)
	}
	f.Builds[i].Within = true
	return f
}

// How many builds stand beside every page at most: the open ones, and the latest
// of the others, where there are more than fewBuilds. A list of all would make
// each page longer by all builds.
const (
	railOpen   = 6
	railLatest = 4
)

// rail is these builds, in time order.
func (v *view) rail() []*build {
	if len(v.order) <= fewBuilds {
		return v.order
	}
	var out []*build
	open, latest := railOpen, railLatest
	for _, b := range slices.Backward(v.order) {
		left := &latest
		if b.open() {
			left = &open
		}
		if *left > 0 {
			*left--
			out = append(out, b)
		}
	}
	slices.Reverse(out)
	return out
}

// name is the journal's name.
func (v *view) name() string {
	if v.Config.Name != "" {
		return v.Config.Name
	}
	return v.Say("Bench journal")
}
