// rakelight take: takes in the photos of the inbox, or given ones, once.

package main

import (
	"fmt"
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

Takes in every photo of the journal's inbox: its bytes are kept unchanged under
photos/, its time is read, and it is tagged to a build and a stage. The inbox
copy goes only when the photo is safely kept. With PATHs, takes in those files
and folders instead; they are copied, and stay where they are.

A photo that comes twice is kept once. A smaller copy of a kept photo, as
messengers send them, is moved to inbox/aside and never deleted; name the file
itself to take it in all the same. A file that is no photo, is cut off or
cannot be read stays where it is and is listed; the exit code is then 3.

One line tells what the bench cards in these photos said and which did nothing,
and why; rakelight check --photos lists those with what to type.

Example:
  rakelight take
`,
	run: func(a *app, args []string) error {
		paths, err := parse(pflag.NewFlagSet("take", pflag.ContinueOnError), args)
		if err != nil {
			return err
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		var opts inbox.Options
		opts.SizePath, opts.Widths = render.IntakeSizes(j)
		in := inbox.New(j, opts)
		bar := newProgress(a.err)
		var lost []string
		taken := map[string]bool{} // hashes
		report := func(done, total int, o inbox.Outcome) {
			bar.at(done, total, "photos")
			lost = addLost(lost, j.State, o)
			if o.Status == inbox.Taken && o.Photo != nil {
				taken[o.Photo.Hash] = true
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
		a.printf(", %s set aside", map[bool]string{true: "1 copy", false: fmt.Sprintf("%d copies", n)}[n == 1])
	}
	if n := len(sum.Left); n > 0 {
		a.printf(", %s left where they are", count(n, "file"))
	}
	a.printf("\n")
	for _, o := range slices.Concat(sum.Copies, sum.Left) {
		fprintf(a.err, "rakelight: %s: %s\n", o.Path, o.Why)
	}
}

// aside is the error for files that were left, or nil.
func aside(sum inbox.Summary) error {
	if len(sum.Left) == 0 {
		return nil
	}
	denied, disk := 0, 0
	var hints []string
	for _, o := range sum.Left {
		if strings.HasPrefix(o.Why, inbox.NotAllowed) {
			denied++
		} else if h := diskHint(o.Err); h != "" {
			disk++
			if !slices.Contains(hints, h) {
				hints = append(hints, h)
			}
		}
	}
	if denied+disk < len(sum.Left) {
		hints = append(hints, "copy a damaged one from the camera again; move what is no photo out of the inbox")
	}
	if denied > 0 {
		hints = append(hints, "give yourself the right to read the file in its permissions, then rakelight take")
	}
	return &setAsideError{
		text: fmt.Sprintf("%s left untouched, listed above", count(len(sum.Left), "file")),
		hint: strings.Join(hints, "; "),
	}
}

// count is "1 photo" or "3 photos".
func count(n int, what string) string { return metrics.Count(n, what) }
