// How many comparisons are written, and what becomes of addresses that were
// written before.

package render

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// manyBuilds is a journal of n builds with before and after of some steps.
func manyBuilds(n int) *journal.State {
	f := &fixture{s: &journal.State{Zone: time.UTC}}
	for i := range n {
		id := fmt.Sprintf("boat-%02d", i)
		day := at("2010-01-02").AddDate(0, 3*i, 0)
		b := &journal.Build{ID: id, Title: fmt.Sprint("Boat ", i), Started: day.Format(time.DateOnly)}
		for _, k := range []string{"clean", "seam", "paint"} {
			b.Stages = append(b.Stages, journal.Stage{ID: k, Title: journal.Title(k), Kind: k})
			for h, role := range []string{"before", "after"} {
				f.photo(id, k, role, "left", "raking", day.Add(time.Duration(h)*time.Hour))
			}
		}
		f.s.Builds = append(f.s.Builds, b)
	}
	return f.s
}

// Three steps of a build: each has before and after, and stands beside the build
// before it and the first one.
func TestComparisonsGrowWithTheBuilds(t *testing.T) {
	for _, n := range []int{2, 10, 40} {
		v := viewOf(manyBuilds(n), time.Time{}, nil)
		within, across := 0, 0
		for _, p := range v.pairs() {
			if p.within {
				within++
				continue
			}
			across++
			i, k := 0, 0
			fmt.Sscanf(p.a.b.ID+" "+p.b.b.ID, "boat-%d boat-%d", &i, &k)
			if i != 0 && i != k-1 || i >= k {
				t.Errorf("%s stands beside %s", p.a.b.ID, p.b.b.ID)
			}
		}
		if within != 3*n || across != 3*(2*n-3) {
			t.Errorf("%d builds have %d comparisons within and %d across, want %d and %d", n, within, across, 3*n, 3*(2*n-3))
		}
	}
}

// Photos in which a person pointed at the same spots have a page, whatever builds
// they are of; those that have one already get no second.
func TestPointedPairsHaveAPage(t *testing.T) {
	s := manyBuilds(5)
	of := func(build int, kind, role string) *journal.Photo {
		for _, p := range s.Photos {
			if p.Tags.Build == s.Builds[build].ID && p.Kind == kind && p.Tags.Role == role {
				return p
			}
		}
		panic("no such photo")
	}
	before := len(viewOf(s, time.Time{}, nil).pairs())
	far, near := [2]*journal.Photo{of(3, "clean", "after"), of(1, "clean", "after")}, [2]*journal.Photo{of(1, "clean", "after"), of(0, "clean", "after")}
	for _, two := range [][2]*journal.Photo{far, near} {
		h := hashesOf(two[0], two[1])
		s.Points = append(s.Points, journal.Points{A: h[0], B: h[1], Pairs: []journal.PointPair{{0.1, 0.1, 0.1, 0.1}, {0.9, 0.9, 0.9, 0.9}}})
	}
	v := viewOf(s, time.Time{}, nil)
	pairs := v.pairs()
	if len(pairs) != before+1 {
		t.Fatalf("%d comparisons, want one more than %d", len(pairs), before)
	}
	last := pairs[len(pairs)-1]
	if !last.byHand || last.a.photo != far[1] || last.b.photo != far[0] {
		t.Errorf("%+v", last)
	}
	page := v.compare(last, v.texts())
	if page.Laid == nil || len(page.Back) != 2 || strings.Contains(page.Heading, "%!") {
		t.Errorf("%+v", page)
	}
	links := 0
	for _, f := range htmlOf(render(t, v)) {
		links += strings.Count(string(f.data), last.href)
	}
	if links != 2 {
		t.Errorf("%d ways lead to it, want one from each build", links)
	}
}

// What the page for any two photos reads is of every photo that can be shown, and
// holds what its script needs.
func TestPhotoData(t *testing.T) {
	v := smallView()
	found := map[string]twoOf{}
	for _, f := range render(t, v) {
		if !strings.HasPrefix(f.path, "data/photos-") {
			continue
		}
		body, ok := strings.CutPrefix(string(f.data), "rakelightPhotos(")
		var some map[string]twoOf
		if err := json.Unmarshal([]byte(strings.TrimSuffix(body, ");\n")), &some); !ok || err != nil {
			t.Fatalf("%s: %v", f.path, err)
		}
		if strings.Contains(body, "<") {
			t.Errorf("%s holds markup", f.path)
		}
		for digits, one := range some {
			if f.path != "data/photos-"+digits[:2]+".js" {
				t.Errorf("%s lies in %s", digits, f.path)
			}
			found[digits] = one
		}
	}
	for _, p := range v.Photos {
		one, ok := found[p.Short()]
		if ok != hasPicture(p) {
			t.Errorf("%s is known: %v", p.Short(), ok)
		}
		if ok && (one.Width != p.Width || one.Height != p.Height || one.View != p.Tags.View || one.Alt == "" || one.Home != v.picture("", p, "").Home) {
			t.Errorf("%s: %+v", p.Short(), one)
		}
	}
}

// A folder of an earlier version held a page for every two builds: what was
// passed on leads to the two photos, what is nobody's stays, and nothing else is
// added to a new folder.
func TestMovedAddresses(t *testing.T) {
	j := newJournal(t)
	j.State = manyBuilds(5)
	old := map[string]string{
		"compare/clean-boat-01-boat-03.html": "moved", "compare/clean-boat-00-boat-03.html": "a page today",
		"compare/clean-boat-01-sold.html": "of a build that is gone",
	}
	lists := ""
	for name := range old {
		lists += name + "\n"
		put(t, j.Path("pages/"+name), "an earlier version's page")
	}
	put(t, j.Path("pages/compare/clean-boat-02-boat-04.html"), "somebody's own")
	put(t, j.Path("pages/"+listName), lists)
	for range 2 { // and again, when this version has written there
		o := output{dir: j.Path("pages"), manifest: manifestFile}
		moved, err := o.moved()
		if err != nil || len(moved) != 3 {
			t.Fatalf("%q, %v", moved, err)
		}
		v := viewOf(j.State, time.Time{}, nil)
		if err := o.write(t.Context(), j, v, append(pagesOf(v), v.movedPages(moved)...), nil, &Report{}); err != nil {
			t.Fatal(err)
		}
		page := read(t, j.Path("pages/compare/clean-boat-01-boat-03.html"))
		if !regexp.MustCompile(`href="\.\./compare\.html#a=[0-9a-f]{8}&amp;b=[0-9a-f]{8}"`).MatchString(page) ||
			strings.Count(page, `href="../builds/boat-0`) != 2 {
			t.Errorf("it leads nowhere:\n%s", page)
		}
		if page := read(t, j.Path("pages/compare/clean-boat-00-boat-03.html")); !strings.Contains(page, `id="divider"`) {
			t.Error("a comparison that is written today gave way to an older address")
		}
		if _, err := os.Stat(j.Path("pages/compare/clean-boat-01-sold.html")); !os.IsNotExist(err) {
			t.Error("a page of a build that is gone stays:", err)
		}
		if got := read(t, j.Path("pages/compare/clean-boat-02-boat-04.html")); got != "somebody's own" {
			t.Errorf("somebody's file holds %.60q", got)
		}
	}
	fresh := output{dir: filepath.Join(t.TempDir(), "pages")}
	if moved, err := fresh.moved(); err != nil || len(moved) > 0 {
		t.Errorf("%q, %v", moved, err)
	}
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
