// Tests that a path in a record leads nowhere but to the journal's own files.

package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Whatever a merged record names, only what lies below photos/ (asides: below
// inbox/aside/) is believed, and check tells of the rest as damage.
func TestPathsAreConfined(t *testing.T) {
	hash, other := strings.Repeat("1", 64), strings.Repeat("2", 64)
	for _, name := range []string{
		"../outside/x.jpg", "photos/../../outside/x.jpg", "photos/../journal.toml", "/etc/x.jpg", "C:/x.jpg", `C:\x.jpg`, "photos/C:x.jpg",
		`photos\x.jpg`, `photos/..\..\x.jpg`, `\\server\share\x.jpg`, "//server/share/x.jpg", "photos", "photos/", "photos//x.jpg", "photos/./x.jpg",
		"inbox/x.jpg", "records/x.jpg", "photosx/x.jpg", "Photos/x.jpg", "photos/x\x00.jpg", "photos/x\n.jpg", "photos/x.jpg/..",
	} {
		j, _ := bench(t)
		_, err := j.AppendAll([]Body{
			PhotoBody{Hash: other, Path: "photos/2026/03/y.jpg"},
			PhotoBody{Hash: hash, Path: name},
			BesideBody{Photo: other, Hash: strings.Repeat("3", 64), Path: name, Format: FormatXMP},
			AsideBody{Hash: strings.Repeat("4", 64), Path: name, CopyOf: other},
		})
		try(t, err)
		if s := j.State; len(s.Photos) != 1 || s.Photos[0].Hash != other || len(s.Photos[0].Beside) > 0 || len(s.Asides) > 0 {
			t.Errorf("%q was believed: %+v, asides %+v", name, s.Photos, s.Asides)
		}
		told := 0
		for _, f := range j.Check(false) {
			if f.Kind == OutsidePath && f.Error {
				told++
			}
		}
		if told != 3 {
			t.Errorf("%q: %d of 3 told by check", name, told)
		}
		if _, err := j.Original(name); !errors.Is(err, ErrOutside) {
			t.Errorf("%q is an original: %v", name, err)
		}
	}
	// Names that files of the inbox may well have.
	j, _ := bench(t)
	for _, name := range []string{"inbox/aside/a: b.jpg", `inbox/aside/a\b.jpg`, "inbox/aside/x/..y.jpg"} {
		_, err := j.Append(AsideBody{Hash: hash, Path: name, CopyOf: other})
		try(t, err)
		if len(j.State.Asides) != 1 || j.State.Asides[0].Path != name {
			t.Errorf("%q was not believed: %+v", name, j.State.Asides)
		}
	}
}

// A link below photos/ that leads outside is not followed, to read or to write;
// photos/ itself may lie on another disk.
func TestLinksOutside(t *testing.T) {
	j, now := bench(t)
	outside := t.TempDir()
	data := []byte("sanded hull")
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	src := filepath.Join(outside, "a.jpg")
	try(t, os.WriteFile(src, data, 0o644))
	if err := os.Symlink(outside, j.Path("photos/2026")); err != nil {
		t.Skip("this system makes no links: ", err)
	}
	if rel, err := j.Place(src, hash, *now, ".jpg"); !errors.Is(err, ErrOutside) {
		t.Errorf("placed outside as %s, %v", rel, err)
	}
	if left, err := os.ReadDir(outside); err != nil || len(left) != 1 {
		t.Errorf("%d files lie outside, %v; want the source alone", len(left), err)
	}
	_, err := j.Append(PhotoBody{Hash: hash, Path: "photos/2026/a.jpg", Size: int64(len(data))})
	try(t, err)
	if _, err := j.Original("photos/2026/a.jpg"); !errors.Is(err, ErrOutside) {
		t.Errorf("the file behind a link is an original: %v", err)
	}
	found := j.Check(true)
	if len(found) != 2 || found[0].Kind != OtherRemark || found[1].Kind != OutsidePath || !found[1].Error {
		t.Errorf("check found %+v", found)
	}

	try(t, os.RemoveAll(j.Path("photos")))
	try(t, os.Symlink(outside, j.Path("photos")))
	rel, err := j.Place(src, hash, *now, ".jpg")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(outside, filepath.FromSlash(strings.TrimPrefix(rel, "photos/")))); err != nil {
		t.Error(err)
	}
	try(t, os.Symlink(src, j.Path("photos/inside.jpg")))
	if _, err := j.Original("photos/inside.jpg"); err != nil {
		t.Errorf("a link to another original: %v", err)
	}
}
