// Package past looks through folders of old pictures and brings in what is of the
// bench.
//
// Start with Look, which reads the pictures where they lie, and never writes there;
// Open gives what was read so far without touching a folder. A Survey tells which
// pictures are the same bytes, which are smaller copies of others, which are kept
// already, and what could not be read. Evenings and Likely put them into order: by
// gaps in time, and by folders. Likely builds are guesses, each with its why, and so
// are the clocks of Clocks: nothing of them is a record. What a person says of the
// pictures is (entry.Past), and counts whether or not they are in the journal.
// BringIn then takes in the ones that are wanted, by the inbox's own way.
//
// The cache in .cache/past can be thrown away: the pictures are then read again.
package past

import (
	"cmp"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/inbox"
)

// Picture is one picture as it was read where it lies.
type Picture struct {
	Hash   string // SHA-256 of its bytes, 64 hex digits
	Path   string // on this computer; of several with these bytes the first
	Root   string // the folder that was looked through
	Folder string // below Root, slashes, "" = at its top
	Name   string // file name
	Size   int64
	Format string // as Photo.Format
	Width  int    // pixels upright; 0 = it cannot be shown
	Height int
	Turn   int // EXIF orientation 1..8
	Camera journal.Camera
	Length time.Duration // of a clip; 0 = it is none, or does not say

	// Instant is when it was taken as the file says, with its source and doubts and
	// with the clocks that stand. At is where it is shown and grouped: the same, or
	// what speaks for another moment where the file's is worth little; Placed says what.
	Instant journal.Instant
	At      time.Time
	Placed  Placing

	Fingerprint string // as Photo.Fingerprint
	Sharp       float64
	Same        []string          // other paths with the very same bytes
	CopyOf      string            // hash of the larger picture it is a messenger's copy of, "" = of none
	Kept        bool              // it is in the journal
	Said        *journal.PastSaid // nil = nothing was said of it

	own     time.Time // At as it would be if nothing had been said
	look    media.Look
	colors  []byte // colorsOf; empty = it cannot be shown
	claims  media.Claims
	folders []string // Root and Folder of all paths, slashes
}

// Survey is what was read of some folders.
type Survey struct {
	Pictures []*Picture // by At, then hash
	Left     []Left     // files that were not read, by path
	Roots    []string   // the folders, by name
	Missing  []string   // of those looked through now: none of their files is there any more
	Clocks   []Clock    // guesses at cameras whose clocks were wrong, by camera

	byHash  map[string]*Picture
	changed map[string]int64 // file → time of its last change when it was read
	zone    func(wall time.Time) *time.Location
}

// Left is a file that was not read, or several that no look enters, and why.
type Left struct {
	Path, Why string
	Is        LeftAs
}

// LeftAs is what a file is that was not read.
type LeftAs string

// The codes.
const (
	NoPicture  LeftAs = "no-picture" // nothing that is shown
	OtherKind  LeftAs = "other-kind" // a clip, or a kind of picture that is not read
	Unreadable LeftAs = "unreadable" // damaged, cut off, or closed to this user
	PassedOver LeftAs = "passed"     // no look enters it: hidden, a link, too deep
)

// Picture is the picture with the hash, or nil.
func (s *Survey) Picture(hash string) *Picture { return s.byHash[hash] }

// Paths are all places at which the bytes of the picture lie.
func (p *Picture) Paths() []string { return append([]string{p.Path}, p.Same...) }

// Short is the name a person may type for the picture: the first eight digits of its
// hash.
func (p *Picture) Short() string { return p.Hash[:min(8, len(p.Hash))] }

// Out reports whether it is left out: a person said that it is not of the bench. What is
// kept already stays in the journal, whatever was said.
func (p *Picture) Out() bool { return p.Said != nil && p.Said.Out && !p.Kept }

// Wanted reports whether the picture is brought in by what was said of it: it has a
// build, is not kept yet, and is no copy of another unless a person said so.
func (p *Picture) Wanted() bool {
	said := p.Said
	return said != nil && !p.Kept && !said.Out && said.Tags.Build != "" && (p.CopyOf == "" || said.Wanted)
}

// Wanted are the hashes of the pictures that are brought in by what was said, in the
// order of the survey.
func (s *Survey) Wanted() []string {
	var list []string
	for _, p := range s.Pictures {
		if p.Wanted() {
			list = append(list, p.Hash)
		}
	}
	return list
}

// survey makes a survey of what is known of files, for a state at a moment.
func survey(state *journal.State, now time.Time, roots []string, files map[string]*file) *Survey {
	s := &Survey{Roots: roots, byHash: map[string]*Picture{}, changed: map[string]int64{}, zone: state.ZoneAt}
	for _, name := range sortedPaths(files) {
		f := files[name]
		switch root := rootOf(roots, name); {
		case root == "": // a folder nobody asks for any more
		case f.Why != "":
			s.Left = append(s.Left, Left{name, f.Why, f.As})
		default:
			s.add(f, root, now)
		}
	}
	kept := keptHashes(state)
	for hash, p := range s.byHash {
		p.Kept = kept[hash]
		p.Said = state.PastOf(hash)
		p.Instant = media.Choose(p.claims, p.Camera, state.Clocks, state.ZoneAt)
		s.Pictures = append(s.Pictures, p)
	}
	slices.SortFunc(s.Pictures, func(a, b *Picture) int { return cmp.Compare(a.Hash, b.Hash) })
	s.findCopies()
	s.place()
	slices.SortStableFunc(s.Pictures, func(a, b *Picture) int { return a.At.Compare(b.At) })
	return s
}

// add takes in one file that was read. Of several with the same bytes the oldest
// file time counts: copying gives new ones.
func (s *Survey) add(f *file, root string, now time.Time) {
	folder := folderOf(root, f.path)
	s.changed[f.path] = f.Time
	p := s.byHash[f.Hash]
	if p == nil {
		p = &Picture{Hash: f.Hash, Path: f.path, Root: root, Folder: folder, Name: filepath.Base(f.path), Size: f.Size,
			Format: f.Kind, Width: f.Width, Height: f.Height, Turn: f.Turn, Camera: f.Camera, Length: f.Length,
			Fingerprint: f.Print, Sharp: f.Sharp, look: media.LookFrom(f.Print, f.Sharp, f.Cells),
			colors: f.Colors, claims: f.Claims}
		p.claims.FileName, p.claims.FileTime, p.claims.Read = p.Name, f.time(), now
		s.byHash[f.Hash] = p
	} else {
		p.Same = append(p.Same, f.path)
		if t := f.time(); t.Before(p.claims.FileTime) {
			p.claims.FileTime = t
		}
	}
	p.folders = append(p.folders, path.Join(filepath.ToSlash(filepath.Base(root)), folder))
}

// keptHashes are the hashes of all kept files.
func keptHashes(s *journal.State) map[string]bool {
	kept := map[string]bool{}
	for _, p := range s.Photos {
		kept[p.Hash] = true
		for _, o := range p.Beside {
			kept[o.Hash] = true
		}
	}
	return kept
}

// rootOf is the folder among roots that a file lies in, "" = none; the innermost of
// several.
func rootOf(roots []string, file string) string {
	best := ""
	for _, r := range roots {
		if below(r, file) && len(r) > len(best) {
			best = r
		}
	}
	return best
}

// below reports whether a path lies in a folder.
func below(dir, file string) bool {
	return strings.HasPrefix(file, strings.TrimSuffix(dir, string(filepath.Separator))+string(filepath.Separator))
}

// folderOf is the folder of a file below a root, with slashes.
func folderOf(root, file string) string {
	rel, err := filepath.Rel(root, filepath.Dir(file))
	if err != nil || rel == "." {
		return ""
	}
	return filepath.ToSlash(rel)
}

// leftOf is what is told of a file that was not taken.
func leftOf(o inbox.Outcome) Left {
	if o.Status == inbox.SetAside { // closed, or too deep: it may hide pictures
		return Left{o.Path, o.Why, Unreadable}
	}
	return Left{o.Path, o.Why, PassedOver}
}
