// This file reads the latest records without those of the years before.

package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"slices"
)

// Latest are the records of the latest months in which at least n lie that wanted
// lets count, by their order; all there are, where those are fewer. It reads the files of
// those months, so that what it costs does not grow with the years before. Files whose
// month nobody can tell are left out. The files are those that were read last.
func (b *Book) Latest(n int, wanted func(Record) bool) ([]Record, error) {
	months := map[string][]string{}
	for rel := range b.files {
		if isMonth(rel) {
			months[path.Base(rel)] = append(months[path.Base(rel)], rel)
		}
	}
	names := make([]string, 0, len(months))
	for name := range months {
		names = append(names, name)
	}
	slices.Sort(names)
	var found []Record
	for _, name := range slices.Backward(names) {
		for _, rel := range months[name] {
			data, err := os.ReadFile(b.path(rel))
			if errors.Is(err, fs.ErrNotExist) {
				continue
			}
			if err != nil {
				return nil, fmt.Errorf("the latest records cannot be read: %w", err)
			}
			records, _ := DecodeFile(rel, data) // who reads the whole journal tells what is wrong
			found = append(found, records...)
		}
		count := 0
		for _, r := range found {
			if wanted(r) {
				count++
			}
		}
		if count >= n {
			break
		}
	}
	slices.SortFunc(found, Compare)
	same := func(a, b Record) bool { return Compare(a, b) == 0 }
	return slices.CompactFunc(found, same), nil
}
