// What stands around every page: title, ways to the other pages, footer.

package render

// Frame is shared by all pages.
type Frame struct {
	Root    string // leads back to the top: "" or "../"
	Journal string // the journal's name
	Title   string // of the page, in the browser's tab
	Class   string // of the page kind, for the style sheet
	Script  string // file of the page kind's own script, "" = none
	Links   []Link // the pages everyone has
	Builds  []Tag  // the builds in time order
}

// Link is a way to another page.
type Link struct {
	Words, Href string
	Here        bool // it is this page
}

// frame makes the frame of the page of a class.
func (v *view) frame(root, class, title string) Frame {
	f := Frame{Root: root, Journal: v.name(), Title: title, Class: class}
	if title == "" {
		f.Title = f.Journal
	} else {
		f.Title += " · " + f.Journal
	}
	toSort := "To sort"
	if n := len(v.asked); n > 0 {
		toSort += " (" + count(n, "photo") + ")"
	}
	for _, l := range [...][3]string{
		{"home", "The years", "index.html"}, {"sheet", "Then and now", "then-and-now.html"},
		{"pace", "Pace", "pace.html"}, {"skill", "Skill", "skill.html"},
		{"forecast", "Forecast", "forecast.html"}, {"mistakes", "Mistakes", "mistakes.html"},
		{"trials", "Trials", "trials.html"}, {"sort", toSort, "to-sort.html"},
	} {
		f.Links = append(f.Links, Link{Words: l[1], Href: root + l[2], Here: l[0] == class})
	}
	for _, b := range v.order {
		f.Builds = append(f.Builds, b.tag(root))
	}
	return f
}

// name is the journal's name.
func (v *view) name() string {
	if v.Config.Name != "" {
		return v.Config.Name
	}
	return "Bench journal"
}
