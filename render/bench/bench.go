// Package bench serves the page beside the mat: what runs, its parts to tap, and
// all that can be said to the journal with one thumb and dusty hands.
//
// Start with New, and mount it below Root. Each request opens the journal as it is
// then, as a command does, so the page holds nothing that the journal does not.
// What is said goes through package entry, each thing with an id of its own, so
// that what was sent twice is written once. Who may ask, and from where, is
// decided by what serves it (render/guard).
package bench

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"html/template"
	"net/http"
	"strings"
	"sync"
	"time"

	"rakelight/journal"
	"rakelight/media/inbox"
	"rakelight/render/guard"
	"rakelight/render/upload"
	"rakelight/site"
)

// Root is the address below which the page is mounted.
const Root = "/bench/"

// folder is where package site has what the page is made of.
const folder = "bench"

// Bench answers requests to the page. Its methods may be called from several
// goroutines.
type Bench struct {
	open  OpenJournal
	now   func() time.Time
	thumb func(*journal.Photo) string
	come  *inbox.Coming // photos that are sent from the page

	mu   sync.Mutex        // one thing is said at a time
	last map[string]answer // what a device said last, by its id, "" = this computer

	cared map[string]bool // the sessions whose caution was read
}

// OpenJournal opens the journal as it is now: for the bench, without photos, or
// with them.
type OpenJournal func(photos bool) (*journal.Journal, error)

// Policy is the Content-Security-Policy of the page: what lies beside it, and nothing
// else; forms go to this address, photos chosen on the device are shown from it.
const Policy = "default-src 'none'; img-src 'self' blob:; style-src 'self'; script-src 'self'; font-src 'self'; " +
	"connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// New is the page of the journal that open opens.
//
// thumb is the address of a small picture of a photo that can be shown, come takes
// photos that are sent.
func New(open OpenJournal, now func() time.Time, thumb func(*journal.Photo) string, come *inbox.Coming) *Bench {
	return &Bench{open: open, now: now, thumb: thumb, come: come, last: map[string]answer{}}
}

// templates are the pages' templates. They are part of the program: one that does
// not parse is a fault in it, which the tests find.
var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New(folder).Funcs(template.FuncMap{
		"pair":   func(a, b any) any { return struct{ A, B any }{a, b} },
		"id":     newID,
		"counts": func() []int { return []int{1, 2, 5, 10} },
	}).ParseFS(site.Files, folder+"/*.html"))
})

// Handler answers everything below Root.
func (b *Bench) Handler() http.Handler {
	mux := http.NewServeMux()
	const script = "text/javascript; charset=utf-8"
	for name, kind := range map[string]string{"bench.css": "text/css; charset=utf-8", "bench.js": script,
		"photo.js": script} {
		data, err := site.Files.ReadFile(folder + "/" + name)
		if err != nil {
			panic("bench: " + name + " is not embedded")
		}
		mux.HandleFunc("GET "+Root+name, guard.Static(kind, data))
	}
	for address, page := range b.pages() {
		mux.HandleFunc("GET "+Root+address, b.show(page))
	}
	mux.HandleFunc("POST "+Root+"say", b.say)
	mux.Handle("POST "+Root+"photo", upload.Handler(b.come, b.place))
	mux.HandleFunc("GET "+Root+"taken", b.taken)
	return mux
}

// A pageOf makes the values of a page from the journal and what was asked for.
type pageOf struct {
	template string
	needs    need
	values   func(*asking) (any, error)
}

// need is what a page cannot be made without.
type need int

const (
	nothing need = iota
	build        // one that is open, or is named
	photos       // those of the journal
	both
)

// pages are all pages by their address below Root.
func (b *Bench) pages() map[string]pageOf {
	return map[string]pageOf{
		"{$}":      {"mat", nothing, b.onMat},
		"begin":    {"begin", build, begin},
		"parts":    {"parts", build, parts},
		"words":    {"words", build, words},
		"pause":    {"pause", build, pause},
		"find":     {"find", build, find},
		"part":     {"part", build, part},
		"prep":     {"prep", build, prep},
		"check":    {"check", build, check},
		"back":     {"back", both, back(b)},
		"hands":    {"hands", build, hands},
		"supplies": {"supplies", nothing, supplies},
		"more":     {"more", nothing, more},
		"day":      {"day", build, day},
		"sort":     {"sort", photos, b.sortGroups},
		"alike":    {"alike", photos, b.alike},
		"photo":    {"photo", build, photo},
		"said":     {"said", nothing, lastSaid},
		"sub":      {"sub", build, sub},
		"mix":      {"mix", build, mix},
		"addition": {"addition", build, addition},
		"sanding":  {"sanding", build, sandingOf},
		"tasks":    {"tasks", build, tasks},
	}
}

// asking is a request for a page, and the journal as it is then.
type asking struct {
	journal.Look
	journal *journal.Journal
	request *http.Request
}

// value is a field of the address.
func (a *asking) value(name string) string { return a.request.URL.Query().Get(name) }

// show answers with a page.
func (b *Bench) show(p pageOf) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		j, err := b.open(p.needs >= photos)
		if err != nil {
			http.Error(w, "The journal cannot be read: "+err.Error(), http.StatusInternalServerError)
			return
		}
		asked := &asking{Look: j.Look(), journal: j, request: r}
		if (p.needs == build || p.needs == both) && asked.inHand(asked.value("build")) == "" {
			b.write(w, r, "none", nil)
			return
		}
		values, err := p.values(asked)
		if err != nil {
			b.refuse(w, r, err)
			return
		}
		b.write(w, r, p.template, values)
	}
}

// framed is a page with what stands around each.
type framed struct {
	Form string    // what a form must bring along to be taken
	Now  time.Time // of this computer, by which the page's own clock is set right
	Last *answer   // what this device said last, while it can be undone
	Here string    // the address to come back to
	Page any
}

// write answers with a page made of values.
func (b *Bench) write(w http.ResponseWriter, r *http.Request, name string, values any) {
	f := framed{Form: guard.Form(r), Now: b.now(), Here: r.URL.RequestURI(), Page: values}
	b.mu.Lock()
	if last, said := b.last[deviceOf(r)]; said && b.now().Sub(last.At) < undoFor {
		f.Last = &last
	}
	b.mu.Unlock()
	var out bytes.Buffer
	if err := templates().ExecuteTemplate(&out, name+".html", f); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(out.Bytes()) // the browser may have left
}

// newID is an id for something that may be said.
func newID() string {
	var id [16]byte
	_, _ = rand.Read(id[:]) // it never fails
	return hex.EncodeToString(id[:])
}

// deviceOf is the id of the device that asks, "" = this computer.
func deviceOf(r *http.Request) string {
	d, _ := guard.Device(r)
	return d.ID
}

// below is an address of the page, for what is said to lead back to; anything else
// is the mat.
func below(address string) string {
	if strings.HasPrefix(address, Root) && !strings.Contains(address, "..") {
		return address
	}
	return Root
}
