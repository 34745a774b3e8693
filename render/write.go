// Package render writes the pages of a journal: state to page values to bytes.
// Start with Write. The same journal gives the same bytes; only files that
// changed are written again.
package render

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/site"
)

// widths are the web sizes: a telephone, a tablet, a screen.
var widths = []int{480, 960, 1600}

// Options are what the caller wants to hear while it goes on.
type Options struct {
	Progress func(done, total int, what string)
}

// Report says what Write did.
type Report struct {
	Pages, Changed, Photos, Removed int
}

// Write writes all pages into the journal's pages/ folder. A photo whose
// original cannot be read is left out of the pages and named in the error; the
// rest is written all the same.
func Write(ctx context.Context, j *journal.Journal, opts Options) (Report, error) {
	state := j.State
	sizes, failed := webSizes(ctx, j, opts.Progress)
	if ctx.Err() != nil {
		return Report{}, ctx.Err()
	}
	pages, err := pagesOf(state, sizes)
	if err != nil {
		return Report{}, err
	}
	report := Report{Pages: len(pages) - 1, Photos: len(sizes)}
	keep := map[string]bool{}
	for _, name := range sortedNames(pages) {
		path := filepath.Join(j.Dir, "pages", filepath.FromSlash(name))
		keep[path] = true
		if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, pages[name]) {
			continue
		}
		if err := journal.WriteFile(path, pages[name]); err != nil {
			return report, err
		}
		report.Changed++
	}
	report.Removed = removeStale(filepath.Join(j.Dir, "pages"), keep, sizes)
	return report, failed
}

// pagesOf makes every page, by its name below pages/.
func pagesOf(state *journal.State, sizes map[string][]webSize) (map[string][]byte, error) {
	templates, err := template.ParseFS(site.Files, "shared/pages.html")
	if err != nil {
		return nil, err
	}
	style, err := fs.ReadFile(site.Files, "shared/style.css")
	if err != nil {
		return nil, err
	}
	pages := map[string][]byte{"style.css": style}
	add := func(name, kind string, page any) error {
		var b bytes.Buffer
		if err := templates.ExecuteTemplate(&b, kind, page); err != nil {
			return fmt.Errorf("page %s: %w", name, err)
		}
		pages[name] = b.Bytes()
		return nil
	}
	if err := add("index.html", "home", homeOf(state, sizes)); err != nil {
		return nil, err
	}
	if err := add("to-sort.html", "sort", sortOf(state, sizes)); err != nil {
		return nil, err
	}
	for _, b := range state.Builds {
		page, err := buildOf(state, b, sizes)
		if err != nil {
			return nil, err
		}
		if err := add("builds/"+b.ID+".html", "build", page); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

// webSize is one written size of a photo.
type webSize struct{ Width, Height int }

// webSizes makes the web sizes of every photo, two at a time, and returns
// those that are there, by hash.
func webSizes(ctx context.Context, j *journal.Journal, progress func(int, int, string)) (map[string][]webSize, error) {
	var (
		mu     sync.Mutex
		wg     sync.WaitGroup
		failed []error
		done   int
		sizes  = map[string][]webSize{}
		work   = make(chan *journal.Photo)
	)
	for range 2 {
		wg.Go(func() {
			for p := range work {
				made, err := sizesOf(j, p)
				mu.Lock()
				if err != nil {
					failed = append(failed, fmt.Errorf("%s is not shown: %w", p.Path, err))
				} else {
					sizes[p.Hash] = made
				}
				done++
				if progress != nil {
					progress(done, len(j.State.Photos), "photos made ready")
				}
				mu.Unlock()
			}
		})
	}
	for _, p := range j.State.Photos {
		if ctx.Err() != nil {
			break
		}
		work <- p
	}
	close(work)
	wg.Wait()
	return sizes, errors.Join(failed...)
}

// sizesOf makes the sizes of one photo, unless the widest is there already: it
// is written first, so the list beside it is written last.
func sizesOf(j *journal.Journal, p *journal.Photo) ([]webSize, error) {
	list := j.Path(".cache/sizes/" + p.Hash + ".txt")
	if data, err := os.ReadFile(list); err == nil {
		if made, ok := parseSizes(j, p, string(data)); ok {
			return made, nil
		}
	}
	written, err := media.Sizes(j.Path(p.Path), p.Turn, func(w int) string { return j.Path("pages/" + sizeName(p, w)) }, widths)
	if err != nil {
		return nil, err
	}
	var text strings.Builder
	for _, s := range written {
		final := j.Path("pages/" + sizeName(p, s.Width))
		if final != s.Path {
			if err := os.Rename(s.Path, final); err != nil {
				return nil, err
			}
		}
		fmt.Fprintf(&text, "%d %d\n", s.Width, s.Height)
	}
	if err := journal.WriteFile(list, []byte(text.String())); err != nil {
		return nil, err
	}
	made, _ := parseSizes(j, p, text.String())
	return made, nil
}

func parseSizes(j *journal.Journal, p *journal.Photo, text string) ([]webSize, bool) {
	var made []webSize
	for line := range strings.Lines(text) {
		var s webSize
		if _, err := fmt.Sscanf(line, "%d %d", &s.Width, &s.Height); err != nil {
			return nil, false
		}
		if _, err := os.Stat(j.Path("pages/" + sizeName(p, s.Width))); err != nil {
			return nil, false
		}
		made = append(made, s)
	}
	return made, len(made) > 0
}

// sizeName is the file of a web size below pages/.
func sizeName(p *journal.Photo, width int) string {
	return fmt.Sprintf("photos/%s-%d.jpg", p.Hash[:16], width)
}

// removeStale deletes pages and sizes that nothing shows any more. It touches
// only names this package writes.
func removeStale(root string, keep map[string]bool, sizes map[string][]webSize) int {
	shown := map[string]bool{}
	for hash := range sizes {
		shown[hash[:16]] = true
	}
	removed := 0
	for _, pattern := range []string{"builds/*.html", "photos/*.jpg"} {
		found, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(pattern)))
		if err != nil {
			continue
		}
		for _, path := range found {
			short, _, _ := strings.Cut(filepath.Base(path), "-")
			if keep[path] || strings.HasSuffix(path, ".jpg") && shown[short] {
				continue
			}
			if os.Remove(path) == nil {
				removed++
			}
		}
	}
	return removed
}

func sortedNames(m map[string][]byte) []string {
	names := make([]string, 0, len(m))
	for n := range m {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}
