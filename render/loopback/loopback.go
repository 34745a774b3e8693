// Package loopback serves pages to this computer and to nobody else.
//
// Start with Serve. It listens on the loopback interface only and answers only
// requests that name it, because a page elsewhere may point a name of its own at
// this computer. Whoever takes what a page sends must still ask for something
// that only its own page knows: a form elsewhere may post here.
package loopback

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"strings"
	"time"
)

// Any is the address of a free port of this computer.
const Any = "127.0.0.1:0"

// patience is how long Finish waits for answers that are on their way.
const patience = time.Second

// Server serves until its context ends, or Close or Finish is called.
type Server struct {
	URL string // "http://127.0.0.1:8765/"

	http *http.Server
}

// Serve begins to serve at addr ("127.0.0.1:8765"). A port that is taken is
// replaced by a free one; an address other computers could reach is an error.
// policy is the Content-Security-Policy of every answer, caching its
// Cache-Control.
func Serve(ctx context.Context, addr, policy, caching string, pages http.Handler) (*Server, error) {
	l, err := listen(addr)
	if err != nil {
		return nil, err
	}
	s := &Server{
		URL:  "http://" + l.Addr().String() + "/",
		http: &http.Server{Handler: guard(policy, caching, pages), ReadHeaderTimeout: 10 * time.Second},
	}
	go func() {
		_ = s.http.Serve(l) // ends with ErrServerClosed when it is closed
	}()
	context.AfterFunc(ctx, func() { _ = s.Close() })
	return s, nil
}

func listen(addr string) (net.Listener, error) {
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
	l, err := net.Listen("tcp", net.JoinHostPort(host, port))
	if err != nil {
		l, err = net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	if err != nil {
		return nil, fmt.Errorf("the pages cannot be served: %w", err)
	}
	return l, nil
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

// guard lets in requests that name this computer.
func guard(policy, caching string, pages http.Handler) http.Handler {
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
		h.Set("Cache-Control", caching)
		pages.ServeHTTP(w, r)
	})
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
