// Pages of many builds: what they show first, where the rest stands, and that
// they stay light.

package render

import (
	"fmt"
	"math/rand/v2"
	"path"
	"regexp"
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

// muchJudged has so many photos more of each build, each marked and in a pair, and
// half of them marked twice.
func muchJudged(s *journal.State, each int) *journal.State {
	f := &fixture{s: s}
	score := 0
	for i, b := range s.Builds {
		for k := range each {
			p := f.photo(b.ID, "seam", "after", "left", "raking", at(b.Started).AddDate(0, 0, k))
			for range 1 + k%2 {
				score++
				s.Marks = append(s.Marks, journal.Mark{Photo: p.Hash, Criterion: 4, Score: score % 5, Rubric: journal.Rubric, At: p.Instant.At, Record: fmt.Sprint("e/", score)})
			}
			other := s.Photos[(i*each+k*7)%len(s.Photos)]
			s.Verdicts = append(s.Verdicts, journal.Verdict{Left: p.Hash, Right: other.Hash, Criterion: 4, Outcome: journal.Outcomes[k%3], At: p.Instant.At, Record: fmt.Sprint("f/", score)})
		}
	}
	return s
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

// noNumber is what a float64 that is no number reads as.
var noNumber = regexp.MustCompile(`\b(NaN|Inf)\b`)

// noNumberIn is the first such, with what stands around it. The pattern takes its time, and
// hardly any text gives it cause.
func noNumberIn(text string) string {
	if !strings.Contains(text, "NaN") && !strings.Contains(text, "Inf") {
		return ""
	}
	at := noNumber.FindStringIndex(text)
	if at == nil {
		return ""
	}
	return text[max(0, at[0]-60):min(len(text), at[1]+20)]
}

func TestPagesStayLight(t *testing.T) {
	pages := pagesByName(t, muchJudged(judgedBuilds(60), 60))
	few := pagesByName(t, muchJudged(judgedBuilds(fewBuilds), 60))
	for builds, pages := range map[int]map[string]string{60: pages, fewBuilds: few} {
		for name, text := range pages {
			if len(text) > heaviest {
				t.Errorf("of %d builds, %s has %d KB", builds, name, len(text)>>10)
			}
			if said := noNumberIn(text); said != "" {
				t.Errorf("of %d builds, %s says %q", builds, name, said)
			}
		}
	}
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
		"index.html": buildsPage, "pace.html": "step-clean.html", "skill.html": "criterion-3.html",
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
	if said := strings.Count(pages["skill.html"], "on all criteria together"); said == 0 || said > 2 {
		t.Errorf("skill.html compares the latest build with %d others in words", said)
	}
	for name, text := range pages {
		if path.Ext(name) != ".html" {
			continue
		}
		rail := text[strings.Index(text, `class="rail-builds"`):strings.Index(text, "<main")]
		if got := strings.Count(rail, "<li>"); got > railOpen+railLatest+2 || !strings.Contains(rail, fmt.Sprintf("All %d builds", n)) {
			t.Errorf("%s lists %d builds at its side", name, got)
		}
		here := `href="#main" aria-current="page"`
		if strings.Count(name, "/") == 2 {
			here = `.html" aria-current="true"`
		}
		if strings.HasPrefix(name, "builds/") && !strings.Contains(rail, here) {
			t.Errorf("%s does not say at its side where one is", name)
		}
	}
	// A journal of few builds needs no page of all, and no pages of photos apart.
	for name := range pagesByName(t, judgedBuilds(fewBuilds)) {
		if name == buildsPage || strings.Contains(name, "-photos-") {
			t.Errorf("%s is written for %d builds", name, fewBuilds)
		}
	}
}

// Of a stage with hundreds of photos each still has its own place once, those of
// a burst among them, and few are large. Where they are too many for a build's page,
// others lead to them and back.
func TestManyPhotosFold(t *testing.T) {
	for _, n := range []int{100, 300, 1000} {
		t.Run(fmt.Sprint(n), func(t *testing.T) { manyPhotosFold(t, n) })
	}
}

func manyPhotosFold(t *testing.T, n int) {
	s := judgedBuilds(2)
	f := &fixture{s: s}
	for i := range n {
		p := f.photo("boat-00", "clean", "progress", "left", "raking", at("2010-01-03").Add(time.Duration(i)*time.Minute))
		if i%10 == 1 {
			s.Photos[len(s.Photos)-2].Burst, p.Burst = s.Photos[len(s.Photos)-2].Hash, s.Photos[len(s.Photos)-2].Hash
		}
	}
	pages := pagesByName(t, s)
	text := pages["builds/boat-00.html"]
	v := viewOf(s, time.Time{}, nil)
	own := map[string]string{"builds/boat-00.html": text}
	for _, one := range v.builds["boat-00"].folded {
		own[one.href] = pages[one.href]
		if !strings.Contains(text, `href="../`+one.href+`"`) ||
			!strings.Contains(own[one.href], `href="../builds/boat-00.html#stage-clean"`) {
			t.Errorf("no way to %s, or back", one.href)
		}
	}
	if want := 1 + (n-fewPhotos+foldedOnPage-1)/foldedOnPage; n > foldedOnBuild+fewPhotos && len(own) < want ||
		n < foldedOnBuild && len(own) > 1 {
		t.Errorf("%d pages", len(own))
	}
	for name, page := range own {
		if len(page) > heaviest {
			t.Errorf("%s has %d KB", name, len(page)>>10)
		}
	}
	for _, p := range s.Photos {
		places := ""
		for name, page := range own {
			places += strings.Repeat(name+" ", strings.Count(page, `id="photo-`+p.Short()+`"`))
		}
		if want := strings.Split(v.place(v.builds["boat-00"], p), "#")[0] + " "; p.Tags.Build == "boat-00" && places != want {
			t.Errorf("%s has its place on %q, want %q", p.Short(), places, want)
		}
	}
	clean := text[strings.Index(text, `id="stage-clean"`):strings.Index(text, `id="stage-seam"`)]
	if n := strings.Count(clean, `<figure class="print"`); n != fewPhotos {
		t.Errorf("%d photos are large", n)
	}
}
