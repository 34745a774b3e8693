// Names on other systems: what Rakelight writes on one has to be written on all,
// and folders whose names only one system tells apart stay apart.

package main

import (
	"io/fs"
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
