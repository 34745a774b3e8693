// This file is a book without its records: what has to be known to number the
// next one, to put it behind all others, and to notice that a file is not as it
// was. A journal of twenty years has tens of thousands of records, and an evening
// at the bench adds ten.

package record

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"os"
	"path"
	"time"
)

// Brief is a book without its records. The zero Brief is of none.
type Brief struct {
	Files  map[string]BriefFile // by their names below the journal folder
	Top    map[string]Mark      // by device: its highest record
	Clocks map[string]time.Time // by device: the latest moment its clock showed, ticks left out
	Last   Record               // of all, in their order
}

// BriefFile is a records file as it was read.
type BriefFile struct {
	Size     int64
	Modified time.Time
	Changed  int64  // when the system last changed anything of the file, nanoseconds; 0 = it does not tell
	Sum      string // SHA-256 of its bytes, of those that may grow or were fresh; "" = of the others
}

// freshFor is how long after it was written a file may be written again without
// showing: file systems tell times in steps of up to two seconds, and the clock of
// a share may differ from ours.
const freshFor = 10 * time.Second

// Fresh reports whether a file that was written then may change without showing.
func Fresh(modified, now time.Time) bool { return modified.After(now.Add(-freshFor)) }

// Brief makes the book brief, as it stands. It is false where the files are not
// whole, or no longer as they were read: such a book is read anew each time.
func (b *Book) Brief(now time.Time) (Brief, bool) {
	out := Brief{Files: map[string]BriefFile{}, Top: map[string]Mark{}, Clocks: map[string]time.Time{}}
	if len(b.Problems) > 0 || b.Doubtful() {
		return out, false
	}
	latest := map[string]string{} // the file of each folder that may grow
	for rel := range b.files {
		latest[path.Dir(rel)] = max(latest[path.Dir(rel)], rel)
	}
	for rel, file := range b.files {
		info, err := os.Stat(b.path(rel))
		if err != nil || !file.isStill(info) {
			return Brief{}, false
		}
		one := BriefFile{Size: file.size, Modified: file.modified, Changed: file.changed}
		if latest[path.Dir(rel)] == rel || Fresh(file.modified, now) {
			data, err := os.ReadFile(b.path(rel))
			if err != nil || int64(len(data)) != file.size || sumOf(data[:file.read]) != file.sum {
				return Brief{}, false
			}
			one.Sum = sumOf(data)
		}
		out.Files[rel] = one
	}
	if b.brief != nil {
		maps.Copy(out.Top, b.brief.Top)
		maps.Copy(out.Clocks, b.brief.Clocks)
	}
	top := map[string]Record{}
	for _, r := range b.Records {
		if r.Seq > max(top[r.Dev].Seq, out.Top[r.Dev].Seq) {
			top[r.Dev] = r
		}
		if r.Tick.N == 0 && r.At.After(out.Clocks[r.Dev]) {
			out.Clocks[r.Dev] = r.At
		}
	}
	for dev, r := range top {
		out.Top[dev] = Mark{r.Seq, r.Sum()}
	}
	out.Last = b.last()
	return out, true
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Resume goes on from a brief: Records are then those that came since. It is false
// where any file is not as it was, but for what was added to it; the book is then
// to be read.
func (b *Book) Resume(brief Brief) bool {
	b.files, b.brief, b.doubt = fileCache{}, &brief, false
	for rel, f := range brief.Files {
		b.files[rel] = cachedFile{size: f.Size, modified: f.Modified, changed: f.Changed, read: f.Size, sum: f.Sum,
			brief: f, isBrief: true, unsure: true}
	}
	return b.readFiles() == nil && !b.Doubtful()
}

// IsBrief reports whether Records are only those that came since a Brief.
func (b *Book) IsBrief() bool { return b.brief != nil }

// Doubtful reports whether the files of a brief book are not what they were: it is
// to be read.
func (b *Book) Doubtful() bool { return b.brief != nil && b.doubt }

// check looks whether a file of which only a brief is held is still that, and
// reads what was added.
func (f cachedFile) check(path, rel string, info os.FileInfo) (cachedFile, bool) {
	if f.isStill(info) && f.brief.Sum == "" {
		f.unsure = false
		return f, true
	}
	data, err := os.ReadFile(path)
	if err != nil || f.brief.Sum == "" || int64(len(data)) < f.brief.Size || sumOf(data[:f.brief.Size]) != f.brief.Sum {
		return f, false
	}
	rest := data[f.brief.Size:]
	records, problems, holes := decodeFile(rel, rest)
	if len(problems)+len(holes) > 0 || !isMonth(rel) {
		return f, false
	}
	f.size, f.read, f.sum = int64(len(data)), int64(len(data)), sumOf(data)
	f.modified, f.changed, f.records, f.unsure = info.ModTime(), Changed(info), records, false
	return f, true
}

// last is the last of all records.
func (b *Book) last() Record {
	last := Last(b.Records)
	if b.brief != nil && b.brief.Last.Seq > 0 && (last.Seq == 0 || Compare(last, b.brief.Last) < 0) {
		return b.brief.Last
	}
	return last
}

// clock is the latest moment that the clock of a device showed in a record.
func (b *Book) clock(dev string) time.Time {
	var own time.Time
	if b.brief != nil {
		own = b.brief.Clocks[dev]
	}
	for _, r := range b.Records {
		if r.Dev == dev && r.At.After(own) && r.Tick.N == 0 {
			own = r.At
		}
	}
	return own
}

// top is the highest number a device has given out, by records, a mark and lines
// that cannot be read.
func (b *Book) top(dev string, mark Mark) int64 {
	if b.brief != nil {
		mark.Seq = max(mark.Seq, b.brief.Top[dev].Seq)
	}
	top, _ := b.extent(dev, mark, nil)
	return top
}

// Rest lets go of the records, which a brief of the book as it is stands for.
func (b *Book) Rest(brief Brief) {
	b.Records, b.brief, b.doubt = nil, &brief, false
	for rel, f := range brief.Files {
		b.files[rel] = cachedFile{size: f.Size, modified: f.Modified, changed: f.Changed, read: f.Size, sum: f.Sum,
			brief: f, isBrief: true}
	}
}
