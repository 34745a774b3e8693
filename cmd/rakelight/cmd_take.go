// rakelight take: takes in the photos of the inbox, or given ones, once.

package main

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/media/inbox"
	"rakelight/render"
)

var takeCmd = &command{
	name: "take", line: "take in the photos of the inbox once",
	usage: `Usage: rakelight take [PATH…]
       rakelight take FOLDER… --past

Takes in every photo of the journal's inbox: its bytes are kept unchanged under
photos/, its time is read, and it is tagged to a build and a stage. When it is
safely kept the inbox copy moves to inbox/.leaving; the next take or watch, five
minutes later at the earliest, lets it go if nothing came to it. With PATHs, takes
in those files and folders instead; they are copied, and stay where they are.

A photo that comes twice is kept once; if the kept one is damaged or missing, it
is put right from the copy, and the damaged bytes go to inbox/aside. A smaller copy of a kept photo, as
messengers send them, is moved to inbox/aside and never deleted; name the file
itself to take it in all the same. A file that is no photo, is cut off or
cannot be read stays where it is and is listed; the exit code is then 3.

Each photo taken in has a line with its name for other commands (the first characters of
its id), its time and where it belongs; of more than twelve the first and the last.
One line tells what the bench cards in these photos said and which did nothing,
and why; rakelight check --photos lists those with what to type.

With --past, folders of old pictures are looked through and nothing is taken in: a
phone's export, a backup, years of them. The pictures are read where they lie; doubles
and messengers' copies are told, and evenings and likely builds are guessed. Ctrl-C
stops it, the same command goes on. Then rakelight past sorts them and brings them in.

  --past   look through folders of old pictures

Examples:
  rakelight take
  rakelight take "/media/disk/old phone" --past
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("take", pflag.ContinueOnError)
		old := fs.Bool("past", false, "")
		paths, err := parse(fs, args)
		if err != nil {
			return err
		}
		if *old && len(paths) == 0 {
			return &usageError{"--past takes the folders in which the old pictures lie"}
		}
		if *old {
			return a.lookAtPast(paths)
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		var opts inbox.Options
		opts.SizePath, opts.Widths = render.IntakeSizes(j)
		opts.Now = a.now
		in := inbox.New(j, opts)
		bar := newProgress(a.err)
		var lost []string
		taken := map[string]bool{} // hashes
		var photos []*journal.Photo
		report := func(done, total int, o inbox.Outcome) {
			bar.at(done, total, "photos")
			lost = addLost(lost, j.State, o)
			if o.Status == inbox.Taken && o.Photo != nil {
				taken[o.Photo.Hash] = true
				photos = append(photos, o.Photo)
			}
		}
		var sum inbox.Summary
		if len(paths) > 0 {
			sum, err = in.Take(a.ctx, paths, report)
		} else {
			sum, err = in.TakeAll(a.ctx, report)
		}
		bar.end()
		a.tell(sum)
		a.tellTaken(photos)
		a.tellCards(j.State, taken)
		for _, words := range lost {
			a.remark(words)
		}
		if err != nil {
			return err
		}
		return aside(sum)
	},
}

// addLost adds what a photo's folders were perhaps meant to be, each once. A name
// near nothing is a folder of the person's own, and only why tells of it.
func addLost(said []string, s *journal.State, o inbox.Outcome) []string {
	if o.Status != inbox.Taken || o.Photo == nil {
		return said
	}
	for _, lost := range s.LostFolders(o.Photo) {
		if words := lost.String(); lost.Meant != "" && !slices.Contains(said, words) {
			said = append(said, words)
		}
	}
	return said
}

// tell prints what became of the files: a count, then each file that was not
// taken, with its reason.
func (a *app) tell(sum inbox.Summary) {
	a.printf("%s taken in", count(sum.Taken, "photo"))
	if sum.Duplicate > 0 {
		a.printf(", %d known already", sum.Duplicate)
	}
	if sum.Beside > 0 {
		a.printf(", %s kept beside their photos", count(sum.Beside, "file"))
	}
	if n := len(sum.Copies); n > 0 {
		a.printf(", %s set aside", count(n, "copy"))
	}
	if sum.Gone > 0 {
		a.printf(", %s gone before their turn (taken in by another rakelight, or moved away)", count(sum.Gone, "file"))
	}
	if n := len(sum.Left); n > 0 {
		a.printf(", %s left where they are", count(n, "file"))
	}
	a.printf("\n")
	for _, o := range slices.Concat(sum.Notices, sum.Copies, sum.Left, stuck(sum.Stuck), sum.Passed) {
		fprintf(a.err, "rakelight: %s: %s\n", o.Path, o.Why)
	}
}

// tellTaken lists photos that were taken in, of many the first and the last.
func (a *app) tellTaken(photos []*journal.Photo) {
	const all, ends = 12, 3
	for i, p := range photos {
		switch {
		case len(photos) <= all || i < ends || i >= len(photos)-ends:
			a.tellPhoto(p, p.Name)
		case i == ends:
			a.printf("… %d more\n", len(photos)-2*ends)
		}
	}
}

// tellPhoto is the line of a photo: its name for other commands, its time, where it
// belongs, and the file.
func (a *app) tellPhoto(p *journal.Photo, file string) {
	place := "to sort"
	if t := p.Tags; t.Build != "" {
		place = strings.TrimSuffix(t.Build+" / "+t.Stage, " / ")
	}
	a.printf("%s  %s  %s  %s\n", p.Short(), p.Instant.Told("2006-01-02 15:04"), place, file)
}

// stuck sums up, by folder and reason, the kept photos whose inbox copies could
// not be removed: a card that is locked may hold hundreds.
func stuck(all []inbox.Outcome) []inbox.Outcome {
	type place struct{ folder, why string }
	var order []place
	names := map[place][]string{}
	for _, o := range all {
		at := place{path.Dir(o.Path), o.Stuck}
		if names[at] == nil {
			order = append(order, at)
		}
		names[at] = append(names[at], path.Base(o.Path))
	}
	var lines []inbox.Outcome
	for _, at := range order {
		list := names[at]
		line := inbox.Outcome{Path: at.folder,
			Why: fmt.Sprintf("%s are kept, but their copies here could not be removed (%s)",
				count(len(list), "file"), at.why)}
		if len(list) == 1 {
			line = inbox.Outcome{Path: path.Join(at.folder, list[0]),
				Why: fmt.Sprintf("it is kept, but this copy could not be removed (%s)", at.why)}
		}
		lines = append(lines, line)
	}
	return lines
}

// aside is the error for files that were left, or nil. Folders that no look could
// enter count as one each.
func aside(sum inbox.Summary) error {
	var hints []string
	hint := func(add bool, words string) {
		if add {
			hints = append(hints, words)
		}
	}
	closed := slices.DeleteFunc(slices.Clone(sum.Passed),
		func(o inbox.Outcome) bool { return o.Status != inbox.SetAside })
	left := len(sum.Left) + len(sum.Stuck) + len(closed)
	if left == 0 {
		return nil
	}
	denied, disk := 0, 0
	for _, o := range sum.Left {
		if o.Denied {
			denied++
		} else if h := diskHint(o.Err); h != "" {
			disk++
			if !slices.Contains(hints, h) {
				hints = append(hints, h)
			}
		}
	}
	hint(denied+disk < len(sum.Left),
		"copy a damaged one from the camera again; move what is no photo out of the inbox")
	hint(denied > 0, "give yourself the right to read the file in its permissions, then rakelight take")
	hint(len(sum.Stuck) > 0,
		"close what has the copies open, or give yourself the right to change their folder, then rakelight take")
	return &setAsideError{
		text: fmt.Sprintf("%s left untouched, listed above", count(left, "file")),
		hint: strings.Join(hints, "; "),
	}
}

// count is "1 photo" or "3 photos".
func count(n int, what string) string { return metrics.Count(n, what) }
