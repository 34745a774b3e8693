// Package preview serves the pages on this computer and tells open browsers
// when they changed. Other pages may be served beside them (Mount).
//
// Start with Serve. The pages know nothing of it: the server adds its script
// to each page on the way out, so that the files stay as they are for a stick
// or a web host. Package guard decides who gets an answer.
package preview

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"rakelight/journal/disk"
	"rakelight/render/guard"
)

//go:embed reload.js
var reload []byte

const (
	scriptPath = "/.rakelight/reload.js"
	eventsPath = "/.rakelight/changes"
	// policy lets the pages use what lies beside them and nothing else.
	policy = "default-src 'none'; img-src 'self'; media-src 'self'; style-src 'self'; script-src 'self'; font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	// heartbeat keeps a connection that nothing happens on from being closed,
	// and finds out about browsers that left.
	heartbeat = 25 * time.Second
)

// Mount serves other pages beside those of the folder.
type Mount struct {
	Path    string       // what is asked below it: "/bench/"
	Handler http.Handler // is asked by the whole path; guard has let the request in
	Policy  string       // Content-Security-Policy of its answers, "" = that of the pages
}

// Server serves a pages folder until its context ends or Close is called.
type Server struct {
	*guard.Server

	root *os.Root
	kept string // the folder of the journal's originals, beside that of the pages
	lent bool   // the guard.Server goes on when this one is closed
	done chan struct{}
	once sync.Once

	mu      sync.Mutex
	waiting map[chan struct{}]bool // one for each open page
}

// Serve starts serving the pages folder dir, which is made if it is absent,
// at addr ("127.0.0.1:8765"). A port that is taken is replaced by a free one.
// Without a pairing it serves to this computer alone, and an address other
// computers could reach is an error; with one, also to the devices that are let in.
func Serve(ctx context.Context, addr, dir string, p *guard.Pairing, mounts ...Mount) (*Server, error) {
	s, err := of(dir)
	if err != nil {
		return nil, err
	}
	if p == nil {
		s.Server, err = guard.Serve(ctx, addr, policy, caching, s.pages(mounts))
	} else {
		s.Server, err = guard.ServePaired(ctx, addr, policy, caching, p, s.pages(mounts))
	}
	if err != nil {
		return nil, errors.Join(err, s.root.Close())
	}
	context.AfterFunc(ctx, func() { _ = s.Close() })
	return s, nil
}

// TakeOver is Serve by a server that serves something else until then. It goes on
// when this one is closed, and serves what its owner turns it to.
func TakeOver(ctx context.Context, by *guard.Server, dir string, mounts ...Mount) (*Server, error) {
	s, err := of(dir)
	if err != nil {
		return nil, err
	}
	s.Server, s.lent = by, true
	by.Turn(policy, caching, s.pages(mounts))
	context.AfterFunc(ctx, func() { _ = s.Close() })
	return s, nil
}

const caching = "no-cache" // the files change under the browser

// of is a server of a folder that nobody reaches yet.
func of(dir string) (*Server, error) {
	if err := disk.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return &Server{root: root, kept: filepath.Join(dir, "..", "photos"), done: make(chan struct{}),
		waiting: map[chan struct{}]bool{}}, nil
}

// Close stops serving. Calling it again does nothing.
func (s *Server) Close() error {
	var err error
	s.once.Do(func() {
		close(s.done)
		if err = s.root.Close(); !s.lent {
			err = errors.Join(s.Server.Close(), err)
		}
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

// pages answers requests to read, and gives on what is asked below a mount.
func (s *Server) pages(mounts []Mount) http.Handler {
	mux := http.NewServeMux()
	for _, m := range mounts {
		mux.Handle("GET "+m.Path, m)
		mux.Handle("POST "+m.Path, m)
	}
	mux.HandleFunc("GET "+scriptPath, guard.Static("text/javascript; charset=utf-8", reload))
	mux.HandleFunc("GET "+eventsPath, s.events)
	mux.HandleFunc("GET /", s.file)
	return mux
}

func (m Mount) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if m.Policy != "" {
		w.Header().Set("Content-Security-Policy", m.Policy)
	}
	m.Handler.ServeHTTP(w, r)
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
	if errors.Is(err, fs.ErrNotExist) && isClip(name) {
		s.clip(w, r, name)
		return
	}
	if errors.Is(err, fs.ErrNotExist) && name == "index.html" {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		_, _ = w.Write(inject([]byte(beingWritten)))
		return
	}
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

// isClip reports whether a page may ask for such a file of the journal's originals:
// pages show clips where they are kept, beside the folder of the pages, and a browser
// takes what leads above the top of a server for its top.
func isClip(name string) bool {
	switch path.Ext(name) {
	case ".mp4", ".mov":
		return strings.HasPrefix(name, "photos/")
	}
	return false
}

// clip serves a clip where it is kept.
func (s *Server) clip(w http.ResponseWriter, r *http.Request, name string) {
	root, err := os.OpenRoot(s.kept)
	if err != nil {
		missing(w, r, err)
		return
	}
	defer root.Close()
	f, err := root.Open(strings.TrimPrefix(name, "photos/"))
	if err != nil {
		missing(w, r, err)
		return
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", "video/mp4") // also of a MOV, which browsers play, but not by its name
	http.ServeContent(w, r, name, info.ModTime(), f)
}

// beingWritten stands where the first page is not there yet. It loads again when it is.
const beingWritten = `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>Rakelight</title></head>
<body><p>The pages are being written; this one loads again when they are there.</p></body></html>
`

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
		if !guard.Still(r) {
			return false
		}
		_ = out.SetWriteDeadline(time.Now().Add(2 * heartbeat)) // it goes on for hours
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
