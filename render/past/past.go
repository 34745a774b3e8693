// Package past serves the contact sheet of the years before: old pictures where they
// lie, on a time axis, to be named, staged, left out and brought in.
//
// Start with New, and mount it below Root. Each request opens the journal as it is
// then and the survey of package media/past, and makes one page of them. What is said
// goes through the door (entry.Past, entry.Clock), each thing with an id of its own.
// Only this computer names folders to look through; devices that are let in see the
// pictures of those that were, and say what they are. Without scripts all forms work;
// with them (site/past/contact.js) ranges are chosen by drag, keys and taps.
package past

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/media/inbox"
	old "rakelight/media/past"
	"rakelight/render/guard"
	"rakelight/site"
)

// Root is the address below which the pages are mounted.
const Root = "/past/"

// folder is where package site has what the pages are made of.
const folder = "past"

// Policy is the Content-Security-Policy of the pages: what lies beside them, and
// nothing else.
const Policy = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'"

// Options are what the pages stand on.
type Options struct {
	Dir    string // the journal's folder
	Home   string // the person's own folder, "" = not known
	Now    func() time.Time
	Open   func() (*journal.Journal, error)              // the journal as it is now, with its photos
	Intake func(*journal.Journal) inbox.Options          // how pictures are brought in
	Page   func(j *journal.Journal, build string) string // the address of a build's page
}

// Pages answers requests to the pages. Its methods may be called from several
// goroutines.
type Pages struct {
	Options
	ctx context.Context // ends what goes on beside the requests

	saying sync.Mutex // one thing is said at a time

	laying  sync.Mutex
	laid    *look  // as it was laid out last; it is only read
	stamped string // of what that rests on

	work work
}

// New are the pages of a journal; looking and bringing in that was begun ends with ctx.
func New(ctx context.Context, o Options) *Pages { return &Pages{Options: o, ctx: ctx} }

// templates are part of the program: one that does not parse is a fault in it, which
// the tests find.
var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New(folder).Funcs(template.FuncMap{"id": newID, "count": count}).
		ParseFS(site.Files, folder+"/*.html"))
})

// Handler answers everything below Root.
func (p *Pages) Handler() http.Handler {
	mux := http.NewServeMux()
	for name, kind := range map[string]string{
		folder + "/past.css": "text/css; charset=utf-8", folder + "/contact.js": "text/javascript; charset=utf-8",
		folder + "/progress.js": "text/javascript; charset=utf-8", "fonts/serif-regular.woff2": "font/woff2",
		"fonts/sans-regular.woff2": "font/woff2", "fonts/sans-semibold.woff2": "font/woff2",
	} {
		data, err := site.Files.ReadFile(name)
		if err != nil {
			panic("past: " + name + " is not embedded")
		}
		mux.HandleFunc("GET "+Root+name[strings.IndexByte(name, '/')+1:], guard.Static(kind, data))
	}
	mux.HandleFunc("GET "+Root+"{$}", p.show("years", overview))
	mux.HandleFunc("GET "+Root+"sheet", p.show("sheet", sheet))
	mux.HandleFunc("GET "+Root+"month", p.month)
	mux.HandleFunc("GET "+Root+"thumb/{picture}", p.thumb)
	mux.HandleFunc("GET "+Root+"work", p.progress)
	mux.HandleFunc("POST "+Root+"say", p.say)
	mux.HandleFunc("POST "+Root+"bring", p.bring)
	mux.HandleFunc("POST "+Root+"stop", p.stop)
	mux.HandleFunc("POST "+Root+"look", here(p.look))
	mux.HandleFunc("POST "+Root+"forget", here(p.forget))
	return mux
}

// here lets this computer alone ask: what lies in its folders is no business of a
// phone that was let in to say things to one journal.
func here(page http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if isDevice(r) {
			http.Error(w, "Folders are named on the computer itself.", http.StatusForbidden)
			return
		}
		page(w, r)
	}
}

func isDevice(r *http.Request) bool {
	_, device := guard.Device(r)
	return device
}

// asking is a request for a page, the journal and the pictures as they are then.
type asking struct {
	*Pages
	*look
	journal *journal.Journal
	request *http.Request
}

// value is a field of the address.
func (a *asking) value(name string) string { return a.request.URL.Query().Get(name) }

// ask opens the journal, and lays the pictures out unless nothing changed since that
// was done last: who says ten things in a minute waits once for each.
func (p *Pages) ask(r *http.Request) (*asking, error) {
	stamp := p.stamp()
	j, err := p.Open()
	if err != nil {
		return nil, err
	}
	p.laying.Lock()
	defer p.laying.Unlock()
	if p.laid == nil || p.stamped != stamp {
		s, err := old.Open(j)
		if err != nil {
			return nil, err
		}
		p.laid, p.stamped = newLook(j.State, s), stamp
		if j, err = p.Open(); err != nil { // what is said changes this one, and not the state that is laid out
			return nil, err
		}
	}
	return &asking{p, p.laid, j, r}, nil
}

// stamp changes whenever something does on which the pages rest: names, sizes and
// times of files.
func (p *Pages) stamp() string {
	sum := sha256.New()
	note := func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return nil // what vanishes meanwhile only makes it differ
		}
		if info, err := d.Info(); err == nil {
			fmt.Fprintf(sum, "%s %d %d\n", path, info.Size(), info.ModTime().UnixNano())
		}
		return nil
	}
	for _, top := range []string{"journal.toml", "builds", "records", ".cache/past/seen.jsonl",
		".cache/past/roots.json"} {
		_ = filepath.WalkDir(filepath.Join(p.Dir, filepath.FromSlash(top)), note) // note returns none
	}
	return string(sum.Sum(nil))
}

// framed is a page with what stands around each.
type framed struct {
	Form   string // what a form must bring along to be taken
	Here   string // the address to come back to
	Device bool   // it is shown to a device that was let in
	Said   []saidLine
	Before []saidLine // what was said before that, folded up
	Work   *workLine
	Fault  *answer // why what was asked for was not done, nil = it was
	Page   any
}

// show answers with a page.
func (p *Pages) show(name string, values func(*asking) any) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		a, err := p.ask(r)
		if err != nil {
			http.Error(w, "The old pictures cannot be shown: "+err.Error(), http.StatusInternalServerError)
			return
		}
		a.write(w, name, values(a), nil, http.StatusOK)
	}
}

// write answers with a page made of values.
func (a *asking) write(w http.ResponseWriter, name string, values any, fault *answer, code int) {
	f := framed{Form: guard.Form(a.request), Here: Root, Device: isDevice(a.request), Said: a.saidLast(),
		Work: a.work.line(isDevice(a.request)), Fault: fault, Page: values}
	if len(f.Said) > unfolded {
		f.Said, f.Before = f.Said[:unfolded], f.Said[unfolded:]
	}
	if s, ok := values.(sheetPage); ok && f.Work != nil && !f.Work.Runs {
		if of := f.Work.Build; of == "" || of != s.Group.Build {
			f.Work = nil // what ended and is of no concern here is told on the first page
		}
	}
	if a.request.Method == http.MethodGet {
		f.Here = a.request.URL.RequestURI()
	}
	var out bytes.Buffer
	if err := templates().ExecuteTemplate(&out, name+".html", f); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(code)
	_, _ = w.Write(out.Bytes()) // the browser may have left
}

// thumb answers with the small picture of an id. It never changes.
func (p *Pages) thumb(w http.ResponseWriter, r *http.Request) {
	hash := p.hashOf(r)
	path, ok := old.Thumb(&journal.Journal{Dir: p.Dir}, hash)
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	http.ServeFile(w, r, path)
}

// hashOf is the hash of the picture that is asked for, "" = there is none. It is of the
// pictures as they were laid out last: the page that asks was made of them.
func (p *Pages) hashOf(r *http.Request) string {
	p.laying.Lock()
	laid := p.laid
	p.laying.Unlock()
	if laid == nil { // the page is of an earlier run of the program
		a, err := p.ask(r)
		if err != nil {
			return ""
		}
		laid = a.look
	}
	if one := laid.byID[r.PathValue("picture")]; one != nil {
		return one.Hash
	}
	return ""
}

// newID is an id for something that may be said.
func newID() string {
	var id [16]byte
	_, _ = rand.Read(id[:]) // it never fails
	return hex.EncodeToString(id[:])
}

// below is an address of the pages, for what is said to lead back to; anything else
// is the first of them.
func below(address string) string {
	if strings.HasPrefix(address, Root) && !strings.Contains(address, "..") {
		return address
	}
	return Root
}
