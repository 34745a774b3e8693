// The page for any two photos in a real browser: from disk, and served in a
// sub-folder under the strictest rule a host may set.

package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// two is what the page for any two photos shows.
type two struct {
	Names, Alts    []string
	Refuse         string
	Caution        string
	Homes, Loaded  int
	Divided, Shown bool
}

const lookAtTwo = `Promise.all(Array.from(document.querySelectorAll("#compare .half img"), i => { i.loading = "eager"; return i.decode().then(() => 1, () => 0) })).then(all => ({
	Names: Array.from(document.querySelectorAll("#compare .half strong"), e => e.textContent),
	Alts: Array.from(document.querySelectorAll("#compare .half img"), e => e.alt),
	Refuse: document.getElementById("refuse").textContent, Caution: document.getElementById("caution").textContent,
	Homes: document.querySelectorAll("#homes a").length, Loaded: all.reduce((a, b) => a + b, 0),
	Divided: !document.getElementById("divider").hidden, Shown: !document.getElementById("compare").hidden}))`

// pickOf finds in then and now a row in which two builds have a print, and what
// the digits of these are.
const pickOf = `((a, b) => { for (const row of document.querySelectorAll("tr[id^=row-]")) {
	const x = row.querySelector("td[data-photo][data-build=" + a + "]"), y = row.querySelector("td[data-photo][data-build=" + b + "]");
	if (x && y) { return [row.id, x.dataset.photo, y.dataset.photo]; } } return []; })`

func testAnyTwo(t *testing.T, ctx context.Context, pages string, l *listener) {
	look := func(after string) two {
		t.Helper()
		got, err := chromedp.Run(ctx, chromedp.Evaluate[two](lookAtTwo, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatalf("%s: %v", after, err)
		}
		return got
	}
	whole := func(after string) {
		t.Helper()
		if got := look(after); got.Loaded != 2 || got.Homes != 2 || !got.Divided || got.Refuse != "" || got.Names[0] == got.Names[1] {
			t.Errorf("%s: %+v", after, got)
		}
	}
	// No page of their own: neither is the first build, nor do they follow each other.
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 800), open(pages, "then-and-now.html")); err != nil {
		t.Fatal(err)
	}
	row, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](pickOf+`("seaplane", "lightship")`))
	if err != nil || len(row) != 3 {
		t.Fatalf("%q, %v", row, err)
	}
	err = chromedp.Do(ctx, chromedp.Click(chromedp.CSS("#"+row[0]+` [data-build="lightship"] .pick`)),
		chromedp.Click(chromedp.CSS("#"+row[0]+` [data-build="seaplane"] .pick`)), chromedp.WaitVisible(chromedp.CSS("#cut")))
	if err != nil {
		t.Fatal(err)
	}
	at, err := chromedp.Run(ctx, chromedp.Location())
	address := "compare.html#a=" + row[2] + "&b=" + row[1]
	if err != nil || !strings.HasSuffix(at, address) {
		t.Fatalf("two picks led to %s, %v", at, err)
	}
	whole("two picks")
	if got := look("two picks"); got.Names[0] != "2024" || got.Names[1] != "2026" {
		t.Errorf("the earlier one stands second: %q", got.Names)
	}
	if bad := l.take(); len(bad) > 0 {
		t.Error(strings.Join(bad, "; "))
	}

	// Whoever hosts the pages may ask for the strictest rule, and keep them in a folder.
	files := http.FileServer(http.Dir(pages))
	host := httptest.NewServer(http.StripPrefix("/bench/diary/", http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'self'")
		if r.URL.Path == "data/photos-0a.js" {
			_, _ = io.WriteString(w, ruled())
			return
		}
		files.ServeHTTP(w, r)
	})))
	defer host.Close()
	for _, query := range []string{address, strings.Replace(address, "#", "?", 1), strings.ToUpper(address[len("compare.html"):])} {
		query = strings.NewReplacer("#A=", "compare.html#a=", "&B=", "&b=").Replace(query)
		if err := chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(host.URL+"/bench/diary/"+query), chromedp.WaitVisible(chromedp.CSS("#cut"))); err != nil {
			t.Fatalf("%s: %v", query, err)
		}
		whole(query)
	}
	for _, bad := range l.take() {
		if !strings.Contains(bad, host.URL) {
			t.Error(bad)
		}
	}

	// Digits of no photo, none at all, and mischief show words and nothing else.
	for _, query := range []string{"#a=00000000&b=" + row[1], "", "#a=../../x&b=" + row[1], "#a=" + row[1]} {
		err := chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(host.URL+"/bench/diary/compare.html"+query), chromedp.WaitVisible(chromedp.CSS("#refuse")))
		if err != nil {
			t.Fatalf("%q: %v", query, err)
		}
		if got := look(query); got.Shown || got.Divided || got.Refuse == "" {
			t.Errorf("%q: %+v", query, got)
		}
	}
	l.take() // the file of digits that no photo has is asked for and not there
	testRulesOfTwo(t, ctx, host.URL+"/bench/diary/")
	l.take() // nor are there pictures of photos that only have rules

	// An address of an earlier version goes on to the two photos.
	moved := "compare/" + strings.TrimPrefix(row[0], "row-") + "-seaplane-lightship.html"
	if err := os.WriteFile(filepath.Join(pages, ".moved"), []byte(moved+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, errs strings.Builder
	if code := run(t.Context(), []string{"--journal", filepath.Dir(pages), "write"}, &out, &errs, time.Now); code != exitDone {
		t.Fatalf("write ended with %d: %s", code, errs.String())
	}
	if err := chromedp.Do(ctx, open(pages, moved), chromedp.WaitVisible(chromedp.CSS("#cut"))); err != nil {
		t.Fatal(err)
	}
	whole(moved)
}

// rules are what the page says of views and lights that are tagged so, in the
// words of the written comparisons (TestRefuse of package render).
var rules = []struct{ view, light, otherView, otherLight, refuse, caution string }{
	{"left", "diffuse", "left", "diffuse", "", ""},
	{"left", "raking", "left", "diffuse", "Not comparable: different light (raking, diffuse).", ""},
	{"left", "raking", "top", "raking", "Not comparable: different view (left, top).", ""},
	{"left", "raking", "top", "diffuse", "Not comparable: different view (left, top) and different light (raking, diffuse).", ""},
	{"left", "", "left", "diffuse", "", "The light is not tagged on both photos: compare with care."},
	{"", "raking", "left", "raking", "", "The view is not tagged on both photos: compare with care."},
	{"", "", "left", "diffuse", "", "View and light are not tagged on both photos: compare with care."},
	{"", "raking", "left", "diffuse", "Not comparable: different light (raking, diffuse).", "The view is not tagged on both photos: compare with care."},
}

// ruled is a data file of photos tagged as in rules, two for each.
func ruled() string {
	var all []string
	for i, r := range rules {
		for k, tags := range [][2]string{{r.view, r.light}, {r.otherView, r.otherLight}} {
			all = append(all, fmt.Sprintf(`"0a0000%d%d":{"width":640,"height":480,"alt":"drawn","view":%q,"light":%q,"label":"%d","at":"202%d"}`, i, k, tags[0], tags[1], k, k))
		}
	}
	return "rakelightPhotos({" + strings.Join(all, ",") + "});"
}

func testRulesOfTwo(t *testing.T, ctx context.Context, host string) {
	for i, want := range rules {
		address := fmt.Sprintf("%scompare.html#a=0a0000%d1&b=0a0000%d0", host, i, i)
		if err := chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(address), chromedp.WaitVisible(chromedp.CSS("#compare"))); err != nil {
			t.Fatal(err)
		}
		got, err := chromedp.Run(ctx, chromedp.Evaluate[two](lookAtTwo, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(got.Refuse, want.refuse) || want.refuse == "" && got.Refuse != "" || got.Caution != want.caution {
			t.Errorf("%+v: %q and %q", want, got.Refuse, got.Caution)
		}
	}
}
