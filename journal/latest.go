// This file tells what was said last, so that it can be taken back.

package journal

import "slices"

// Said is a record of something a person said, and whether it was taken back.
type Said struct {
	Record
	Back bool
}

// notSaid are the kinds of records that no person says by themselves.
var notSaid = []string{PhotoBody{}.RecordKind(), BesideBody{}.RecordKind(), AsideBody{}.RecordKind(),
	RepairBody{}.RecordKind(), PackBody{}.RecordKind(), SheetBody{}.RecordKind(), LostBody{}.RecordKind(),
	RetractBody{}.RecordKind()}

// LatestSaid are the n things said last, the latest first. It reads the months in
// which they lie, and not the journal.
func (j *Journal) LatestSaid(n int) ([]Said, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	wanted := func(r Record) bool { return !slices.Contains(notSaid, r.Kind) }
	records, err := j.book.Latest(n, wanted)
	if err != nil {
		return nil, err
	}
	g := retracted(records) // a retraction is written after what it takes back
	var all []Said
	for _, r := range slices.Backward(records) {
		if len(all) < n && wanted(r) {
			all = append(all, Said{r, g.has(r)})
		}
	}
	return all, nil
}
