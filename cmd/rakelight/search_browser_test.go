// The search in a real browser, from disk: words are taken apart as where the index
// was written, and found by another form, without accents, and by their beginning.

package main

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// finds is what the search shows.
type finds struct {
	Says   string
	Groups []string
	Titles []string
	Marked []string
	Hrefs  []string
}

const lookAtFinds = `({Says: document.getElementById("search-says").textContent, Groups: Array.from(document.querySelectorAll("#found h2"), e => e.textContent),
	Titles: Array.from(document.querySelectorAll(".finds li > a"), e => e.textContent), Marked: Array.from(document.querySelectorAll(".finds mark"), e => e.textContent.toLowerCase()),
	Hrefs: Array.from(document.querySelectorAll(".finds li > a"), e => e.getAttribute("href"))})`

func testSearch(t *testing.T, ctx context.Context, pages string) {
	day := filepath.Join(filepath.Dir(pages), "builds", "lightship", "diary", "2026-11-16.md")
	said, err := os.ReadFile(day)
	if err == nil {
		err = os.WriteFile(day, append(said, "\n\nThe *Möwe* passed in the evening.\n"...), 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	var out, errs strings.Builder
	if code := run(ctx, []string{"--journal", filepath.Dir(pages), "write"}, &out, &errs, time.Now); code != exitDone {
		t.Fatalf("write ended with %d: %s", code, errs.String())
	}
	ask := func(words string) finds {
		t.Helper()
		script := `(async () => { const f = document.getElementById("words"); f.value = ` + string(must(json.Marshal(words))) + `; document.getElementById("search").requestSubmit();
			while (document.getElementById("search-says").textContent === "Looking …") { await new Promise(r => setTimeout(r, 20)); } return ` + lookAtFinds + `; })()`
		got, err := chromedp.Run(ctx, chromedp.Evaluate[finds](script, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatalf("%q: %v", words, err)
		}
		return got
	}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 800), open(pages, "search.html"), chromedp.WaitVisible(chromedp.CSS("#words"))); err != nil {
		t.Fatal(err)
	}
	got := ask("seaming")
	if len(got.Titles) == 0 || !slices.Contains(got.Marked, "seam") || !strings.HasPrefix(got.Says, "Found ") {
		t.Errorf("seaming finds %+v", got)
	}
	seams := ask("the SEAMS")
	if !slices.Equal(seams.Hrefs, got.Hrefs) {
		t.Errorf("seams finds %q, seaming %q", seams.Hrefs, got.Hrefs)
	}
	for _, word := range []string{"mowe", "möwe", "Mo\u0308we", "MÖW", "moewe", "MOEW"} {
		if got := ask(word); len(got.Hrefs) != 1 || got.Hrefs[0] != "days/2026-11-16.html" || !slices.Contains(got.Marked, "möwe") {
			t.Errorf("%s finds %+v", word, got)
		}
	}
	if glued := ask("glued"); len(glued.Hrefs) == 0 || !slices.Equal(ask("glüd").Hrefs, glued.Hrefs) {
		t.Errorf("glüd finds %q, glued %q", ask("glüd").Hrefs, glued.Hrefs)
	}
	if got := ask("mowe xylophone"); len(got.Hrefs) > 0 || got.Says != "Nothing found with all of these words." {
		t.Errorf("two words of which one is nowhere: %+v", got)
	}
	if got := ask("gouged"); !slices.ContainsFunc(got.Groups, func(g string) bool { return strings.HasPrefix(g, "Mistakes (") }) {
		t.Errorf("gouged finds %+v", got)
	}
	if at, err := chromedp.Run(ctx, chromedp.Location()); err != nil || !strings.HasSuffix(at, "search.html#q=gouged") {
		t.Errorf("the address is %s, %v", at, err)
	}
	// What was found is where the link says, and its address brings it back.
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(fileURL(filepath.Join(pages, "search.html"))+"#q=mowe"), chromedp.WaitVisible(chromedp.CSS(".finds a")),
		chromedp.Click(chromedp.CSS(".finds a")), chromedp.WaitVisible(chromedp.CSS(".page-day main"))); err != nil {
		t.Errorf("what is found is not there: %v", err)
	}
	if text, err := chromedp.Run(ctx, chromedp.Text(chromedp.CSS("main"))); err != nil || !strings.Contains(text, "Möwe passed") {
		t.Errorf("the day that was found says %q, %v", text, err)
	}

	data, err := os.ReadFile(filepath.Join("..", "..", "render", "testdata", "search-words.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cases map[string][]string
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(ctx, open(pages, "search.html"), chromedp.WaitVisible(chromedp.CSS("#words"))); err != nil {
		t.Fatal(err)
	}
	for text, want := range cases {
		got, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](`rakelightWords(`+string(must(json.Marshal(text)))+`)`))
		if err != nil || !slices.Equal(got, want) {
			t.Errorf("%q has the words %q in a browser, want %q, %v", text, got, want, err)
		}
	}
}

func must[T any](value T, err error) T {
	if err != nil {
		panic(err)
	}
	return value
}
