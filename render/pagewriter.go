// One page after another: made if what it shows may have changed, compared with
// the file that is there, written if it differs, and let go.

package render

import (
	"context"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"sync"

	"rakelight/journal/say"
)

// pageWriter writes the pages of one view. What it holds at once is as many pages
// as there are processors.
type pageWriter struct {
	*output
	v       *view
	known   manifest        // of the last writing
	foreign map[string]bool // names under which somebody else's file lies

	lock   sync.Mutex
	ours   []string // of the foreign ones, those that hold what we would write
	now    manifest
	unsaid map[say.Key]string // the first page of each
	report *Report
	total  int
	done   int
	fatal  error
}

// all writes the pages in their order, as many at once as there are processors.
// Those that were not come to are in the new manifest as they were in the old.
func (w *pageWriter) all(ctx context.Context, pages []making) error {
	w.v.digest() // before several ask at once
	todo := make(chan making)
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(pages)) {
		group.Go(func() {
			for m := range todo {
				if err := w.page(m); err != nil {
					w.fail(err)
				}
			}
		})
	}
	for i, m := range pages {
		if err := ctx.Err(); err != nil {
			w.fail(err)
		}
		if w.report.Stopped = w.stop != nil && w.stop(); w.report.Stopped || w.failed() {
			w.leave(pages[i:])
			break
		}
		todo <- m
	}
	close(todo)
	group.Wait()
	for _, path := range w.ours {
		delete(w.foreign, path)
	}
	slices.Sort(w.report.Foreign)
	for _, key := range slices.Sorted(maps.Keys(w.unsaid)) {
		w.report.Unsaid = append(w.report.Unsaid, Unsaid{key, w.unsaid[key]})
	}
	return w.fatal
}

func (w *pageWriter) fail(err error) {
	w.lock.Lock()
	defer w.lock.Unlock()
	if w.fatal == nil {
		w.fatal = err
	}
}

func (w *pageWriter) failed() bool {
	w.lock.Lock()
	defer w.lock.Unlock()
	return w.fatal != nil
}

func (w *pageWriter) leave(pages []making) {
	w.lock.Lock()
	defer w.lock.Unlock()
	for _, m := range pages {
		if old, ok := w.known.Pages[m.path]; ok {
			w.now.Pages[m.path] = old
		}
	}
}

// page writes one page, unless it is the one it was made from last time.
func (w *pageWriter) page(m making) error {
	t := w.v.texts()
	old, ok := w.known.Pages[m.path]
	if ok && m.of != nil && !w.foreign[m.path] && old.Of == w.digestOf(m, old.Asked, t).String() {
		if is, there := looks(w.path(m.path)); there && is.sameFile(old) {
			w.note(m.path, old, false, false)
			return nil
		}
	}
	f, err := m.file(t)
	if err != nil {
		return err
	}
	if w.foreign[m.path] {
		if !w.holds(f) {
			w.lock.Lock()
			w.report.Foreign = append(w.report.Foreign, "pages/"+m.path)
			w.lock.Unlock()
			return nil
		}
		w.lock.Lock()
		w.ours = append(w.ours, m.path)
		w.lock.Unlock()
	}
	changed, err := w.writeChanged(f)
	if err != nil {
		return fmt.Errorf("pages/%s: %w", m.path, err)
	}
	is, _ := looks(w.path(m.path))
	is.Unsaid = f.unsaid
	if m.of != nil {
		is.Asked = slices.Sorted(maps.Keys(t.asked))
		is.Of = w.digestOf(m, is.Asked, t).String()
	}
	w.note(m.path, is, true, changed)
	return nil
}

// digestOf is of all that a page is made from, what its texts lead to included.
func (w *pageWriter) digestOf(m making, asked []string, t *texts) digest {
	return digestOf(w.v.digest().common(), m.template, m.of(), w.v.answersDigest(asked, t))
}

func (w *pageWriter) note(path string, is made, remade, changed bool) {
	w.lock.Lock()
	defer w.lock.Unlock()
	if is.Of != "" {
		w.now.Pages[path] = is
	}
	for _, key := range is.Unsaid {
		if first, ok := w.unsaid[key]; !ok || path < first {
			w.unsaid[key] = path
		}
	}
	if remade {
		w.report.Made++
	}
	if changed {
		w.report.Changed++
	}
	w.done++
	w.tell(w.done, w.total, "pages")
}
