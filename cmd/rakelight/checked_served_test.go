// Pages served as a host with the strictest rule serves them, in a folder of its own:
// what they ask for, what the browser says of them, and what they weigh.

package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rakelight/render/headless"
)

// strict is the rule a careful host sends. No page needs more.
const strict = "default-src 'self'"

// serve serves a folder of pages below /bench/diary/, its texts gzipped as hosts do.
func (w written) serve(t *testing.T) (address string) {
	t.Helper()
	files := http.FileServer(http.Dir(w.dir))
	host := httptest.NewServer(http.StripPrefix("/bench/diary/", http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) {
		rw.Header().Set("Content-Security-Policy", strict)
		rw.Header().Set("Cache-Control", "max-age=3600")
		name := path.Clean("/" + r.URL.Path)
		if name == "/" {
			name = "/index.html"
		}
		data, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(name)))
		kind, isText := texts[path.Ext(name)]
		if err != nil || !isText {
			files.ServeHTTP(rw, r)
			return
		}
		rw.Header().Set("Content-Type", kind)
		rw.Header().Set("Content-Encoding", "gzip")
		_, _ = rw.Write(zipped(data))
	})))
	t.Cleanup(host.Close)
	return host.URL + "/bench/diary/"
}

// texts are the kinds of files that hosts gzip.
var texts = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".svg": "image/svg+xml", ".xml": "application/atom+xml", ".txt": "text/plain; charset=utf-8",
}

func zipped(data []byte) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, _ = z.Write(data) // into memory
	_ = z.Close()
	return b.Bytes()
}

// testServed opens a page of each kind under the strict rule, and from disk.
func (w written) testServed(t *testing.T) {
	ctx := headless.Tab(t)
	var l listener
	if err := chromedp.Do(ctx, enable); err != nil {
		t.Fatal(err)
	}
	if err := l.listen(ctx); err != nil {
		t.Fatal(err)
	}
	host := w.serve(t)
	for _, name := range w.kinds(t) {
		for _, address := range []string{host + name, fileURL(filepath.Join(w.dir, filepath.FromSlash(name)))} {
			err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 800), chromedp.Navigate(address), chromedp.WaitReady(chromedp.CSS("main")))
			if err != nil {
				t.Fatalf("%s: %v", address, err)
			}
			got, err := chromedp.Run(ctx, chromedp.Evaluate[facts](measure, chromedp.EvalAwaitPromise))
			if err != nil || len(got.Broken) > 0 {
				t.Errorf("%s: pictures that do not load: %v, %v", address, got.Broken, err)
			}
			for _, bad := range l.take() {
				if bad != "" && !strings.HasPrefix(bad, "request off the page: "+host) {
					t.Errorf("%s: %s", address, bad)
				}
			}
		}
	}
	// What would be told if there were something to tell.
	err := chromedp.Do(ctx, chromedp.Navigate(host+"index.html"), chromedp.Evaluate[chromedp.Void](
		`document.body.setAttribute("style", "color: red"); document.body.appendChild(document.createElement("script")).textContent = "1"; new Image().src = "http://127.0.0.1:9/x.jpg"; undefined`),
		chromedp.Evaluate[chromedp.Void](`new Promise(done => setTimeout(done, 200))`, chromedp.EvalAwaitPromise))
	told := strings.Join(l.take(), "\n")
	if err != nil || strings.Count(told, "Content Security Policy") < 3 {
		t.Errorf("faults made on purpose were not all told: %v\n%s", err, told)
	}
}

// mostBefore is what a page may weigh before its first photo, in bytes.
const mostBefore = 150_000

var (
	ownScript = regexp.MustCompile(`<script src="([^"]+)"`)
	ownFont   = regexp.MustCompile(`url\("(fonts/[^"]+)"\)`)
)

// testWeight holds each page with its style and scripts against mostBefore, as they lie
// on the disk; and with the icon and all fonts added, as a host sends them: the texts
// gzipped.
func (w written) testWeight(t *testing.T) {
	read := func(name string) []byte {
		data, err := os.ReadFile(filepath.Join(w.dir, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	style := read("assets/site.css")
	around := len(zipped(style)) + len(zipped(read("assets/icon.svg")))
	for _, m := range ownFont.FindAllSubmatch(style, -1) {
		around += len(read("assets/" + string(m[1]))) // gzip makes fonts no smaller
	}
	type weight struct {
		name       string
		bare, sent int
	}
	var all []weight
	for _, name := range pageFiles(t, w.dir) {
		data := read(name)
		one := weight{name, len(data) + len(style), len(zipped(data)) + around}
		for _, m := range ownScript.FindAllSubmatch(data, -1) {
			script := read(path.Join(path.Dir(name), string(m[1])))
			one.bare, one.sent = one.bare+len(script), one.sent+len(zipped(script))
		}
		if one.bare > mostBefore || one.sent > mostBefore {
			t.Errorf("%s: %d bytes before the photos, %d sent with the fonts", name, one.bare, one.sent)
		}
		all = append(all, one)
	}
	slices.SortFunc(all, func(a, b weight) int { return b.bare - a.bare })
	var said []string
	for _, one := range all[:5] {
		said = append(said, fmt.Sprintf("%s %d, sent with fonts %d", one.name, one.bare, one.sent))
	}
	t.Logf("the heaviest of %d: %s", len(all), strings.Join(said, "; "))
}
