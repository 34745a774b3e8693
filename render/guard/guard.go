// Package guard serves pages, and decides who gets an answer.
//
// Start with Serve, which serves to this computer and to nobody else, or with
// ServePaired, which also answers the devices a person has let in (Pairing). What
// is asked comes to the pages only when
//
//   - it names this computer, by localhost or by the number of the very address it
//     came in at: a page elsewhere may point a name of its own here;
//   - it comes from this computer, or bears the token of a device that is let in;
//   - it is a GET or a HEAD, or a POST from a page that was served here (its Origin)
//     and that knows the form token (Form);
//   - there is not more of it than a person makes (bounds.go).
//
// Whoever serves a page puts Form into it, as the field FormField of a form or for
// its script to send as FormHeader. Whoever takes large bodies calls AllowBody. All
// goes over the wire as it is: nobody is kept from reading along on a network that
// others share.
package guard

import (
	"bytes"
	"context"
	"errors"
	"html/template"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"golang.org/x/net/netutil"
)

// Any is the address of a free port of this computer.
const Any = "127.0.0.1:0"

// patience is how long Finish waits for answers that are on their way.
const patience = time.Second

// Server serves until its context ends, or Close or Finish is called.
type Server struct {
	URL string // "http://127.0.0.1:8765/", as this computer reaches it

	// Elsewhere are the addresses at which the devices that are let in reach the
	// pages, the likeliest first; none where this computer alone is answered.
	Elsewhere []string

	http *http.Server
	gate *gate
}

// served is what is behind the gate.
type served struct {
	policy, caching string
	pages           http.Handler
}

// Turn serves other pages from the next request on. Who is let in stays, and so do
// the form tokens of pages that are open.
func (s *Server) Turn(policy, caching string, pages http.Handler) {
	s.gate.behind.Store(&served{policy, caching, pages})
}

// Serve begins to serve at addr ("127.0.0.1:8765"). A port that is taken is
// replaced by a free one; an address other computers could reach is an error.
// policy is the Content-Security-Policy of every answer, caching its
// Cache-Control; pages may set others.
func Serve(ctx context.Context, addr, policy, caching string, pages http.Handler) (*Server, error) {
	l, err := listenHere(addr)
	if err != nil {
		return nil, err
	}
	return serve(ctx, l, newGate(policy, caching, nil, pages)), nil
}

// ServePaired is Serve at an address that other computers reach: "0.0.0.0:8765" is
// all of this computer, "192.168.1.20:8765" one of its. This computer is answered
// as by Serve at 127.0.0.1; whoever else asks must have been let in by p.
func ServePaired(ctx context.Context, addr, policy, caching string, p *Pairing, pages http.Handler) (*Server, error) {
	l, err := listenAll(addr)
	if err != nil {
		return nil, err
	}
	s := serve(ctx, l, newGate(policy, caching, p, pages))
	s.URL, s.Elsewhere = addresses(l.Addr())
	p.reachedAt(s.Elsewhere)
	return s, nil
}

func serve(ctx context.Context, l net.Listener, g *gate) *Server {
	g.secret.make()
	if at, ok := l.Addr().(*net.TCPAddr); ok {
		g.port = at.Port
	}
	s := &Server{URL: "http://" + l.Addr().String() + "/", gate: g,
		http: &http.Server{Handler: g, ReadHeaderTimeout: headPatience, IdleTimeout: idle, MaxHeaderBytes: maxHead}}
	go func() {
		_ = s.http.Serve(netutil.LimitListener(l, maxConnections)) // ends with ErrServerClosed when it is closed
	}()
	context.AfterFunc(ctx, func() { _ = s.Close() })
	return s
}

// Close stops serving at once. Calling it again does nothing.
func (s *Server) Close() error { return s.http.Close() }

// Finish stops serving once answers that are on their way have gone out. A
// connection that a browser opened ahead and never used does not keep it.
func (s *Server) Finish() error {
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	err := s.http.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		return s.http.Close()
	}
	return err
}

// gate stands before the pages.
type gate struct {
	behind  atomic.Pointer[served]
	pairing *Pairing     // nil = this computer alone
	own     http.Handler // the pages of the pairing
	port    int
	secret  secret
	bounds  bounds
	here    func(net.IP) bool // an address only this computer asks from
}

func newGate(policy, caching string, p *Pairing, pages http.Handler) *gate {
	g := &gate{pairing: p, here: net.IP.IsLoopback}
	g.behind.Store(&served{policy, caching, pages})
	if p != nil {
		g.own = p.handler()
		if p.here != nil {
			g.here = p.here
		}
	}
	return g
}

func (g *gate) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h, now := w.Header(), g.behind.Load()
	h.Set("Content-Security-Policy", now.policy)
	h.Set("X-Content-Type-Options", "nosniff")
	// With no-referrer a browser says of its own forms that they come from nowhere.
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Cache-Control", now.caching)
	v := &visit{gate: g}
	r = r.WithContext(context.WithValue(r.Context(), visitKey{}, v))
	if err := g.admit(v, w, r); err != nil {
		if v.who == nobody && err == errDevice && toPairing(w, r) {
			return
		}
		err.answer(w)
		return
	}
	if v.who == nobody {
		g.own.ServeHTTP(w, r)
		return
	}
	if g.own != nil && r.URL.Path == pairPath {
		http.Redirect(w, r, "/", http.StatusSeeOther) // it is let in already
		return
	}
	now.pages.ServeHTTP(w, r)
}

// admit finds who asks, and why they get no answer. What costs least is asked first.
func (g *gate) admit(v *visit, w http.ResponseWriter, r *http.Request) *refusal {
	switch r.Method {
	case http.MethodGet, http.MethodHead, http.MethodPost:
	default:
		return errMethod
	}
	if !g.namesUs(r) {
		return errHost
	}
	if fetchedElsewhere(r) {
		return errOrigin
	}
	g.identify(v, r)
	if !g.bounds.allow(v.key(r), r.Method == http.MethodPost) {
		return errRate
	}
	if v.who == nobody && !isPairing(r.URL.Path) {
		return errDevice
	}
	g.bounds.deadlines(w, r)
	if r.Method != http.MethodPost {
		return nil
	}
	if !postedHere(r) {
		return errOrigin
	}
	v.limit(w, r)
	return g.checkForm(r)
}

// Static answers with the same bytes every time.
func Static(kind string, data []byte) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		_, _ = w.Write(data) // the browser may have left
	}
}

// Page answers with a page made of a template, or says why it cannot be made.
func Page(w http.ResponseWriter, page *template.Template, data any) {
	var b bytes.Buffer
	if err := page.Execute(&b, data); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(b.Bytes()) // the browser may have left
}
