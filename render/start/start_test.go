package start

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/plan"
)

// asked is a site that remembers what it had done elsewhere.
type asked struct {
	*Site
	opened []string
	fails  error // of what is opened
}

func newAsked(t *testing.T) (*asked, string) {
	t.Helper()
	home := t.TempDir()
	a := &asked{}
	a.Site = New(Doing{
		Open: func(dir string) error {
			if a.opened = append(a.opened, dir); a.fails == nil {
				a.Opened(dir, "My bench")
			}
			return a.fails
		},
		Demo:      func(func(int, int, string)) (string, error) { return "", errors.New("no room on the disk") },
		Stop:      func() {},
		OpenBench: func(dir string) (*journal.Journal, error) { return journal.OpenBench(dir, time.Now) },
		Now:       time.Now, Home: home,
	})
	return a, home
}

// get and post answer with the code, where it leads, and the page.
func (a *asked) get(address string) (int, string, string) {
	return a.ask(httptest.NewRequest(http.MethodGet, address, nil))
}

func (a *asked) post(address string, fields url.Values) (int, string, string) {
	r := httptest.NewRequest(http.MethodPost, address, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return a.ask(r)
}

func (a *asked) ask(r *http.Request) (int, string, string) {
	w := httptest.NewRecorder()
	a.Handler().ServeHTTP(w, r)
	return w.Code, w.Header().Get("Location"), w.Body.String()
}

func TestJournalIsMadeAndOpened(t *testing.T) {
	a, home := newAsked(t)
	if code, to, _ := a.get("/"); code != http.StatusSeeOther || to != Root {
		t.Errorf("the first address answers %d and leads to %q", code, to)
	}
	if _, to, _ := a.get(Plan); to != Root {
		t.Errorf("a plan without a journal leads to %q", to)
	}
	if _, _, page := a.get(Root + "new"); !strings.Contains(page, "does not tell") || !strings.Contains(page, filepath.Join(home, "Rakelight")) {
		t.Errorf("the page proposes %s", page)
	}
	fields := url.Values{"name": {"My bench"}, "dir": {"~/bench"}, "zone": {""}}
	if code, _, page := a.post(Root+"new", fields); code != http.StatusConflict || !strings.Contains(page, "no time zone is chosen") {
		t.Errorf("without a zone it answers %d", code)
	}
	fields.Set("zone", "Europe/Lisbon")
	code, to, page := a.post(Root+"new", fields)
	dir := filepath.Join(home, "bench")
	if code != http.StatusSeeOther || to != Plan || !slices.Equal(a.opened, []string{dir}) {
		t.Fatalf("it answers %d, leads to %q, opened %v: %s", code, to, a.opened, page)
	}
	j, err := journal.Open(dir)
	if err != nil || j.State.Zone.String() != "Europe/Lisbon" || j.State.Config.Name != "My bench" {
		t.Errorf("the journal is %+v: %v", j, err)
	}
	if code, to, _ := a.post(Root+"new", fields); code != http.StatusSeeOther || to != Plan || len(a.opened) != 1 {
		t.Errorf("sent twice, it answers %d and leads to %q", code, to)
	}
	a.Closed("")
	// What is there is left alone, and said.
	code, _, page = a.post(Root+"new", fields)
	if code != http.StatusConflict || !strings.Contains(page, "is a journal already") {
		t.Errorf("a second journal in the folder answers %d", code)
	}
	if _, _, page := a.get(Root + "open"); !strings.Contains(page, dir) {
		t.Error("the journal is not found where it lies")
	}
	if code, _, page := a.post(Root+"open", url.Values{"dir": {home}}); code != http.StatusConflict || !strings.Contains(page, "holds no journal") {
		t.Errorf("a folder without a journal answers %d", code)
	}
	a.fails = errors.New("it is watched elsewhere")
	if code, _, page := a.post(Root+"open", url.Values{"dir": {dir}}); code != http.StatusConflict || !strings.Contains(page, "watched elsewhere") {
		t.Errorf("a journal that cannot be opened answers %d", code)
	}
	a.Closed("The journal used last is not there any more.")
	if _, _, page := a.get(Root); !strings.Contains(page, "not there any more") {
		t.Error("a journal that is gone is not told")
	}
}

// Beside a watch that was begun in a terminal a build is planned, and no more.
func TestPlansAloneBesideAWatch(t *testing.T) {
	a := &asked{Site: New(Doing{Now: time.Now})}
	a.Opened("/somewhere", "My bench")
	if code, _, page := a.get(Root); code != http.StatusOK || strings.Contains(page, "Stop") || strings.Contains(page, "Another") {
		t.Errorf("the first page answers %d: %s", code, page)
	}
	if code, _, page := a.get(Plan); code != http.StatusOK || !strings.Contains(page, "Write the plan") {
		t.Errorf("the plan answers %d", code)
	}
	for _, address := range []string{"new", "open", "demo", "choose"} {
		if code, _, _ := a.get(Root + address); code != http.StatusNotFound {
			t.Errorf("%s answers %d", address, code)
		}
	}
	if code, _, _ := a.post(Root+"stop", nil); code != http.StatusNotFound && code != http.StatusMethodNotAllowed {
		t.Errorf("stop answers %d", code)
	}
}

// A demo that cannot be made says why.
func TestDemoThatFailsIsTold(t *testing.T) {
	a, _ := newAsked(t)
	if _, to, _ := a.post(Root+"demo", nil); to != Root+"demo" {
		t.Fatalf("it leads to %q", to)
	}
	for range 400 {
		if code, _, page := a.get(Root + "demo"); code == http.StatusConflict {
			if !strings.Contains(page, "no room on the disk") {
				t.Errorf("it says %s", page)
			}
			return
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatal("the demo never ended")
}

// Taps are addresses: each gives the page it leads to, and none writes anything.
func TestPlanIsTapped(t *testing.T) {
	a, home := newAsked(t)
	dir := filepath.Join(home, "bench")
	if err := journal.Create(dir, "My bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	a.Opened(dir, "My bench")
	f := url.Values{"title": {"Mail seaplane"}, "order": {"painted"}, "stage": {"cut", "clean"}, "finish": {"painted"},
		"runner": {"A", "B"}, "parts-A": {"24"}, "parts-B": {"3"}, "class-B": {"clear"}, "spare-A": {"3", "24", "99"}}
	for _, c := range []struct{ do, want string }{
		{"A-1", `name="parts-A" value="23"`}, {"A+10", `name="parts-A" value="34"`}, {"B-10", `name="parts-B" value="0"`},
		{"add", `id="runner-C"`}, {"scale 1/72", `name="scale" value="1/72"`}, {"Q+1", `name="parts-B" value="3"`},
		{"A+999999999999999999999", `name="parts-A" value="24"`}, {"A+4000", `name="parts-A" value="400"`},
		{"order resin", `name="order" value="resin"`}, {"order nobody", `name="order" value="painted"`},
	} {
		f.Set("do", c.do)
		if code, _, page := a.get(Plan + "?" + f.Encode()); code != http.StatusOK || !strings.Contains(page, c.want) {
			t.Errorf("%s gives no %s", c.do, c.want)
		}
	}
	f.Set("do", "drop A")
	if _, _, page := a.get(Plan + "?" + f.Encode()); strings.Contains(page, "runner-A") || !strings.Contains(page, "runner-B") {
		t.Error("runner A was not left out, or B was")
	}
	if found, _ := filepath.Glob(filepath.Join(dir, "builds", "*")); len(found) > 0 {
		t.Fatalf("taps wrote %v", found)
	}
	f.Del("do")
	if code, to, page := a.post(Plan, f); code != http.StatusSeeOther || to != mat {
		t.Fatalf("it answers %d and leads to %q: %s", code, to, page)
	}
	text, err := os.ReadFile(filepath.Join(dir, "builds", "mail-seaplane", "build.md"))
	if err != nil {
		t.Fatal(err)
	}
	b, problems := plan.ParseBuild("mail-seaplane", text)
	if len(problems) > 0 || len(b.Kits[0].Runners) != 2 {
		t.Fatalf("%v in %s", problems, text)
	}
	one, two := b.Kits[0].Runners[0], b.Kits[0].Runners[1]
	if len(one.Parts) != 24 || !slices.Equal(one.NotUsed, []string{"3", "24"}) || two.Class != "clear" || len(two.Parts) != 3 ||
		len(b.Stages) != 2 || b.Finish != "painted" {
		t.Errorf("the plan is %+v", b)
	}
	if code, _, page := a.post(Plan, f); code != http.StatusConflict || !strings.Contains(page, "there is a build mail-seaplane already") {
		t.Errorf("the same build again answers %d", code)
	}
	f.Set("title", "Портовый катер")
	if code, _, page := a.post(Plan, f); code != http.StatusConflict || !strings.Contains(page, "small letters") {
		t.Errorf("a title without a letter for folders answers %d", code)
	}
	f.Set("name", "pilot-boat-2")
	if code, _, page := a.post(Plan, f); code != http.StatusSeeOther {
		t.Errorf("with a name it answers %d: %s", code, page)
	}
}

// Every zone that can be chosen is one.
func TestZonesAreZones(t *testing.T) {
	n := 0
	for _, part := range zones() {
		for _, name := range part.Zones {
			n++
			if _, err := time.LoadLocation(name); err != nil {
				t.Error(err)
			}
		}
	}
	if n < 300 {
		t.Errorf("%d zones", n)
	}
}

// Whatever stands in the address, the page is made.
func FuzzPlan(f *testing.F) {
	for _, seed := range []string{"order=painted&runner=A&parts-A=3&spare-A=2&do=A%2B1", "order=x&runner=AAAA&parts-A=-1", "do=drop", "do=%2B"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, query string) {
		fields, err := url.ParseQuery(query)
		if err != nil {
			return
		}
		page := draftOf(fields)
		page.tap(fields.Get("do"), fields.Get("letter"))
		for _, r := range page.filled().Runners {
			if r.Parts < 0 || r.Parts > mostParts || len(r.Numbers) != r.Parts {
				t.Errorf("runner %s has %d parts and %d numbers", r.Letter, r.Parts, len(r.Numbers))
			}
		}
		if _, err := page.draft().Text(); err == nil && page.Title == "" && page.Name == "" {
			t.Error("a build without a name was drafted")
		}
	})
}
