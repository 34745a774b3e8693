// Package sanding knows how kit parts are sanded: grits with the scale their number
// is of, the published grain sizes, and which steps lead to which finish.
//
// Start with Plans.For, which gives the steps for a surface, a finish and what is to
// be removed, and with Step, one of them. The default steps are common practice
// without a source, and a person may put own ones in their place (journal.toml). A
// grit is never converted from one scale to another: the numbers are not the same
// scale, and makers have their own. The package knows no journal.
package sanding

// What a plan is for.
var (
	Surfaces = []string{"flat", "curved", "small", "clear", "resin"}
	Finishes = []string{"primed", "bare-matt", "bare-gloss"}
	Removes  = []string{"nub", "line", "seam", "filler", "scratches"}
)
