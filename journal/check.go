// This file looks whether the folder holds what the records say.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal/record"
)

// Kinds of findings.
const (
	MissingPhoto = "missing photo" // a record names it
	ChangedPhoto = "changed photo" // its bytes are others than its record says
	UnnamedPhoto = "unnamed photo" // no record names it
	TornLine     = record.TornLine
	BadSum       = record.BadSum
	ConflictCopy = record.Copy
	MissingLines = record.Missing
	OddClock     = record.OddClock
	OutsidePath  = "outside path" // a record names a file outside the journal's photos
	EmptyPlan    = "emptied plan" // a build.md that holds nothing, of a build with sessions
	Leftover     = "leftover"     // of a write that was cut off
	OtherRemark  = "remark"       // a problem in what was typed by hand, and the like
)

// Finding is one thing Check found. Error tells damage from a remark.
type Finding struct {
	Kind  string
	File  string // below the journal folder, slashes
	Line  int
	What  string
	Error bool
}

// Check looks that every photo a record names is there and whole, that every
// original is named by a record, and that every line was read. With deep the
// originals' bytes are read and hashed. It changes nothing.
func (j *Journal) Check(deep bool) []Finding {
	found := j.recordFindings()
	named := j.namedFiles()
	vanished := slices.ContainsFunc(found, func(f Finding) bool { return f.Kind == MissingLines })
	whole := func(file, hash string, size int64) {
		if f := j.checkFile(file, hash, size, deep); f != nil {
			found = append(found, *f)
		}
	}
	for _, p := range j.State.Photos {
		whole(p.Path, p.Hash, p.Size)
		for _, o := range p.Beside {
			whole(o.Path, o.Hash, o.Size)
		}
	}
	err := filepath.WalkDir(j.Path("photos"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasPrefix(d.Name(), ".") {
			return err
		}
		rel, err := filepath.Rel(j.Dir, path)
		rel = filepath.ToSlash(rel)
		if err != nil || named[rel] || named[strings.TrimSuffix(rel, ".xmp")] {
			return err
		}
		f := Finding{UnnamedPhoto, rel, 0, j.unnamed(rel, vanished), false}
		if _, err := j.Original(rel); errors.Is(err, ErrOutside) {
			f = Finding{OtherRemark, rel, 0, err.Error(), false}
		}
		found = append(found, f)
		return nil
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		found = append(found, Finding{OtherRemark, "photos", 0, err.Error(), true})
	}
	for _, p := range j.State.Problems {
		found = append(found, j.State.findingOfPlan(p))
	}
	found = append(found, j.State.lostFindings()...)
	found = append(found, j.State.unseenFindings()...)
	for _, o := range j.State.Over() {
		found = append(found, Finding{OtherRemark, "builds/" + o.Build, 0, o.String() + "; " + o.Mend(), false})
	}
	for _, o := range j.State.Overlaps() {
		found = append(found, Finding{OtherRemark, "records", 0, o.String() + "; " + o.Mend(), false})
	}
	slices.SortStableFunc(found, func(a, b Finding) int { return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line)) })
	return found
}

// checkFile says what is wrong with a kept file, nil = nothing.
func (j *Journal) checkFile(file, hash string, size int64, deep bool) *Finding {
	lies, err := j.Original(file)
	if err != nil {
		return &Finding{OutsidePath, file, 0, err.Error(), true}
	}
	info, err := os.Stat(lies)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &Finding{MissingPhoto, file, 0, "the original is missing; bring it back from a backup", true}
	case err != nil:
		return &Finding{MissingPhoto, file, 0, err.Error(), true}
	case info.Size() != size:
		return &Finding{ChangedPhoto, file, 0, fmt.Sprintf("it has %d bytes, its record says %d; bring it back from a backup", info.Size(), size), true}
	}
	if !deep {
		return nil
	}
	if got, err := hashFile(lies); err != nil || got != hash {
		return &Finding{ChangedPhoto, file, 0, "its bytes are not those it was taken in with; bring it back from a backup", true}
	}
	return nil
}

// unnamed says what can be done with an original that no record names. While
// records are missing, taking it in anew would lose what they said of it.
func (j *Journal) unnamed(file string, vanished bool) string {
	if by := j.takenBackBy(file); by != "" {
		return "its record was taken back; " + Typed("rakelight retract %s", by) + " brings it back, or delete the file if you do not want it any more"
	}
	if vanished {
		return "no record names it; perhaps one of the missing records does"
	}
	return "no record names it; " + Typed("rakelight take %s", file) + " takes it in"
}

// takenBackBy is the id of the retraction by which the record that named the file
// was taken back, "" = there is none.
func (j *Journal) takenBackBy(file string) string {
	j.mu.Lock()
	defer j.mu.Unlock()
	gone := retracted(j.book.Records)
	for _, r := range j.book.Records {
		if r.Kind != "photo" && r.Kind != "beside" || !gone.has(r) {
			continue
		}
		if b, err := read[struct{ Path string }](r); err != nil || b.Path != file {
			continue
		}
		for _, by := range retractions(j.book.Records)[r.ID()] {
			if (by.sum == "" || by.sum == r.Sum()) && !gone.has(by.by) {
				return by.by.ID()
			}
		}
	}
	return ""
}

// namedFiles are the files that some record of a photo or of a file beside one names. A record taken back
// names nothing; of two devices that took in the same photo both files count.
func (j *Journal) namedFiles() map[string]bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	named := map[string]bool{}
	gone := retracted(j.book.Records)
	for _, r := range j.book.Records {
		if r.Kind != "photo" && r.Kind != "beside" || gone.has(r) {
			continue
		}
		if b, err := read[struct{ Path string }](r); err == nil {
			named[b.Path] = true
		}
	}
	return named
}

// findingOf tells damage from a remark.
func findingOf(p Problem) Finding {
	damage := []string{TornLine, BadSum, MissingLines, OutsidePath, EmptyPlan}
	return Finding{cmp.Or(p.Kind, OtherRemark), p.File, p.Line, p.What, slices.Contains(damage, p.Kind)}
}

// findingOfPlan is findingOf, and knows that an empty plan is damage where records
// name the build, and a beginning where none does.
func (s *State) findingOfPlan(p Problem) Finding {
	f := findingOf(p)
	if p.Kind != EmptyPlan {
		return f
	}
	build := path.Base(path.Dir(p.File))
	var stages []string
	for _, one := range s.Sessions {
		if one.Build == build && !slices.Contains(stages, one.Stage) {
			stages = append(stages, one.Stage)
		}
	}
	for _, one := range s.Photos {
		if one.Tags.Build == build && one.Tags.Stage != "" && !slices.Contains(stages, one.Tags.Stage) {
			stages = append(stages, one.Tags.Stage)
		}
	}
	if f.Error = len(stages) > 0; f.Error {
		slices.Sort(stages)
		f.What += "; records name its stages " + strings.Join(stages, ", ")
	}
	return f
}

// recordFindings are records that vanished, clocks that were ahead, and what a
// crash left behind.
func (j *Journal) recordFindings() []Finding {
	j.mu.Lock()
	defer j.mu.Unlock()
	var found []Finding
	for _, p := range append(j.book.Lost(j.knownLost()), record.OddClocks(j.book.Records, j.Now())...) {
		found = append(found, findingOf(p))
	}
	if len(j.book.Records) == 0 && len(found) == 0 && holdsFiles(j.Path("photos")) {
		found = append(found, Finding{MissingLines, "records", 0, "there is no record at all, and photos/ holds photos: bring the folder records back from a backup", true})
	}
	for _, rel := range j.book.Leftovers() {
		found = append(found, Finding{Leftover, rel, 0, "left by a write that was cut off; it can be deleted, and the next record that is written clears it away", false})
	}
	return found
}

// holdsFiles reports whether a file lies in a folder or below.
func holdsFiles(dir string) bool {
	holds := false
	_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error { // what cannot be read is reported elsewhere
		if err == nil && d.Type().IsRegular() && !strings.HasPrefix(d.Name(), ".") {
			holds = true
			return fs.SkipAll
		}
		return nil
	})
	return holds
}
