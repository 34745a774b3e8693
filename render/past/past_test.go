// Tests of the pages as they are asked: what they show, what may be said and by whom.

package past

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	old "rakelight/media/past"
	"rakelight/media/scene"
)

// tried are pages that are asked without a browser.
type tried struct {
	*testing.T
	*Pages
	dir string
}

func try(t *testing.T, evenings, each int) (*tried, string, []truth) {
	dir, pictures, all := looked(t, evenings, each)
	return &tried{t, newPages(t, dir), dir}, pictures, all
}

func (p *tried) get(address string) string {
	p.Helper()
	w := asks(p.Handler(), httptest.NewRequest(http.MethodGet, address, nil))
	if w.Code != http.StatusOK {
		p.Fatalf("%s: %d, %s", address, w.Code, w.Body)
	}
	return w.Body.String()
}

func (p *tried) post(address string, fields url.Values) (int, string) {
	p.Helper()
	if fields.Get("once") == "" {
		fields.Set("once", newID())
	}
	r := httptest.NewRequest(http.MethodPost, address, strings.NewReader(fields.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := asks(p.Handler(), r)
	return w.Code, w.Body.String()
}

func (p *tried) now() *look {
	p.Helper()
	a, err := p.ask(httptest.NewRequest(http.MethodGet, Root, nil))
	if err != nil {
		p.Fatal(err)
	}
	return a.look
}

func (p *tried) said(fields url.Values) {
	p.Helper()
	if code, body := p.post(Root+"say", maps.Clone(fields)); code != http.StatusSeeOther {
		_, why, _ := strings.Cut(body, `role="alert">`)
		p.Fatalf("%v: %d, %s", fields, code, why[:min(300, len(why))])
	}
}

// Without a script each saying is a form, and each can be taken back.
func TestSayings(t *testing.T) {
	p, _, _ := try(t, 4, 3)
	l := p.now()
	if n := len(l.bands()); n != 6 {
		t.Fatalf("%d likely builds", n)
	}
	if n := l.pictures[1].alike(); n != 2 {
		t.Errorf("a picture that is there twice counts %d", n)
	}
	of := l.bands()[0].id()
	state := func() string { return stateOf(t, p.dir) }
	one, two := l.bands()[0].pictures[0].id(), l.bands()[0].pictures[4].id()
	type saying struct {
		name   string
		fields url.Values
	}
	for _, s := range []saying{
		{"name", url.Values{"do": {"name"}, "title": {" Pilot  boat "}, "of": {of}}},
		{"merge", url.Values{"do": {"build"}, "build": {"pilot-boat"}, "and": {l.bands()[1].id()}, "of": {of}}},
		{"split", url.Values{"do": {"name"}, "title": {"Other boat"}, "of": {of}, "p": {one + "," + two}}},
		{"stage", url.Values{"do": {"stage:clean"}, "of": {of}, "p": {two}}},
		{"stage of all", url.Values{"do": {"stage:cut"}, "of": {of}}},
		{"evening", url.Values{"do": {"stage:paint"}, "of": {l.bands()[0].pictures[1].id()}, "e": {"2019-02-03"}}},
		{"before", url.Values{"do": {"role:before"}, "p": {one}}},
		{"no mark", url.Values{"do": {"role:"}, "p": {one}}},
		{"finished", url.Values{"do": {"role:finished"}, "p": {two}}},
		{"ends and finished", url.Values{"do": {"ends:finished"}, "of": {l.bands()[1].id()}}},
		{"ends", url.Values{"do": {"ends"}, "of": {l.bands()[1].id()}}},
		{"date", url.Values{"do": {"date"}, "p": {one}, "when": {"spring 1998"}}},
		{"out", url.Values{"do": {"out:" + two}}},
		{"in", url.Values{"do": {"in:" + two}}},
		{"evening out", url.Values{"do": {"outevening:2019-02-03"}, "of": {l.bands()[0].pictures[1].id()}}},
		{"all back", url.Values{"do": {"inall"}, "of": {l.bands()[1].id()}}},
		{"all out", url.Values{"do": {"outall"}, "of": {l.bands()[2].id()}}},
	} {
		if s.name == "ends" {
			p.said(url.Values{"do": {"role:"}, "p": {l.bands()[1].pictures[0].id(), l.bands()[1].pictures[11].id(), l.bands()[1].pictures[12].id()}})
			p.said(url.Values{"do": {"stage:cut"}, "of": {l.bands()[1].id()}})
		}
		before := state()
		p.said(s.fields)
		if state() == before {
			t.Errorf("%s changed nothing", s.name)
		}
		last := p.lastSaid()
		if last.Back || last.Words == "" {
			t.Errorf("%s is listed as %+v", s.name, last)
		}
		p.said(url.Values{"do": {"undo"}, "record": {last.Record}})
		if now := state(); now != before {
			t.Errorf("%s, taken back, left\n%s\nnot\n%s", s.name, now, before)
		}
		p.said(s.fields)
	}
}

// Each stage of a build that is begun here has a letter of its own.
func TestEveryStageHasItsKey(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {p.now().bands()[0].id()}})
	used := map[string]bool{}
	for i, key := range stageKeys(p.now().state.Builds[0]) {
		if key.Letter == "" || used[key.Letter] || strings.Contains(ownKeys, key.Letter) || (key.Digit == "") != (i > 8) {
			t.Errorf("%+v", key)
		}
		used[key.Letter] = true
	}
	if len(used) < 15 {
		t.Errorf("%d stages", len(used))
	}
}

// What was said is told apart by the pictures it was said of, and what is older than
// the newest few is folded up, to be undone as well.
func TestSaidLastTellsWhich(t *testing.T) {
	p, _, _ := try(t, 4, 3)
	g := p.now().bands()[0]
	seen := map[string]bool{}
	for _, one := range g.pictures[:10] {
		p.said(url.Values{"do": {"out:" + one.id()}})
		words := p.lastSaid().Words
		if seen[words] || !strings.Contains(words, one.Name) {
			t.Errorf("%s is listed as %q", one.Name, words)
		}
		seen[words] = true
	}
	page := p.get(g.address())
	if n := strings.Count(page, `value="undo"`); n != 10 || !strings.Contains(page, "<summary>2 things said before") {
		t.Errorf("%d can be undone", n)
	}
	p.said(url.Values{"do": {"inall"}, "of": {g.id()}})
	if words := p.lastSaid().Words; !strings.Contains(words, "12 pictures, Feb 3, 2019 to Feb 18, 2019") {
		t.Errorf("several are listed as %q", words)
	}
}

// The answer names what was hit, as the list of what was said last does.
func TestTheAnswerNamesWhatWasHit(t *testing.T) {
	p, _, _ := try(t, 4, 3)
	g := p.now().bands()[0]
	one := g.pictures[0]
	for _, fields := range []url.Values{
		{"do": {"name"}, "title": {"Pilot boat"}, "of": {g.id()}, "p": {one.id()}},
		{"do": {"stage:cut"}, "of": {g.id()}, "p": {one.id()}},
		{"do": {"role:before"}, "p": {one.id()}},
		{"do": {"date"}, "p": {one.id()}, "when": {"2019-02-03"}},
		{"do": {"out"}, "p": {one.id()}},
		{"do": {"in"}, "p": {one.id()}},
	} {
		fields.Set("once", newID())
		a, err := p.ask(httptest.NewRequest(http.MethodPost, Root+"say", nil))
		if err != nil {
			t.Fatal(err)
		}
		told, err := a.take(said{fields})
		if want := "1 picture, " + one.Name + ", Feb 3, 2019"; err != nil || !strings.Contains(told.Words, want) {
			t.Errorf("%v: answered %q, %v, without %q", fields, told.Words, err, want)
		}
	}
}

// What ended is told on the sheet it is of alone, and nothing is brought in twice at a time.
func TestWorkIsToldWhereItBelongs(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	l := p.now()
	one, two := l.bands()[0], l.bands()[1]
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {one.id()}})
	p.said(url.Values{"do": {"name"}, "title": {"Mail seaplane"}, "of": {two.id()}})
	p.post(Root+"bring", url.Values{"build": {"pilot-boat"}})
	p.ended()
	const done = "8 pictures of Pilot boat brought in"
	if !strings.Contains(p.get(one.address()), done) || strings.Contains(p.get(two.address()), done) {
		t.Error("what was brought in is told on the wrong sheet")
	}
	if err := p.begin(workLine{Words: "Bringing in", Build: "mail-seaplane"}, waits); err != nil {
		t.Fatal(err)
	}
	if page := p.get(two.address()); strings.Contains(page, "/past/bring") || !strings.Contains(page, "Bringing in") {
		t.Error("while pictures are brought in, it can be asked for again")
	}
	p.post(Root+"stop", url.Values{})
	p.ended()
}

// Two likely builds are laid out together, and one title names both.
func TestTwoLaidOutTogether(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	l := p.now()
	one, two := l.bands()[1], l.bands()[2]
	with := one.address() + "&and=" + two.id()
	if !strings.Contains(p.get(one.address()), strings.ReplaceAll(with, "&", "&amp;")) {
		t.Error("the next one is not offered to be laid out with it")
	}
	page := p.get(with)
	if n := strings.Count(page, `name="p"`); n != len(one.pictures)+len(two.pictures) {
		t.Errorf("%d pictures", n)
	}
	_, of, _ := strings.Cut(page, `name="of" value="`)
	of, _, _ = strings.Cut(of, `"`)
	p.said(url.Values{"do": {"name"}, "title": {"Mail seaplane"}, "of": {of}})
	if g := p.now().named(one.id()); len(g.pictures) != len(one.pictures)+len(two.pictures) || g.build == nil {
		t.Errorf("%d pictures are of it", len(g.pictures))
	}
}

// A month leads to its first picture, in the group that has most of it.
// That the next group is of this build too is offered of what has no name alone.
func TestANamedBuildIsNoOther(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	l := p.now()
	boat, lorry := l.bands()[0], l.bands()[1]
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {boat.id()}})
	const too = "is Pilot boat too</button>"
	if !strings.Contains(p.get(boat.address()), too) {
		t.Error("it is not offered of the likely build that comes next")
	}
	p.said(url.Values{"do": {"name"}, "title": {"Field-kitchen lorry"}, "of": {lorry.id()}})
	if strings.Contains(p.get(boat.address()), too) {
		t.Error("it is offered of a build that is named")
	}
}

func TestMonth(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	g := p.now().bands()[1]
	w := asks(p.Handler(), httptest.NewRequest(http.MethodGet, Root+"month?month="+g.first().Format("2006-01"), nil))
	if to := w.Header().Get("Location"); to != g.address()+"#p-"+g.pictures[0].id() {
		t.Errorf("it leads to %s", to)
	}
	w = asks(p.Handler(), httptest.NewRequest(http.MethodGet, Root+"month?month=1999-01", nil))
	if to := w.Header().Get("Location"); to != Root {
		t.Errorf("a month without pictures leads to %s", to)
	}
}

func (p *tried) lastSaid() saidLine {
	p.Helper()
	a, err := p.ask(httptest.NewRequest(http.MethodGet, Root, nil))
	if err != nil {
		p.Fatal(err)
	}
	for _, line := range a.saidLast() {
		if !line.Back {
			return line
		}
	}
	p.Fatal("nothing is listed")
	return saidLine{}
}

// stateOf is what is said of old pictures, and which builds there are.
func stateOf(t *testing.T, dir string) string {
	t.Helper()
	j, err := journal.OpenAt(dir, time.Now)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, one := range j.State.Builds {
		b.WriteString(one.ID + "\n")
	}
	for _, s := range j.State.Past {
		s.Records = nil
		b.WriteString(strings.ReplaceAll(fmt.Sprintf("%+v", s), "\n", " ") + "\n")
	}
	return b.String()
}

// What is sent twice is written once.
func TestSaidTwice(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	fields := url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {p.now().bands()[0].id()}, "once": {newID()}}
	p.said(fields)
	p.said(fields)
	if b := p.now().state.Builds; len(b) != 1 {
		t.Errorf("%d builds", len(b))
	}
}

func TestRefusals(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	of := p.now().bands()[0].id()
	for want, fields := range map[string]url.Values{
		"has no title":          {"do": {"name"}, "of": {of}},
		"of no build yet":       {"do": {"stage:cut"}, "of": {of}},
		"no picture is chosen":  {"do": {"role:before"}, "of": {of}},
		"says no day":           {"do": {"date"}, "p": {of}, "when": {"once upon a time"}},
		"cannot be said here":   {"do": {"sing"}},
		"nothing is said":       {"do": {"enter"}, "of": {of}},
		"no build is chosen":    {"do": {"build"}, "of": {of}},
		"nothing to undo":       {"do": {"undo"}},
		"no name for a folder":  {"do": {"name"}, "title": {"…"}, "of": {of}},
		"not proposed any more": {"do": {"clock"}},
	} {
		fields.Set("back", Root+"sheet?of="+of)
		if code, body := p.post(Root+"say", fields); code != http.StatusConflict || !strings.Contains(body, want) || !strings.Contains(body, `id="sheet"`) {
			t.Errorf("%v: %d, without %q", fields, code, want)
		}
	}
	if s := stateOf(t, p.dir); s != "" {
		t.Errorf("something was written: %s", s)
	}
}

func TestFolders(t *testing.T) {
	p, pictures, _ := try(t, 4, 2)
	for want, folder := range map[string]string{
		"no folder is named": " ", "is no whole path": "old phone", "is not there": pictures + "-gone", "is no folder": filepath.Join(pictures, "IMG_00001.JPG"),
	} {
		if code, body := p.post(Root+"look", url.Values{"folder": {folder}}); code != http.StatusConflict || !strings.Contains(body, want) {
			t.Errorf("%q: %d, without %q", folder, code, want)
		}
	}
	p.post(Root+"look", url.Values{"folder": {p.dir}})
	if line := p.ended(); !strings.Contains(line.Fault, "the journal's own folder") {
		t.Errorf("the journal itself: %+v", line)
	}
	more := filepath.Join(p.Home, "more")
	draw(t, more, 1, 1)
	p.post(Root+"look", url.Values{"folder": {`"~/more"`}})
	if line := p.ended(); line.Fault != "" || line.Done == 0 {
		t.Errorf("more: %+v", line)
	}
	listed := `name="folder" value="` + more
	if !strings.Contains(p.get(Root), listed) {
		t.Error("the folder is not listed")
	}
	p.post(Root+"forget", url.Values{"folder": {more}})
	if strings.Contains(p.get(Root), listed) {
		t.Error("the folder is listed still")
	}
}

// ended is what went on, once it has ended.
func (p *tried) ended() *workLine {
	p.Helper()
	for range 2000 {
		if line := p.work.line(false); line != nil && !line.Runs {
			return line
		}
		time.Sleep(5 * time.Millisecond)
	}
	p.Fatal("it goes on and on")
	return nil
}

// When rakelight ends, what goes on is stopped and waited for, and nothing is begun.
func TestEnd(t *testing.T) {
	p := newPages(t, t.TempDir())
	ended := false
	wait := func(ctx context.Context, at far) workLine {
		<-ctx.Done()
		time.Sleep(20 * time.Millisecond) // what it does yet to come to an end
		ended = true
		return workLine{}
	}
	if err := p.begin(workLine{}, wait); err != nil {
		t.Fatal(err)
	}
	if p.End(); !ended {
		t.Error("it goes on behind the end")
	}
	if err := p.begin(workLine{}, wait); err == nil {
		t.Error("something was begun after the end")
	}
	p.End()
}

func TestBringIn(t *testing.T) {
	p, pictures, _ := try(t, 4, 3)
	l := p.now()
	of := l.bands()[0]
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {of.id()}})
	p.said(url.Values{"do": {"out:" + of.pictures[2].id()}})
	gone := of.pictures[3]
	for _, path := range gone.Paths() { // the disk was unplugged
		if err := os.Rename(path, path+"-away"); err != nil {
			t.Fatal(err)
		}
	}
	if n := len(p.now().state.Photos); n != 0 {
		t.Fatalf("%d photos before anything is brought in", n)
	}
	if page := p.get(of.address()); !strings.Contains(page, "Bring in 11 pictures") {
		t.Error("what would be copied is not told")
	}
	if code, _ := p.post(Root+"bring", url.Values{"build": {"pilot-boat"}}); code != http.StatusSeeOther {
		t.Fatal(code)
	}
	line := p.ended()
	if line.Fault != "" || len(line.Left) != 1 || !strings.Contains(line.Left[0].Why, "not there any more") || line.Page == "" {
		t.Errorf("%+v", line)
	}
	if n := len(p.now().state.Photos); n != 10 {
		t.Errorf("%d photos", n)
	}
	if page := p.get(of.address()); !strings.Contains(page, "10 in the journal") || !strings.Contains(page, "Bring in 1 picture,") {
		t.Error("the sheet does not tell what was brought in")
	}
	for _, path := range gone.Paths() {
		if err := os.Rename(path+"-away", path); err != nil {
			t.Fatal(err)
		}
	}
	p.post(Root+"bring", url.Values{"build": {"pilot-boat"}})
	if line := p.ended(); len(line.Left) != 0 || len(p.now().state.Photos) != 11 {
		t.Errorf("plugged in again: %+v", line)
	}
	if _, body := p.post(Root+"bring", url.Values{"build": {"pilot-boat"}}); !strings.Contains(body, "nothing to bring in") {
		t.Error("brought in twice")
	}
	_ = pictures
}

// What is in the journal is not left out, and never looks so.
func TestKeptIsNotLeftOut(t *testing.T) {
	p, _, _ := try(t, 4, 3)
	of := p.now().bands()[0]
	last := of.pictures[len(of.pictures)-1]
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {of.id()}})
	p.said(url.Values{"do": {"out:" + last.id()}})
	p.post(Root+"bring", url.Values{"build": {"pilot-boat"}})
	p.ended()
	p.said(url.Values{"do": {"in:" + last.id()}})
	kept := of.pictures[0]
	before := stateOf(t, p.dir)
	code, body := p.post(Root+"say", url.Values{"do": {"out:" + kept.id()}, "back": {of.address()}})
	if code != http.StatusConflict || !strings.Contains(body, "rakelight private "+kept.Short()) || !strings.Contains(body, kept.Name) {
		t.Errorf("answered %d, without the way that works", code)
	}
	if stateOf(t, p.dir) != before {
		t.Error("something was written")
	}
	p.said(url.Values{"do": {"outall"}, "of": {of.id()}})
	if l := p.now(); l.byID[kept.id()].Out() || !l.byID[last.id()].Out() {
		t.Error("of all not those alone are left out that are not kept")
	}
	j, err := p.Open()
	if err != nil {
		t.Fatal(err)
	}
	yes := true
	if _, err := old.Say(j, entry.Past{Photos: []string{kept.Hash}, Out: &yes}, nil, entry.Do); err != nil {
		t.Fatal(err)
	}
	if p.now().byID[kept.id()].Out() {
		t.Error("a kept picture of which it was said elsewhere looks left out")
	}
}

// The cache can be thrown away: what was said stands, and the pictures are read again.
func TestCacheThrownAway(t *testing.T) {
	p, pictures, _ := try(t, 4, 2)
	of := p.now().bands()[0]
	p.said(url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {of.id()}})
	if err := os.RemoveAll(filepath.Join(p.dir, ".cache")); err != nil {
		t.Fatal(err)
	}
	if page := p.get(Root); !strings.Contains(page, "Name the folders") {
		t.Error("the page without a survey does not ask for folders")
	}
	if page := p.get(of.address()); !strings.Contains(page, "of no folder that is looked through") {
		t.Error("the sheet of pictures that are not known")
	}
	p.post(Root+"look", url.Values{"folder": {pictures}})
	p.ended()
	if g := p.now().named(of.id()); g == nil || g.build == nil || g.build.ID != "pilot-boat" {
		t.Error("what was said is lost")
	}
}

func TestThumbs(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	id := p.now().pictures[0].id()
	for _, pages := range []*Pages{p.Pages, newPages(t, p.dir)} { // asked before, and after a restart
		w := asks(pages.Handler(), httptest.NewRequest(http.MethodGet, Root+"thumb/"+id, nil))
		if size, err := jpeg.DecodeConfig(w.Body); err != nil || w.Header().Get("Content-Type") != "image/jpeg" || max(size.Width, size.Height) > 240 {
			t.Errorf("%d, %+v, %v", w.Code, size, err)
		}
		for _, none := range []string{"0000000000000000", "..%2f..%2fjournal.toml", id[:8]} {
			if w := asks(pages.Handler(), httptest.NewRequest(http.MethodGet, Root+"thumb/"+none, nil)); w.Code != http.StatusNotFound {
				t.Errorf("%s: %d", none, w.Code)
			}
		}
	}
}

// No page holds a script or a style within, or asks for anything elsewhere.
func TestPagesAskNobodyElse(t *testing.T) {
	p, _, _ := try(t, 4, 2)
	of := p.now().bands()[0]
	for _, address := range []string{Root, of.address()} {
		page := p.get(address)
		for _, bad := range []string{"<style", " style=", "onclick", "http://", "https://", "<script>"} {
			if strings.Contains(page, bad) {
				t.Errorf("%s holds %s", address, bad)
			}
		}
	}
}

// A camera whose clock seems to have been wrong is asked about, and moved once a person
// says so, though no photo of it is kept.
func TestClock(t *testing.T) {
	dir, pictures := newJournal(t), t.TempDir()
	n := uint64(0)
	put := func(e scene.Exif) {
		t.Helper()
		var data bytes.Buffer
		n++
		if err := scene.WriteJPEG(&data, patches(n, 80, 60), e); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(pictures, fmt.Sprintf("%03d.jpg", n)), data.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for e := range 14 {
		at := time.Date(2021, 3, 1, 19, 0, 0, 0, time.UTC).AddDate(0, 0, e*e%11+e*5)
		put(scene.Exif{Make: "Pellory", Model: "P9", At: at, Offset: "+00:00"})
		put(scene.Exif{Make: "Pellory", Model: "P9", At: at.Add(time.Hour), Offset: "+00:00"})
		put(scene.Exif{Make: "Tarrow", Model: "T-24", At: at.Add(30*time.Minute).AddDate(-1, 0, 0)})
	}
	p := &tried{t, newPages(t, dir), dir}
	p.post(Root+"look", url.Values{"folder": {pictures}})
	p.ended()
	clocks := p.now().survey.Clocks
	if len(clocks) != 1 || !strings.Contains(p.get(Root), "The clock of Tarrow T-24 seems to have been") {
		t.Fatalf("%+v", clocks)
	}
	one := clockOf(clocks[0])
	p.said(url.Values{"do": {"clock"}, "make": {one.Make}, "model": {one.Model}, "serial": {one.Serial}, "fast": {one.Fast}})
	if l := p.now(); len(l.state.Clocks) != 1 || len(l.survey.Clocks) != 0 {
		t.Errorf("%+v, still asked %+v", l.state.Clocks, l.survey.Clocks)
	}
	p.said(url.Values{"do": {"undo"}, "record": {p.lastSaid().Record}})
	if l := p.now(); len(l.state.Clocks) != 0 || len(l.survey.Clocks) != 1 {
		t.Errorf("taken back: %+v, %+v", l.state.Clocks, l.survey.Clocks)
	}
}

// Whatever puts a picture where its own date does not is said in words.
func TestPlacesHaveWords(t *testing.T) {
	for _, p := range []old.Placing{old.ByOriginal, old.ByClock, old.ByName, old.ByNeighbors, old.ByDay, old.ByFileTime,
		old.ByScan, old.ByNothing} {
		if PlacedBy(p) == "" {
			t.Errorf("%s has no words", p)
		}
	}
	at := time.Date(2021, 3, 14, 19, 30, 0, 0, time.UTC)
	for want, p := range map[string]*old.Picture{
		"Mar 14, 2021, 19:30":                           {At: at},
		"perhaps Mar 14, 2021, placed by a day alone, ": {At: at, Placed: old.ByDay},
		"perhaps Mar 14, 2021, 19:30, placed by the ti": {At: at, Placed: old.ByFileTime},
		"Mar 14, 2021, as you said":                     {At: at, Placed: old.BySaid},
		"no date":                                       {At: at, Placed: old.ByNothing},
	} {
		if got := moment(p); !strings.HasPrefix(got, want) {
			t.Errorf("%q, not %q", got, want)
		}
	}
}

// No name on the axis lies over another, nor outside of it.
func TestNamesOnTheAxis(t *testing.T) {
	var groups []*group
	for _, day := range []int{0, 300, 340, 352, 363} {
		at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, day)
		groups = append(groups, &group{likely: &old.Likely{ID: fmt.Sprint("G", day)},
			pictures: []*picture{{Picture: &old.Picture{Hash: strings.Repeat("a", 64), At: at}}}})
	}
	x := &axis{}
	x.band(groups, nil, func(at time.Time) float64 { return float64(at.YearDay()-1) / 3.65 })
	type span struct{ from, to float64 }
	lanes := map[int][]span{}
	for _, b := range x.Bands {
		var at float64
		if _, err := fmt.Sscanf(b.NameAt, "%f", &at); err != nil {
			t.Fatal(err)
		}
		one := span{at, at + letter*float64(len(b.Name))}
		if b.Anchor == "end" {
			one = span{at - letter*float64(len(b.Name)), at}
		}
		if one.from < 0 || one.to > 100 {
			t.Errorf("%s lies at %v", b.Name, one)
		}
		for _, other := range lanes[b.NameY] {
			if one.from < other.to && other.from < one.to {
				t.Errorf("%s lies over another name: %v, %v", b.Name, one, other)
			}
		}
		lanes[b.NameY] = append(lanes[b.NameY], one)
	}
}
