// The loopback server: who gets an answer, what pages are given, and that
// open pages hear of changes.

package preview

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rakelight/render/guard"
)

func start(t *testing.T) (*Server, string) {
	t.Helper()
	dir := t.TempDir()
	for name, data := range map[string]string{
		"index.html": "<html><body><p>years</p></body></html>", "builds/lorry.html": "<body>lorry</body>",
		"assets/site.css": "p{}", ".written": "index.html",
	} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(filepath.Dir(dir), "outside.html"), []byte("secret"), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := Serve(t.Context(), "127.0.0.1:0", dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s, dir
}

func get(t *testing.T, url, host string) (int, string, http.Header) {
	t.Helper()
	req, err := http.NewRequest(http.MethodGet, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	if host != "" {
		req.Host = host
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(body), resp.Header
}

func TestServe(t *testing.T) {
	s, dir := start(t)
	for _, c := range []struct {
		path, host string
		code       int
		holds      string
	}{
		{"", "", 200, scriptPath},
		{"index.html", "localhost:80", 200, "years"},
		{"builds/lorry.html", "", 200, scriptPath},
		{"assets/site.css", "", 200, "p{}"},
		{".rakelight/reload.js", "", 200, "EventSource"},
		{"builds/", "", 404, ""},
		{"builds", "", 404, ""},
		{".written", "", 404, ""},
		{"nothing.html", "", 404, ""},
		{"..%2foutside.html", "", 404, ""},
		{"", "pages.example", 403, "this computer only"},
		{"", "10.0.0.7:8765", 403, ""},
	} {
		code, body, head := get(t, s.URL+c.path, c.host)
		if code != c.code || !strings.Contains(body, c.holds) || strings.Contains(body, "secret") {
			t.Errorf("%q as %q: %d %q, want %d with %q", c.path, c.host, code, body, c.code, c.holds)
		}
		if code == 200 && !strings.Contains(head.Get("Content-Security-Policy"), "default-src 'none'") {
			t.Errorf("%q: no policy", c.path)
		}
	}
	// The file itself stays without the script.
	if data, _ := os.ReadFile(filepath.Join(dir, "index.html")); strings.Contains(string(data), "script") {
		t.Error("the file was changed")
	}
}

// Other pages are served beside those of the folder, by the same rules.
// Clips are shown where the journal keeps them, beside the folder of the pages, in
// pieces; nothing else of it is.
func TestClipsOfTheJournal(t *testing.T) {
	top := t.TempDir()
	for name, data := range map[string]string{"pages/index.html": "<body></body>", "photos/2026/03/a.mov": "moving pictures",
		"photos/2026/03/a.jpg": "secret", "journal.toml": "secret", "clips/b.mp4": "secret", "pages/photos/own.mp4": "its own"} {
		path := filepath.Join(top, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s, err := Serve(t.Context(), "127.0.0.1:0", filepath.Join(top, "pages"), nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	code, body, head := get(t, s.URL+"photos/2026/03/a.mov", "")
	if code != 200 || body != "moving pictures" || head.Get("Content-Type") != "video/mp4" || head.Get("Accept-Ranges") != "bytes" ||
		!strings.Contains(head.Get("Content-Security-Policy"), "media-src 'self'") {
		t.Error(code, body, head)
	}
	if code, body, _ := get(t, s.URL+"photos/own.mp4", ""); code != 200 || body != "its own" {
		t.Error(code, body)
	}
	for _, path := range []string{"photos/2026/03/a.jpg", "photos/none.mp4", "clips/b.mp4", "photos/../journal.toml", "photos/%2e%2e/clips/b.mp4", "photos/2026.mp4"} {
		if code, body, _ := get(t, s.URL+path, ""); code == 200 || strings.Contains(body, "secret") {
			t.Error(path, code, body)
		}
	}
}

func TestMount(t *testing.T) {
	wrote := 0
	s, err := Serve(t.Context(), guard.Any, t.TempDir(), nil, Mount{Path: "/bench/", Policy: "default-src 'self'",
		Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if r.Method == http.MethodPost {
				wrote++
			}
			_, _ = io.WriteString(w, r.URL.Path+" "+guard.Form(r))
		})})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	code, body, head := get(t, s.URL+"bench/parts", "")
	path, form, _ := strings.Cut(body, " ")
	if code != 200 || path != "/bench/parts" || form == "" || head.Get("Content-Security-Policy") != "default-src 'self'" {
		t.Errorf("%d %s %v", code, body, head)
	}
	if code, _, head := get(t, s.URL, ""); code != 200 || head.Get("Content-Security-Policy") != policy {
		t.Errorf("the pages: %d %v", code, head)
	}
	post := func(token string) int {
		req, err := http.NewRequest(http.MethodPost, s.URL+"bench/", strings.NewReader("x"))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Origin", strings.TrimSuffix(s.URL, "/"))
		req.Header.Set(guard.FormHeader, token)
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		return resp.StatusCode
	}
	if code := post(""); code != http.StatusForbidden || wrote != 0 {
		t.Errorf("without the token: %d, %d", code, wrote)
	}
	if code := post(form); code != 200 || wrote != 1 {
		t.Errorf("with it: %d, %d", code, wrote)
	}
}

func TestServeRefusesOtherComputers(t *testing.T) {
	for _, addr := range []string{"0.0.0.0:0", "192.0.2.1:80", "[::]:0", "example.com:80", "8765"} {
		if s, err := Serve(t.Context(), addr, t.TempDir(), nil); err == nil {
			_ = s.Close()
			t.Errorf("%s was served", addr)
		}
	}
}

func TestServeTakesAFreePort(t *testing.T) {
	a, _ := start(t)
	b, err := Serve(t.Context(), strings.TrimSuffix(strings.TrimPrefix(a.URL, "http://"), "/"), t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if a.URL == b.URL {
		t.Error("both at", a.URL)
	}
}

func TestChanged(t *testing.T) {
	s, _ := start(t)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, s.URL+".rakelight/changes", nil)
	if err != nil {
		t.Fatal(err)
	}
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	lines := bufio.NewScanner(resp.Body)
	told := false
	for lines.Scan() {
		// The greeting comes after the page was put on the list.
		if strings.HasPrefix(lines.Text(), ": listening") {
			s.Changed()
		}
		if lines.Text() == "event: changed" {
			told = true
			break
		}
	}
	if !told {
		t.Error("the page did not hear of the change")
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
	for lines.Scan() { // ends, because Close ends open streams
	}
}

func TestCloseByContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	s, err := Serve(ctx, "localhost:0", t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	stop()
	<-s.done
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}
