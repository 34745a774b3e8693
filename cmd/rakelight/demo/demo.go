// Package demo fills a journal with five invented builds over four years, so
// that the tool can be seen at work before the first own photo is taken. The
// pictures are drawn (media/scene) and dropped into the inbox with real EXIF
// blocks; from there they take the very way every photo takes. Start with
// Make. Nothing in here is measured on a real bench.
package demo

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
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
	if err := settle(dir); err != nil {
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
	if err := showPhotos(j); err != nil {
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

// settle writes into journal.toml in which language its owner writes, and what the
// second camera's owner found out: its clock ran 58 minutes fast all through the
// seaplane's year.
func settle(dir string) error {
	path := filepath.Join(dir, "journal.toml")
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	data = bytes.Replace(data, []byte("# written-in ="), []byte("written-in ="), 1)
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

// photoNamed finds the photos that the words of a day show: by their stage, and their
// role where a card says one, since their own names are not known before they are taken
// in.
var photoNamed = regexp.MustCompile(`\]\(photo:([a-z-]+)/?([a-z]*)\)`)

// showPhotos gives the photos in the words of the days their short names.
func showPhotos(j *journal.Journal) error {
	for _, p := range stories {
		for date, words := range p.diary {
			var missing error
			text := photoNamed.ReplaceAllStringFunc(words, func(found string) string {
				m := photoNamed.FindStringSubmatch(found)
				for _, photo := range j.State.PhotosOf(p.id) {
					if photo.Tags.Stage == m[1] && photo.Tags.Role == m[2] && !photo.OfCards() &&
						photo.Instant.At.Format(time.DateOnly) == date {
						return "](" + photo.Short() + ")"
					}
				}
				missing = fmt.Errorf("%s on %s: there is no photo of %s, %s", p.id, date, m[1], m[2])
				return found
			})
			if missing != nil {
				return missing
			}
			if text == words {
				continue
			}
			file := filepath.Join(j.Dir, "builds", p.id, "diary", date+".md")
			if err := journal.WriteFile(file, []byte(text)); err != nil {
				return err
			}
		}
	}
	return j.Reload()
}

// toldBy words an error of the door: the stories are ours, and have to be mended.
func toldBy(err error) error { return fmt.Errorf("the demo's own story: %s", wording.Text(err)) }

// tell turns a story into what the builder says of it and the photos taken
// meanwhile.
func (p story) tell(j *journal.Journal) ([]entry.Request, []shot, error) {
	build := j.State.Build(p.id)
	if build == nil {
		return nil, nil, fmt.Errorf("the demo's build %s was not read", p.id)
	}
	all, err := p.sittings(build, j.State.Zone)
	if err != nil {
		return nil, nil, err
	}
	var said []entry.Request
	if p.sheet != "" {
		said = append(said, entry.PrintedSheet{Sheet: p.sheet, Measured: journal.ScaleLength})
	}
	var shots []shot
	rng := rand.New(rand.NewPCG(p.seed, 0x7069_6374))
	say := newSayer(p, build)
	for _, one := range all {
		switch {
		case one.pause > 0 && p.cards:
			shots = append(shots, say.pause(one.work, one.start))
		case one.pause > 0:
			pause := entry.Pause{Build: p.id, From: one.start, Why: one.why, Next: one.next, Waiting: one.waiting}
			if !one.end.After(Today) {
				pause.Until = one.end
			}
			said = append(said, pause)
		case p.cards:
			shots = append(shots, say.evening(one, rng)...)
		default:
			said = append(said, p.worked(one))
			shots = append(shots, say.lay(p.photograph(one, rng))...)
		}
	}
	for _, f := range p.remembered {
		said = append(said, f)
	}
	return said, shots, nil
}

// worked is what the builder says of an evening.
func (p story) worked(one sitting) entry.Worked {
	w := entry.Worked{
		Build: p.id, Kit: one.kit, Stage: one.stage, Class: one.class, Start: one.start,
		Date: one.start.Format(time.DateOnly), Minutes: one.end.Sub(one.start).Minutes(), Known: journal.Measured,
	}
	if len(one.tools) > 0 {
		w.Tools = one.tools[one.nth%len(one.tools):][:1]
	}
	switch {
	case one.perHour == 0:
	case one.runners == "":
		w.Parts = strconv.Itoa(one.done)
	default:
		w.Parts = partList(one.parts)
	}
	return w
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
