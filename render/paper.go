// Sheets for print: what they have in common, and which of them a build has. They are
// pages like all others, and fit A4 and Letter.

package render

import (
	"strings"

	"rakelight/journal"
)

// PaperHead is the head of a sheet.
type PaperHead struct {
	Kind  string // "Bench sheet"
	Title string // what it is of
	Facts string // "1/350; Lightship, Relief tender"
	AsOf  string // the day of the last session in it, "" = it does not change with the work
	Back  Link   // the page it belongs to
}

// Blank is so many empty lines to write on.
type Blank []struct{}

// lines are empty lines to write on.
func lines(n int) Blank { return make(Blank, n) }

// The addresses of the sheets of a build.
func (b *build) benchSheetHref() string  { return b.folder() + "bench-sheet.html" }
func (b *build) takeApartHref() string   { return b.folder() + "take-apart.html" }
func (b *build) sandingHref() string     { return b.folder() + "sanding-plan.html" }
func (b *build) runnerCheckHref() string { return b.folder() + "runner-check.html" }
func (b *build) showSheetHref() string   { return b.folder() + "show-sheet.html" }

// yearSheetHref is the review of a year for print.
func yearSheetHref(year string) string { return "years/" + year + "-review.html" }

// atBench reports whether a build has the sheets that are worked from. A finished
// build is not worked on, one of the years before hardly, and readers work on none.
func (v *view) atBench(b *build) bool { return v.mine() && b.open() }

// takesApart reports whether a build has a take-apart sheet.
func (v *view) takesApart(b *build) bool {
	return v.atBench(b) && (len(v.HoldsOf(b.ID))+len(v.PrepsOf(b.ID))+len(v.SubsOf(b.ID)) > 0)
}

// sheetsOf are the ways to the sheets of a build, in the order in which a build needs
// them.
func (v *view) sheetsOf(root string, b *build) []Link {
	var out []Link
	add := func(has bool, words, href string) {
		if has {
			out = append(out, Link{Words: words, Href: root + href})
		}
	}
	add(v.atBench(b), "runner check", b.runnerCheckHref())
	add(v.atBench(b), "bench sheet", b.benchSheetHref())
	add(v.atBench(b), "sanding plan", b.sandingHref())
	add(v.takesApart(b), "take-apart sheet", b.takeApartHref())
	add(v.mine(), "show sheet", b.showSheetHref())
	return out
}

// sheetPages are the sheets of a build as pages.
func (v *view) sheetPages(b *build) []making {
	var pages []making
	add := func(path, template string, of func() digest, value func() any) {
		pages = append(pages, making{path: path, template: template, of: of,
			value: func(*texts) any { return value() }})
	}
	if v.atBench(b) {
		add(b.benchSheetHref(), "benchsheet", func() digest { return v.benchSheetDigest(b) },
			func() any { return v.benchSheet(b) })
		add(b.sandingHref(), "sandingsheet", func() digest { return v.partsDigest(b) },
			func() any { return v.sandingSheet(b) })
		add(b.runnerCheckHref(), "runnersheet", func() digest { return v.partsDigest(b) },
			func() any { return v.runnerSheet(b) })
	}
	if v.takesApart(b) {
		add(b.takeApartHref(), "takeapart", func() digest { return v.partsDigest(b) },
			func() any { return v.takeApart(b) })
	}
	if v.mine() {
		add(b.showSheetHref(), "showsheet", func() digest { return v.showSheetDigest(b) },
			func() any { return v.showSheet(b) })
	}
	return pages
}

// paper is the frame of a sheet of a build, and its head.
func (v *view) paper(b *build, kind string) (Frame, PaperHead) {
	root := "../../"
	var kits []string
	for _, k := range b.Kits {
		if k.Title != "" && k.Title != b.Title {
			kits = append(kits, k.Title)
		}
	}
	head := PaperHead{Kind: kind, Title: b.Title, Facts: joinWords("; ", b.Scale, strings.Join(kits, ", ")),
		Back: Link{Words: b.Title, Href: root + b.href}}
	return v.frameIn(root, "paper", joinWords(": ", b.Title, v.low(kind)), b), head
}

// paperPicture is a photo on a sheet: loaded at once, because a printer does not
// scroll, and without a place of its own.
func (v *view) paperPicture(root string, photo *journal.Photo, sizes string) Picture {
	pic := v.picture(root, photo, sizes)
	pic.ID, pic.Eager = "", true
	return pic
}

// lastWorked is the day of the last session of a build, "" = there is none.
func (b *build) lastWorked() string {
	last := ""
	for _, s := range b.sessions {
		last = max(last, s.Date)
	}
	return last
}

// PartGrid is parts of a runner as squares to strike out.
type PartGrid struct {
	Name    string // "2/D"
	Squares []PaperSquare
}

// PaperSquare is one part on paper: a square with its number, told apart by its edge
// and its sign.
type PaperSquare struct {
	Number, Sign string
	Look         string // "", "was-seen", "is-lacking", "not-used"
}

// paperSquare draws a part on paper.
func paperSquare(p journal.PartLedger) PaperSquare {
	s := PaperSquare{Number: p.Ref.Number}
	switch {
	case p.Use == journal.NotUsed:
		s.Look = "not-used"
	case p.Use == journal.Missing:
		s.Look, s.Sign = "is-lacking", lackSigns[p.Found]
	case p.Found == "seen" || p.Found == "come":
		s.Look = "was-seen"
	}
	return s
}
