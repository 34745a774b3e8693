// Tests in a real browser of who may say something from the page beside the mat: a
// device that is let in and taken out, two at once, a stale page, a page elsewhere.

package main

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/render/guard"
	"rakelight/render/preview"
)

func TestTwoDevicesBesideTheMat(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	one := newPhone(t, at+"bench/")
	other := newPhone(t, strings.Replace(at, "127.0.0.1", "localhost", 1)+"bench/") // with a storage of its own
	one.see("Nothing runs")
	other.see("Nothing runs")
	one.beginCut()
	one.see("0 min")
	other.eval(`document.dispatchEvent(new Event("visibilitychange"))`) // it is looked at again
	other.see("0 min")
	one.tap("A1, to do")
	one.see("· 1 done")
	other.tap("A1, to do") // it does not know yet
	other.see("· 1 done")
	other.tap("A2, to do")
	other.see("· 2 done")
	one.tap("End")
	one.see("Nothing runs")
	other.tap("A3, to do")
	// It is refused: by the moment it was said, as nothing runs or as it began too late.
	holds(other, `!document.getElementById("refused").hidden && document.getElementById("refused").innerText.startsWith("A3: ")`)
	if kinds, s := left(t, dir); s.Sessions[0].Done() != 2 {
		t.Errorf("there are %d done, of %v", s.Sessions[0].Done(), kinds)
	}
}

// What is answered, waits or is refused has its place at the foot: neither the foot nor
// a part moves under the finger.
func TestFootKeepsItsPlace(t *testing.T) {
	_, at, stop, _ := benchServed(t)
	p := newPhone(t, at+"bench/")
	p.see("Nothing runs")
	p.eval(`window.bench.told({Words: "once"})`)
	p.beginCut()
	p.see("0 min")
	p.eval(`document.querySelector("#told").replaceChildren()`)
	const places = `JSON.stringify([".foot", ".squares"].map(s => Math.round(document.querySelector(s).getBoundingClientRect().top + (s === ".squares" ? scrollY : 0))))`
	want := p.eval(places)
	same := func(what string) {
		t.Helper()
		if got := p.eval(places); got != want {
			t.Errorf("%s: the foot and the parts stand at %s, before at %s", what, got, want)
		}
	}
	p.tap("A1, to do")
	p.see("Undo A1 done")
	same("an answer")
	p.eval(`window.bench.told({Words: "A2 done", Undo: "x", Remark: [Array(80).fill("a long remark").join(" ")]})`)
	same("a long remark")
	p.eval(`window.bench.refuse(Array(80).fill("nothing written").join(" "), "")`)
	same("a refusal")
	stop()
	p.tap("A3, to do")
	p.see("Waiting to be sent: A3")
	same("what waits")
	p.tap("Close")
	p.see("Undo A2 done")
	same("a refusal that was read")
}

func TestStalePageBesideTheMat(t *testing.T) {
	dir, at, stop, again := benchServed(t)
	p := newPhone(t, at+"bench/")
	p.beginCut()
	p.see("0 min")
	was := p.eval(`document.body.dataset.form`)
	stop()
	again()
	p.tap("A1, to do")
	p.see("· 1 done")
	if now := p.eval(`document.body.dataset.form`); now == was || now == "" {
		t.Errorf("the page has the form token %q, and had %q", now, was)
	}
	if kinds, _ := left(t, dir); !slices.Equal(kinds, []string{"begin", "done"}) {
		t.Errorf("it left %v", kinds)
	}
}

func TestDeviceLetInAndTakenOut(t *testing.T) {
	dir, _, _, _ := benchServed(t)
	a := &app{now: time.Now}
	pairing := guard.NewPairing(guard.DevicesOf(dir))
	server, err := preview.Serve(t.Context(), "0.0.0.0:0", filepath.Join(dir, "pages"), pairing, a.mat(dir))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = server.Close() })
	if len(server.Elsewhere) == 0 {
		t.Skip("this computer is in no network")
	}
	at := server.Elsewhere[0]
	p := newPhone(t, at+"bench/")
	p.see("Let this device in")
	p.shot("11-pair")
	code := ""
	for _, n := range pairing.News() {
		code = n.Code
	}
	p.write("#code", "000000")
	p.write("#name", "tablet")
	if code == "000000" {
		t.Skip("one code in a million")
	}
	p.tap("Let it in")
	p.see("That is not the code.")
	p.do(chromedp.SetValue(chromedp.CSS("#code"), code), chromedp.SetValue(chromedp.CSS("#name"), "tablet"))
	p.tap("Let it in")
	gone(p, "Let this device in")
	p.do(chromedp.Navigate(at + "bench/"))
	p.see("Nothing runs")
	p.beginCut()
	p.see("0 min")
	p.tap("A1, to do")
	p.see("· 1 done")

	var out, errs strings.Builder
	code1 := run(t.Context(), []string{"--journal", dir, "devices", "--forget", "tablet"}, &out, &errs, time.Now)
	if code1 != exitDone {
		t.Fatal(errs.String())
	}
	p.tap("A2, to do")
	p.see("This device is not let in any more")
	p.see("Waiting to be sent: A2")
	p.shot("12-taken-out")
	if kinds, _ := left(t, dir); !slices.Equal(kinds, []string{"begin", "done"}) {
		t.Errorf("it left %v", kinds)
	}

	// Let in again, it sends what waited.
	p.do(chromedp.Navigate(at + "bench/"))
	p.see("Let this device in")
	for _, n := range pairing.News() {
		if n.Code != "" {
			code = n.Code
		}
	}
	p.do(chromedp.SetValue(chromedp.CSS("#code"), code), chromedp.SetValue(chromedp.CSS("#name"), "tablet"))
	p.tap("Let it in")
	gone(p, "Let this device in")
	p.do(chromedp.Navigate(at + "bench/"))
	p.see("· 2 done")
	if kinds, _ := left(t, dir); !slices.Equal(kinds, []string{"begin", "done", "done"}) {
		t.Errorf("it left %v", kinds)
	}
}

// gone waits until the page says the words no more.
func gone(p *phone, words string) {
	p.t.Helper()
	for range 1200 {
		text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.readyState === "complete" ? document.body.innerText : "`+words+`"`))
		if err == nil && !strings.Contains(text, words) {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	p.t.Fatalf("the page went on to say %q", words)
}

// Without scripts a form is posted and led back to where it was said; said again by
// its id, as a browser does that loads an answer anew, it is written once.
func TestMatWithoutScripts(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	get := func(address string) string {
		t.Helper()
		resp, err := http.Get(at + address)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		page, err := io.ReadAll(resp.Body)
		if err != nil || resp.StatusCode != http.StatusOK {
			t.Fatal(address, resp.Status, err)
		}
		return string(page)
	}
	form := formToken.FindStringSubmatch(get("bench/begin?build=pilot-boat"))[1]
	fields := url.Values{"form": {form}, "once": {"0123456789abcdef"}, "back": {"/bench/begin?build=pilot-boat"},
		"what": {"begin"}, "build": {"pilot-boat"}, "stage": {"cut"}}
	for range 2 {
		r, err := http.NewRequest(http.MethodPost, at+"bench/say", strings.NewReader(fields.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", strings.TrimSuffix(at, "/"))
		resp, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		resp.Body.Close()
		if resp.StatusCode != http.StatusOK || resp.Request.URL.RequestURI() != "/bench/begin?build=pilot-boat" {
			t.Errorf("it led to %s: %s", resp.Request.URL, resp.Status)
		}
	}
	if kinds, _ := left(t, dir); !slices.Equal(kinds, []string{"begin"}) {
		t.Errorf("it left %v", kinds)
	}
	if page := get("bench/"); !strings.Contains(page, "Cut off on Pilot boat began") || !strings.Contains(page, "<b>Undo</b>") {
		t.Error("what was said last is not told")
	}
}

// A page of another address posts a form, and tries it from a script, with and without
// what a form of ours bears.
func TestPageElsewherePosts(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	l, err := net.Listen("tcp", "127.0.0.2:0")
	if err != nil {
		t.Skip("there is no other address on this computer: ", err)
	}
	elsewhere := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		fmt.Fprintf(w, `<!DOCTYPE html><title>x</title><p id="said">waits</p>
<form method="post" action="%sbench/say"><input name="what" value="begin"><input name="build" value="pilot-boat">
<input name="stage" value="cut"><input name="form" value="guess"><button>Free kits</button></form>
<script>fetch("%sbench/say", {method: "POST", mode: "no-cors", credentials: "include", body: new URLSearchParams({what: "begin",
build: "pilot-boat", stage: "cut"})}).then(() => fetch("%sbench/")).then(r => r.text(), e => "nothing read")
.then(t => { document.getElementById("said").textContent = t; });</script>`, at, at, at)
	})}
	go func() { _ = elsewhere.Serve(l) }()
	t.Cleanup(func() { _ = elsewhere.Shutdown(context.Background()) })
	p := newPhone(t, "http://"+l.Addr().String()+"/")
	p.see("nothing read")
	p.tap("Free kits")
	p.see("A page of another address asked for this. Nothing was written.")
	if kinds, _ := left(t, dir); len(kinds) > 0 {
		t.Errorf("it wrote %v", kinds)
	}
}

// A browser keeps pages that were left, to go back to, and has few connections to one
// address: none of them may hold one, or the next page waits for its turn.
func TestPagesThatWereLeftLetGo(t *testing.T) {
	_, at, _, _ := benchServed(t)
	p := newPhone(t, at)
	late, stop := context.WithTimeout(p.ctx, 30*time.Second) // one that waited took a minute
	defer stop()
	for i := range 12 {
		if err := chromedp.Do(late, chromedp.Navigate(fmt.Sprintf("%s?%d", at, i))); err != nil {
			t.Fatalf("page %d of one tab: %v", i+1, err)
		}
	}
	if err := chromedp.Do(late, chromedp.Navigate(at+"bench/")); err != nil {
		t.Fatalf("the mat after them: %v", err)
	}
}
