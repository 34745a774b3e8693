// The pages say the numbers that the commands print.

package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"html"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/render"
)

// benchOf is a journal of two finished builds and an open one, with sessions,
// marks, verdicts and mistakes enough for every kind of number.
func benchOf(t *testing.T, now time.Time) *journal.Journal {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "Bench", "UTC", now); err != nil {
		t.Fatal(err)
	}
	builds := []struct{ id, title, more string }{
		{"lorry", "Field-kitchen lorry", "started: 2023-02-04\nfinished: 2023-06-10\n"},
		{"pilot-boat", "Pilot boat", "started: 2025-01-11\nfinished: 2025-06-21\n"},
		{"lightship", "Lightship", "started: 2026-03-07\nready-by: 2026-12-12\n"},
	}
	for _, b := range builds {
		text := fmt.Sprintf("---\ntitle: %s\n%srunners:\n  - {letter: A, parts: 90, class: flat}\nstages: [clean, seam, paint]\n---\n", b.title, b.more)
		if err := os.MkdirAll(filepath.Join(dir, "builds", b.id), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "builds", b.id, "build.md"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(5, 8))
	var records []journal.Body
	add := func(body journal.Body) { records = append(records, body) }
	var photos [3][]string
	for i, b := range builds {
		day := time.Date([]int{2023, 2025, 2026}[i], []time.Month{2, 1, 9}[i], 11, 19, 0, 0, 0, time.UTC)
		for n := range 10 {
			day = day.AddDate(0, 0, 7)
			minutes := 40 + rng.IntN(40)
			kind := []string{"clean", "clean", "seam"}[n%3]
			add(journal.WorkBody{Build: b.id, Stage: kind, Kind: kind, Class: "flat", Start: day, Date: day.Format(time.DateOnly),
				Minutes: float64(minutes), Known: journal.Measured, Count: 5 + 2*i + rng.IntN(5), Counted: true})
			sum := fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, b.id, n)))
			photos[i] = append(photos[i], sum)
			add(journal.PhotoBody{Hash: sum, Path: "photos/" + sum[:8] + ".jpg", Name: "a.jpg", Format: "jpeg", Width: 640, Height: 480,
				Instant: journal.Instant{At: day.Add(time.Hour), Source: "DateTimeOriginal"},
				Tags:    journal.Tags{Build: b.id, Stage: kind, Role: "after", View: "left", Light: "raking"}})
			score := min(journal.TopScore, i+rng.IntN(3))
			add(journal.MarkBody{Photo: sum, Criterion: 3, Score: &score, Rubric: journal.Rubric})
			if i == 0 {
				again := max(0, score-rng.IntN(2))
				add(journal.MarkBody{Photo: sum, Criterion: 3, Score: &again, Rubric: journal.Rubric})
			}
		}
	}
	for n := range 60 {
		l, r := n%3, (n+1+n%2)%3
		outcome := "left"
		if float64(r-l)+1.5*rng.NormFloat64() > 0 {
			outcome = "right"
		}
		add(journal.VerdictBody{Left: photos[l][n%10], Right: photos[r][n/3%10], Criterion: 3, Outcome: outcome})
	}
	if _, err := j.AppendAll(records); err != nil {
		t.Fatal(err)
	}
	return j
}

// pageTexts are the pages as a person reads them: no tags, one space each. Those of
// pace and skill have with them the pages they lead to.
func pageTexts(t *testing.T, j *journal.Journal, now time.Time) map[string]string {
	t.Helper()
	if _, err := render.Write(t.Context(), j, render.Options{Today: now}); err != nil {
		t.Fatal(err)
	}
	tag := regexp.MustCompile(`<[^>]*>`)
	texts := map[string]string{}
	for name, ledTo := range map[string][]string{"skill": {"criterion-*", "eye"}, "pace": {"step-*", "learning"},
		"forecast": nil, "builds/lightship": nil} {
		for _, one := range append(ledTo, name) {
			files, err := filepath.Glob(j.Path("pages/" + one + ".html"))
			if err != nil || len(files) == 0 {
				t.Fatalf("%s: %d pages, %v", one, len(files), err)
			}
			for _, file := range files {
				data, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				text := html.UnescapeString(tag.ReplaceAllString(string(data), " "))
				texts[name] += " " + strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " ")
			}
		}
	}
	return texts
}

func factsOf(t *testing.T, j *journal.Journal, now time.Time, args ...string) []fact {
	t.Helper()
	var out, errs bytes.Buffer
	args = append([]string{"--journal", j.Dir}, append(args, "--json")...)
	if code := run(context.Background(), args, &out, &errs, func() time.Time { return now }); code != exitDone {
		t.Fatalf("%v: %s", args, errs.String())
	}
	var facts []fact
	if err := json.Unmarshal(out.Bytes(), &facts); err != nil {
		t.Fatal(err)
	}
	return facts
}

func TestPagesSayWhatCommandsPrint(t *testing.T) {
	now := time.Date(2026, 11, 22, 21, 0, 0, 0, time.UTC)
	j := benchOf(t, now)
	texts := pageTexts(t, j, now)
	title := func(id string) string { return j.State.Build(id).Title }
	figure := metrics.Figure
	seen := map[string]int{}
	says := func(page string, f fact, want string) {
		t.Helper()
		seen[f.What]++
		if !strings.Contains(texts[page], want) {
			t.Errorf("%s.html does not say %q, which the command printed as %+v", page, want, f)
		}
	}
	for _, f := range factsOf(t, j, now, "skill") {
		if f.Value == nil {
			continue
		}
		on := "all criteria together"
		if f.Criterion > 0 {
			on = journal.Criteria[f.Criterion-1].Name.English()
		}
		switch f.What {
		case "chance":
			says("skill", f, fmt.Sprintf("%s would be picked over %s on %s about %.0f times in 100 (range %.0f to %.0f; estimated from %d pairs with either,", title(f.Build), title(f.Against), on, 100**f.Value, 100**f.Low, 100**f.High, f.N))
		case "standing":
			says("skill", f, fmt.Sprintf("%s %s %.0f %% %.0f to %.0f %% %d pairs", title(f.Build), j.State.FirstDay(j.State.Build(f.Build))[:4], 100**f.Value, 100**f.Low, 100**f.High, f.N))
		case "mark":
			says("skill", f, fmt.Sprintf("%.1f %.1f to %.1f %d marks", *f.Value, *f.Low, *f.High, f.N))
		case "drift":
			signed := strings.NewReplacer("-", "−").Replace(fmt.Sprintf("%+.2f to %+.2f", *f.Low, *f.High)) // as pages have it
			says("skill", f, fmt.Sprintf("(%s; %d photos marked twice)", signed, f.N))
		case "agreement":
			says("skill", f, fmt.Sprintf("weighted kappa %.2f (%.2f to %.2f; %d marks", *f.Value, *f.Low, *f.High, f.N))
		}
	}
	for _, f := range factsOf(t, j, now, "forecast") {
		switch f.What {
		case "hours left":
			says("forecast", f, fmt.Sprintf("about %s hours left; 4 in 5 chance between %s and %s (%d sessions)", metrics.Rough(*f.Value), metrics.Rough(*f.Low), metrics.Rough(*f.High), f.N))
		case "weeks left":
			says("forecast", f, fmt.Sprintf("4 in 5 chance between %s and %s (%d weeks)", weeksOn(now, *f.Low), weeksOn(now, *f.High), f.N))
		case "ready by":
			says("forecast", f, fmt.Sprintf("Ready by 12 December 2026, for the counted work alone: a chance of about %.0f in 100 (%d weeks)", 100**f.Value, f.N))
			says("builds/lightship", f, fmt.Sprintf("about %.0f in 100 (%d weeks)", 100**f.Value, f.N))
		case "hours a week to be ready":
			says("forecast", f, fmt.Sprintf("about %s hours a week until then, 4 in 5 chance between %s and %s;", figure(*f.Value), figure(*f.Low), figure(*f.High)))
		case "uncounted":
			says("forecast", f, "Not included: ")
			says("forecast", f, f.Stage)
		case "held by 80 % at 50 % done":
			says("forecast", f, fmt.Sprintf("at 50 %% %d", f.N))
			says("forecast", f, fmt.Sprintf("%.0f of %d", *f.Value*float64(f.N), f.N))
		}
	}
	for _, id := range []string{"lorry", "pilot-boat", "lightship"} {
		for _, f := range factsOf(t, j, now, "pace", id) {
			if f.Value == nil {
				continue
			}
			switch {
			case f.What == "pace" && f.Class == "":
				says("pace", f, fmt.Sprintf("%s %s to %s %.0f", figure(*f.Value), figure(*f.Low), figure(*f.High), *f.Parts))
			case f.What == "mark of the stage":
				says("pace", f, fmt.Sprintf("%.1f of 4 (%.1f to %.1f; %d marks)", *f.Value, *f.Low, *f.High, f.N))
			case id != "lightship": // the page tells learning and the years up to the latest build
			case strings.HasPrefix(f.What, "learning rate"):
				says("pace", f, fmt.Sprintf("(%s; %d sessions", metrics.TimeRange(metrics.Interval{Low: *f.Low, High: *f.High}), f.N))
			case f.What == "speed" && f.Against == "all earlier":
				says("pace", f, fmt.Sprintf("all earlier builds together: %s times the speed on the same kinds of work (range %s to %s;", figure(*f.Value), figure(*f.Low), figure(*f.High)))
			case f.What == "chain" && f.Low != nil:
				says("pace", f, fmt.Sprintf("%s %s to %s", figure(*f.Value), figure(*f.Low), figure(*f.High)))
			}
		}
	}
	for _, what := range []string{"chance", "standing", "mark", "drift", "agreement", "hours left", "weeks left", "uncounted", "held by 80 % at 50 % done",
		"pace", "mark of the stage", "learning rate", "learning rate, all together", "speed", "chain"} {
		if seen[what] == 0 {
			t.Errorf("no %q was compared", what)
		}
	}
}

func weeksOn(from time.Time, weeks float64) string {
	return from.Add(time.Duration(weeks * 7 * 24 * float64(time.Hour))).Format("2 January 2006")
}
