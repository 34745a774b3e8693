// Files handed out together: ours are replaced and go, others' stay.

package journal

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rakelight/journal/disk"
)

func TestHandOutFolder(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	to := filepath.Join(t.TempDir(), "deep", "video")
	hand := func(files map[string]string) error {
		f, err := j.HandOutFolder(to)
		if err != nil {
			return err
		}
		for _, name := range sortedKeys(files) {
			if err := f.Write(name, []byte(files[name])); err != nil {
				return err
			}
		}
		return f.Close()
	}
	is := func(name, want string) {
		t.Helper()
		data, err := os.ReadFile(filepath.Join(to, name))
		if want == "" && !errors.Is(err, os.ErrNotExist) || want != "" && string(data) != want {
			t.Errorf("%s holds %q, %v; want %q", name, data, err, want)
		}
	}
	put := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(to, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := hand(map[string]string{"a": "1", "b": "1", "c": "1"}); err != nil {
		t.Fatal(err)
	}
	put("mine", "not yours")
	put("c", "changed by hand")
	// b is not written again, and goes; c was touched, and stays.
	if err := hand(map[string]string{"a": "2", "d": "2"}); err != nil {
		t.Fatal(err)
	}
	is("a", "2")
	is("b", "")
	is("c", "changed by hand")
	is("d", "2")
	is("mine", "not yours")
	var ask *AskError
	for _, name := range []string{"mine", "c"} {
		if err := hand(map[string]string{name: "3"}); !errors.As(err, &ask) {
			t.Errorf("%s was written over: %v", name, err)
		}
	}
	is("mine", "not yours")
	is("c", "changed by hand")
	// A list that leads out of the folder is somebody's mischief.
	outside := filepath.Join(filepath.Dir(to), "outside")
	if err := os.WriteFile(outside, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	put(handedOut, lineOf("../outside", []byte("x"))+"\n")
	if err := hand(map[string]string{"e": "4"}); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(outside); err != nil {
		t.Error("a file outside of the folder is gone")
	}
	for _, name := range []string{"photos", "records/video"} {
		if _, err := j.HandOutFolder(j.Path(name)); !errors.As(err, &ask) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := os.Stat(j.Path("records/video")); !errors.Is(err, os.ErrNotExist) {
		t.Error("a folder was made among the journal's own")
	}
}

// What is stopped or fails half-way leaves no file, and its error comes back as it is.
func TestHandOutThrough(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	to := t.TempDir()
	file, stopped := filepath.Join(to, "a.avi"), errors.New("stopped")
	write := func(end error) func(disk.File) error {
		return func(tmp disk.File) error {
			_, err := tmp.Write([]byte("half"))
			return errors.Join(err, end)
		}
	}
	if err := j.HandOutThrough(file, write(stopped)); !errors.Is(err, stopped) {
		t.Errorf("%v", err)
	}
	if left, err := os.ReadDir(to); err != nil || len(left) > 0 {
		t.Errorf("%v are left, %v", left, err)
	}
	if err := j.HandOutThrough(file, write(nil)); err != nil {
		t.Fatal(err)
	}
	var ask *AskError
	if err := j.HandOutThrough(file, write(nil)); !errors.As(err, &ask) {
		t.Errorf("it was written over: %v", err)
	}
}
