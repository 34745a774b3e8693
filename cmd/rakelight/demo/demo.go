// Package demo fills a journal with four invented builds over four years, so
// that the tool can be seen at work before the first own photo is taken. The
// pictures are drawn (media/scene) and dropped into the inbox with real EXIF
// blocks; from there they take the very way every photo takes. Start with
// Make. Nothing in here is measured on a real bench.
package demo

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/media/inbox"
	"rakelight/render"
)

// Today is the day the invented story has reached.
var Today = time.Date(2026, 11, 22, 21, 0, 0, 0, time.UTC)

const zoneName = "Europe/Lisbon"

// Report tells the caller how far the making is.
type Report func(done, total int, what string)

// Make creates the journal in dir, which must be new or empty, and fills it.
// It returns the journal and what the inbox made of the drawn photos.
func Make(ctx context.Context, dir string, report Report) (*journal.Journal, inbox.Summary, error) {
	var none inbox.Summary
	if err := journal.Create(dir, "The harbor bench", zoneName, Today); err != nil {
		return nil, none, err
	}
	if err := addClockFault(dir); err != nil {
		return nil, none, err
	}
	for _, p := range stories {
		if err := writeProse(dir, p); err != nil {
			return nil, none, err
		}
	}
	j, err := journal.OpenAt(dir, storyClock)
	if err != nil {
		return nil, none, err
	}
	if len(j.State.Problems) > 0 {
		return nil, none, fmt.Errorf("the demo's own build files have a problem: %s: %s", j.State.Problems[0].File,
			j.State.Problems[0].What)
	}
	var shots []shot
	for _, p := range stories {
		said, more, err := p.tell(j)
		if err != nil {
			return nil, none, err
		}
		if _, err := entry.DoAll(j, said...); err != nil {
			return nil, none, toldBy(err)
		}
		shots = append(shots, more...)
	}
	shots = append(shots, strays(j.State.Zone)...)
	if err := drop(ctx, j.InboxDir(), shots, report); err != nil {
		return nil, none, err
	}
	// Nobody else writes these files. They are small: where some wait for the disk,
	// others keep the processors busy.
	opts := inbox.Options{Leave: -1, Workers: 2 * runtime.GOMAXPROCS(0)}
	opts.SizePath, opts.Widths = render.IntakeSizes(j)
	in := inbox.New(j, opts)
	sum, err := in.TakeAll(ctx, func(done, total int, _ inbox.Outcome) { report(done, total, "photos taken in") })
	if err != nil {
		return nil, sum, err
	}
	if err := judgeWork(j); err != nil {
		return nil, sum, err
	}
	if err := tellWork(j); err != nil {
		return nil, sum, err
	}
	if err := keepBook(j); err != nil {
		return nil, sum, err
	}
	return j, sum, sweep(j.InboxDir())
}

// storyClock is now, or the day that the story has reached where the computer's
// clock is behind it: what the builder says has happened by then.
func storyClock() time.Time {
	if now := time.Now(); now.After(Today) {
		return now
	}
	return Today
}

// sweep removes the emptied folders the photos were dropped in. The inbox
// keeps a person's own, since more may come; nobody waits for these.
func sweep(inbox string) error {
	var folders []string
	err := filepath.WalkDir(inbox, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.IsDir() && path != inbox {
			folders = append(folders, path)
		}
		return err
	})
	for _, dir := range slices.Backward(folders) { // the deepest first
		_ = os.Remove(dir) // one that still holds something stays
	}
	return err
}

// addClockFault notes in journal.toml what the second camera's owner found
// out: its clock ran 58 minutes fast all through the seaplane's year.
func addClockFault(dir string) error {
	path := filepath.Join(dir, "journal.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	data = append(data, fmt.Sprintf(`
# The bench camera's clock was 58 minutes fast through 2024.
[[clock]]
make = %q
model = %q
fast = "58m"
from = "2024-01-01"
to = "2024-12-31"
`, benchCamera.Make, benchCamera.Model)...)
	return journal.WriteFile(path, data)
}

// writeProse writes what a person would type: build.md and the diary days.
func writeProse(dir string, p story) error {
	build := filepath.Join(dir, "builds", p.id)
	if err := os.MkdirAll(filepath.Join(build, "diary"), 0o755); err != nil {
		return err
	}
	if err := journal.WriteFile(filepath.Join(build, "build.md"), []byte(strings.TrimLeft(p.build, "\n"))); err != nil {
		return err
	}
	for date, words := range p.diary {
		if err := journal.WriteFile(filepath.Join(build, "diary", date+".md"), []byte(words)); err != nil {
			return err
		}
	}
	return nil
}

// toldBy words an error of the door: the stories are ours, and have to be mended.
func toldBy(err error) error { return fmt.Errorf("the demo's own story: %s", wording.Text(err)) }

// tell turns a story into what the builder says of it and the photos taken
// meanwhile.
func (p story) tell(j *journal.Journal) ([]entry.Request, []shot, error) {
	rng := rand.New(rand.NewPCG(p.seed, 0x7261_6b65))
	day, err := time.ParseInLocation(time.DateOnly, p.first, j.State.Zone)
	if err != nil {
		return nil, nil, err
	}
	build := j.State.Build(p.id)
	if build == nil {
		return nil, nil, fmt.Errorf("the demo's build %s was not read", p.id)
	}
	var said []entry.Request
	if p.sheet != "" {
		said = append(said, entry.PrintedSheet{Sheet: p.sheet, Measured: journal.ScaleLength})
	}
	var shots []shot
	say := newSayer(p, build)
	at := func(w work) time.Time { // most evenings, some Saturday mornings
		hour := 19
		if day.Weekday() == time.Saturday {
			hour = 10
		}
		return time.Date(day.Year(), day.Month(), day.Day(), hour, 5+rng.IntN(40), 0, 0, j.State.Zone)
	}
	for _, w := range p.work {
		if w.pause > 0 {
			from := at(w)
			if p.cards {
				shots = append(shots, say.pause(w, from))
				day = day.AddDate(0, 0, w.pause)
				continue
			}
			pause := entry.Pause{Build: p.id, From: from, Why: w.why, Next: w.next, Waiting: w.waiting}
			day = day.AddDate(0, 0, w.pause)
			if !day.After(Today) {
				pause.Until = at(w)
			}
			said = append(said, pause)
			continue
		}
		stage := build.Stage(w.stage)
		if stage == nil {
			return nil, nil, fmt.Errorf("the demo's build %s has no stage %s", p.id, w.stage)
		}
		left := w.refs(build)
		for i := range w.evenings {
			start := at(w)
			minutes := 30 + rng.IntN(50)
			one := entry.Worked{
				Build: p.id, Kit: w.kit, Stage: stage.ID, Class: w.class, Start: start,
				Date: start.Format(time.DateOnly), Minutes: float64(minutes), Known: journal.Measured,
			}
			if len(w.tools) > 0 {
				one.Tools = w.tools[i%len(w.tools) : i%len(w.tools)+1]
			}
			if w.perHour > 0 {
				share := left[len(left)*i/w.evenings : len(left)*(i+1)/w.evenings]
				if p.cards {
					share = w.on(i).refs(build)
				}
				one.Parts = partList(share)
				n := float64(len(share))
				if len(left) == 0 {
					one.Parts = strconv.Itoa(w.count / w.evenings)
					n = float64(w.count / w.evenings)
				}
				// The scatter between evenings is about a sixth, which is what
				// short hobby evenings look like; the rate is the story's own.
				rate := w.perHour * p.speed * math.Exp(0.16*rng.NormFloat64())
				one.Minutes = math.Max(8, math.Round(60*n/rate))
			}
			end := start.Add(time.Duration(one.Minutes * float64(time.Minute)))
			if p.cards {
				shots = append(shots, say.evening(w, i, start, end, rng)...)
			} else {
				said = append(said, one)
				shots = append(shots, say.lay(p.photograph(w, i, start, end, rng))...)
			}
			day = day.AddDate(0, 0, 2+rng.IntN(4))
		}
	}
	if p.cards {
		shots = append(shots, say.tea(j.State.Zone)...)
	}
	for _, f := range p.remembered {
		said = append(said, f)
	}
	return said, shots, nil
}

// partList names parts as a person types them; "0" is none.
func partList(refs []journal.PartRef) string {
	if len(refs) == 0 {
		return "0"
	}
	var names []string
	for _, r := range refs {
		names = append(names, r.String())
	}
	return strings.Join(names, ",")
}

// refs are the parts a piece of work goes through, in runner order.
func (w work) refs(b *journal.Build) []journal.PartRef {
	var refs []journal.PartRef
	kits := b.Kits
	for k, kit := range kits {
		if w.kit > 0 && k+1 != w.kit {
			continue
		}
		for _, r := range kit.Runners {
			if !strings.Contains(w.runners, r.Letter) {
				continue
			}
			skip := map[string]bool{}
			for _, n := range r.NotUsed {
				skip[n] = true
			}
			for _, n := range r.Parts {
				if skip[n] {
					continue
				}
				ref := journal.PartRef{Runner: r.Letter, Number: n, Count: 1}
				if len(kits) > 1 {
					ref.Kit = k + 1
				}
				refs = append(refs, ref)
			}
		}
	}
	return refs
}
