// Tests of photos that come in pieces.

package inbox

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"rakelight/journal"
)

func arrivalOf(data []byte, name string, folders ...string) Arrival {
	sum := sha256.Sum256(data)
	return Arrival{Name: name, Size: int64(len(data)), Hash: hex.EncodeToString(sum[:]), Folders: folders}
}

// dropped lists what a walk of the inbox would find.
func dropped(t testing.TB, j *journal.Journal) []string {
	t.Helper()
	l, err := New(j, Options{}).walk(j.InboxDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range l.files {
		rel, err := filepath.Rel(j.InboxDir(), f.path)
		if err != nil {
			t.Fatal(err)
		}
		names = append(names, filepath.ToSlash(rel))
	}
	return names
}

// A photo that comes in pieces, with breaks and restarts between them and pieces that
// come twice, is in the inbox once, whole, where it belongs, and never before.
func TestComing(t *testing.T) {
	j := bench(t)
	data := shot(t, 1)
	a := arrivalOf(data, "IMG_0412.jpg", "pilot-boat", "clean", "after")
	rng := rand.New(rand.NewPCG(3, 13))
	c := NewComing(j.InboxDir())
	for pieces := 0; ; pieces++ {
		if names := dropped(t, j); len(names) != 0 {
			t.Fatalf("after %d pieces the inbox holds %v", pieces, names)
		}
		have := c.have(a.Hash)
		if got, err := c.Piece(a, have+1, bytes.NewReader(data)); !errors.Is(err, ErrElsewhere) || got.Have != have {
			t.Fatalf("a piece from elsewhere: %+v, %v", got, err)
		}
		n := min(int64(len(data)), have+1+rng.Int64N(int64(len(data)/4)))
		var piece io.Reader = bytes.NewReader(data[have:n])
		if rng.IntN(3) == 0 { // the network drops
			piece = io.MultiReader(bytes.NewReader(data[have:n-1]), iotest.ErrReader(io.ErrUnexpectedEOF))
		}
		got, err := c.Piece(a, have, piece)
		if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
			t.Fatal(err)
		}
		if rng.IntN(2) == 0 {
			c = NewComing(j.InboxDir()) // the program ends, and begins again
		}
		if got.Whole {
			break
		}
		if got.Have != c.have(a.Hash) || pieces > 1000 {
			t.Fatalf("%+v, %d there", got, c.have(a.Hash))
		}
	}
	if names := dropped(t, j); !slices.Equal(names, []string{"pilot-boat/clean/after/IMG_0412.jpg"}) {
		t.Fatalf("%v", names)
	}
	// Who did not hear that it is there sends the end of it again, or all.
	for range 2 {
		if got, err := NewComing(j.InboxDir()).Piece(a, 0, bytes.NewReader(data)); err != nil || !got.Whole {
			t.Errorf("%+v, %v", got, err)
		}
	}
	if _, err := New(j, Options{}).TakeAll(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	p := holds(t, j, data)
	if p.Tags.Build != "pilot-boat" || p.Tags.Stage != "clean" || p.Tags.Role != "after" {
		t.Errorf("%+v", p.Tags)
	}
}

// Two photos by one name are two; the same photo again is one.
func TestComingByOneName(t *testing.T) {
	j := bench(t)
	c := NewComing(j.InboxDir())
	for i := range 2 {
		data := shot(t, i+1)
		a := arrivalOf(data, "image.jpg", "pilot-boat")
		for range 2 {
			if got, err := c.Piece(a, 0, bytes.NewReader(data)); err != nil || !got.Whole {
				t.Fatalf("%+v, %v", got, err)
			}
			// As if the mark had been lost with the power.
			if err := os.Remove(c.path(a.Hash + doneEnd)); err != nil {
				t.Fatal(err)
			}
		}
	}
	names := dropped(t, j)
	if len(names) < 2 || len(names) > 4 || !slices.Contains(names, "pilot-boat/image.jpg") {
		t.Errorf("%v", names)
	}
	if _, err := New(j, Options{}).TakeAll(context.Background(), nil); err != nil || len(j.State.Photos) != 2 {
		t.Errorf("%d photos, %v", len(j.State.Photos), err)
	}
}

// Bytes that are not the photo are thrown away, and it comes anew.
func TestComingDamaged(t *testing.T) {
	j := bench(t)
	data := shot(t, 1)
	a := arrivalOf(data, "a.jpg")
	c := NewComing(j.InboxDir())
	bad := bytes.Clone(data)
	bad[len(bad)/2] ^= 1
	if got, err := c.Piece(a, 0, bytes.NewReader(bad)); !errors.Is(err, ErrOtherHash) || got.Have != 0 || got.Whole {
		t.Errorf("%+v, %v", got, err)
	}
	if names := dropped(t, j); len(names) != 0 {
		t.Errorf("%v", names)
	}
	// More than it was said to be is not looked at.
	long := io.MultiReader(bytes.NewReader(data), strings.NewReader("and more"))
	if got, err := c.Piece(a, 0, long); err != nil || !got.Whole {
		t.Errorf("%+v, %v", got, err)
	}
	if got, err := os.ReadFile(filepath.Join(j.InboxDir(), "a.jpg")); err != nil || !bytes.Equal(got, data) {
		t.Errorf("%d bytes, %v", len(got), err)
	}
}

// What nobody goes on with goes after a week, and there is an end to how much comes.
func TestComingIsCleared(t *testing.T) {
	j := bench(t)
	c := NewComing(j.InboxDir())
	old, fresh := arrivalOf([]byte("old"), "a.jpg"), arrivalOf([]byte("fresh"), "b.jpg")
	for _, a := range []Arrival{old, fresh} {
		if _, err := c.Piece(a, 0, strings.NewReader("x")); err != nil {
			t.Fatal(err)
		}
	}
	then := time.Now().Add(-comingKept - time.Minute)
	if err := os.Chtimes(c.path(old.Hash+partEnd), then, then); err != nil {
		t.Fatal(err)
	}
	c = NewComing(j.InboxDir())
	if c.have(old.Hash) != 0 || c.have(fresh.Hash) != 1 {
		t.Errorf("%d and %d bytes", c.have(old.Hash), c.have(fresh.Hash))
	}
	if c.room(comingBytes) || !c.room(comingBytes-1) {
		t.Error("the room is not what is left of it")
	}
}

// Names of any kind stay below the inbox, in no folder that is not walked, and are
// names on every system.
func TestComingNames(t *testing.T) {
	for text, want := range map[string]string{"IMG_0412.jpg": "IMG_0412.jpg", "../../etc/a.jpg": "a.jpg", `..\..\a.jpg`: "a.jpg", "/a.jpg": "a.jpg", `C:\a.jpg`: "a.jpg", "...a.jpg": "a.jpg",
		"a\x00b.jpg": "a_b.jpg", "a\u202egpj.exe.jpg": "a_gpj.exe.jpg", "a.jpg. .": "a.jpg", "con.jpg": "_con.jpg", "COM1.jpg": "_COM1.jpg", "comb.jpg": "comb.jpg", "a:b?.jpg": "a_b_.jpg",
		strings.Repeat("ä", 200) + ".jpeg": strings.Repeat("ä", 95) + ".jpeg", "\xff.jpg": "_.jpg"} {
		if got := comeName(text); got != want {
			t.Errorf("%q is called %q, not %q", text, got, want)
		}
	}
	good := arrivalOf([]byte("x"), "a.jpg")
	for _, name := range []string{"", ".", "..", ".coming", ".leaving", "a/b", `a\b`, "/", "~a", "aside", "ASIDE", "nul", "a\n", "a.", " a", "x.part", "c:"} {
		a := good
		a.Folders = []string{"pilot-boat", name}
		if a.Check() == nil {
			t.Errorf("%q is taken for a folder", name)
		}
	}
	for _, name := range []string{"", ".jpg", "a.exe", "a.xmp", "a.jpg.tmp", "a.html", "jpg", "Thumbs.db"} {
		a := good
		a.Name = name
		if a.Check() == nil {
			t.Errorf("%q is taken for a photo", name)
		}
	}
	for _, hash := range []string{"", "..", strings.Repeat("a", 63), strings.Repeat("A", 64), strings.Repeat("a", 62) + "/.", strings.Repeat("a", 128)} {
		a := good
		a.Hash = hash
		if a.Check() == nil {
			t.Errorf("%q is taken for a hash", hash)
		}
	}
}

// Whatever is sent, nothing is written outside of the inbox, and nothing in it but
// what is whole.
func FuzzComing(f *testing.F) {
	for _, seed := range [][4]string{{"a.jpg", "pilot-boat", "clean", "x"}, {"../a.jpg", "..", "/", "xy"}, {"con.jpg", "a\x00", "", ""}, {"..jpg", "aside", ".coming", "0"}} {
		f.Add(seed[0], seed[1], seed[2], seed[3], int64(1), int64(0))
	}
	f.Fuzz(func(t *testing.T, name, build, stage, data string, size, offset int64) {
		top := t.TempDir()
		in := filepath.Join(top, "journal", "inbox")
		a := arrivalOf([]byte(data), name, build, stage)
		if size%3 == 0 {
			a.Size = size
		}
		got, err := NewComing(in).Piece(a, offset, strings.NewReader(data))
		walked := filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			rel, err := filepath.Rel(in, path)
			if err != nil || !filepath.IsLocal(rel) {
				t.Errorf("%q was written", path)
			}
			if first, _, _ := strings.Cut(filepath.ToSlash(rel), "/"); first == comingDir {
				return nil
			}
			if written, err := os.ReadFile(path); err != nil || string(written) != data || !got.Whole {
				t.Errorf("%q holds %q, %v", rel, written, err)
			}
			return nil
		})
		if walked != nil && !errors.Is(walked, fs.ErrNotExist) || err == nil && got.Have > a.Size {
			t.Errorf("%v, %+v, %v", walked, got, err)
		}
	})
}
