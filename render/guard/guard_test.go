// Who is let in, and how serving ends.

package guard

import (
	"net"
	"net/http"
	"strings"
	"testing"
)

func started(t *testing.T) *Server {
	t.Helper()
	s, err := Serve(t.Context(), Any, "default-src 'none'", "no-store", Static("text/plain", []byte("years")))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s
}

func TestServe(t *testing.T) {
	s := started(t)
	for host, want := range map[string]int{"": 200, "localhost": 200, "localhost:80": 200, "[::1]:80": 200, "::1": 200, "127.0.0.1": 200,
		"pages.example": 403, "localhost.pages.example": 403, "10.0.0.7:8765": 403, "[2001:db8::1]:80": 403} {
		req, err := http.NewRequest(http.MethodGet, s.URL, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Host = host
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		if err := resp.Body.Close(); err != nil {
			t.Fatal(err)
		}
		if resp.StatusCode != want {
			t.Errorf("as %q: %d, want %d", host, resp.StatusCode, want)
		}
		if want == 200 && (resp.Header.Get("Content-Security-Policy") != "default-src 'none'" || resp.Header.Get("Cache-Control") != "no-store" ||
			resp.Header.Get("X-Content-Type-Options") != "nosniff") {
			t.Errorf("as %q: %v", host, resp.Header)
		}
	}
}

// Browsers open connections ahead; one that was never used is no reason to fail.
func TestFinishWithAnUnusedConnection(t *testing.T) {
	s := started(t)
	resp, err := http.Get(s.URL) // the server is up, and has taken connections
	if err != nil {
		t.Fatal(err)
	}
	if err := resp.Body.Close(); err != nil {
		t.Fatal(err)
	}
	c, err := net.Dial("tcp", strings.Trim(strings.TrimPrefix(s.URL, "http://"), "/"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if err := s.Finish(); err != nil {
		t.Error(err)
	}
	if _, err := http.Get(s.URL); err == nil {
		t.Error("it still serves")
	}
}

func TestAddressesElsewhere(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:0", "192.0.2.1:80", "pages.example:80", "8765"} {
		if s, err := Serve(t.Context(), addr, "", "", http.NotFoundHandler()); err == nil {
			_ = s.Close()
			t.Errorf("%s was served at", addr)
		}
	}
}
