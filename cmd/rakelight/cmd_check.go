// rakelight check: looks whether everything is where the records say.

package main

import (
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/media/inbox"
)

var checkCmd = &command{
	name: "check", line: "look whether every photo and record is whole",
	usage: `Usage: rakelight check [--quick] [--mend]
       rakelight check --from DIR
       rakelight check --photos [--all]
       rakelight check --lost

Reads every record and every original and lists what is missing, changed, torn
or unnamed, and where bench cards do not agree on how large things are. It
changes nothing of yours. Exit code 1 when something is damaged. To repair
an original, drop a good copy of it into the inbox and type rakelight take.

What you write by hand (journal.toml and the files in builds) may change, so a change
there is no damage; check tells what is not what it was at the check before, which it
notes in .cache/by-hand.json, once. It also tells when this computer made the last
second copy (rakelight copy).

With --mend: first repairs what can be repaired without loss, and says what it did. It
deletes temporary files of writes that were cut off and copies of records, as sync
programs make them, all of whose lines stand in the months' own files; it writes a
missing file in marks from the records, and makes missing folders. It does nothing
else.

With --from: puts damaged and missing originals and records right from DIR, a copy
made by rakelight copy or any other of this journal's folder. An original is taken
only if it is what its record says, a record only if its checksum holds. Damaged bytes
are kept in inbox/aside/damaged. Nothing in DIR is changed.

With --photos: lists the photos to look at instead, each with the reason and the
next command to type: those without a date, with a guessed zone, with a doubtful
clock, guessed or to sort, with a bench card that does not fit, and the files
that were set aside or lie in the inbox.

With --lost: writes down that the records which are missing now are lost for
good, so that check is silent about them from then on. Bring them back from a
backup first, if there is one.

  --photos    list the photos to look at
  --all       all of them, not the first ten of a kind
  --lost      the records missing now are lost for good
  --quick     do not read the originals' bytes, only look that they are there
              with the sizes they had; the records are all read
  --mend      repair what can be repaired without loss
  --from DIR  repair from a copy

Example:
  rakelight check
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("check", pflag.ContinueOnError)
		quick := fs.Bool("quick", false, "")
		photos := fs.Bool("photos", false, "")
		all := fs.Bool("all", false, "")
		lost := fs.Bool("lost", false, "")
		mend := fs.Bool("mend", false, "")
		from := fs.String("from", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) > 0 {
			return &usageError{"check takes no arguments"}
		}
		if *all && !*photos || *quick && *photos {
			return &usageError{"--all goes with --photos, --quick without"}
		}
		if *lost && (*photos || *quick) {
			return &usageError{"--lost stands alone"}
		}
		if fs.Changed("from") && (*from == "" || fs.NFlag() > 1) || *mend && (*photos || *lost) {
			return &usageError{"--from names a folder and stands alone, --mend goes with --quick alone"}
		}
		j, err := a.openQuietly() // what could not be read is its own subject
		if err != nil {
			return err
		}
		switch {
		case *photos:
			return a.checkPhotos(j, *all)
		case *lost:
			return a.acceptLost(j)
		case *from != "":
			return a.repairFrom(j, *from)
		case *mend:
			if err := a.mendPlain(j); err != nil {
				return err
			}
		}
		return a.checkWhole(j, *quick, *mend)
	},
}

// checkWhole lists all that is not as it should be.
func (a *app) checkWhole(j *journal.Journal, quick, mended bool) error {
	damaged := 0
	for _, f := range slices.Concat(j.Check(!quick), passedOver(j), a.changedPlans(j)) {
		where := f.File
		if f.Line > 0 {
			where = fmt.Sprintf("%s:%d", f.File, f.Line)
		}
		word := "remark"
		if f.Error {
			word = "damage"
			damaged++
		}
		a.printf("%s  %s: %s\n", word, where, f.What)
	}
	a.scaleRemarks(j.State)
	if quick && len(j.State.Photos) > 0 {
		a.println("the bytes of the photos were not read, only their names and sizes; rakelight check reads them")
	}
	if damaged > 0 {
		a.tellLastCopy(j, false)
		if mended {
			return fmt.Errorf("%s found, listed above; it wants a good copy, or your word", count(damaged, "damage"))
		}
		return fmt.Errorf("%s found, listed above; nothing was changed", count(damaged, "damage"))
	}
	photos, sessions := count(len(j.State.Photos), "photo"), count(len(j.State.Sessions), "session")
	if quick && len(j.State.Photos) > 0 {
		a.printf("Checked %s and %s: the photos are there at full size, the sessions whole\n", photos, sessions)
	} else {
		a.printf("Checked %s and %s: all whole\n", photos, sessions)
	}
	a.tellLastCopy(j, true)
	return nil
}

// changedPlans are remarks on what is written by hand and changed since the check
// before, and notes how it is now.
func (a *app) changedPlans(j *journal.Journal) []journal.Finding {
	noted := j.NotedPlans()
	var found []journal.Finding
	if noted.At.IsZero() {
		a.println("what is written by hand (journal.toml, builds) was not noted yet; later checks tell what changed since this one")
	} else {
		var err error
		if found, err = j.ChangedPlans(noted); err != nil {
			found = []journal.Finding{{Kind: journal.OtherRemark, File: "builds", What: err.Error(), Error: true}}
		}
	}
	if err := j.NotePlans(); err != nil {
		a.remark(fmt.Sprintf("what is written by hand could not be noted, so the next check tells of no change since this one: %v", err))
	}
	return found
}

// acceptLost writes down that what is missing is lost.
func (a *app) acceptLost(j *journal.Journal) error {
	gaps, written, err := j.AcceptLost()
	if err != nil {
		return err
	}
	if len(written) == 0 {
		a.println("no record is missing; nothing was written")
		return nil
	}
	for i, r := range written {
		a.printf("written down as lost for good: %s%s\n", gaps[i], takeBack(r))
	}
	return nil
}

// passedOver are remarks on what no run takes in: files of the inbox that are
// passed over, and what is leaving it without a record.
func passedOver(j *journal.Journal) []journal.Finding {
	in := inbox.New(j, inbox.Options{})
	var found []journal.Finding
	for _, o := range in.PassedOver() {
		found = append(found, journal.Finding{Kind: journal.OtherRemark, File: o.Path, What: o.Why})
	}
	for _, file := range in.Gone() {
		found = append(found, journal.Finding{Kind: journal.OtherRemark, File: file,
			What: "the copy of a photo that was taken back, or whose record is gone; delete it, or " +
				journal.Typed("rakelight take %s", file)})
	}
	return found
}
