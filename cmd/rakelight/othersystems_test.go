// Names on other systems: what Rakelight writes on one has to be written on all,
// and folders whose names only one system tells apart stay apart.

package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/unicode/norm"
)

// windowsNever is what no name of Windows may be: a device, a letter it refuses, an
// end it cuts off (Microsoft, "Naming Files, Paths, and Namespaces").
var windowsNever = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?$|[<>:"|?*\\\x00-\x1f]|[. ]$`)

// TestNamesOnOtherSystems writes a journal whose builds, kits, stages and photos are
// called what the systems take differently. All that is written has a name that
// Windows takes, and no two names are one where case does not count (Windows,
// macOS) or letters are composed otherwise (macOS).
func TestNamesOnOtherSystems(t *testing.T) {
	t.Parallel()
	h := heard{t, filepath.Join(t.TempDir(), "bench")}
	h.must(-30, "new "+h.dir+" --zone UTC")
	names := []string{"lorry", "con", "nul.txt", "Ünit", norm.NFD.String("Ünit"), "LPT1", "Lorry", "LORRY"}
	for _, name := range names {
		h.put("builds/"+name+"/build.md", "---\nkits: [{title: CON, runners: {A: 9}}]\nstages: [cut, 'aux', 'Paint', 'paint ', 'a/b:c']\n---\n")
		h.put("builds/"+name+"/diary/2026-03-14.md", "# Prn\n")
	}
	h.drop()
	for i, words := range []string{"on lorry cut", "done A1", "off", "take", "tag b.jpg lorry cut", "tag a.jpg con cut", "write"} {
		if code, told := h.say(time.Duration(20+i), words); code != exitDone && code != exitSetAside {
			t.Fatalf("%s: %d\n%s", words, code, told)
		}
	}
	seen, pages := map[string]string{}, 0
	err := filepath.WalkDir(h.dir, func(path string, d fs.DirEntry, err error) error {
		rel, relErr := filepath.Rel(h.dir, path)
		rel = filepath.ToSlash(rel)
		if err != nil || relErr != nil || rel == "." {
			return err
		}
		if rel == "builds" || rel == "inbox" {
			return fs.SkipDir // the person's own
		}
		if strings.HasSuffix(rel, ".html") {
			pages++
		}
		if windowsNever.MatchString(d.Name()) {
			t.Errorf("%s cannot be written on Windows", rel)
		}
		if len(rel) > 160 {
			t.Errorf("%s: %d bytes, where a path of Windows has 260 in all", rel, len(rel))
		}
		key := strings.ToLower(norm.NFC.String(rel))
		if other, twice := seen[key]; twice {
			t.Errorf("%q and %q are one name on other systems", other, rel)
		}
		seen[key] = rel
		return nil
	})
	if err != nil || pages < 10 {
		t.Error(pages, err)
	}
}

// TestComposedLettersAreOneName types the name of a build and of a stage with letters
// composed otherwise than its folder and build.md have them, as keyboard and file
// manager of macOS do, and drops a photo into a folder that is so called.
func TestComposedLettersAreOneName(t *testing.T) {
	t.Parallel()
	for _, forms := range [][2]norm.Form{{norm.NFC, norm.NFD}, {norm.NFD, norm.NFC}} {
		h := heard{t, filepath.Join(t.TempDir(), "bench")}
		h.must(-30, "new "+h.dir+" --zone UTC")
		build, typed := forms[0].String("fähre"), forms[1].String("fähre")
		h.put("builds/"+build+"/build.md", "---\nrunners: {A: 9}\nstages: [{id: "+forms[0].String("sägen")+", kind: cut}, clean]\n---\n")
		h.drop()
		photo := h.dir + "/inbox/" + typed + "/clean/e.jpg"
		if err := errors.Join(os.MkdirAll(filepath.Dir(photo), 0o755), os.Rename(h.dir+"/inbox/lorry/paint/d.jpg", photo)); err != nil {
			t.Fatal(err)
		}
		for i, words := range []string{"on " + typed + " " + forms[1].String("sägen"), "off"} {
			h.must(time.Duration(20+i), words)
		}
		_, told := h.say(40, "take")
		if code, why := h.say(41, "why e.jpg"); code == exitFailed || !strings.Contains(why, "build    "+build) {
			t.Errorf("take: %s\nwhy: %d %s", told, code, why)
		}
		if !strings.Contains(strings.Join(h.records(), "\n"), `"build":"`+build+`"`) {
			t.Errorf("the record says another build:\n%s", strings.Join(h.records(), "\n"))
		}
	}
}
