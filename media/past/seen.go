// What was read of each file, kept from one look to the next: a line of JSON for each
// file in .cache/past/seen.jsonl, added in batches. A line that is cut off or not
// understood costs reading one file again.

package past

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/record"
	"rakelight/media"
)

const (
	dir       = ".cache/past"
	seenFile  = dir + "/seen.jsonl"
	rootsFile = dir + "/roots.json"
	lockFile  = dir + "/lock"
	thumbsDir = dir + "/thumbs"
)

// version is that of the lines: others are read again.
const version = 2

// file is what is known of one file, by its path, size and time of change.
type file struct {
	path string

	Version int    `json:"v"`
	Path    string `json:"path,omitempty"`
	Raw     []byte `json:"raw,omitempty"` // the path, where it is no text
	Size    int64  `json:"size"`
	Time    int64  `json:"time"` // nanoseconds since 1970
	Gone    bool   `json:"gone,omitempty"`
	Lost    bool   `json:"lost,omitempty"` // it is missing with all of its folder

	Why   string `json:"why,omitempty"` // why it was not read
	As    LeftAs `json:"as,omitempty"`
	Again bool   `json:"again,omitempty"` // another try may go better

	Hash   string         `json:"hash,omitempty"`
	Kind   string         `json:"kind,omitempty"`
	Width  int            `json:"w,omitempty"`
	Height int            `json:"h,omitempty"`
	Turn   int            `json:"turn,omitempty"`
	Length time.Duration  `json:"length,omitempty"`
	Camera journal.Camera `json:"camera,omitzero"`
	Claims media.Claims   `json:"claims,omitzero"`
	Print  string         `json:"print,omitempty"`
	Sharp  float64        `json:"sharp,omitempty"`
	Cells  []byte         `json:"cells,omitempty"`
	Colors []byte         `json:"colors,omitempty"`
}

func (f *file) time() time.Time { return time.Unix(0, f.Time) }

// line is the file as a line of the cache. Others may be reading f meanwhile.
func (f file) line() ([]byte, error) {
	f.Version = version
	if utf8.ValidString(f.path) {
		f.Path = f.path
	} else {
		f.Raw = []byte(f.path)
	}
	f.Claims.FileName, f.Claims.FileTime, f.Claims.Read = "", time.Time{}, time.Time{}
	b, err := json.Marshal(f)
	return append(b, '\n'), err
}

// parse reads a line; nil = it is none of this version.
func parse(line []byte) *file {
	var f file
	if json.Unmarshal(line, &f) != nil || f.Version != version {
		return nil
	}
	if f.path = f.Path; f.Raw != nil {
		f.path = string(f.Raw)
	}
	if f.path == "" || !f.Gone && f.Why == "" && !isHash(f.Hash) {
		return nil
	}
	return &f
}

// isHash reports whether a text is a SHA-256 in 64 hex digits.
func isHash(text string) bool {
	return len(text) == 64 && strings.Trim(text, "0123456789abcdef") == ""
}

// seen is the cache of a journal.
type seen struct {
	j     *journal.Journal
	files map[string]*file
	stale int // lines that count no more
	end   int64
}

// remembered holds what was parsed last of the cache of a journal: a page that is
// served asks for it at each tap.
var remembered struct {
	sync.Mutex
	path  string
	info  fs.FileInfo
	files map[string]*file
	stale int
}

// openSeen reads the cache. One that is not there is empty.
func openSeen(j *journal.Journal) (*seen, error) {
	s := &seen{j: j, files: map[string]*file{}}
	name := j.Path(seenFile)
	info, err := os.Stat(name)
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	if err != nil {
		return nil, err
	}
	remembered.Lock()
	defer remembered.Unlock()
	m := &remembered
	if m.path != name || !os.SameFile(m.info, info) || m.info.Size() != info.Size() ||
		!m.info.ModTime().Equal(info.ModTime()) {
		files, stale, err := readSeen(name)
		if err != nil {
			return nil, err
		}
		m.path, m.info, m.files, m.stale = name, info, files, stale
	}
	for path, f := range m.files {
		s.files[path] = f
	}
	s.stale, s.end = m.stale, info.Size()
	return s, nil
}

// readSeen reads all lines; the last of a path counts.
func readSeen(name string) (files map[string]*file, stale int, err error) {
	in, err := disk.Open(name)
	if err != nil {
		return nil, 0, err
	}
	defer in.Close()
	files = map[string]*file{}
	lines := bufio.NewReaderSize(in, 1<<20)
	for {
		line, err := lines.ReadBytes('\n')
		if len(bytes.TrimSpace(line)) > 0 {
			f := parse(line)
			if f == nil || files[f.path] != nil {
				stale++
			}
			switch {
			case f == nil:
			case f.Gone:
				stale++
				delete(files, f.path)
			default:
				files[f.path] = f
			}
		}
		if err != nil {
			return files, stale, nil // the end, or a disk that gives no more: what is missing is read again
		}
	}
}

// add appends what was read of some files.
func (s *seen) add(some []*file) error {
	var lines []byte
	for _, f := range some {
		line, err := f.line()
		if err != nil {
			return err
		}
		lines = append(lines, line...)
		if s.files[f.path] != nil {
			s.stale++
		}
		if f.Gone {
			s.stale++
			delete(s.files, f.path)
		} else {
			s.files[f.path] = f
		}
	}
	out, err := disk.OpenFile(s.j.Path(seenFile), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o644)
	if err != nil {
		return err
	}
	if _, err := out.Write(s.headed(lines)); err != nil {
		out.Close()
		return err
	}
	return out.Close()
}

// headed is what is added, behind a new line where an earlier run was cut off within
// one.
func (s *seen) headed(lines []byte) []byte {
	if s.end == 0 {
		s.end = 1
		return lines
	}
	if s.end > 1 {
		s.end = 1
		return append([]byte{'\n'}, lines...)
	}
	return lines
}

// compact writes the cache anew once most of its lines count no more.
func (s *seen) compact() error {
	if s.stale < 1000 || s.stale < len(s.files) {
		return nil
	}
	var lines []byte
	for _, name := range sortedPaths(s.files) {
		line, err := s.files[name].line()
		if err != nil {
			return err
		}
		lines = append(lines, line...)
	}
	s.stale = 0
	return record.WriteBy(s.j.Path(seenFile), lines, disk.Rename)
}

// knows reports whether a file is as it was when it was read.
func (s *seen) knows(path string, size int64, changed time.Time) bool {
	f := s.files[path]
	return f != nil && !f.Again && f.Size == size && f.Time == changed.UnixNano()
}

func sortedPaths(files map[string]*file) []string {
	list := make([]string, 0, len(files))
	for name := range files {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}

// roots are the folders that were looked through.
func roots(j *journal.Journal) []string {
	var list []string
	text, err := disk.ReadFile(j.Path(rootsFile))
	if err != nil || json.Unmarshal(text, &list) != nil {
		return nil // none yet, or a cache that is no more
	}
	return list
}

// addRoots notes folders that are looked through.
func addRoots(j *journal.Journal, more []string) ([]string, error) {
	list := roots(j)
	for _, one := range more {
		if !slices.Contains(list, one) {
			list = append(list, one)
		}
	}
	slices.Sort(list)
	text, err := json.Marshal(list)
	if err != nil {
		return nil, err
	}
	return list, record.WriteBy(j.Path(rootsFile), append(text, '\n'), disk.Rename)
}

// Forget lets a folder be looked at no more: its pictures are of no survey until Look
// is asked for it again. What was said of them stays.
func Forget(j *journal.Journal, root string) (known bool, err error) {
	full, err := filepath.Abs(root)
	if err != nil {
		return false, err
	}
	list := roots(j)
	left := slices.DeleteFunc(slices.Clone(list), func(one string) bool { return one == full || one == root })
	if len(left) == len(list) {
		return false, nil
	}
	text, err := json.Marshal(left)
	if err != nil {
		return false, err
	}
	return true, record.WriteBy(j.Path(rootsFile), append(text, '\n'), disk.Rename)
}

// thumbPath is where the small picture of a hash lies.
func thumbPath(j *journal.Journal, hash string) string {
	return j.Path(thumbsDir + "/" + hash[:2] + "/" + hash + ".jpg")
}

// Thumb is the path of a small JPEG of a picture that was read, no side of it longer
// than ThumbSide; ok is false where there is none.
func Thumb(j *journal.Journal, hash string) (path string, ok bool) {
	if !isHash(hash) {
		return "", false
	}
	path = thumbPath(j, hash)
	info, err := os.Stat(path)
	return path, err == nil && info.Mode().IsRegular()
}
