// For whom pages are made. Both editions are the same pages as values; what is not
// for readers is left out of the values, so that no template decides it.

package render

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

// hours reports whether pages may show a time of day.
func (v *view) hours() bool { return v.mine() || v.Config.Public.Times }
