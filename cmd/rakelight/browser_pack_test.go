// A test of packs in a real browser, opened from disk: by keys and by taps,
// back, across a reload, and what comes out is taken into the journal.

package main

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rakelight/journal"
	"rakelight/media/scene"
	"rakelight/render/headless"
	"rakelight/render/judge"
)

// packedBench is a journal with photos of two builds that compare, and a pack.
func packedBench(t *testing.T) (dir, pack string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 6 {
		build := []string{"lorry", "pilot-boat"}[i%2]
		name := fmt.Sprintf("photos/2026/%d.jpg", i)
		if err := os.MkdirAll(filepath.Dir(j.Path(name)), 0o755); err != nil {
			t.Fatal(err)
		}
		img := image.NewRGBA(image.Rect(0, 0, 120, 90))
		for y := range 90 {
			for x := range 120 {
				img.Set(x, y, color.RGBA{uint8(x * 2), uint8(y * 2), uint8(40 * i), 255})
			}
		}
		f, err := os.Create(j.Path(name))
		if err != nil {
			t.Fatal(err)
		}
		if err := scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: time.Date(2026, 3, 1+i, 20, 0, 0, 0, time.UTC)}); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		if _, err := j.Append(journal.PhotoBody{Hash: strings.Repeat(fmt.Sprint(i), 64), Path: name, Name: filepath.Base(name), Width: 120, Height: 90,
			Tags: journal.Tags{Build: build, Role: "finished", View: "left", Light: "raking"}}); err != nil {
			t.Fatal(err)
		}
	}
	pack = filepath.Join(t.TempDir(), "friends.html")
	rake(t, dir, "judge", "--pack", pack, "--pairs", "12")
	return dir, pack
}

// rake runs a command on a journal and returns what it printed.
func rake(t *testing.T, dir string, args ...string) string {
	t.Helper()
	var out, errs strings.Builder
	if code := run(context.Background(), append([]string{"--journal", dir}, args...), &out, &errs, time.Now); code != exitDone {
		t.Fatalf("%v ended with %d: %s", args, code, errs.String())
	}
	return out.String()
}

func TestPackInBrowser(t *testing.T) {
	dir, pack := packedBench(t)
	ctx := headless.Tab(t)
	var l listener
	if err := chromedp.Do(ctx, enable); err != nil {
		t.Fatal(err)
	}
	if err := l.listen(ctx); err != nil {
		t.Fatal(err)
	}
	do := func(actions ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		if err := chromedp.Do(ctx, actions...); err != nil {
			t.Fatal(err)
		}
	}
	text := func(what string) string {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](what))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	at := func(want string) {
		t.Helper()
		if got := text(`document.getElementById("progress").textContent`); got != want {
			t.Errorf("the page says %q, want %q", got, want)
		}
	}
	here := open(filepath.Dir(pack), filepath.Base(pack))
	do(chromedp.EmulateViewport(1280, 800), here, chromedp.WaitVisible(chromedp.CSS("#name")),
		chromedp.SendKeys(chromedp.CSS("#name"), "  Zoë   1 "), chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(chromedp.CSS("#judge")))
	at("Pair 1 of 14") // the 1 in the name was no answer
	do(chromedp.KeyEvent("1"), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent("3"))
	at("Pair 4 of 14")
	do(chromedp.KeyEvent("b"), chromedp.KeyEvent(kb.Backspace), chromedp.KeyEvent("4"))
	at("Pair 3 of 14")
	do(chromedp.Click(chromedp.CSS(`[data-outcome="no difference"]`)), chromedp.Click(chromedp.CSS(`[data-outcome="left"]`)))
	at("Pair 5 of 14")
	do(here, chromedp.WaitVisible(chromedp.CSS("#judge")))
	at("Pair 5 of 14") // kept across the reload

	// What is there so far, as a file.
	do(chromedp.Click(chromedp.CSS("#stop")), chromedp.WaitVisible(chromedp.CSS("#text")))
	file := filepath.Join(t.TempDir(), "answers.txt")
	save := func() []judge.Answers {
		t.Helper()
		sheet := text(`document.getElementById("text").value`)
		if href := text(`decodeURIComponent(document.getElementById("download").href.split(",").slice(1).join(","))`); href != sheet {
			t.Errorf("the download holds %q", href)
		}
		// As a mail would bring it.
		mail := "Hello,\r\n\r\n> " + strings.ReplaceAll(strings.TrimSpace(sheet), "\n", " \r\n> ")
		if err := os.WriteFile(file, []byte(mail), 0o644); err != nil {
			t.Fatal(err)
		}
		all, err := judge.ParseAnswers([]byte(sheet))
		if err != nil || len(all) != 1 || all[0].Text() != sheet {
			t.Fatalf("%v: %s", err, sheet)
		}
		return all
	}
	part := save()[0]
	var said []string
	for _, one := range part.Given {
		said = append(said, one.Outcome)
	}
	if fmt.Sprint(said) != "[left cannot tell no difference left]" || part.Judge != "Zoë 1" || part.Of != 14 {
		t.Errorf("%v by %q of %d", said, part.Judge, part.Of)
	}
	if got := rake(t, dir, "judge", "--take", file); !strings.Contains(got, "Zoë 1: 4 answers taken") {
		t.Error(got)
	}

	// On a telephone to the end, and back to the last pair.
	do(chromedp.EmulateViewport(390, 844), chromedp.Click(chromedp.CSS("#again")), chromedp.WaitVisible(chromedp.CSS("#judge")))
	for range 10 {
		got, err := chromedp.Run(ctx, chromedp.Evaluate[facts](measure, chromedp.EvalAwaitPromise))
		if err != nil || got.Scroll > got.Inner || len(got.Broken) > 0 || got.Title == "" {
			t.Fatalf("%+v, %v", got, err)
		}
		do(chromedp.KeyEvent("2"))
	}
	do(chromedp.WaitVisible(chromedp.CSS("#end")), chromedp.Click(chromedp.CSS("#again")), chromedp.WaitVisible(chromedp.CSS("#judge")))
	at("Pair 14 of 14")
	do(chromedp.Click(chromedp.CSS(`[data-outcome="left"] img`)), chromedp.WaitVisible(chromedp.CSS("#end")))
	whole := save()[0]
	if len(whole.Given) != 14 || whole.Given[13].Outcome != "left" || whole.Given[12].Outcome != "right" || whole.Sheet != part.Sheet {
		t.Errorf("%+v", whole)
	}
	for range 2 {
		rake(t, dir, "judge", "--take", file)
	}

	// The button really writes the file.
	down := t.TempDir()
	do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: down})
		return err
	}), chromedp.Click(chromedp.CSS("#download")))
	saved := filepath.Join(down, "answers-"+whole.Pack+"-"+whole.Sheet+".txt")
	var data []byte
	for end := time.Now().Add(deadline); string(data) != whole.Text() && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		data, _ = os.ReadFile(saved) // not there yet
	}
	if string(data) != whole.Text() {
		t.Errorf("%s holds %q", saved, data)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(j.State.Verdicts); n != 14 || j.State.Verdicts[13].Outcome != "left" || j.State.Verdicts[0].Judge != "Zoë 1" {
		t.Errorf("%d verdicts: %+v", n, j.State.Verdicts)
	}
	if bad := l.take(); len(bad) > 0 {
		t.Errorf("the page did what it should not: %s", strings.Join(bad, "; "))
	}

	// A browser that keeps nothing for a file: everything else works.
	do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `Object.defineProperty(window, "localStorage", {get() { throw new DOMException("no", "SecurityError") }}); Object.defineProperty(window, "crypto", {value: undefined})`})
		return err
	}), here, chromedp.WaitVisible(chromedp.CSS("#name")), chromedp.SendKeys(chromedp.CSS("#name"), "Kim"), chromedp.Click(chromedp.CSS("#begin button")),
		chromedp.WaitVisible(chromedp.CSS("#judge")), chromedp.KeyEvent("1"), chromedp.Click(chromedp.CSS("#stop")), chromedp.WaitVisible(chromedp.CSS("#end")))
	if one := save()[0]; one.Judge != "Kim" || one.Sheet == whole.Sheet || len(one.Given) != 1 {
		t.Errorf("%+v", one)
	}
	if kept := text(`document.getElementById("kept").textContent`); !strings.Contains(kept, "keeps nothing") {
		t.Error(kept)
	}
	if bad := l.take(); len(bad) > 0 {
		t.Errorf("without a store: %s", strings.Join(bad, "; "))
	}
}
