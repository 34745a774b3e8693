// Photos that are not shown in their own right: those of a burst but one, and
// those of which there is no picture.

package render

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media"
)

// pagesByPath are the pages of the small journal.
func pagesByPath(t *testing.T, v *view) map[string]string {
	t.Helper()
	pages := map[string]string{}
	for _, f := range render(t, v) {
		pages[f.path] = string(f.data)
	}
	return pages
}

var insideMore = regexp.MustCompile(`(?s)<details class="more">.*?</details>`)

func TestBurstIsOnePrint(t *testing.T) {
	v := smallView()
	pages := pagesByPath(t, v)
	bursts := v.Bursts()
	if len(bursts) != 1 || len(bursts[0]) != 3 {
		t.Fatalf("%d bursts", len(bursts))
	}
	for i, p := range bursts[0] {
		for name, page := range pages {
			outside := strings.Contains(insideMore.ReplaceAllString(page, ""), "photos/"+p.Short())
			if i > 0 && outside {
				t.Errorf("%s shows %s, which another stands for", name, p.Short())
			}
			listed := name == "index.html" || name == "builds/lightship.html"
			if listed && !strings.Contains(page, "photos/"+p.Short()) {
				t.Errorf("%s does not show %s at all", name, p.Short())
			}
			if listed && i == 0 && !outside {
				t.Errorf("%s hides %s, which stands for its burst", name, p.Short())
			}
		}
	}
	if !strings.Contains(pages["builds/lightship.html"], "2 more of the same moment") {
		t.Error("nothing says that there are more")
	}
	for _, p := range v.pairs() {
		if !stands(p.a.photo) || !stands(p.b.photo) {
			t.Errorf("%s holds up a photo another stands for", p.href)
		}
	}
}

func TestNoPictureIsACard(t *testing.T) {
	v := smallView()
	i := slices.IndexFunc(v.Photos, func(p *journal.Photo) bool { return p.Format == "nef" })
	raw := v.Photos[i]
	for name, page := range pagesByPath(t, v) {
		card := strings.Contains(page, "NEF, 5 May 2024: kept; no picture can be shown")
		if listed := name == "index.html" || name == "builds/lightship.html"; card != listed {
			t.Errorf("%s has the card: %v", name, card)
		}
		if strings.Contains(page, "photos/"+raw.Short()) {
			t.Errorf("%s names a picture that cannot be made", name)
		}
	}
	// It is finished work, and still neither opens a page nor is compared.
	if p := v.portrait(v.builds["lightship"].prints); p == nil || p == raw {
		t.Errorf("the build opens with %+v", p)
	}
	for _, p := range v.pairs() {
		if p.a.photo == raw || p.b.photo == raw {
			t.Errorf("%s compares it", p.href)
		}
	}
	if slices.Contains(v.asked, raw) || len(v.broken().Lines) != 0 {
		t.Error("a person is asked about a photo that is well")
	}
	// So for one that lost its picture only when it was decoded.
	if why, ok := cannotShow(fmt.Errorf("a.jpg: %w", &media.BusyError{Want: media.Reader, Kind: "jpeg"})); !ok || !strings.Contains(why.words, "try again") {
		t.Errorf("a busy reader ends the writing of all pages: %v, %v", why, ok)
	}
	if why, ok := cannotShow(fmt.Errorf("raw.nef: %w", &media.NoPictureError{})); !ok || why != noPicture {
		t.Errorf("%v, %v", why, ok)
	}
}

// TestCardPicturesStandApart holds that a picture of bench cards alone is no
// print: it opens no page and is compared with nothing, and stands folded away
// where its stage is; and that a pause said by card shows the card.
func TestCardPicturesStandApart(t *testing.T) {
	s := small()
	i := slices.IndexFunc(s.Photos, func(p *journal.Photo) bool {
		return p.Tags.Build == "lightship" && p.Kind == "seam" && isResult(p) && p.Width > 0
	})
	p := s.Photos[i]
	w, h := float64(p.Width), float64(p.Height)
	p.Cards = []journal.CardSeen{{Text: "RL1E---------TKR", Corners: [8]float64{0.1 * w, 0.1 * h, 0.5 * w, 0.1 * h, 0.5 * w, 0.6 * h, 0.1 * w, 0.6 * h}}}
	s.Pauses[1].Photo = p.Hash
	v := viewOf(s, time.Time{}, nil)
	for _, one := range v.pairs() {
		if one.a.photo == p || one.b.photo == p {
			t.Errorf("%s compares a picture of cards", one.href)
		}
	}
	folded := regexp.MustCompile(`(?s)<details class="more cards">.*?</details>|<figure class="written">.*?</figure>`)
	for name, page := range pagesByPath(t, v) {
		if strings.Contains(folded.ReplaceAllString(page, ""), "photos/"+p.Short()) {
			t.Errorf("%s shows a picture of cards as a print", name)
		}
		if listed := name == "builds/lightship.html"; strings.Contains(page, "1 picture of a bench card") != listed {
			t.Errorf("%s: a card's picture listed is %v", name, !listed)
		}
		if aside := name == "index.html" || name == "builds/lightship.html"; strings.Contains(page, "as written on the card") != aside {
			t.Errorf("%s: the pause's card shown is %v", name, !aside)
		}
	}
}

func TestClockWords(t *testing.T) {
	for in, want := range map[string]string{
		"": "", "58m fast": "clock 58 min fast, corrected", "1h3m fast": "clock 1 h 3 min fast, corrected",
		"8h slow": "clock 8 h slow, corrected", "by hand": "clock by hand, corrected",
	} {
		if got := clockWords(reason.FaultOf(in)); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// Photos of one moment are sorted with one command, many of a kind are summed
// up, and no file is named.
func TestToSortOfMany(t *testing.T) {
	s := &journal.State{Zone: time.UTC}
	camera := journal.Camera{Make: "Tarrow", Model: "T-24", Serial: secretSerial}
	photo := func(n int, build string, when time.Time) *journal.Photo {
		p := &journal.Photo{
			Hash: fmt.Sprintf("%08x%056d", n, 0), Name: secretName, Width: 800, Height: 600, Camera: camera,
			Instant: journal.Instant{At: when, Wall: when.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "journal zone"},
			Tags:    journal.Tags{Build: build, Stage: build}, Why: reason.WhysOf(map[string]string{"build": "folder " + secretFolder}),
		}
		s.Photos = append(s.Photos, p)
		return p
	}
	for n := range 12 { // a day on which another photo knows it was elsewhere
		photo(n, "clean", at("2024-05-03").Add(time.Duration(n)*time.Minute))
	}
	away := photo(100, "clean", at("2024-05-03").In(time.FixedZone("", 4*3600)))
	away.Instant.Offset, away.Camera = "stated", journal.Camera{Make: "Pellory"}
	for n := range 3 {
		photo(200+n, "", at("2024-06-01")).Burst = s.Photos[13].Hash
	}
	v := viewOf(s, time.Time{}, nil)
	page := v.sortPage()
	if len(page.Parts) != 2 || page.Total != 15 || len(journal.Asked(s.ToDo())) != 15 {
		t.Fatalf("%d photos in %d parts: %q", page.Total, len(page.Parts), page.Sum)
	}
	if zone := page.Parts[0]; len(zone.Lines) != shownLines || len(zone.Rest) != 2 || !strings.Contains(zone.Lines[0].Reasons[0].Type, "rakelight clock tarrow-t-24 --fast 4h") {
		t.Errorf("%+v", zone)
	}
	burst := page.Parts[1].Lines
	if len(burst) != 1 || len(burst[0].Picture.More) != 2 || burst[0].Reasons[0].Type != "rakelight tag 000000c8 000000c9 000000ca mail-seaplane clean" {
		t.Errorf("%+v", burst)
	}
	text := pagesByPath(t, v)["to-sort.html"]
	for _, want := range []string{"… and 2 more: <code>rakelight check --photos --all</code>", "2 more of the same moment", "Photos to sort (15)"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	for _, bad := range []string{secretName, secretFolder, secretSerial} {
		if strings.Contains(text, bad) {
			t.Errorf("the page says %q", bad)
		}
	}
}

// Files that lie in the inbox are counted, not named; a copy that was set aside
// is told of while it is there.
func TestToSortTellsOfFiles(t *testing.T) {
	j := newJournal(t)
	j.State = &journal.State{Zone: time.UTC, Asides: []journal.Aside{{Path: "inbox/aside/attic/here.jpg"}, {Path: "inbox/aside/lost.jpg"}}}
	here := j.Path("inbox/aside/attic/here.jpg")
	if err := os.MkdirAll(filepath.Dir(here), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(here, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Write(t.Context(), j, Options{InInbox: 2}); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(j.Path("pages/to-sort.html"))
	if err != nil {
		t.Fatal(err)
	}
	page := string(data)
	for _, want := range []string{"1 copy lies in inbox/aside", "2 files lie in inbox/, not taken in.", "<code>rakelight take</code>", "<code>rakelight take inbox/aside</code>", "Every photo has a build"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	if strings.Contains(page, "attic") {
		t.Error("the page names a file")
	}
}
