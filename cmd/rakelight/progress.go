// Progress lines: one line that rewrites itself on a terminal, nothing at all
// elsewhere, so that logs and scripts stay clean.

package main

import (
	"fmt"
	"io"
	"os"
	"time"
)

// progress shows how far a long job is. Its zero value shows nothing.
type progress struct {
	w     io.Writer
	start time.Time
	last  time.Time
	wrote bool
}

// newProgress shows on w when w is a terminal that can rewrite a line.
func newProgress(w io.Writer) *progress {
	if !onTerminal(w) || os.Getenv("TERM") == "dumb" || os.Getenv("CI") != "" {
		return &progress{}
	}
	return &progress{w: w, start: time.Now()}
}

// at tells that done of total are finished; at most five lines a second.
func (p *progress) at(done, total int, what string) {
	if p.w == nil || total == 0 || (time.Since(p.last) < 200*time.Millisecond && done < total) {
		return
	}
	p.last = time.Now()
	left := ""
	if spent := time.Since(p.start); done > 0 && done < total && spent > 2*time.Second {
		left = fmt.Sprintf(", about %s left",
			(spent * time.Duration(total-done) / time.Duration(done)).Round(time.Second))
	}
	fmt.Fprintf(p.w, "\r\x1b[K%d of %d %s%s", done, total, what, left)
	p.wrote = true
}

// end clears the line, and starts the clock of the next job.
func (p *progress) end() {
	if p.w != nil && p.wrote {
		fmt.Fprint(p.w, "\r\x1b[K")
	}
	p.wrote, p.start, p.last = false, time.Now(), time.Time{}
}
