// This file tells whether something was written down already. What is said on a
// page that loses its network is sent again, and must not count twice.

package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"time"
)

// OnceAhead is by how much the clock of a page may go before that of this computer:
// a record is then written up to so long before the time the page tells.
const OnceAhead = 24 * time.Hour

// onceMember is the member of a line that holds the id of what was said. It is one of
// those that versions which do not know it keep as they came (Extra), so a line has
// one place, one checksum and one set of bytes in all versions.
const onceMember = "once"

var onceID = regexp.MustCompile(`^[A-Za-z0-9_-]{8,64}$`)

// CheckOnce is the error of an id that no record may bear: it has 8 to 64 letters and
// digits of ASCII, "-" and "_".
func CheckOnce(id string) error {
	if !onceID.MatchString(id) {
		return fmt.Errorf("%q is not an id of an entry: it has 8 to 64 letters, digits, - and _", id)
	}
	return nil
}

// Once is the id of what was said, "" = it has none.
func (r Record) Once() string {
	var id string
	if text, ok := r.Extra[onceMember]; !ok || json.Unmarshal(text, &id) != nil {
		return ""
	}
	return id
}

// Once returns the records that bear an id, in their order; those of an id that was
// given at since or later, and none of an entry that was cut off (CutOff). It reads
// the files of the months from then on, a day earlier for clocks that go ahead, and
// copies whose month nobody can tell: what it costs does not grow with the years
// before. The files are those that were read last.
func (b *Book) Once(id string, since time.Time) ([]Record, error) {
	if err := CheckOnce(id); err != nil {
		return nil, err
	}
	mark := []byte(`,"` + onceMember + `":"` + id + `"`)
	var found []Record
	for _, rel := range b.filesSince(since.Add(-OnceAhead)) {
		data, err := os.ReadFile(b.path(rel))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("whether this was written already cannot be told: %w", err)
		}
		if !bytes.Contains(data, mark) {
			continue
		}
		for line := range bytes.Lines(data) {
			if !bytes.Contains(line, mark) {
				continue
			}
			if r, err := DecodeLine(bytes.TrimRight(line, "\r\n")); err == nil && r.Once() == id {
				found = append(found, r)
			}
		}
	}
	found = wholeEntries(found)
	slices.SortFunc(found, Compare)
	same := func(a, b Record) bool { return Compare(a, b) == 0 } // a copy of a file holds it again
	return slices.CompactFunc(found, same), nil
}

// filesSince are the records files that may hold what was written at a moment or
// later, by name.
func (b *Book) filesSince(since time.Time) (names []string) {
	month := since.UTC().Format("2006-01") + ".jsonl"
	for rel := range b.files {
		if !isMonth(rel) || path.Base(rel) >= month {
			names = append(names, rel)
		}
	}
	slices.Sort(names)
	return names
}
