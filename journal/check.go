// This file looks whether the folder holds what the records say.

package journal

import (
	"cmp"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/plan"
	"rakelight/journal/reason"
	"rakelight/journal/record"
)

// Kinds of findings.
const (
	MissingPhoto = "missing photo" // a record names it
	LeftOver     = "left over"     // by a copy that broke off
	DamagedBytes = "damaged bytes" // of a photo that was repaired; the person's to delete
	ChangedPhoto = "changed photo" // its bytes are others than its record says
	UnnamedPhoto = "unnamed photo" // no record names it
	TornLine     = record.TornLine
	BadSum       = record.BadSum
	ConflictCopy = record.Copy
	MissingLines = record.Missing
	OddClock     = record.OddClock
	OutsidePath  = "outside path" // a record names a file outside the journal's photos
	EmptyPlan    = plan.Emptied   // a build.md that holds nothing, of a build with sessions
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
	vanished := slices.ContainsFunc(found, func(f Finding) bool { return f.Kind == MissingLines })
	on := j.readShelf()
	found = slices.Concat(found, j.checkPhotos(on, deep), j.checkNames(on, vanished), j.checkRepairs(), j.oddBytes())
	for _, p := range j.State.Problems {
		if p.Record != "" {
			p.What += "; if it should not be: " + Typed("rakelight retract %s", p.Record)
		}
		found = append(found, j.State.findingOfPlan(p))
	}
	found = append(found, j.State.lostFindings()...)
	found = append(found, j.State.unseenFindings()...)
	for _, o := range j.State.Over() {
		found = append(found, Finding{OtherRemark, "builds/" + o.Build, 0, o.String() + "; " + o.Mend(), false})
	}
	for _, f := range j.State.Finishables() {
		found = append(found, Finding{OtherRemark, "builds/" + f.Build, 0, f.String() + "; " + f.Mend(), false})
	}
	for _, o := range j.State.Overlaps() {
		found = append(found, Finding{OtherRemark, "records", 0, o.String() + "; " + o.Mend(), false})
	}
	slices.SortStableFunc(found, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line))
	})
	return found
}

// checkPhotos looks that the kept files of all photos are there and whole.
func (j *Journal) checkPhotos(on *shelf, deep bool) (found []Finding) {
	add := func(f *Finding) {
		if f != nil {
			found = append(found, *f)
		}
	}
	for _, p := range j.State.Photos {
		add(j.checkFile(on, p.Path, p.Hash, p.Size, deep))
		for _, o := range p.Beside {
			add(j.checkFile(on, o.Path, o.Hash, o.Size, deep))
		}
		if deep || on.mayHold(p.Path+".xmp") || p.Why["sidecar"].By == reason.SidecarKept {
			add(j.checkXMP(p, deep))
		}
	}
	return found
}

// checkRepairs tells of damaged bytes that wait for the person to let go of them.
func (j *Journal) checkRepairs() (found []Finding) {
	told := map[string]bool{} // the same damage twice, of a disk that lets bits go, gives the same bytes
	for _, r := range slices.Backward(j.State.Repairs) {
		if _, err := os.Lstat(j.Path(r.Aside)); r.Lost() || err != nil || told[r.Aside] {
			continue
		}
		told[r.Aside] = true
		what := fmt.Sprintf("the damaged bytes of %s, which was repaired on %s; delete this file when you no longer want it",
			r.Path, r.At.In(j.State.zone()).Format(time.DateOnly))
		found = append(found, Finding{DamagedBytes, r.Aside, 0, what, false})
	}
	return found
}

// goodCopy is the hint for a damaged or missing original.
const goodCopy = "drop a good copy (from a backup or the camera) into inbox/ and type rakelight take"

// checkFile says what is wrong with a kept file, nil = nothing.
func (j *Journal) checkFile(on *shelf, file, hash string, size int64, deep bool) *Finding {
	if on.holds(file, size) && !deep {
		return nil
	}
	lies, err := j.Original(file)
	if err != nil {
		what := err.Error()
		if confinedPhoto(file) == nil {
			what += "; remove the link that lies there, then " + goodCopy
		}
		return &Finding{OutsidePath, file, 0, what, true}
	}
	info, err := os.Stat(lies)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &Finding{MissingPhoto, file, 0, "the original is missing; " + goodCopy, true}
	case err != nil:
		return &Finding{MissingPhoto, file, 0, err.Error(), true}
	case !info.Mode().IsRegular():
		return &Finding{MissingPhoto, file, 0,
			"a folder or something else that is no file lies in the place of the original; move it away, then " +
				goodCopy, true}
	case info.Size() != size:
		return &Finding{ChangedPhoto, file, 0, fmt.Sprintf("it has %d bytes, its record says %d; %s", info.Size(), size,
			goodCopy), true}
	}
	if !deep {
		return nil
	}
	if got, err := HashFile(lies); err != nil || got != hash {
		return &Finding{ChangedPhoto, file, 0, "its bytes are not those it was taken in with; " + goodCopy, true}
	}
	return nil
}

// unnamed says what can be done with an original that no record names. While
// records are missing, taking it in anew would lose what they said of it.
func (j *Journal) unnamed(file string, vanished bool) string {
	if by := j.takenBackBy(file); by != "" {
		return "its record was taken back; " + Typed("rakelight retract %s", by) +
			" brings it back, or delete the file if you do not want it any more"
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
	records := j.records()
	gone := retracted(records)
	for _, r := range records {
		if !is[PhotoBody](r) && !is[BesideBody](r) || !gone.has(r) {
			continue
		}
		if b, err := read[struct{ Path string }](r); err != nil || b.Path != file {
			continue
		}
		for _, by := range retractions(records)[r.ID()] {
			if (by.sum == "" || by.sum == r.Sum()) && !gone.has(by.by) {
				return by.by.ID()
			}
		}
	}
	return ""
}

// checkXMP looks at the XMP file that came along with a photo, where no record
// tells its hash: photos taken in earlier have none. That it was kept stands in
// the photo's reasons, and that its bytes are XML can be seen.
func (j *Journal) checkXMP(p *Photo, deep bool) *Finding {
	file := p.Path + ".xmp"
	if slices.ContainsFunc(p.Beside, func(o Original) bool { return o.Path == file }) {
		return nil
	}
	data, err := disk.Open(j.Path(file))
	switch {
	case errors.Is(err, fs.ErrNotExist) && p.Why["sidecar"].By == reason.SidecarKept:
		return &Finding{MissingPhoto, file, 0,
			"the XMP file kept beside the photo is missing; bring it back from a backup",
			true}
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &Finding{MissingPhoto, file, 0, err.Error(), true}
	}
	defer data.Close()
	if deep && !isXML(data) {
		return &Finding{ChangedPhoto, file, 0,
			"the XMP file kept beside the photo is damaged: it is no XML any more; bring it back from a backup",
			true}
	}
	return nil
}

func isXML(r io.Reader) bool {
	d := xml.NewDecoder(r)
	d.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil }
	for n := 0; ; n++ {
		if _, err := d.Token(); err != nil {
			return errors.Is(err, io.EOF) && n > 0
		}
	}
}

// Strays are the files below photos/ that no record ever named: a run that was
// killed placed them. Where several devices write to the journal there are none:
// the record of such a file may still be on its way here. Nor are there any while
// records are missing, which may have named them.
func (j *Journal) Strays() []string {
	if devices, err := os.ReadDir(j.Path("records")); err != nil || len(devices) > 1 || j.recordsMissing() {
		return nil
	}
	var strays []string
	ever := j.namedFiles(true)
	for _, f := range j.checkNames(j.readShelf(), false) {
		if f.Kind == UnnamedPhoto && !ever[f.File] && strings.HasPrefix(f.File, "photos/") {
			strays = append(strays, f.File)
		}
	}
	return strays
}

func (j *Journal) recordsMissing() bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	book, err := j.whole()
	if err != nil {
		return true
	}
	changed := slices.ContainsFunc(book.Problems,
		func(p Problem) bool { return p.Kind == BadSum }) // of a crash there are only torn ones
	return changed || len(book.Lost(nil)) > 0
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
	book, err := j.whole()
	if err != nil {
		return []Finding{{MissingLines, "records", 0, fmt.Sprintf("they cannot be read: %v", err), true}}
	}
	for _, p := range append(book.Lost(j.knownLost()), record.OddClocks(book.Records, j.Now())...) {
		found = append(found, findingOf(p))
	}
	if len(book.Records) == 0 && len(found) == 0 && holdsFiles(j.Path("photos")) {
		found = append(found, Finding{MissingLines, "records", 0,
			"there is no record at all, and photos/ holds photos: bring the folder records back from a backup", true})
	}
	for _, rel := range j.book.Leftovers() {
		found = append(found, Finding{Leftover, rel, 0,
			"left by a write that was cut off; it can be deleted, and the next record that is written clears it away",
			false})
	}
	return found
}

// holdsFiles reports whether a file lies in a folder or below.
func holdsFiles(dir string) bool {
	holds := false
	_ = filepath.WalkDir(dir, func(path string, d fs.DirEntry,
		err error) error { // what cannot be read is reported elsewhere
		if err == nil && d.Type().IsRegular() && !strings.HasPrefix(d.Name(), ".") {
			holds = true
			return fs.SkipAll
		}
		return nil
	})
	return holds
}
