// Tests in a real browser of the way from a program that was just unpacked to the
// first photo in the diary, without a terminal: at the size of a phone by touch, and
// at that of a desktop. RAKELIGHT_SHOTS=DIR keeps what it looked like.

package main

import (
	"bytes"
	"context"
	"image"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/journal"
	"rakelight/media/scene"
	"rakelight/render/headless"
)

// lines is what a command prints, to be read while it runs.
type lines struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// freshStart runs rakelight start for a person who has nothing yet, and returns
// their folder, the first address, and how the program ended.
func freshStart(t *testing.T) (home, at string, ended chan int) {
	t.Helper()
	home = t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("USERPROFILE", home)
	t.Setenv("XDG_CACHE_HOME", filepath.Join(home, ".cache"))
	t.Setenv(settingsEnv, filepath.Join(home, ".config", "rakelight"))
	t.Chdir(home)
	out, ended := &lines{}, make(chan int, 1)
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		ended <- run(ctx, []string{"start", "--addr", "127.0.0.1:0", "--no-browser"}, out, out, time.Now)
	}()
	t.Cleanup(func() { stop(); <-done })
	for range 400 {
		if _, after, ok := strings.Cut(out.String(), "Rakelight is at "); ok && strings.Contains(after, "\n") {
			at, _, _ = strings.Cut(after, "\n")
			return home, at, ended
		}
		time.Sleep(25 * time.Millisecond)
	}
	t.Fatalf("it never said where it is: %s", out)
	return "", "", nil
}

// drop drops a photo into the inbox, taken now, as a person's file manager does.
func drop(t *testing.T, inbox, name string) {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for i := range img.Pix {
		img.Pix[i] = byte(i / 2560)
	}
	var data bytes.Buffer
	if err := scene.WriteJPEG(&data, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: time.Now().UTC(), Offset: "+00:00"}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(inbox, name), data.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// pageHolds waits until a page of the diary holds some words.
func pageHolds(t *testing.T, page, words string) {
	t.Helper()
	for range 800 {
		if data, err := os.ReadFile(page); err == nil && strings.Contains(string(data), words) {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	t.Fatalf("%s never held %q", page, words)
}

// fits checks that nothing stands beside the page.
func (p *phone) fits() {
	p.t.Helper()
	wide, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`document.documentElement.scrollWidth > innerWidth`))
	if err != nil || wide {
		p.t.Errorf("the page is wider than the screen: %v", err)
	}
}

// until waits until something holds on the page.
func (p *phone) until(js string) {
	p.t.Helper()
	for range 1200 {
		ok, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`document.readyState === "complete" && Boolean(`+js+`)`))
		if err == nil && ok {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	p.t.Fatalf("it never held that %s", js)
}

// choose taps a field that bears a name.
func (p *phone) choose(name string) {
	p.t.Helper()
	p.do(chromedp.Click(chromedp.CSS(`[aria-label="` + name + `"]`)))
}

func TestFirstPhotoWithoutATerminal(t *testing.T) {
	for name, size := range map[string]chromedp.Action[chromedp.Void]{
		"phone":   chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile, chromedp.EmulateTouch),
		"desktop": chromedp.EmulateViewport(1440, 900, chromedp.EmulateTouch),
	} {
		t.Run(name, func(t *testing.T) { firstPhoto(t, name, size) })
	}
}

func firstPhoto(t *testing.T, name string, size chromedp.Action[chromedp.Void]) {
	home, at, ended := freshStart(t)
	p := &phone{t: t, ctx: headless.Tab(t)}
	p.do(size, p.light("dark"), chromedp.Navigate(at))
	p.see("A journal of what you build")
	p.shot("start-" + name + "-1-choose")
	p.tap("Make a journal")
	p.see("Your home time zone")
	p.shot("start-" + name + "-2-new")
	p.fits()
	p.do(chromedp.SetValue(chromedp.CSS("#zone"), "UTC"))
	p.tap("Make it")
	p.see("Plan a build")
	dir := filepath.Join(home, "Rakelight")
	p.write("#title", "Pilot boat")
	p.tap("1/48")
	p.until(`document.querySelector("#scale").value === "1/48"`)
	p.tap("10 parts more on A")
	p.until(`document.querySelector("#parts-A").value === "10"`)
	p.tap("1 part less on A")
	p.until(`document.querySelector("#parts-A").value === "9"`)
	p.do(chromedp.Click(chromedp.CSS(`[name="class-A"][value="flat"]`)))
	p.do(chromedp.Click(chromedp.CSS("summary")))
	p.choose("A3 is not for use")
	p.tap("Another runner")
	p.see("Leave B out")
	p.until(`document.querySelector("[name=spare-A]:checked").value === "3"`)
	p.tap("10 parts more on B")
	p.until(`document.querySelector("#parts-B").value === "10"`)
	p.tap("unpainted")
	p.until(`document.querySelector('[value="order unpainted"]').ariaPressed`)
	p.shot("start-" + name + "-3-plan")
	p.fits()
	p.tap("Write the plan")
	p.see("Begin Cut")
	p.shot("start-" + name + "-4-mat")

	plan, err := os.ReadFile(filepath.Join(dir, "builds", "pilot-boat", "build.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"title: \"Pilot boat\"\nscale: \"1/48\"\nfinish: \"bare\"\n",
		`{letter: A, parts: "9", class: "flat", not-used: "3"}`, `{letter: B, parts: "10"}`,
		`stages: ["inspect", "cut", "clean", "assemble", "line", "decal", "top-coat", "repair"]`} {
		if !strings.Contains(string(plan), want) {
			t.Errorf("the plan has no %s:\n%s", want, plan)
		}
	}

	p.tap("Begin Cut")
	p.see("cut away from yourself")
	p.shot("start-" + name + "-5-care")
	p.tap("I have read it")
	p.see("it is not shown again")
	p.until(`!document.querySelector("main").innerText.includes("cut away")`)
	p.tap("A1, to do")
	p.see("1 done")
	p.until(`!document.querySelector("main").innerText.includes("cut away")`)
	drop(t, filepath.Join(dir, "inbox"), "first.jpg")
	pageHolds(t, filepath.Join(dir, "pages", "builds", "pilot-boat.html"), "<img")
	p.do(chromedp.Navigate(strings.TrimSuffix(at, "start/") + "builds/pilot-boat.html"))
	p.see("Pilot boat")
	p.shot("start-" + name + "-6-diary")

	p.do(chromedp.Navigate(at))
	p.see("Drop photos into " + filepath.Join(dir, "inbox"))
	p.shot("start-" + name + "-7-open")
	p.tap("Stop Rakelight")
	p.see("Stopped")
	if code := <-ended; code != exitDone {
		t.Errorf("it ended with %d", code)
	}
	ended <- 0
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(j.State.Photos); n != 1 || j.State.Photos[0].Tags.Build != "pilot-boat" {
		t.Errorf("%d photos were taken in: %+v", n, j.State.Photos)
	}
	if last, err := readSetting(lastUsed); err != nil || last != dir {
		t.Errorf("%q is remembered: %v", last, err)
	}
}
