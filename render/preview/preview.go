// Package preview serves the pages on this computer and tells open browsers
// when they changed.
//
// Start with Serve. The pages know nothing of it: the server adds its script
// to each page on the way out, so that the files stay as they are for a stick
// or a web host. It listens on the loopback interface only and answers only
// requests that name it, because a page elsewhere may point a name of its own at this
// computer.
package preview

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"path"
	"strings"
	"sync"
	"time"
)

//go:embed reload.js
var reload []byte

const (
	scriptPath = "/.rakelight/reload.js"
	eventsPath = "/.rakelight/changes"
	// policy lets the pages use what lies beside them and nothing else.
	policy = "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	// heartbeat keeps a connection that nothing happens on from being closed,
	// and finds out about browsers that left.
	heartbeat = 25 * time.Second
)

// Server serves a pages folder until its context ends or Close is called.
type Server struct {
	URL string // where the pages are: "http://127.0.0.1:8765/"

	root *os.Root
	http *http.Server
	done chan struct{}
	once sync.Once

	mu      sync.Mutex
	waiting map[chan struct{}]bool // one for each open page
}

// Serve starts serving the pages folder dir, which is made if it is absent,
// at addr ("127.0.0.1:8765"). A port that is taken is replaced by a free one;
// an address other computers could reach is an error.
func Serve(ctx context.Context, addr, dir string) (*Server, error) {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("%s is no address to serve at; write it like 127.0.0.1:8765", addr)
	}
	if host == "localhost" || host == "" {
		host = "127.0.0.1"
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return nil, fmt.Errorf("%s: the pages are served to this computer only; use 127.0.0.1", addr)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	l, err := net.Listen("tcp", net.JoinHostPort(host, port))
	if err != nil {
		l, err = net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("the pages cannot be served: %w", err), root.Close())
	}
	s := &Server{URL: "http://" + l.Addr().String() + "/", root: root, done: make(chan struct{}), waiting: map[chan struct{}]bool{}}
	s.http = &http.Server{Handler: s.guard(), ReadHeaderTimeout: 10 * time.Second}
	go func() {
		_ = s.http.Serve(l) // ends with ErrServerClosed when Close is called
	}()
	context.AfterFunc(ctx, func() { _ = s.Close() })
	return s, nil
}

// Close stops serving. Calling it again does nothing.
func (s *Server) Close() error {
	var err error
	s.once.Do(func() {
		close(s.done)
		err = errors.Join(s.http.Close(), s.root.Close())
	})
	return err
}

// Changed tells all open pages to load again.
func (s *Server) Changed() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for ch := range s.waiting {
		select {
		case ch <- struct{}{}:
		default: // it has been told and has not come back yet
		}
	}
}

// guard answers only requests to read that name this computer.
func (s *Server) guard() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+scriptPath, func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
		_, _ = w.Write(reload) // the browser may have left
	})
	mux.HandleFunc("GET "+eventsPath, s.events)
	mux.HandleFunc("GET /", s.file)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if h, _, err := net.SplitHostPort(host); err == nil {
			host = h
		}
		host = strings.Trim(host, "[]")
		if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
			http.Error(w, "these pages are for this computer only", http.StatusForbidden)
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-cache") // the files change under the browser
		mux.ServeHTTP(w, r)
	})
}

// file serves one file; a page gets the script that loads it again.
func (s *Server) file(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(path.Clean("/"+r.URL.Path), "/")
	if name == "" || strings.HasSuffix(r.URL.Path, "/") {
		name = path.Join(name, "index.html")
	}
	for part := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(part, ".") {
			http.NotFound(w, r)
			return
		}
	}
	f, err := s.root.Open(name)
	if err != nil {
		missing(w, r, err)
		return
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || info.IsDir() {
		http.NotFound(w, r)
		return
	}
	if path.Ext(name) != ".html" {
		http.ServeContent(w, r, name, info.ModTime(), f)
		return
	}
	page, err := io.ReadAll(f)
	if err != nil {
		missing(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(inject(page)))
}

func missing(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, fs.ErrNotExist) {
		http.NotFound(w, r)
		return
	}
	http.Error(w, "the page cannot be read", http.StatusInternalServerError)
}

// inject puts our script before the end of the page.
func inject(page []byte) []byte {
	const tag = `<script src="` + scriptPath + `" defer></script>` + "\n"
	i := bytes.LastIndex(page, []byte("</body>"))
	if i < 0 {
		return page
	}
	return bytes.Join([][]byte{page[:i], []byte(tag), page[i:]}, nil)
}

// events is the stream a page listens to.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	out := http.NewResponseController(w)
	ch := make(chan struct{}, 1)
	s.mu.Lock()
	s.waiting[ch] = true
	s.mu.Unlock()
	defer func() {
		s.mu.Lock()
		delete(s.waiting, ch)
		s.mu.Unlock()
	}()
	w.Header().Set("Content-Type", "text/event-stream")
	say := func(text string) bool {
		_, err := io.WriteString(w, text)
		return err == nil && out.Flush() == nil
	}
	if !say("retry: 1000\n: listening\n\n") {
		return
	}
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-s.done:
			return
		case <-ch:
			if !say("event: changed\ndata: pages\n\n") {
				return
			}
		case <-beat.C:
			if !say(": still here\n\n") {
				return
			}
		}
	}
}
