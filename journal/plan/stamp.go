// This file tells whether what is written by hand is as it was when it was read.

package plan

import (
	"crypto/sha256"
	"encoding/hex"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal/record"
)

// Stamp is a file or a folder as it was: by its size and times, and where those
// could hide a change, by its bytes.
type Stamp struct {
	Mode     os.FileMode // its type
	Size     int64
	Modified time.Time
	Changed  int64  // as record.Changed
	Sum      string // SHA-256 of a file that was fresh then, else ""
}

// Stamps are the stamps of all that Read reads in a journal folder, by names below
// it with slashes. It is false where they cannot be told.
func Stamps(dir string, now time.Time) (map[string]Stamp, bool) {
	s := stamping{dir: dir, all: map[string]Stamp{}}
	s.walk()
	for name, one := range s.all {
		if one.Mode.IsRegular() && record.Fresh(one.Modified, now) {
			data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
			if err != nil {
				return nil, false
			}
			sum := sha256.Sum256(data)
			one.Sum = hex.EncodeToString(sum[:])
			s.all[name] = one
		}
	}
	return s.all, !s.failed
}

// Unchanged reports whether all that Read reads is as it was.
func Unchanged(dir string, was map[string]Stamp) bool {
	s := stamping{dir: dir, all: map[string]Stamp{}}
	s.walk()
	if s.failed {
		return false
	}
	for name, one := range was {
		if one.Sum == "" {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		sum := sha256.Sum256(data)
		if now, there := s.all[name]; err != nil || !there || hex.EncodeToString(sum[:]) != one.Sum {
			return false
		} else {
			now.Sum = one.Sum
			s.all[name] = now
		}
	}
	return maps.EqualFunc(s.all, was, func(a, b Stamp) bool {
		return a.Mode == b.Mode && a.Size == b.Size && a.Modified.Equal(b.Modified) && a.Changed == b.Changed &&
			a.Sum == b.Sum
	})
}

// stamping is a walk over what is written by hand.
type stamping struct {
	dir    string
	all    map[string]Stamp
	failed bool
}

func (s *stamping) walk() {
	s.file(settingsName)
	// Copies of the settings, and of folders, lie beside them.
	for _, e := range s.list(".") {
		if low := strings.ToLower(e.Name()); strings.Contains(low, "journal") && e.Name() != settingsName {
			s.name(e.Name(), e)
		}
	}
	for _, b := range s.list("builds") {
		s.name("builds/"+b.Name(), b)
		if !b.IsDir() || strings.HasPrefix(b.Name(), ".") {
			continue
		}
		build := "builds/" + b.Name()
		for _, e := range s.list(build) {
			if s.name(build+"/"+e.Name(), e); e.Name() == "build.md" {
				s.file(build + "/build.md")
			}
		}
		for _, e := range s.list(build + "/diary") {
			s.file(build + "/diary/" + e.Name())
		}
	}
}

// list lists a folder; one that is not there is empty.
func (s *stamping) list(name string) []os.DirEntry {
	all, err := os.ReadDir(filepath.Join(s.dir, filepath.FromSlash(name)))
	s.failed = s.failed || err != nil && !os.IsNotExist(err)
	return all
}

// name notes that something of that name and type is there.
func (s *stamping) name(name string, e os.DirEntry) { s.all[name] = Stamp{Mode: e.Type()} }

// file notes a file as it is. A link counts as what it leads to.
func (s *stamping) file(name string) {
	info, err := os.Stat(filepath.Join(s.dir, filepath.FromSlash(name)))
	if err != nil {
		s.all[name] = Stamp{Mode: os.ModeIrregular}
		s.failed = s.failed || !os.IsNotExist(err)
		return
	}
	s.all[name] = Stamp{info.Mode().Type(), info.Size(), info.ModTime(), record.Changed(info), ""}
}
