// Tests in a real browser of photos that are sent from the page beside the mat, and of
// the network gone in the middle of one.

package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"image"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/journal"
	"rakelight/media/scene"
	"rakelight/render/preview"
)

// wire stands between the page and the journal's server, and can be cut.
type wire struct {
	mu      sync.Mutex
	handler http.Handler
	cut     func(*http.Request) bool
	seen    []string // the pieces of photos that went through: "offset+bytes"
}

func (n *wire) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	n.mu.Lock()
	cut := n.cut != nil && n.cut(r)
	if !cut && r.URL.Path == "/bench/photo" && r.Method == http.MethodPost && r.ContentLength > 0 {
		n.seen = append(n.seen, r.URL.Query().Get("offset"))
	}
	n.mu.Unlock()
	if cut {
		panic(http.ErrAbortHandler)
	}
	n.handler.ServeHTTP(w, r)
}

func (n *wire) set(cut func(*http.Request) bool) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.cut = cut
}

// pieces are the offsets at which pieces of photos began.
func (n *wire) pieces() []string {
	n.mu.Lock()
	defer n.mu.Unlock()
	return slices.Clone(n.seen)
}

// through serves a journal behind a network that can be cut.
func through(t *testing.T, dir string) (at string, n *wire) {
	t.Helper()
	a := &app{now: time.Now}
	mount := a.mat(dir)
	n = &wire{handler: mount.Handler}
	mount.Handler = n
	server, err := preview.Serve(t.Context(), "127.0.0.1:0", filepath.Join(dir, "pages"), nil, mount)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = server.Close() })
	return server.URL, n
}

// photoFile writes a photo of some size, as a phone makes it.
func photoFile(t *testing.T, name string, size int, at time.Time) string {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range img.Pix {
		img.Pix[i] = byte(i * 7)
	}
	var b bytes.Buffer
	if err := scene.WriteJPEG(&b, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: at}); err != nil {
		t.Fatal(err)
	}
	data := b.Bytes()
	var comments []byte // behind the first marker, each as long as one may be
	for len(data)+len(comments) < size {
		comments = append(comments, 0xff, 0xfe, 0xff, 0xff)
		comments = append(comments, bytes.Repeat([]byte{byte(len(comments) >> 16)}, 0xfffd)...)
	}
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, slices.Concat(data[:2], comments, data[2:]), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// shoot taps a role and takes the photo: two taps, the second one on the phone's own
// camera.
func (p *phone) shoot(role, file string) {
	p.t.Helper()
	under, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`(() => {
		const i = document.querySelector('input[data-role="`+role+`"]'); i.scrollIntoView({block: "center"});
		const r = i.parentElement.getBoundingClientRect();
		return document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2).dataset.role + (i.disabled ? " off" : ""); })()`))
	if err != nil || under != role {
		p.t.Fatalf("a tap on %s reaches %q: %v", role, under, err)
	}
	p.taps += 2
	p.do(chromedp.SetUploadFiles(chromedp.CSS(`input[data-role="`+role+`"]`), []string{file}))
}

func TestPhotoBesideTheMat(t *testing.T) {
	dir, _, _, _ := benchServed(t)
	at, net := through(t, dir)
	file := photoFile(t, "IMG_0412.jpg", 5<<19, time.Now())
	p := newPhone(t, at+"bench/")
	p.beginCut()
	p.see("0 min")

	p.taps = 0
	p.tap("Photo")
	p.see("Photos on the phone")
	p.do(chromedp.SetValue(chromedp.CSS("#view"), "front"), chromedp.SetValue(chromedp.CSS("#light"), "raking"))
	p.eval(`["view", "light"].forEach(n => document.getElementById(n).dispatchEvent(new Event("change")))`)
	p.shot("8-photo")

	// The network goes after the first piece.
	through := 0
	net.set(func(r *http.Request) bool {
		if r.URL.Path == "/bench/photo" && r.ContentLength > 0 {
			through++
		}
		return through > 1
	})
	p.shoot("before", file)
	if p.taps != 3 {
		t.Errorf("a photo with its role took %d taps", p.taps)
	}
	p.see("Waiting to be sent: 1 photo")
	inbox, err := filepath.Glob(filepath.Join(dir, "inbox", "*", "*", "*", "*", "*", "*"))
	if err != nil || len(inbox) > 0 {
		t.Fatalf("half of it lies in the inbox: %v, %v", inbox, err)
	}

	// Photos are sent again from another page, where the first broke off.
	net.set(func(r *http.Request) bool { return r.URL.Path == "/bench/photo" })
	p.tap("Mat")
	p.see("Waiting to be sent: 1 photo")
	p.shot("9-photo-waits")
	net.set(nil)
	p.see("1 photo sent, being taken in")
	if got := net.pieces(); !slices.Equal(got, []string{"0", "1048576", "2097152"}) {
		t.Errorf("pieces began at %v", got)
	}
	var out, errs strings.Builder
	if code := run(t.Context(), []string{"--journal", dir, "take"}, &out, &errs, time.Now); code != exitDone {
		t.Fatalf("take: %s%s", out.String(), errs.String())
	}
	p.see("Photo taken in: Pilot boat, Cut off, before, front, raking")
	p.shot("10-photo-taken")
	p.tap("Photo")
	p.see("Photos on the phone")
	if got := p.eval(`document.getElementById("view").value + document.getElementById("light").value`); got != "frontraking" {
		t.Errorf("view and light are %q afterwards", got)
	}

	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	want := journal.Tags{Build: "pilot-boat", Stage: "cut", Role: "before", View: "front", Light: "raking"}
	if photos := j.State.PhotosOf("pilot-boat"); len(photos) != 1 || photos[0].Tags.Build != want.Build ||
		photos[0].Tags.Stage != want.Stage || photos[0].Tags.Role != want.Role || photos[0].Tags.View != want.View ||
		photos[0].Tags.Light != want.Light || photos[0].Name != "IMG_0412.jpg" {
		t.Errorf("the journal has %+v", photos)
	} else if data, err := os.ReadFile(file); err != nil || photos[0].Hash != sum(data) {
		t.Errorf("its bytes differ: %v", err)
	}
}

func sum(data []byte) string {
	all := sha256.Sum256(data)
	return hex.EncodeToString(all[:])
}

// The page's own SHA-256 against Go's, which was tested against the published vectors
// of FIPS 180-4: around the ends of blocks and pieces.
func TestHashOfThePage(t *testing.T) {
	_, at, _, _ := benchServed(t)
	p := newPhone(t, at+"bench/")
	p.see("Nothing runs")
	for _, n := range []int{0, 1, 55, 56, 63, 64, 65, 119, 120, 1<<20 - 1, 1 << 20, 1<<20 + 57} {
		data := make([]byte, n)
		for i := range data {
			data[i] = byte(i*7 + i>>8)
		}
		got, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`(n => { const d = new Uint8Array(n);
			for (let i = 0; i < n; i++) { d[i] = i * 7 + (i >> 8); } return window.benchHash(new Blob([d])); })(`+strconv.Itoa(n)+`)`,
			chromedp.EvalAwaitPromise))
		if err != nil || got != sum(data) {
			t.Errorf("of %d bytes: %q, %v", n, got, err)
		}
	}
}

// eval evaluates an expression on the page.
func (p *phone) eval(expression string) string {
	p.t.Helper()
	got, err := chromedp.Run(p.ctx, chromedp.Evaluate[any](expression))
	if err != nil {
		p.t.Fatal(err)
	}
	text, _ := got.(string)
	return text
}

// beginCut begins to cut on the pilot boat.
func (p *phone) beginCut() {
	p.t.Helper()
	p.see("Nothing runs")
	p.tap("Begin Cut off Pilot boat")
}
