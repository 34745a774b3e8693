// Tests of files written where a person said.

package journal

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

func TestHandOutReplacesNothingOfOthers(t *testing.T) {
	top := t.TempDir()
	bench := filepath.Join(top, "bench")
	if err := Create(bench, "x", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j, err := Open(bench)
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) string { return filepath.Join(top, filepath.FromSlash(name)) }
	put := func(name, text string) {
		t.Helper()
		if err := os.MkdirAll(filepath.Dir(at(name)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at(name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	others := map[string]string{
		"a photo.jpg": "\xff\xd8", "bench/journal.toml": "format = 1\n", "bench/README.txt": "read me", "bench/builds/x/build.md": "---\n---\n",
		"bench/photos/2026/03/a.jpg": "\xff\xd8", "bench/records/d/2026-03.jsonl": "{}\n", "bench/pages/index.html": "a page",
		"empty.html": "", "touched.html": string(seal([]byte("<p>")))[:10] + "x" + string(seal([]byte("<p>")))[11:], "more.html": string(seal([]byte("<p>"))) + "<p>mine",
		"beside/target.html": string(seal([]byte("<p>"))), "folder/a.html": "in a folder", "older edited.html": "older" + string(seal([]byte("<p>"))),
	}
	for name, text := range others {
		put(name, text)
	}
	refused := []string{"bench/photos/new.html", "bench/photos/2026/03/new.html", "bench/records/new.html", "bench/builds/new.html", "bench/builds/x/new.html",
		"bench/inbox/new.html", "nowhere/new.html", "folder", "a photo.jpg/new.html"}
	for name := range others {
		if name != "beside/target.html" && name != "folder/a.html" {
			refused = append(refused, name)
		}
	}
	if err := os.Symlink(at("beside/target.html"), at("link.html")); err == nil {
		refused = append(refused, "link.html")
	}
	if err := os.Symlink(at("nothing there"), at("dangling.html")); err == nil {
		refused = append(refused, "dangling.html")
	}
	if err := os.Symlink(at("bench/photos"), at("way in")); err == nil {
		refused = append(refused, "way in/new.html", "way in/2026/new.html")
	}
	for _, name := range refused {
		for way, write := range map[string]func(string, []byte) error{
			"HandOut":     j.HandOut,
			"HandOutPage": func(path string, data []byte) error { return j.HandOutPage(path, data, "older") },
		} {
			var ask *AskError
			if err := write(at(name), []byte("new")); !errors.As(err, &ask) || ask.Hint == "" || !strings.Contains(ask.What, "nothing written") {
				t.Errorf("%s of %s: %v", way, name, err)
			}
		}
	}
	for name, text := range others {
		if got, err := os.ReadFile(at(name)); err != nil || string(got) != text {
			t.Errorf("%s holds %q now, %v", name, got, err)
		}
	}
	if _, err := os.Lstat(at("nothing there")); err == nil {
		t.Error("written through a link")
	}
	if left, _ := filepath.Glob(filepath.Join(top, "*", ".rakelight-*")); len(left) > 0 {
		t.Error("left behind:", left)
	}
}

func TestHandOutPageReplacesItsOwn(t *testing.T) {
	j := &Journal{Dir: t.TempDir()}
	path := filepath.Join(j.Dir, "cards.html")
	for _, text := range []string{"<p>one", "<p>two"} {
		if err := j.HandOutPage(path, []byte(text), ""); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(path); err != nil || !strings.HasPrefix(string(got), text+"<!-- written by Rakelight, sha256 ") {
			t.Errorf("%q, %v", got, err)
		}
	}
	// A page of before there were seals, only where its beginning is named.
	if err := os.WriteFile(path, []byte("<title>Bench cards"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := j.HandOutPage(path, []byte("<p>three"), ""); err == nil {
		t.Error("replaced unasked")
	}
	if err := j.HandOutPage(path, []byte("<p>three"), "<title>Bench"); err != nil {
		t.Error(err)
	}
	// HandOut replaces nothing, not even that.
	if err := j.HandOut(path, []byte("<p>four")); err == nil {
		t.Error("replaced")
	}
	// The pages folder is made.
	if err := j.HandOutPage(filepath.Join(j.Dir, "pages", "cards.html"), []byte("<p>"), ""); err != nil {
		t.Error(err)
	}
}

// A journal that could not be made to its end leaves nothing in the way of the
// next try. The path is so long that the folders fit below it and the temporary
// files do not.
func TestCreateLeavesNoHalf(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the longest path is another")
	}
	const longest = 4096 - 1 // PATH_MAX of linux/limits.h, with the zero behind
	dir := t.TempDir()
	for len(dir) < longest-220 {
		dir = filepath.Join(dir, strings.Repeat("a", 100))
	}
	dir = filepath.Join(dir, strings.Repeat("b", longest-len("/records")-len(dir)-5))
	if err := Create(dir, "x", "UTC", time.Now()); err == nil {
		t.Fatal("made")
	}
	if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		t.Error("left behind:", err)
	}
	if _, err := os.Stat(filepath.Dir(dir)); err != nil {
		t.Error("the folder above:", err)
	}
}

func TestNoJournalInAJournalsFolders(t *testing.T) {
	bench := filepath.Join(t.TempDir(), "bench")
	if err := Create(bench, "x", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(bench, "a file")
	if err := os.WriteFile(file, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"photos/new", "inbox/a/b/new", "records", "builds/x", ".", "a file"} {
		var ask *AskError
		if err := Create(filepath.Join(bench, filepath.FromSlash(name)), "x", "UTC", time.Now()); !errors.As(err, &ask) || ask.Hint == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := Create(filepath.Join(bench, "other"), "x", "UTC", time.Now()); err != nil {
		t.Error(err)
	}
}
