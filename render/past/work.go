// What goes on beside the requests: looking through folders, and bringing in. One
// thing at a time; what was interrupted is gone on with by asking for it again.

package past

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"

	"rakelight/journal"
	"rakelight/media/inbox"
	old "rakelight/media/past"
)

// work is the thing that goes on, or the last that did.
type work struct {
	mu   sync.Mutex
	now  *workLine // nil = nothing was done yet
	stop context.CancelFunc
	runs sync.WaitGroup
	over bool // nothing is begun any more
}

// workLine is how far it is.
type workLine struct {
	Runs        bool
	Words       string // "Looking through old pictures"
	Folder      string // the whole path of the one that is looked through; no device is told
	Done, Total int
	Fault       string
	Hint        string
	Left        []leftLine // files that were not brought in
	Build       string     // the build that pictures were brought in for
	Page        string     // its page, once some were
}

// line is how far it is, for a device without what lies where on this computer.
func (w *work) line(device bool) *workLine {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.now == nil {
		return nil
	}
	one := *w.now
	if device {
		one.Folder, one.Left, one.Fault = "", nil, ""
		if w.now.Fault != "" {
			one.Fault = "It did not end well; the page on the computer itself tells why."
		}
	}
	return &one
}

var errWorks = refusal("something else goes on: nothing was begun", "wait until it has ended, or stop it")

var errEnds = refusal("rakelight is ending: nothing was begun", "start it again, then do this once more")

// far tells how far something is.
type far func(done, total int)

// begin begins something, unless something goes on. do tells how far it is by at, and
// returns how it ended.
func (p *Pages) begin(what workLine, do func(ctx context.Context, at far) workLine) error {
	p.work.mu.Lock()
	defer p.work.mu.Unlock()
	if p.work.over {
		return errEnds
	}
	if p.work.now != nil && p.work.now.Runs {
		return errWorks
	}
	ctx, stop := context.WithCancel(p.ctx)
	what.Runs = true
	p.work.now, p.work.stop = &what, stop
	p.work.runs.Go(func() {
		defer stop()
		ended := do(ctx, func(done, total int) {
			p.work.mu.Lock()
			p.work.now.Done, p.work.now.Total = done, total
			p.work.mu.Unlock()
		})
		p.work.mu.Lock()
		p.work.now = &ended
		p.work.mu.Unlock()
	})
	return nil
}

// End has nothing be begun any more, stops what goes on, and returns when it has ended.
func (p *Pages) End() {
	p.work.mu.Lock()
	p.work.over = true
	if p.work.stop != nil {
		p.work.stop()
	}
	p.work.mu.Unlock()
	p.work.runs.Wait()
}

// progress tells a script how far it is.
func (p *Pages) progress(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	one := p.work.line(isDevice(r))
	if one == nil {
		one = &workLine{}
	}
	_ = json.NewEncoder(w).Encode(one) // the browser may have left
}

// stop has what goes on stop where it is.
func (p *Pages) stop(w http.ResponseWriter, r *http.Request) {
	p.work.mu.Lock()
	if p.work.stop != nil {
		p.work.stop()
	}
	p.work.mu.Unlock()
	http.Redirect(w, r, below(r.PostFormValue("back")), http.StatusSeeOther)
}

// look begins to look through a folder.
func (p *Pages) look(w http.ResponseWriter, r *http.Request) {
	dir, err := p.whole(r.PostFormValue("folder"))
	if err == nil {
		err = p.begin(workLine{Words: "Looking through", Folder: dir}, func(ctx context.Context, at far) workLine {
			return p.lookThrough(ctx, dir, at)
		})
	}
	p.led(w, r, err)
}

// whole is a folder as a person wrote it or a system copied it: "~" is their own.
func (p *Pages) whole(text string) (string, error) {
	text = strings.Trim(strings.TrimSpace(text), `"'`)
	if text == "" {
		return "", refusal("no folder is named", "write where it lies, from the root on, or paste its path")
	}
	rest, own := strings.CutPrefix(text, "~")
	if own && p.Home != "" && (rest == "" || os.IsPathSeparator(rest[0])) {
		text = filepath.Join(p.Home, rest)
	}
	if !filepath.IsAbs(text) {
		return "", refusal(text+" is no whole path", "write where the folder lies, from the root on")
	}
	dir := filepath.Clean(text)
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return "", refusal(dir+" is not there", "if it lies on a disk or a phone, is that plugged in?")
	case err != nil:
		return "", refusal(dir+" cannot be read ("+err.Error()+")", "")
	case !info.IsDir():
		return "", refusal(dir+" is no folder", "name the folder that it lies in")
	}
	return dir, nil
}

func (p *Pages) lookThrough(ctx context.Context, dir string, at far) workLine {
	ended, missing := workLine{Words: "Looked through", Folder: dir}, false
	j, err := p.Open()
	if err == nil {
		var s *old.Survey
		s, err = old.Look(ctx, j, []string{dir}, func(done, total int, _ string) {
			ended.Done, ended.Total = done, total
			at(done, total)
		})
		missing = s != nil && len(s.Missing) > 0
	}
	switch {
	case err == nil && missing:
		ended.Fault = "Nothing of what was read there is there now."
		ended.Hint = "Is the disk plugged in? What is known of its pictures stays."
	case errors.Is(err, context.Canceled):
		ended.Words = "Stopped looking through"
		ended.Hint = "Looking through it again goes on where this ended."
	case errors.Is(err, old.ErrBusy):
		ended.Fault, ended.Hint = err.Error(), "Wait until that has ended."
	case err != nil:
		ended.Fault = err.Error()
	}
	return ended
}

// forget lets a folder be shown no more.
func (p *Pages) forget(w http.ResponseWriter, r *http.Request) {
	_, err := old.Forget(&journal.Journal{Dir: p.Dir}, r.PostFormValue("folder"))
	p.led(w, r, err)
}

// led leads back to where something was asked for; err is why it was not done.
func (p *Pages) led(w http.ResponseWriter, r *http.Request, err error) {
	if err == nil {
		http.Redirect(w, r, below(r.PostFormValue("back")), http.StatusSeeOther)
		return
	}
	a, opened := p.ask(r)
	if opened != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	a.refuse(w, err)
}

// roots are the folders that were looked through.
func (a *asking) roots() []rootLine {
	n := map[string]int{}
	for _, p := range a.survey.Pictures {
		n[p.Root]++
	}
	var all []rootLine
	for _, dir := range a.survey.Roots {
		_, err := os.Stat(dir)
		all = append(all, rootLine{dir, n[dir], err != nil})
	}
	return all
}

// bring begins to bring in the pictures of a build, or of all.
func (p *Pages) bring(w http.ResponseWriter, r *http.Request) {
	a, err := p.ask(r)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	build := r.PostFormValue("build")
	var wanted []string
	for _, one := range a.pictures {
		if one.Wanted() && (build == "" || one.Said.Tags.Build == build) {
			wanted = append(wanted, one.Hash)
		}
	}
	if len(wanted) == 0 {
		p.led(w, r, refusal("there is nothing to bring in: nothing was copied",
			"name the build of some pictures first"))
		return
	}
	title := "all builds"
	if b := a.state.Build(build); b != nil {
		title = b.Title
	}
	p.led(w, r, p.begin(workLine{Words: "Bringing in " + title}, func(ctx context.Context, at far) workLine {
		return p.bringIn(ctx, build, title, wanted, at)
	}))
}

func (p *Pages) bringIn(ctx context.Context, build, title string, wanted []string, at far) workLine {
	ended := workLine{Build: build}
	j, err := p.Open()
	if err != nil {
		ended.Words, ended.Fault = "Nothing was brought in", err.Error()
		return ended
	}
	sum, err := old.BringIn(ctx, j, p.Intake(j), wanted, func(done, total int, _ inbox.Outcome) { at(done, total) })
	ended.Words = fmt.Sprintf("%s of %s brought in", count(sum.Taken, "picture"), title)
	ended.Left = leftOutcomes(sum.Left)
	if err == nil {
		var finished []journal.Finishable
		finished, err = old.Finish(j, wanted, p.Now())
		for _, f := range finished {
			ended.Words += fmt.Sprintf("; %s is finished, on %s, as its last picture shows (Undo takes it back)",
				titleOf(j.State, f.Build), f.Date)
		}
	}
	switch {
	case errors.Is(err, context.Canceled):
		ended.Hint = "It was stopped; bringing in again goes on with the rest."
	case err != nil:
		ended.Fault = err.Error()
	case len(sum.Left) > 0:
		ended.Hint = "What you said of the rest stands. If the disk they lie on is not plugged in, plug it in and bring in again; " +
			"if they were moved, look through the folder they lie in now."
	}
	if sum.Taken+sum.Duplicate > 0 && build != "" {
		ended.Page = p.Page(j, build)
	}
	return ended
}

func titleOf(s *journal.State, build string) string {
	if b := s.Build(build); b != nil {
		return b.Title
	}
	return build
}

// leftOutcomes are the files that were left where they lie, by reason.
func leftOutcomes(left []inbox.Outcome) []leftLine {
	var all []old.Left
	for _, o := range left {
		all = append(all, old.Left{Path: o.Path, Why: cmp.Or(o.Why, "it was left where it is")})
	}
	return leftLines(all, true)
}
