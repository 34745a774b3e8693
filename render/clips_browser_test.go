// Clips in a browser: nothing is loaded until one is played, and then it plays.

package render

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"rakelight/journal/disk/scratch"
	"rakelight/render/headless"
)

func TestMain(m *testing.M) { os.Exit(scratch.Run(headless.Tests{M: m})) }

// playedSome waits until a clip has gone on some way.
const playedSome = `new Promise((done, no) => { const v = document.querySelector('video');
	v.addEventListener('timeupdate', () => { if (v.currentTime > 0.1) done(v.videoWidth + 'x' + v.videoHeight + ' ' + v.duration) });
	v.addEventListener('error', () => no(v.error && v.error.message)); })`

func TestClipPlays(t *testing.T) {
	k := newClipBench(t)
	dir := filepath.Join(t.TempDir(), "out")
	if _, err := Publish(t.Context(), k.j, dir, Options{}); err != nil {
		t.Fatal(err)
	}
	write(t, k.j)
	var lock sync.Mutex
	asked := map[string]int{}
	files := http.StripPrefix("/bench", http.FileServer(http.Dir(dir)))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		lock.Lock()
		asked[r.URL.Path]++
		lock.Unlock()
		w.Header().Set("Content-Security-Policy", "default-src 'self'") // of many a host
		files.ServeHTTP(w, r)
	}))
	defer server.Close()
	clips := func() (n int) {
		lock.Lock()
		defer lock.Unlock()
		for path, times := range asked {
			if strings.HasSuffix(path, ".mp4") {
				n += times
			}
		}
		return n
	}
	ctx := headless.Tab(t)
	run := func(js string) string {
		t.Helper()
		said, err := chromedp.Run(ctx, chromedp.Evaluate[string](js, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Error(err)
		}
		return said
	}
	if err := chromedp.Do(ctx, chromedp.Navigate(server.URL+"/bench/builds/lorry.html"), chromedp.WaitReady("video")); err != nil {
		t.Fatal(err)
	}
	run(`new Promise(done => { document.querySelector('video').scrollIntoView(); setTimeout(() => done(''), 300) })`)
	if n := clips(); n != 0 {
		t.Errorf("%d clips were asked for before anybody played one", n)
	}
	// By the keys alone: the player is a stop, and the space bar plays it.
	play := func() (focused, said string) {
		t.Helper()
		focused = run(`window.gone = ` + playedSome + `; document.querySelector('video').focus(); document.activeElement.getAttribute('aria-label')`)
		if err := chromedp.Do(ctx, chromedp.KeyEvent(" ")); err != nil {
			t.Fatal(err)
		}
		return focused, run(`window.gone`)
	}
	if focused, said := play(); said != "320x240 2.5" || !strings.HasPrefix(focused, "clip of 1:05 min") {
		t.Errorf("%q, %q", focused, said)
	}
	if clips() == 0 {
		t.Error("nothing was asked for although it played")
	}
	// The builder's own pages, opened from the disk, play the original where it lies.
	from := (&url.URL{Scheme: "file", Path: filepath.ToSlash(k.j.Path("pages/builds/lorry.html"))}).String()
	if err := chromedp.Do(ctx, chromedp.Navigate(from), chromedp.WaitReady("video")); err != nil {
		t.Fatal(err)
	}
	if _, said := play(); said != "320x240 2.5" {
		t.Errorf("from disk: %q", said)
	}
}
