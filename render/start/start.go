// Package start serves the pages for who has no journal yet, or wants another: to
// make one, to open one, to look at the demo, and to plan a build by tapping.
//
// Start with New. The handler lives as long as the program: it is served alone while
// no journal is open, and beside the pages of the one that is. Opening a journal and
// making the demo is left to who serves it (Doing); all else is written by the
// functions that commands call. Nothing here needs a script.
package start

import (
	"bytes"
	"context"
	"html/template"
	"io/fs"
	"net/http"
	"path/filepath"
	"strconv"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry/wording"
	"rakelight/render/guard"
	"rakelight/site"
)

// Root is the address below which the pages are, Plan that of the plan of a build.
const (
	Root = "/start/"
	Plan = Root + "plan"
	mat  = "/bench/"
)

// folder is where package site has what the pages are made of.
const folder = "start"

// Policy is the Content-Security-Policy of the pages: their style and their forms.
const Policy = "default-src 'none'; img-src 'self'; style-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// Doing is what the pages have done elsewhere.
type Doing struct {
	// Open goes over to the journal in dir and returns when its pages are served; nil
	// = a journal is served, and builds are planned in it, no more.
	Open func(dir string) error
	// Demo makes the demo, or finds the one that is there, and returns its folder.
	Demo func(progress func(done, total int, what string)) (dir string, err error)
	// Stop ends the program, once what was asked for has been answered.
	Stop func()
	// OpenBench opens a journal as it is now.
	OpenBench func(dir string) (*journal.Journal, error)
	Now       func() time.Time

	Home string // the person's own folder, "" = not known
	Zone string // of this computer, "" = it does not tell
}

// Site answers requests to the pages. Its methods may be called from several
// goroutines.
type Site struct {
	do  Doing
	mux *http.ServeMux

	mu   sync.Mutex
	at   place  // the journal that is open
	said string // why there is none
	demo making
}

// place is a journal.
type place struct{ Dir, Name string }

// Inbox is the folder photos are dropped into.
func (p place) Inbox() string { return filepath.Join(p.Dir, "inbox") }

// New are the pages, with no journal open.
func New(do Doing) *Site {
	s := &Site{do: do, mux: http.NewServeMux()}
	style, err := fs.ReadFile(site.Files, folder+"/start.css")
	if err != nil {
		panic("start: start.css is not embedded")
	}
	s.mux.HandleFunc("GET "+Root+"start.css", guard.Static("text/css; charset=utf-8", style))
	s.mux.HandleFunc("GET "+Plan, s.plan)
	s.mux.HandleFunc("POST "+Plan, s.plan)
	s.mux.HandleFunc("GET "+Root+"{$}", s.front)
	if do.Open == nil {
		return s
	}
	for address, page := range map[string]http.HandlerFunc{
		"GET " + Root + "choose": s.choose,
		"GET " + Root + "new":    s.newJournal, "POST " + Root + "new": s.newJournal,
		"GET " + Root + "open": s.openJournal, "POST " + Root + "open": s.openJournal,
		"GET " + Root + "demo": s.showDemo, "POST " + Root + "demo": s.makeDemo,
		"POST " + Root + "stop": s.stop,
	} {
		s.mux.HandleFunc(address, here(page))
	}
	s.mux.HandleFunc("GET /", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, Root, http.StatusSeeOther)
	})
	return s
}

// here lets this computer alone ask: a phone that was let in says things to one
// journal, and has no business with the folders of the computer.
func here(page http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if _, device := guard.Device(r); device {
			http.Error(w, "Open this on the computer itself.", http.StatusForbidden)
			return
		}
		page(w, r)
	}
}

// Handler answers everything below Root, and leads there from anywhere else.
func (s *Site) Handler() http.Handler { return s.mux }

// Opened says that a journal is open from now on.
func (s *Site) Opened(dir, name string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.at, s.said = place{dir, name}, ""
}

// Closed says that no journal is open from now on, and why; "" = there was none.
func (s *Site) Closed(why string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.at, s.said = place{}, why
}

func (s *Site) now() (place, string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.at, s.said
}

// templates are part of the program: one that does not parse is a fault in it, which
// the tests find.
var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New(folder).ParseFS(site.Files, folder+"/*.html"))
})

// framed is a page with what stands around each.
type framed struct {
	Form string        // what a form must bring along to be taken
	Said wording.Words // why something was not done
	Page any
}

// write answers with a page; err is why what was asked for was not done.
func write(w http.ResponseWriter, r *http.Request, name string, page any, err error) {
	f, code := framed{Form: guard.Form(r), Page: page}, http.StatusOK
	if err != nil {
		f.Said, code = wordsOf(err), http.StatusConflict
	}
	var out bytes.Buffer
	if err := templates().ExecuteTemplate(&out, name+".html", f); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Security-Policy", Policy)
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Length", strconv.Itoa(out.Len())) // the last page is whole before all ends
	w.WriteHeader(code)
	_, _ = w.Write(out.Bytes()) // the browser may have left
}

func wordsOf(err error) wording.Words {
	if words, refused := wording.Refused(err); refused {
		return words
	}
	return wording.Words{What: err.Error()}
}

// stop ends the program after a last page.
func (s *Site) stop(w http.ResponseWriter, r *http.Request) {
	at, _ := s.now()
	write(w, r, "stopped", at, nil)
	if f, ok := w.(http.Flusher); ok {
		f.Flush()
	}
	context.AfterFunc(r.Context(), s.do.Stop) // when the answer has gone out
}
