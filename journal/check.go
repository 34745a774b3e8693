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
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Kinds of findings.
const (
	MissingPhoto = "missing photo" // a record names it
	LeftOver     = "left over"     // by a copy that broke off
	DamagedBytes = "damaged bytes" // of a photo that was repaired; the person's to delete
	ChangedPhoto = "changed photo" // its bytes are others than its record says
	UnnamedPhoto = "unnamed photo" // no record names it
	TornLine     = "torn line"     // cut off by a crash, or no record at all
	BadSum       = "bad sum"       // the line was changed after it was written
	ConflictCopy = "conflict copy" // made by a sync client; read and merged
	OtherRemark  = "remark"        // a problem in what was typed by hand, and the like
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
	found := slices.Concat(j.checkPhotos(deep), j.checkNames(), j.checkRepairs())
	for _, p := range j.State.Problems {
		kind := kindOf(p)
		found = append(found, Finding{kind, p.File, p.Line, p.What, kind == TornLine || kind == BadSum})
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

// checkPhotos looks that the kept files of all photos are there and whole.
func (j *Journal) checkPhotos(deep bool) (found []Finding) {
	add := func(f *Finding) {
		if f != nil {
			found = append(found, *f)
		}
	}
	for _, p := range j.State.Photos {
		add(j.checkFile(p.Path, p.Hash, p.Size, deep))
		for _, o := range p.Beside {
			add(j.checkFile(o.Path, o.Hash, o.Size, deep))
		}
		add(j.checkXMP(p, deep))
	}
	return found
}

// checkNames looks that every file below photos/ is named by a record.
func (j *Journal) checkNames() (found []Finding) {
	named := j.namedFiles(false)
	err := filepath.WalkDir(j.Path("photos"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(j.Dir, path)
		slash := filepath.ToSlash(rel)
		switch {
		case err != nil:
		case strings.HasPrefix(d.Name(), ".rakelight-"):
			found = append(found, Finding{LeftOver, slash, 0, "left by a copy that broke off; the next rakelight take clears it if it is only a part of a picture", false})
		case strings.HasPrefix(d.Name(), "."), named[slash], named[strings.TrimSuffix(slash, ".xmp")]:
		default:
			found = append(found, Finding{UnnamedPhoto, slash, 0, j.unnamed(slash), false})
		}
		return err
	})
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		found = append(found, Finding{OtherRemark, "photos", 0, err.Error(), true})
	}
	return found
}

// checkRepairs tells of damaged bytes that wait for the person to let go of them.
func (j *Journal) checkRepairs() (found []Finding) {
	for _, r := range j.State.Repairs {
		if _, err := os.Lstat(j.Path(r.Aside)); r.Lost() || err != nil {
			continue
		}
		what := fmt.Sprintf("the damaged bytes of %s, which was repaired on %s; delete this file when you no longer want it", r.Path, r.At.In(j.State.zone()).Format(time.DateOnly))
		found = append(found, Finding{DamagedBytes, r.Aside, 0, what, false})
	}
	return found
}

// goodCopy is the hint for a damaged or missing original.
const goodCopy = "drop a good copy (from a backup or the camera) into inbox/ and type rakelight take"

// checkFile says what is wrong with a kept file, nil = nothing.
func (j *Journal) checkFile(file, hash string, size int64, deep bool) *Finding {
	info, err := os.Stat(j.Path(file))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &Finding{MissingPhoto, file, 0, "the original is missing; " + goodCopy, true}
	case err != nil:
		return &Finding{MissingPhoto, file, 0, err.Error(), true}
	case info.Size() != size:
		return &Finding{ChangedPhoto, file, 0, fmt.Sprintf("it has %d bytes, its record says %d; %s", info.Size(), size, goodCopy), true}
	}
	if !deep {
		return nil
	}
	if got, err := hashFile(j.Path(file)); err != nil || got != hash {
		return &Finding{ChangedPhoto, file, 0, "its bytes are not those it was taken in with; " + goodCopy, true}
	}
	return nil
}

// unnamed says what can be done with an original that no record names.
func (j *Journal) unnamed(file string) string {
	if id := j.takenBackAs(file); id != "" {
		if by := j.Look().RetractedBy(id); by != "" {
			return "its record was taken back; " + Typed("rakelight retract %s", by) + " brings it back, or delete the file if you do not want it any more"
		}
	}
	return "no record names it; " + Typed("rakelight take %s", file) + " takes it in"
}

// takenBackAs is the id of the record that named the file and was taken back,
// "" = there is none.
func (j *Journal) takenBackAs(file string) string {
	j.mu.Lock()
	defer j.mu.Unlock()
	gone := retracted(j.records)
	for _, r := range j.records {
		if !gone[r.ID()] || r.Kind != "photo" && r.Kind != "beside" {
			continue
		}
		if b, err := read[struct{ Path string }](r); err == nil && b.Path == file {
			return r.ID()
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
	data, err := os.Open(j.Path(file))
	switch {
	case errors.Is(err, fs.ErrNotExist) && p.Why["sidecar"] == SidecarKept:
		return &Finding{MissingPhoto, file, 0, "the XMP file kept beside the photo is missing; bring it back from a backup", true}
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &Finding{MissingPhoto, file, 0, err.Error(), true}
	}
	defer data.Close()
	if deep && !isXML(data) {
		return &Finding{ChangedPhoto, file, 0, "the XMP file kept beside the photo is damaged: it is no XML any more; bring it back from a backup", true}
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

// namedFiles are the files that some record of a photo or of a file beside one
// names. A record taken back names nothing, unless ever is asked for; of two
// devices that took in the same photo both files count.
func (j *Journal) namedFiles(ever bool) map[string]bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	named := map[string]bool{}
	gone := retracted(j.records)
	for _, r := range j.records {
		if r.Kind != "photo" && r.Kind != "beside" || gone[r.ID()] && !ever {
			continue
		}
		if b, err := read[struct{ Path string }](r); err == nil {
			named[b.Path] = true
		}
	}
	return named
}

// Strays are the files below photos/ that no record ever named: a run that was
// killed placed them. Where several devices write to the journal there are none:
// the record of such a file may still be on its way here.
func (j *Journal) Strays() []string {
	if devices, err := os.ReadDir(j.Path("records")); err != nil || len(devices) > 1 {
		return nil
	}
	var strays []string
	ever := j.namedFiles(true)
	for _, f := range j.checkNames() {
		if f.Kind == UnnamedPhoto && !ever[f.File] && strings.HasPrefix(f.File, "photos/") {
			strays = append(strays, f.File)
		}
	}
	return strays
}

// kindOf tells the problems of the records files apart.
func kindOf(p Problem) string {
	switch {
	case !strings.HasPrefix(p.File, "records/"):
		return OtherRemark
	case p.Line > 0 && p.What == ErrBadSum.Error():
		return BadSum
	case p.Line > 0:
		return TornLine
	case p.What == conflictCopy:
		return ConflictCopy
	}
	return OtherRemark
}
