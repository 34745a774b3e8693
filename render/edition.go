// For whom pages are made. Both editions are the same pages as values; what is not
// for readers is left out of the values, so that no template decides it.

package render

import "slices"

// Edition is for whom pages are made.
type Edition int

const (
	// Mine has all: ids to type, commands, hints, questions, times of day.
	Mine Edition = iota
	// ForReaders is what others may see, and can be put on any static host.
	ForReaders
)

// mine reports whether the pages are the builder's own.
func (v *view) mine() bool { return v.edition == Mine }

// times reports whether pages may show a time of day.
func (v *view) times() bool { return v.mine() || v.Config.Public.Times }

// shows reports whether an edition has the pages of a template. Readers have no page that
// is only there to say what to do next: none of what is to be sorted or to be bought,
// and none on which nothing stands yet.
func (v *view) shows(class string) bool {
	if v.mine() {
		return true
	}
	switch class {
	case "sort", "supplies", "help", "format", "interval", "return":
		return false
	case "sheet":
		return len(v.sheetKinds()) > 0
	case "pace":
		return len(v.Work("")) > 0
	case "skill":
		return len(v.Marks)+len(v.Verdicts) > 0
	case "forecast":
		return !v.today.IsZero() && slices.ContainsFunc(v.order, (*build).open)
	case "mistakes":
		return len(v.Mistakes) > 0
	case "trials":
		return len(v.Trials) > 0
	}
	return true
}
