// The contact sheet of many builds: which stand on it at first, how heavy it is, and
// what it reads when it is narrowed.

package render

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// heaviestBefore is how many bytes a page may have before its photos.
const heaviestBefore = 150 << 10

func TestOnePerYear(t *testing.T) {
	// Four builds a year from 2010 on.
	titles := func(builds []*build) (out []string) {
		for _, b := range builds {
			out = append(out, strings.TrimPrefix(b.Title, "Boat "))
		}
		return out
	}
	for _, c := range []struct {
		builds, most int
		want         string
	}{{1, 14, "0"}, {5, 5, "0 1 2 3 4"}, {8, 6, "0 3 6 7"}, {20, 14, "0 3 7 11 15 18 19"}, {20, 5, "0 3 11 18 19"}} {
		v := viewOf(manyBuilds(c.builds), time.Time{}, nil)
		if got := titles(onePerYear(v.order, c.most)); strings.Join(got, " ") != c.want {
			t.Errorf("of %d builds at most %d: %q, want %q", c.builds, c.most, got, c.want)
		}
	}
	v := viewOf(manyBuilds(60), time.Time{}, nil)
	got := onePerYear(v.order, 14)
	if len(got) != 14 || got[0] != v.order[0] || got[12] != v.order[58] || got[13] != v.order[59] || !slices.IsSortedFunc(got, func(a, b *build) int { return strings.Compare(a.first, b.first) }) {
		t.Errorf("%q", titles(got))
	}
}

// The colors of builds run with time, not with their number.
func TestRampIsTime(t *testing.T) {
	s := &journal.State{Zone: time.UTC, Builds: []*journal.Build{
		{ID: "a", Title: "A", Started: "2010-01-01"}, {ID: "b", Title: "B", Started: "2011-01-01"},
		{ID: "c", Title: "C", Started: "2020-01-01"}, {ID: "d", Title: "D"},
	}}
	for i, b := range viewOf(s, time.Time{}, nil).order {
		if want := []string{"r0 d0", "r1 d1", "r10 d2", "r10 d3"}[i]; b.shade != want {
			t.Errorf("%s is %q, want %q", b.Title, b.shade, want)
		}
	}
}

func TestSheetOfMany(t *testing.T) {
	s := judgedBuilds(60)
	f := &fixture{s: s}
	for i, b := range s.Builds {
		for _, kind := range journal.Kinds { // a row for each kind of step there is
			p := f.photo(b.ID, kind, "after", journal.Views[i%3], "diffuse", at(b.Started).AddDate(0, 0, 40))
			p.Kind = kind
		}
	}
	v := viewOf(s, time.Time{}, nil)
	pages := map[string]string{}
	total := 0
	for _, one := range render(t, v) {
		pages[one.path] = string(one.data)
		if strings.HasPrefix(one.path, "data/sheet-") {
			total += len(one.data)
		}
	}
	text := pages["then-and-now.html"]
	if len(text) > heaviestBefore {
		t.Errorf("then and now has %d KB before its photos", len(text)>>10)
	}
	if total > 1<<20 {
		t.Errorf("all cells have %d KB", total>>10)
	}
	if got := strings.Count(text, `class="col-title"`); got != mostColumns {
		t.Errorf("%d columns", got)
	}
	for _, kind := range v.sheetKinds() {
		if !strings.Contains(text, `href="`+stepPage(kind)+`"`) {
			t.Errorf("nothing leads to all builds of %s", kind)
		}
	}
	// The files hold every build and every kind of step, the best photo first.
	seen := 0
	for year, builds := range v.sheetYears() {
		body, ok := strings.CutPrefix(pages["data/sheet-"+year+".js"], fmt.Sprintf("rakelightSheet(%q,", year))
		var columns []columnData
		if err := json.Unmarshal([]byte(strings.TrimSuffix(body, ");\n")), &columns); !ok || err != nil || len(columns) != len(builds) {
			t.Fatalf("%s: %v, %d columns of %d", year, err, len(columns), len(builds))
		}
		for i, b := range builds {
			for kind, photos := range b.byKind {
				cell := columns[i].Cells[kind]
				if len(cell.Photos) == 0 || cell.Photos[0].Digits != v.stem[best(photos).Hash] {
					t.Errorf("%s of %s shows %+v first", kind, b.ID, cell.Photos)
				}
				for _, p := range photos {
					if !slices.ContainsFunc(cell.Photos, func(one photoData) bool { return one.View == p.Tags.View && one.Light == p.Tags.Light }) {
						t.Errorf("%s of %s has no photo of %q, %q", kind, b.ID, p.Tags.View, p.Tags.Light)
					}
				}
				seen++
			}
			if c := columns[i].Cells["clean"]; c.Pace == "" || c.Marks[""].Mean == "" || c.Marks["3"].Mean == "" {
				t.Errorf("cleanup of %s: %+v", b.ID, c)
			}
		}
	}
	if seen != 60*len(journal.Kinds) {
		t.Errorf("%d cells", seen)
	}
}

func TestBestOfEach(t *testing.T) {
	photos := []*journal.Photo{
		photoOf("1", "before", "left", "raking"), photoOf("2", "after", "top", "raking"), photoOf("3", "after", "left", "raking"),
		photoOf("4", "progress", "top", "diffuse"), photoOf("5", "after", "left", "raking"), photoOf("6", "before", "top", "raking"),
	}
	var got []string
	for _, p := range bestOfEach(photos, best(photos)) {
		got = append(got, p.Hash)
	}
	if want := []string{"5", "2", "4"}; !slices.Equal(got, want) || best(photos).Hash != got[0] {
		t.Errorf("%q, want %q", got, want)
	}
}
