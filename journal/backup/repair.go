// This file puts a journal right from a copy of it.

package backup

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/metrics"
	"rakelight/journal/record"
)

// Repaired is what came of a repair.
type Repaired struct {
	Records int              // that were brought back
	Done    []Left           // files of records that were put right
	Photos  []journal.Repair // originals and files beside them
	Left    []Left           // what could not be put right
	Remarks []Left           // what differs and is not for a program to decide
}

// Repair puts damaged and missing records and originals of a journal right from a
// folder that holds the same: a copy made by Copy, or any other of the journal folder.
// Only what is proven is taken: a record by its checksum, an original by the hash that
// its record tells. Damaged bytes are kept in inbox/aside/damaged. Nothing in the
// folder is changed. Running it again goes on where it was broken off.
func Repair(ctx context.Context, j *journal.Journal, from string, report func(done, total int)) (*Repaired, error) {
	from, err := filepath.Abs(from)
	if err != nil {
		return nil, err
	}
	if err := mayRepairFrom(j, from); err != nil {
		return nil, err
	}
	out := &Repaired{}
	if err := out.records(j, from); err != nil {
		return out, err
	}
	if err := j.Reload(); err != nil {
		return out, err
	}
	if err := out.photos(ctx, j, from, report); err != nil {
		return out, err
	}
	return out, out.plans(j, from)
}

func mayRepairFrom(j *journal.Journal, from string) error {
	refuse := func(format string, args ...any) error {
		return &journal.AskError{What: fmt.Sprintf(format, args...) + "; nothing was changed",
			Hint: "name the folder of a copy: rakelight copy makes one"}
	}
	if info, err := os.Stat(from); err != nil {
		return refuse("there is no folder %s: %v", from, err)
	} else if !info.IsDir() {
		return refuse("%s is not a folder", from)
	}
	if within, err := inside(from, j.Dir); err != nil {
		return err
	} else if within {
		return refuse("%s is the journal itself or lies in it", from)
	}
	there := 0
	for _, name := range []string{"records", "photos"} {
		if info, err := os.Stat(filepath.Join(from, name)); err == nil && info.IsDir() {
			there++
		}
	}
	if there == 0 {
		return refuse("%s holds neither records nor photos", from)
	}
	if same, err := sameJournal(j, from); err != nil {
		return err
	} else if !same {
		return refuse("%s holds another journal", from)
	}
	return nil
}

// records brings back what is missing, file by file, while nobody else appends.
func (out *Repaired) records(j *journal.Journal, from string) error {
	unlock, err := record.Lock(j.Path(".cache/append.lock"), lockPatience)
	if err != nil {
		return err
	}
	defer unlock()
	book := record.Book{Dir: j.Dir}
	if err := book.Read(); err != nil {
		return err
	}
	theirs, err := recordsBelow(from)
	if err != nil {
		return err
	}
	known, err := devices(j.Dir)
	if err != nil {
		return err
	}
	strangers := map[string]int{}
	for _, rel := range slices.Sorted(maps.Keys(theirs)) {
		var add []record.Record
		for _, r := range beside(theirs[rel], book.Records) {
			if known[r.Dev] || len(book.Records) == 0 {
				add = append(add, r)
			} else {
				strangers[r.Dev]++
			}
		}
		if len(add) == 0 {
			continue
		}
		if err := out.mend(j, rel, add); err != nil {
			return err
		}
		book.Records = append(book.Records, add...) // another file may hold them too
	}
	for _, dev := range slices.Sorted(maps.Keys(strangers)) {
		out.Remarks = append(out.Remarks, Left{"records/" + dev, fmt.Sprintf(
			"the copy has %s of a device this journal knows nothing of; left there", metrics.Count(strangers[dev], "record"))})
	}
	return nil
}

// mend adds records to a file, and keeps the file as it was where lines of it go.
func (out *Repaired) mend(j *journal.Journal, rel string, add []record.Record) error {
	was, err := disk.ReadFile(j.Path(rel))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	mended, dropped, err := record.Mend(was, add)
	if err != nil {
		return fmt.Errorf("%s: %w", rel, err)
	}
	words := metrics.Count(len(add), "record") + " brought back"
	if dropped > 0 {
		aside := journal.DamagedName(rel)
		for n := 2; ; n++ {
			err := record.MakeDirs(filepath.Dir(j.Path(aside)))
			if err == nil {
				err = record.WriteBy(j.Path(aside), was, record.RenameNew)
			}
			if !errors.Is(err, fs.ErrExist) {
				if err != nil {
					return fmt.Errorf("%s could not be put aside: %w", rel, err)
				}
				break
			}
			aside = strings.TrimSuffix(journal.DamagedName(rel), ".jsonl") + fmt.Sprintf(" (%d).jsonl", n)
		}
		words += "; the file as it was lies in " + aside + ", to be deleted when you no longer want it"
	}
	if err := writeBack(j.Path(rel), mended); err != nil {
		return fmt.Errorf("%s: %w", rel, err)
	}
	out.Records += len(add)
	out.Done = append(out.Done, Left{rel, words})
	return nil
}

// recordsBelow are the readable records of a copy, by the file they belong in. What
// Copy or a sync program laid beside a month's file counts for its device and month.
func recordsBelow(dir string) (map[string][]record.Record, error) {
	own, err := record.Files(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	} else if err != nil {
		return nil, err
	}
	found := map[string][]record.Record{}
	book := record.Book{Dir: dir}
	if err := book.Read(); err != nil {
		return nil, err
	}
	var all []record.Record
	for _, rel := range own {
		data, err := disk.ReadFile(filepath.Join(dir, filepath.FromSlash(rel)))
		if err != nil {
			return nil, err
		}
		records, _ := record.DecodeFile(rel, data)
		found[rel] = records
		all = append(all, records...)
	}
	for _, r := range beside(book.Records, all) {
		rel := "records/" + r.Dev + "/" + r.At.UTC().Format("2006-01") + ".jsonl"
		found[rel] = append(found[rel], r)
	}
	return found, nil
}

// photos puts originals right, one after another.
func (out *Repaired) photos(ctx context.Context, j *journal.Journal, from string, report func(int, int)) error {
	turn, err := j.Intake(ctx)
	if err != nil {
		return err
	}
	defer turn.End()
	hashes := recorded(j.State)
	names := slices.Sorted(maps.Keys(hashes))
	for i, rel := range names {
		if err := ctx.Err(); err != nil {
			return err
		}
		if report != nil {
			report(i, len(names))
		}
		lies, err := j.Original(rel)
		if err != nil {
			continue // check tells of it
		}
		if got, err := journal.HashFile(lies); err == nil && got == hashes[rel] {
			continue
		}
		good, err := goodIn(from, rel, hashes[rel])
		if err != nil {
			out.Left = append(out.Left, Left{rel, err.Error()})
			continue
		}
		mended, err := j.Mend(good, hashes[rel], rel, filepath.Base(from))
		if err != nil {
			return fmt.Errorf("%s: %w", rel, err)
		}
		if mended != nil {
			out.Photos = append(out.Photos, *mended)
		}
	}
	return nil
}

// goodIn is where a copy holds an original, whole.
func goodIn(from, rel, hash string) (string, error) {
	path := filepath.Join(from, filepath.FromSlash(rel))
	got, err := journal.HashFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", errors.New("it is damaged or missing, and the copy does not have it")
	case err != nil:
		return "", fmt.Errorf("it is damaged or missing, and in the copy it cannot be read: %w", err)
	case got != hash:
		return "", errors.New("it is damaged or missing, and in the copy it is damaged too")
	}
	return path, nil
}

// plans tells of what is written by hand and is in the copy alone: whether it was
// deleted on purpose only the person knows.
func (out *Repaired) plans(j *journal.Journal, from string) error {
	err := filepath.WalkDir(filepath.Join(from, "builds"), func(path string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil || !d.Type().IsRegular() || ours(d.Name()) {
			return err
		}
		rel, err := filepath.Rel(from, path)
		if err != nil {
			return err
		}
		slash := filepath.ToSlash(rel)
		here, err := os.Stat(j.Path(slash))
		switch there, thereErr := d.Info(); {
		case errors.Is(err, fs.ErrNotExist):
			out.Remarks = append(out.Remarks, Left{slash, "it is in the copy and not in the journal; copy it over by hand if it was not deleted on purpose"})
		case err == nil && thereErr == nil && here.Size() == 0 && there.Size() > 0:
			out.Remarks = append(out.Remarks, Left{slash, "it is empty in the journal and not in the copy; copy it over by hand if it was not emptied on purpose"})
		}
		return nil
	})
	return err
}
