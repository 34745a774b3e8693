// Where a photo belongs, from what its file says and where it lay.

package inbox

import (
	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media"
)

// Tag finds the tags of a photo, why each is what it is, and whether they are
// a guess. The rules are the journal's, since the fold needs them too.
func Tag(f media.Facts, at journal.Instant, folder string, s *journal.State) (journal.Tags, map[string]reason.Why,
	bool) {
	return s.Tag(journal.WordsOf(folder, f.Keywords), at)
}
