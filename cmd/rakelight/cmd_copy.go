// rakelight copy: a second copy of the journal, verified; and what was put right from
// one.

package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/backup"
)

var copyCmd = &command{
	name: "copy", line: "make a verified second copy of the journal",
	usage: `Usage: rakelight copy [--verify] DEST

Makes a second copy of the whole journal in the folder DEST, or brings the one that
lies there up to date. Each file is read back before it counts: an original against
the hash in its record, records against their checksums, all else byte for byte. The
same command again continues where it was broken off, and copies only what is new.

What was verified before and has the size and the time it had then is not read again;
with --verify it is, on both sides. Do that now and then: disks age.

Not copied: pages/ and .cache/ (rakelight write makes them again), inbox/.leaving
(kept in photos already), inbox/.coming (not all there yet), temporary files, and names
at the top that begin with a dot.
The inbox is copied as it is; take photos in first, and the copy has them once.

Nothing is ever deleted in DEST. What differs there is moved to DEST/earlier, under
the moment of the copy; records and marks that only grew are written again. An original
that is damaged in the journal never takes the place of a good one. DEST lists all it
holds in copied.jsonl, and is a journal itself: rakelight --journal DEST check.

Exit code 3 when something could not be copied as it should be; it is listed.
rakelight check --from DEST repairs the journal from the copy.

  --verify  read all files again, also those verified before

Example:
  rakelight copy ../bench-copy
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("copy", pflag.ContinueOnError)
		verify := fs.Bool("verify", false, "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) != 1 {
			return &usageError{"copy wants one folder to copy to"}
		}
		j, err := a.openQuietly()
		if err != nil {
			return err
		}
		bar := newProgress(a.err)
		c, err := backup.Copy(a.ctx, j, rest[0], backup.Options{Verify: *verify,
			Report: func(done, total int) { bar.at(done, total, "files") }})
		bar.end()
		if c != nil {
			a.tellFiles(c.Remarks)
			a.tellFiles(c.Left)
		}
		if err != nil {
			return err
		}
		a.tellCopied(c, rest[0])
		if n := len(c.Left); n > 0 {
			return &setAsideError{
				text: fmt.Sprintf("%s not in the copy as they should be, listed above", count(n, "file")),
				hint: "rakelight check tells what is wrong in the journal",
			}
		}
		return nil
	},
}

// tellCopied says how much is in the copy, and how that is known.
func (a *app) tellCopied(c *backup.Copied, to string) {
	a.printf("%s (%s) verified in %s: %d copied now and read back, %d compared byte for byte", count(c.Files, "file"),
		size(c.Bytes), to, c.Written, c.Compared)
	if c.Known > 0 {
		a.printf(", %d verified before and untouched since (--verify reads them again)", c.Known)
	}
	a.printf("\n")
	const shown = 5
	for i, file := range c.Kept {
		if i == shown {
			a.printf("and %d more\n", len(c.Kept)-shown)
			break
		}
		a.printf("differed there, kept as %s\n", file)
	}
}

// tellFiles lists files, each with its reason.
func (a *app) tellFiles(all []backup.Left) {
	for _, one := range all {
		fprintf(a.err, "rakelight: %s: %s\n", one.File, one.Why)
	}
}

// size is a number of bytes in words.
func size(n int64) string {
	switch {
	case n >= 10<<30:
		return fmt.Sprintf("%d GB", n>>30)
	case n >= 10<<20:
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d KB", (n+1023)>>10)
}

// tellLastCopy says when this computer made the last copy, as far as it knows.
func (a *app) tellLastCopy(j *journal.Journal, ask bool) {
	last, known := backup.LastOf(j)
	switch {
	case known:
		days := int(a.now().Sub(last.At).Hours() / 24)
		ago := map[int]string{0: "today", 1: "a day ago"}[days]
		if ago == "" {
			ago = fmt.Sprintf("%d days ago", days)
		}
		a.printf("last copy: %s, %s, to %s, %s", last.At.In(j.State.Zone).Format("2006-01-02"), ago, last.To,
			count(last.Files, "file"))
		if last.Left > 0 {
			a.printf("; %s not in it as they should be", count(last.Left, "file"))
		}
		a.printf("\n")
	case ask && len(j.State.Photos) > 0:
		a.println("last copy: none that this computer knows of; rakelight copy DEST makes one")
	}
}

// repairFrom puts the journal right from a copy.
func (a *app) repairFrom(j *journal.Journal, from string) error {
	bar := newProgress(a.err)
	r, err := backup.Repair(a.ctx, j, from, func(done, total int) { bar.at(done, total, "originals") })
	bar.end()
	if r != nil {
		for _, one := range r.Done {
			a.printf("%s: %s\n", one.File, one.Why)
		}
		for _, one := range r.Photos {
			a.printf("%s\n", one)
		}
		a.tellFiles(r.Remarks)
		a.tellFiles(r.Left)
	}
	if err != nil {
		return err
	}
	if len(r.Done)+len(r.Photos) == 0 {
		a.printf("nothing was brought back from %s\n", from)
	} else {
		a.printf("%s and %s brought back from %s\n", count(r.Records, "record"), count(len(r.Photos), "original"), from)
	}
	if n := len(r.Left); n > 0 {
		return fmt.Errorf("%s could not be put right, listed above", count(n, "original"))
	}
	return nil
}

// mendPlain mends what costs nothing.
func (a *app) mendPlain(j *journal.Journal) error {
	done, err := j.MendPlain()
	for _, f := range done {
		a.printf("mended  %s: %s\n", f.File, f.What)
	}
	if len(done) == 0 && err == nil {
		a.println("there was nothing to mend without loss")
	}
	if err != nil {
		return fmt.Errorf("not all of it: %w", err)
	}
	return j.Reload()
}
