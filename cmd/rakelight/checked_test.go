// The demo's pages in each edition, checked as a whole: where links lead, what is asked
// for, what they weigh, and how they are walked by keys. TestPagesByCheckers has them
// looked over by programs that others keep.

package main

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// written is a folder of pages.
type written struct {
	edition string
	dir     string
}

// writtenDemo is the demo in each edition. RAKELIGHT_PAGES=DIR has the pages of another
// folder looked at instead.
func writtenDemo(t *testing.T) []written {
	t.Helper()
	if dir := os.Getenv("RAKELIGHT_PAGES"); dir != "" {
		return []written{{"pages", dir}}
	}
	mine := demoPages(t)
	readers, err := publishedDemo()
	if err != nil {
		t.Fatal(err)
	}
	return []written{{"mine", mine}, {"for readers", readers}}
}

// publishedDemo is what readers get of the demo, made once.
var publishedDemo = sync.OnceValues(func() (dir string, err error) {
	mine, err := theDemo()
	if err != nil {
		return "", err
	}
	dir = filepath.Join(shelf, "for-readers")
	return dir, publish(mine, dir)
})

// publish publishes a journal into a folder, with further words of the command.
func publish(journal, dir string, words ...string) error {
	var out, errs strings.Builder
	args := append([]string{"--journal", journal, "publish", dir}, words...)
	if code := run(context.Background(), args, &out, &errs, time.Now); code != exitDone {
		return fmt.Errorf("publish ended with %d: %s", code, errs.String())
	}
	return nil
}

// kinds are pages of which each stands for others of its make: of every kind the
// longest, which has most on it, and all pages of builds.
func (w written) kinds(t *testing.T) []string {
	t.Helper()
	longest := map[string]string{}
	size := map[string]int64{}
	for _, name := range pageFiles(t, w.dir) {
		info, err := os.Stat(filepath.Join(w.dir, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		if kind := kindOf(name); info.Size() > size[kind] {
			longest[kind], size[kind] = name, info.Size()
		}
	}
	var names []string
	for _, name := range longest {
		names = append(names, name)
	}
	slices.SortFunc(names, cmp.Compare[string])
	return names
}

var digitsOfPage = regexp.MustCompile(`[-0-9W]*[0-9][-0-9W]*`)

// kindOf is the kind of a page by its address: "builds/lorry.html" is its own,
// "builds/lorry/kit-2.html" that of all kit lists, "days/2026-06-23.html" that of all
// days.
func kindOf(name string) string {
	parts := strings.Split(name, "/")
	last := strings.TrimSuffix(parts[len(parts)-1], ".html")
	switch {
	case len(parts) == 3: // a page of a build, besides its own
		return parts[0] + "//" + digitsOfPage.ReplaceAllString(last, "")
	case len(parts) == 2 && parts[0] == "compare":
		if strings.HasSuffix(last, "-before-after") {
			return "compare/before-after"
		}
		return "compare/"
	case strings.HasPrefix(name, "criterion-"):
		return digitsOfPage.ReplaceAllString(last, "")
	case len(parts) == 2 && parts[0] != "builds":
		return parts[0] + "/" + digitsOfPage.ReplaceAllString(last, "")
	}
	return name
}

func TestKindsOfPages(t *testing.T) {
	for name, want := range map[string]string{
		"index.html": "index.html", "builds/lorry.html": "builds/lorry.html", "builds/lorry/kit-12.html": "builds//kit",
		"builds/pilot-boat/take-apart.html": "builds//take-apart", "compare/clean-lorry-boat.html": "compare/",
		"compare/lorry-clean-before-after.html": "compare/before-after", "days/2026-06-23.html": "days/",
		"weeks/2026-W26.html": "weeks/", "years/2026.html": "years/", "years/2026-review.html": "years/review",
		"criterion-3.html": "criterion", "criterion-3-photos.html": "criterionphotos",
	} {
		if got := kindOf(name); got != want {
			t.Errorf("%s is of kind %q, want %q", name, got, want)
		}
	}
}

// TestWrittenPages needs Chromium and nothing else. Styles and keys of the readers'
// pages, which are of the same templates, are looked at beside the checkers alone: the
// tests of this package have ten minutes together.
func TestWrittenPages(t *testing.T) {
	t.Parallel()
	for _, w := range writtenDemo(t) {
		t.Run(w.edition, func(t *testing.T) {
			t.Parallel()
			t.Run("links", func(t *testing.T) { w.testLinks(t) })
			t.Run("weight", func(t *testing.T) { w.testWeight(t) })
			t.Run("served", func(t *testing.T) { w.testServed(t) })
			if w.edition != "mine" && os.Getenv("RAKELIGHT_CHECKERS") == "" {
				return
			}
			t.Run("styles", func(t *testing.T) { w.testStyles(t) })
			t.Run("keys", func(t *testing.T) { w.testKeys(t) })
		})
	}
}
