// Tests of what is said from the page: it is what a command says, by the same door.

package bench

import (
	"io/fs"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/site"
)

// Everything that the pages say is a saying, and every saying is a request of package
// entry, or one of its functions where the person's own text is written to. Commands
// make the same ones: nothing else writes.
func TestSayingsAreRequests(t *testing.T) {
	// That a caution was read is remembered while it would stand, and written nowhere.
	text := map[string]bool{"day": true, "supply": true, "task": true, "need": true, "careful": true}
	fields := url.Values{"lasted": {"40 min"}, "fast": {"1h0m0s"}, "long": {"24h"}}
	for name, what := range sayings {
		if text[name] {
			t.Errorf("%s is said in two ways", name)
		}
		request, err := what(said{fields}, time.Time{})
		if err != nil || request == nil {
			t.Errorf("%s: %T, %v", name, request, err)
		}
		var _ entry.Request = request
	}
	used := map[string]bool{}
	name := regexp.MustCompile(`name="what" value="([a-z]+)"`)
	files, err := fs.Glob(site.Files, folder+"/*.html")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		page, err := fs.ReadFile(site.Files, file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range name.FindAllStringSubmatch(string(page), -1) {
			if used[m[1]] = true; sayings[m[1]] == nil && !text[m[1]] {
				t.Errorf("%s says %q, which is no saying", file, m[1])
			}
		}
	}
	used["prep"], used["hold"], used["clock"], used["correct"] = true, true, true, true // by answers, and by a choice
	for name := range sayings {
		if !used[name] {
			t.Errorf("no page says %q", name)
		}
	}
}

func TestWhatIsSaidWhen(t *testing.T) {
	now := time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)
	for text, want := range map[string]time.Time{
		"": {}, "2026-03-14T19:59:59Z": {}, "2026-03-14T20:05:00Z": {},
		"2026-03-14T19:30:00Z": now.Add(-30 * time.Minute),
	} {
		got, err := said{url.Values{"at": {text}}}.at(now)
		if err != nil || !got.Equal(want) {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"yesterday", "2025-11-14T19:30:00Z"} {
		if got, err := (said{url.Values{"at": {text}}}).at(now); err == nil {
			t.Errorf("%q: %v", text, got)
		}
	}
	if got := (said{url.Values{"parts": {"A1", " ", "B2,B3 "}}}).list("parts"); got != "A1,B2,B3" {
		t.Errorf("the parts are %q", got)
	}
}

func TestLeadsBack(t *testing.T) {
	for from, want := range map[string]string{"/bench/words?build=x": "/bench/words?build=x", "": Root, "/": Root,
		"//elsewhere/bench/": Root, "https://elsewhere/": Root, "/bench/../x": Root} {
		if got := below(from); got != want || strings.HasPrefix(got, "//") {
			t.Errorf("%q leads to %q", from, got)
		}
	}
}

func TestEveryPageHasItsTemplate(t *testing.T) {
	for address, page := range (&Bench{}).pages() {
		if templates().Lookup(page.template+".html") == nil {
			t.Errorf("%s: there is no template %s", address, page.template)
		}
	}
}

func TestCuringTime(t *testing.T) {
	for text, want := range map[string]time.Duration{"1h": time.Hour, "36 h": 36 * time.Hour, "3 days": 72 * time.Hour,
		"1 day": 24 * time.Hour, "90 min": 90 * time.Minute} {
		if got, err := curesFor(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	if got, err := curesFor("a while"); err == nil {
		t.Errorf("a while is %v", got)
	}
}

// What holds a part has words for its end.
func TestEveryHoldEnds(t *testing.T) {
	for _, is := range journal.HoldWhats {
		if overs[is] == "" {
			t.Errorf("nothing says that %q ended", is)
		}
	}
}
