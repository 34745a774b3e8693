// Tests in a real browser of what else is done beside the mat: parts opened and told of,
// groups, mixes, plans, lists, questions that wait, photos sorted, mistakes undone. The
// records are compared whole.

package main

import (
	"encoding/json"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/journal"
	"rakelight/journal/sanding"
	"rakelight/media/scene"
)

var (
	moments   = regexp.MustCompile(`"(?:at|start|end|from)":"[^"]*",?`)
	recordIDs = regexp.MustCompile(`bench-[0-9a-f]+/`)
	sums      = regexp.MustCompile(`,"sum":"[0-9a-f]+"`)
	partNames = regexp.MustCompile(`\{"runner":"([A-Z])","number":"([0-9]+)","count":1\}`)
	heads     = regexp.MustCompile(`"kind":"([a-z]+)"(?:,"once":"[0-9a-f]+")?,"body":(\{.*\})(?:,"once":"[0-9a-f]+")?,"sum":"[0-9a-f]+".*$`)
)

// records are the kinds and bodies of all records in their order, without moments and
// checksums, with short ids and parts.
func records(t *testing.T, dir string) (all []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "records", "*", "*.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(data)) {
			m := heads.FindStringSubmatch(strings.TrimSpace(line))
			if m == nil {
				t.Fatalf("%q", line)
			}
			body := recordIDs.ReplaceAllString(moments.ReplaceAllString(m[2], ""), "#")
			body = sums.ReplaceAllString(partNames.ReplaceAllString(body, `"$1$2"`), "")
			all = append(all, m[1]+" "+strings.ReplaceAll(body, ",}", "}"))
		}
	}
	return all
}

// sameRecords reports where two lists part.
func sameRecords(t *testing.T, got, want []string) {
	t.Helper()
	for i := range max(len(got), len(want)) {
		var g, w string
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if g != w {
			t.Errorf("record %d is %s\nwant %s", i+1, g, w)
		}
	}
}

func TestPartsBesideTheMat(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	p := newPhone(t, at+"bench/")
	p.taps = 0
	p.beginCut()
	p.see("0 min")
	if p.taps != 1 {
		t.Errorf("to begin what is offered took %d taps", p.taps)
	}
	p.tap("A2, to do")
	p.see("· 1 done")

	// A prep note on any part: a tap each for the mode, the part, what it is, and to keep it.
	p.taps = 0
	p.tap("Tap: open")
	p.see("Tap: open")
	holds(p, `location.search.includes("open=1")`)
	p.tap("A3, to do")
	p.see("Note of it")
	p.tap("Pull from")
	p.see("From which side?")
	p.write("#text", "the keel side")
	p.tap("Keep it")
	p.see("A3 noted")
	if p.taps != 4 {
		t.Errorf("a prep note took %d taps", p.taps)
	}

	// Done by mistake, and opened again on its page.
	holds(p, `location.pathname === "/bench/"`)
	p.tap("A2, done")
	p.see("Cut off: done")
	p.tap("Do again: Cut")
	p.see("Cut off: to do again")
	p.tap("Sanding plan")
	p.see("What is to go?")
	p.tap("Seam")
	p.see("Sanding plan: flat, primed, seam")
	p.tap("Mat")
	p.see("· 0 done")

	p.tap("More")
	p.see("Sub-assemblies")
	p.tap("Sub-assemblies")
	p.see("Tap its parts")
	p.eval(`document.querySelectorAll("input[type=checkbox]")[4].click(); document.querySelectorAll("input[type=checkbox]")[5].click()`)
	p.write("#more", "b1")
	p.write("#name", "cab")
	p.tap("Keep it")
	p.see("cab A5,A6,B1")
	p.tap("Mat")
	p.see("More")
	p.tap("More")
	p.see("Mixes")
	p.tap("Mixes")
	p.see("What do you call it?")
	p.write("#name", "hull red")
	p.write("#recipe", "3 red, 1 white, 2 thinner")
	p.tap("Keep the mix")
	p.see("hull red: 3 red, 1 white, 2 thinner")
	p.tap("Mat")
	p.see("More")
	p.tap("More")
	p.see("Additions")
	p.tap("Additions")
	p.see("What is it?")
	p.write("#text", "brass rail")
	p.tap("Keep as addition")
	p.see("Addition: brass rail")

	// What was said is taken back where it stands.
	p.do(chromedp.Navigate(at + "bench/said"))
	p.see("Pilot boat: mix: hull red")
	p.tap("Undo: Pilot boat: mix: hull red")
	p.see("taken back: Pilot boat: mix: hull red")
	p.shot("13-said")

	steps, err := json.Marshal(sanding.For(nil, "flat", "primed", "seam").Steps)
	if err != nil {
		t.Fatal(err)
	}
	sameRecords(t, records(t, dir), []string{
		`begin {"build":"pilot-boat","stage":"cut","kind":"cut"}`,
		`done {"session":"#1","build":"pilot-boat","stage":"cut","parts":["A2"]}`,
		`prep {"build":"pilot-boat","parts":["A3"],"text":"the keel side","what":"pull"}`,
		`reopen {"build":"pilot-boat","stage":"cut","parts":["A2"]}`,
		`sanding {"build":"pilot-boat","parts":["A2"],"surface":"flat","finish":"primed","remove":"seam","steps":` + string(steps) + `}`,
		`sub {"build":"pilot-boat","parts":["A5","A6","B1"],"sub":"cab"}`,
		`mix {"build":"pilot-boat","name":"hull red","recipe":[{"what":"red","parts":3},{"what":"white","parts":1},{"what":"thinner","parts":2,"thins":true}]}`,
		`addition {"build":"pilot-boat","kind":"addition","text":"brass rail"}`,
		`retract {"record":"#7"}`,
	})
}

// holds waits until an expression holds on a page that is there.
func holds(p *phone, expression string) {
	p.t.Helper()
	for range 1200 {
		does, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](`document.readyState === "complete" && (`+expression+`)`))
		if err == nil && does {
			return
		}
		time.Sleep(25 * time.Millisecond)
	}
	p.t.Fatalf("never held: %s", expression)
}

func TestListsBesideTheMat(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	file := filepath.Join(dir, "builds", "lorry", "build.md")
	text := "---\r\ntitle: Lorry\r\n---\r\n## Order of work\r\n- [ ] check every runner\r\n* [X] wash  \r\n## Supplies\r\n- [ ] primer\r\n"
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	p := newPhone(t, at+"bench/tasks?build=lorry")
	p.see("check every runner")
	p.tap("check every runner, to do")
	p.see("check every runner: done")
	p.tap("wash, done")
	p.see("wash: to do")
	if got, err := os.ReadFile(file); err != nil ||
		string(got) != strings.NewReplacer("[ ] check", "[x] check", "[X] wash", "[ ] wash").Replace(text) {
		t.Errorf("the file is %q, %v", got, err)
	}
	if got := p.eval(`document.querySelector("main").innerText`); strings.Contains(got, "primer") {
		t.Errorf("supplies stand on their own page; here: %q", got)
	}
}

// openedAfter writes records as they were at another time, and opens the mat.
func openedAfter(t *testing.T, commands ...string) (dir string, p *phone) {
	t.Helper()
	dir, at, _, _ := benchServed(t)
	for _, one := range commands {
		ago, text, _ := strings.Cut(one, " ago: ")
		length, err := time.ParseDuration(ago)
		if err != nil {
			t.Fatal(err)
		}
		var out, errs strings.Builder
		then := func() time.Time { return time.Now().Add(-length) }
		if code := run(t.Context(), append([]string{"--journal", dir}, strings.Fields(text)...), &out, &errs, then); code != exitDone {
			t.Fatalf("%s: %s", text, errs.String())
		}
	}
	return dir, newPhone(t, at+"bench/")
}

func TestForgottenTimerBesideTheMat(t *testing.T) {
	dir, p := openedAfter(t, "11h ago: on pilot-boat cut", "10h20m ago: done A1-A3")
	p.see("Was it forgotten?")
	p.shot("14-forgotten")
	p.tap("It ended at")
	p.see("Nothing runs")
	_, s := left(t, dir)
	if one := s.Sessions[0]; one.Open || one.Net != 40*time.Minute || one.Doubt.Any() {
		t.Errorf("the session is %+v", one)
	}
}

// A session whose length nobody vouched for, as cards leave one, is asked about when
// nothing runs.
func TestDoubtfulSessionBesideTheMat(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	from := time.Now().Add(-30 * time.Hour)
	began, err := j.Append(journal.BeginBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Start: from})
	if err == nil {
		_, err = j.Append(journal.EndBody{Session: began.ID(), End: from.Add(14 * time.Hour)})
	}
	if err != nil || !j.State.Sessions[0].Doubt.Any() {
		t.Fatal(j.State.Sessions[0], err)
	}
	p := newPhone(t, at+"bench/")
	p.see("how long were you there?")
	p.tap("2 h")
	holds(p, `!document.querySelector(".ask")`)
	_, s := left(t, dir)
	if one := s.Sessions[0]; one.Net != 2*time.Hour || one.Doubt.Any() || one.Known != journal.Remembered {
		t.Errorf("the session is %+v", one)
	}
}

// withoutDay opens the page of photos to sort, with one of which nobody knows the day.
func withoutDay(t *testing.T) (dir string, p *phone) {
	t.Helper()
	dir, at, _, _ := benchServed(t)
	data, err := os.ReadFile(photoFile(t, "scan.jpg", 0, time.Time{}))
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "inbox", "scan.jpg"), data, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	var out, errs strings.Builder
	run(t.Context(), []string{"--journal", dir, "take"}, &out, &errs, time.Now)
	p = newPhone(t, at+"bench/sort")
	p.see("1 photo has no date.")
	return dir, p
}

func TestDayOfAPhotoBesideTheMat(t *testing.T) {
	dir, p := withoutDay(t)
	p.do(chromedp.SetValue(chromedp.CSS("#day"), "2019-05-04"))
	p.tap("Keep the day")
	holds(p, `!document.querySelector("#day")`)
	_, s := left(t, dir)
	if got := s.Photos[0].Instant; got.Day() != "2019-05-04" || got.Source != journal.SaidSo {
		t.Errorf("its instant is %+v", got)
	}
}

func TestPhotoOfTodayBesideTheMat(t *testing.T) {
	dir, p := withoutDay(t)
	p.tap("Taken today")
	holds(p, `!document.querySelector("#day")`)
	_, s := left(t, dir)
	today := time.Now().UTC().Format(time.DateOnly)
	if got := s.Photos[0].Instant; got.Day() != today || got.Source != journal.SaidSo {
		t.Errorf("its instant is %+v", got)
	}
}

func TestDryFitBesideTheMat(t *testing.T) {
	dir, p := openedAfter(t, "30m ago: on pilot-boat dry-fit", "20m ago: done A1-A3")
	p.see("A1: were its gates cut together")
	p.shot("15-dry-fit")
	p.tap("Together")
	p.see("A2: were its gates cut together")
	p.tap("All 2: apart")
	p.see("A3 noted")
	p.see("A1: do its pegs show")
	p.tap("All 3: they do not show")
	holds(p, `!document.querySelector(".ask")`)
	sameRecords(t, records(t, dir)[2:], []string{
		`prep {"build":"pilot-boat","parts":["A1"],"what":"gates-together"}`,
		`prep {"build":"pilot-boat","parts":["A2","A3"],"what":"gates-apart"}`,
		`prep {"build":"pilot-boat","parts":["A1","A2","A3"],"text":"they do not show","what":"pegs"}`,
	})
}

// Sixty photos of an evening, dropped without a word, go to their stage in five taps
// from the mat.
func TestSixtyPhotosBesideTheMat(t *testing.T) {
	dir, at, _, _ := benchServed(t)
	for i := range 60 {
		img := image.NewRGBA(image.Rect(0, 0, 32, 24))
		for k := range img.Pix {
			img.Pix[k] = byte(k*(i+3)) ^ byte(i*29)
		}
		f, err := os.Create(filepath.Join(dir, "inbox", fmt.Sprintf("IMG_%04d.jpg", i)))
		if err == nil {
			byHand := time.Date(2026, 3, 14, 19, i, i%2*25, 0, time.UTC) // at no steady interval
			err = scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: byHand})
		}
		if err == nil {
			err = f.Close()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	var out, errs strings.Builder
	if code := run(t.Context(), []string{"--journal", dir, "take"}, &out, &errs, time.Now); code != exitDone {
		t.Fatal(out.String(), errs.String())
	}
	p := newPhone(t, at+"bench/")
	p.see("Nothing runs")
	p.taps = 0
	p.tap("More")
	p.see("Photos to sort")
	p.tap("Photos to sort")
	p.see("60 photos")
	p.tap("60 photos")
	p.see("Or which build?")
	p.shot("16-sixty")
	p.tap("Pilot boat")
	p.see("Which stage?")
	p.tap("Clean")
	p.see("Every photo has its place.")
	if p.taps > 5 {
		t.Errorf("sixty photos took %d taps", p.taps)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(slices.DeleteFunc(j.State.PhotosOf("pilot-boat"), func(p *journal.Photo) bool { return p.Tags.Stage != "clean" })); n != 60 {
		t.Errorf("%d photos are sorted", n)
	}
}
