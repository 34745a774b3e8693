// Pages of many builds: what they show first, where the rest stands, and that
// they stay light.

package render

import (
	"fmt"
	"math/rand/v2"
	"path"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// judgedBuilds are many builds with sessions, marks and pairs, too.
func judgedBuilds(n int) *journal.State {
	f := &fixture{s: manyBuilds(n), rng: rand.New(rand.NewPCG(9, 9))}
	for i, b := range f.s.Builds {
		if i < n-1 {
			b.Finished = at(b.Started).AddDate(0, 2, 0).Format(time.DateOnly)
		}
		for k := range 30 {
			f.session(b.ID, []string{"clean", "seam", "paint"}[k%3], at(b.Started).AddDate(0, 0, k), 1+float64(i)/40, i == 3)
		}
	}
	for k, p := range f.s.Photos {
		f.s.Marks = append(f.s.Marks, journal.Mark{Photo: p.Hash, Criterion: 3, Score: k % 5, Rubric: journal.Rubric, At: p.Instant.At, Record: fmt.Sprint("d/", 1000+k)})
		other := f.s.Photos[(k+17)%len(f.s.Photos)]
		f.s.Verdicts = append(f.s.Verdicts, journal.Verdict{Left: p.Hash, Right: other.Hash, Criterion: 3, Outcome: journal.Outcomes[k%3], At: p.Instant.At, Record: fmt.Sprint("d/", 5000+k)})
	}
	for i, b := range f.s.Builds {
		for k := range 3 {
			f.s.Mistakes = append(f.s.Mistakes, journal.Mistake{Build: b.ID, Stage: "clean", Kind: []string{"gouge", "lost part"}[k%2], At: at(b.Started).AddDate(0, 0, k), Record: fmt.Sprint("d/", 9000+10*i+k)})
		}
	}
	return f.s
}

func pagesByName(t *testing.T, s *journal.State) map[string]string {
	t.Helper()
	pages := map[string]string{}
	for _, f := range htmlOf(render(t, viewOf(s, time.Time{}, nil))) {
		pages[f.path] = string(f.data)
	}
	return pages
}

// heaviest is how many bytes a page may have: what a phone on a slow line loads
// in a moment.
const heaviest = 300 << 10

func TestPagesStayLight(t *testing.T) {
	pages := pagesByName(t, judgedBuilds(60))
	for name, text := range pages {
		if len(text) > heaviest {
			t.Errorf("%s has %d KB", name, len(text)>>10)
		}
	}
	few := pagesByName(t, judgedBuilds(fewBuilds))
	for _, name := range []string{"index.html", "then-and-now.html", "pace.html", "skill.html", "builds/boat-05.html"} {
		if many := len(pages[name]); many > 2*len(few[name]) {
			t.Errorf("%s has %d bytes with 60 builds, %d with %d", name, many, len(few[name]), fewBuilds)
		}
	}
}

// Of many builds the first and the latest come first, and all are one step away.
func TestFirstAndLatestAreShown(t *testing.T) {
	const n = 20
	pages := pagesByName(t, judgedBuilds(n))
	for name, want := range map[string]string{
		"index.html": buildsPage, "pace.html": "step-clean.html", "then-and-now.html": "step-clean.html", "skill.html": "criterion-3.html",
	} {
		text := pages[name]
		main := text[strings.Index(text, "<main"):]
		for i := range n {
			title := fmt.Sprintf("Boat %d<", i)
			shown := i == 0 || i >= n-fewColumns+1
			// A folded table may have all.
			folds := name == "pace.html" || name == "skill.html"
			if got := strings.Contains(main, title); shown && !got || got && !folds && i > 0 && i < n-fewBuilds {
				t.Errorf("%s shows %s: %v", name, title, got)
			}
		}
		if !strings.Contains(main, `href="`+want+`"`) {
			t.Errorf("%s does not lead to %s", name, want)
		}
		all := pages[want]
		for i := range n {
			if !strings.Contains(all, fmt.Sprintf("Boat %d<", i)) {
				t.Errorf("%s leaves Boat %d out", want, i)
			}
		}
	}
	for name, text := range pages {
		if path.Ext(name) != ".html" {
			continue
		}
		rail := text[strings.Index(text, `class="rail-builds"`):strings.Index(text, "<main")]
		if got := strings.Count(rail, "<li>"); got > railOpen+railLatest+2 || !strings.Contains(rail, fmt.Sprintf("All %d builds", n)) {
			t.Errorf("%s lists %d builds at its side", name, got)
		}
		if strings.HasPrefix(name, "builds/") && !strings.Contains(rail, `href="#main" aria-current="page"`) {
			t.Errorf("%s does not say at its side where one is", name)
		}
	}
	// A journal of few builds needs none of these pages.
	for name := range pagesByName(t, judgedBuilds(fewBuilds)) {
		if name == buildsPage || strings.HasPrefix(name, "step-") || strings.HasPrefix(name, "criterion-") {
			t.Errorf("%s is written for %d builds", name, fewBuilds)
		}
	}
}

// Of a stage with hundreds of photos each still has its own place once, those of
// a burst among them, and few are large.
func TestManyPhotosFold(t *testing.T) {
	s := judgedBuilds(2)
	f := &fixture{s: s}
	for i := range 300 {
		p := f.photo("boat-00", "clean", "progress", "left", "raking", at("2010-01-03").Add(time.Duration(i)*time.Minute))
		if i%10 == 1 {
			s.Photos[len(s.Photos)-2].Burst, p.Burst = s.Photos[len(s.Photos)-2].Hash, s.Photos[len(s.Photos)-2].Hash
		}
	}
	text := pagesByName(t, s)["builds/boat-00.html"]
	if len(text) > heaviest {
		t.Errorf("the page has %d KB", len(text)>>10)
	}
	for _, p := range s.Photos {
		if n := strings.Count(text, `id="photo-`+p.Short()+`"`); p.Tags.Build == "boat-00" && n != 1 {
			t.Errorf("%s has %d places", p.Short(), n)
		}
	}
	clean := text[strings.Index(text, `id="stage-clean"`):strings.Index(text, `id="stage-seam"`)]
	if n := strings.Count(clean, `<figure class="print"`); n != fewPhotos {
		t.Errorf("%d photos are large", n)
	}
}
