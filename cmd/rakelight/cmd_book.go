// rakelight runners, sub, hold, release, prep and hands: the bench book, which says weeks
// later what the parts do not show.

package main

import (
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// bookFlags are the flags that all commands of the bench book take.
func bookFlags(fs *pflag.FlagSet, about *entry.About) (at *string) {
	fs.StringVar(&about.Build, "build", "", "")
	fs.StringVar(&about.Text, "note", "", "")
	fs.StringVar(&about.Photo, "photo", "", "")
	fs.StringVar(&about.Instead, "instead", "", "")
	return fs.String("at", "", "")
}

// openBook opens the journal for a command of the bench book.
func (a *app) openBook(fs *pflag.FlagSet, args []string, about *entry.About, at *string,
	checks ...func([]string) error) (*journal.Journal, []string, error) {
	j, rest, err := a.openWith(fs, args, checks...)
	if err != nil {
		return nil, nil, err
	}
	about.At, err = a.moment(*at, j.State.Zone)
	return j, rest, err
}

// written prints what was written into the bench book.
func (a *app) written(done entry.Outcome, what string) {
	a.printf("%s%s\n", what, takeBack(done.Records[0]))
	a.told(done.Remarks)
}

// booksOf are the builds whose bench book is asked for: the one that is named, that of
// the session that runs, or all that are open.
func booksOf(s *journal.State, name string) ([]*journal.Build, error) {
	if name != "" {
		b, err := s.ResolveBuild(name)
		return []*journal.Build{b}, err
	}
	if running := s.Running(); len(running) == 1 {
		if b := s.Build(running[0].Build); b != nil {
			return []*journal.Build{b}, nil
		}
	}
	var open []*journal.Build
	for _, b := range s.Builds {
		if b.Finished == "" {
			open = append(open, b)
		}
	}
	return open, nil
}

// listBooks prints what list finds for each build, and what is said when it finds
// nothing.
func (a *app) listBooks(s *journal.State, name, nothing string, list func(*journal.Build) []string) error {
	builds, err := booksOf(s, name)
	if err != nil {
		return err
	}
	said := false
	for _, b := range builds {
		lines := list(b)
		if len(lines) == 0 {
			continue
		}
		said = true
		a.printf("%s\n", b.ID)
		for _, line := range lines {
			a.printf("  %s\n", line)
		}
	}
	if !said {
		a.println(nothing)
	}
	return nil
}

const bookFlagsHelp = `  --build BUILD   the build, where no session runs and several are open
  --note TEXT     more about it
  --photo PHOTO   one that shows it, by the first characters of its id
  --instead ID    it corrects that earlier record, which counts no more
  --at TIME       when, if it was not now: 20:10
`

var runnersCmd = &command{
	name: "runners", line: "the runner check: what was found, what is lacking",
	bench: true,
	usage: `Usage: rakelight runners PARTS STATE [flags]
       rakelight runners [--build BUILD]

Keeps what you found when you looked the runners over before the start. STATE is
one of seen, missing, damaged, not-used, asked (for a replacement) and come. PARTS
may be whole runners: first A,B seen, then A5 missing. What was said last of a part
counts. A stage that begins while a part it needs is lacking says so; parts that are
not for use count nowhere. Without PARTS it lists what was looked at and what is
lacking.

` + bookFlagsHelp + `
Example:
  rakelight runners A,B seen --build pilot-boat
  rakelight runners A5 missing --note "not on the frame"
  rakelight runners A5 come
`,
	run: func(a *app, args []string) error {
		var said entry.CheckParts
		fs := pflag.NewFlagSet("runners", pflag.ContinueOnError)
		at := bookFlags(fs, &said.About)
		j, rest, err := a.openBook(fs, args, &said.About, at, func(rest []string) error {
			if len(rest) != 0 && len(rest) != 2 {
				return &usageError{"runners takes the parts and how they are: A5 missing"}
			}
			return nil
		})
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.listBooks(j.State, said.Build, "no open build has runners, and nothing was said of any part",
				func(b *journal.Build) []string { return runnerLines(j.State, b) })
		}
		said.Parts, said.State = rest[0], rest[1]
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.CheckedBody)
		a.written(done, fmt.Sprintf("%s of %s: %s", body.On(), body.Build, journal.StateWords(body.State)))
		if lacks := done.State.Lacking(body.Build); len(lacks) > 0 {
			a.printf("lacking now: %s\n", journal.Lacks(lacks))
		}
		return nil
	},
}

// runnerLines tell of each runner of a build how many of its parts were looked at, then
// what is lacking.
func runnerLines(s *journal.State, b *journal.Build) []string {
	found := map[string]journal.Found{}
	for _, f := range s.FoundOf(b.ID) {
		found[f.Part.Key()] = f
	}
	var lines []string
	for _, r := range s.Ledger(b) {
		seen, all := 0, 0
		for _, p := range r.Parts {
			if p.Use == journal.NotUsed {
				continue
			}
			all++
			if _, ok := found[p.Ref.Key()]; ok {
				seen++
			}
		}
		lines = append(lines, fmt.Sprintf("runner %s: %d of %s looked at", r.Name(), seen, count(all, "part")))
	}
	if lacks := s.Lacking(b.ID); len(lacks) > 0 {
		lines = append(lines, "lacking: "+journal.Lacks(lacks))
	}
	return lines
}

var subCmd = &command{
	name: "sub", line: "name a group of parts that is worked as one",
	bench: true,
	usage: `Usage: rakelight sub NAME PARTS [flags]
       rakelight sub NAME --over
       rakelight sub [--build BUILD]

Names a sub-assembly: parts that are put together and painted as one. Said again, it
has the parts that were said last. Other commands take its name in the place of
parts. Without NAME it lists the sub-assemblies and what each waits for.

  --over          it is none any more: joined to the rest, or given up
` + bookFlagsHelp + `
Example:
  rakelight sub cab A1-A6,B3 --build pilot-boat
  rakelight hold curing cab --of filler
`,
	run: func(a *app, args []string) error {
		var said entry.SubAssembly
		fs := pflag.NewFlagSet("sub", pflag.ContinueOnError)
		fs.BoolVar(&said.Over, "over", false, "")
		at := bookFlags(fs, &said.About)
		j, rest, err := a.openBook(fs, args, &said.About, at,
			takes(0, 2, "sub takes a name and the parts: cab A1-A6,B3"))
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.listBooks(j.State, said.Build, "no sub-assembly is named; rakelight sub NAME PARTS names one",
				func(b *journal.Build) []string { return subLines(j.State, b) })
		}
		if said.Name = rest[0]; len(rest) == 2 {
			said.Parts = rest[1]
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.SubBody)
		if body.Over {
			a.written(done, fmt.Sprintf("%s is no sub-assembly of %s any more", body.Sub, body.Build))
			return nil
		}
		a.written(done, fmt.Sprintf("%s of %s: %s", body.Sub, body.Build, journal.Ranges(body.Parts)))
		return nil
	},
}

// subLines tell of each sub-assembly of a build what it is made of and waits for.
func subLines(s *journal.State, b *journal.Build) []string {
	var lines []string
	for _, one := range s.SubsOf(b.ID) {
		lines = append(lines, fmt.Sprintf("%s: %s (%s)", one.Sub, journal.Ranges(one.Parts), one.Record))
		for _, h := range s.HoldsOf(b.ID) {
			if journal.SubKey(h.Sub) == journal.SubKey(one.Sub) {
				lines = append(lines, "  "+s.TellHold(h)+" ("+h.Record+")")
			}
		}
	}
	return lines
}

var holdCmd = &command{
	name: "hold", line: "remember what cures, is not glued, or is masked",
	bench: true,
	usage: `Usage: rakelight hold curing|unglued|masked PARTS [flags]
       rakelight hold [--build BUILD]

Keeps what must be remembered until it ends: something cures, is dry-fitted and not
glued, or has masks on. PARTS may be the name of a sub-assembly. When what cures is
ready comes from --takes, or from your own times in journal.toml below [curing].
rakelight release ends it. Without PARTS it lists all of it, each with its record.

  --of WHAT       what cures: glue, filler, paint, decal, varnish, or your own word
  --takes TIME    how long it takes, if not as journal.toml says: 24h
` + bookFlagsHelp + `
Example:
  rakelight hold curing cab --of filler --takes 24h
  rakelight hold unglued A12,A13 --note "mast stands loose in its hole"
  rakelight hold masked cab
`,
	run: func(a *app, args []string) error {
		var said entry.Hold
		fs := pflag.NewFlagSet("hold", pflag.ContinueOnError)
		fs.StringVar(&said.Of, "of", "", "")
		long := fs.String("takes", "", "")
		at := bookFlags(fs, &said.About)
		j, rest, err := a.openBook(fs, args, &said.About, at, func(rest []string) error {
			if len(rest) != 0 && len(rest) != 2 {
				return &usageError{"hold takes how the parts are held, and which: masked cab"}
			}
			return nil
		})
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.listBooks(j.State, said.Build, "nothing cures, waits for glue or has masks on, as far as was said",
				func(b *journal.Build) []string { return a.holdLines(j.State, b) })
		}
		if *long != "" {
			if said.Long, err = a.length(*long); err != nil {
				return err
			}
		}
		said.Is, said.Parts = rest[0], rest[1]
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		id := done.Records[0].ID()
		i := slices.IndexFunc(done.State.Holds, func(h journal.Hold) bool { return h.Record == id })
		h := done.State.Holds[i]
		a.written(done, fmt.Sprintf("%s of %s: %s", h.On(), h.Build, done.State.HeldSince(h)))
		if h.Is == "curing" && done.State.ReadyAt(h).IsZero() {
			a.println("when it is ready is not known; --takes 24h says it, or your own times below [curing] in journal.toml")
		}
		return nil
	},
}

// holdLines tell what has to be remembered of a build.
func (a *app) holdLines(s *journal.State, b *journal.Build) []string {
	var lines []string
	for _, h := range s.HoldsOf(b.ID) {
		lines = append(lines, a.heldLine(s, h))
	}
	return lines
}

// heldLine tells how parts are held, and whether the time to cure has passed.
func (a *app) heldLine(s *journal.State, h journal.Hold) string {
	line := s.TellHold(h)
	if ready := s.ReadyAt(h); !ready.IsZero() && !ready.After(a.now()) {
		return fmt.Sprintf("%s; that time has passed: %s", line, journal.Typed("rakelight release %s", h.Record))
	}
	return line + " (" + h.Record + ")"
}

var releaseCmd = &command{
	name: "release", line: "say that what was held is over",
	bench: true,
	usage: `Usage: rakelight release RECORD|PARTS [flags]

Ends what rakelight hold keeps: it has cured, was glued, the masks are off. Name it
by its record, which rakelight hold lists, by the parts, or by the sub-assembly.

  --what WHAT     curing, unglued or masked, where several are held of the parts
  --build BUILD   the build, where no session runs and several are open
  --note TEXT     what came of it: "one edge lifted"
  --at TIME       when, if it was not now: 20:10

Example:
  rakelight release cab --what masked --note "one edge lifted"
`,
	run: func(a *app, args []string) error {
		var said entry.Release
		fs := pflag.NewFlagSet("release", pflag.ContinueOnError)
		fs.StringVar(&said.Build, "build", "", "")
		fs.StringVar(&said.Is, "what", "", "")
		fs.StringVar(&said.Text, "note", "", "")
		at := fs.String("at", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, 1, "release takes the record, the parts or the sub-assembly"))
		if err != nil {
			return err
		}
		if said.At, err = a.moment(*at, j.State.Zone); err != nil {
			return err
		}
		known := slices.ContainsFunc(j.State.Holds, func(h journal.Hold) bool { return h.Record == rest[0] })
		if known {
			said.Hold = rest[0]
		} else {
			said.Parts = rest[0]
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.ReleaseBody)
		i := slices.IndexFunc(done.State.Holds, func(h journal.Hold) bool { return h.Record == body.Hold })
		h := done.State.Holds[i]
		a.written(done, fmt.Sprintf("%s of %s: %s, ended after %s", h.On(), h.Build, h.HoldWords(),
			journal.Spell(body.At.Sub(h.At))))
		return nil
	},
}

var prepCmd = &command{
	name: "prep", line: "note what was done to a part, for later",
	bench: true,
	usage: `Usage: rakelight prep PARTS [WHAT] [TEXT] [flags]
       rakelight prep [--build BUILD]

Keeps what must be known of a part when it is put together, or looked for. PARTS may
be the name of a sub-assembly. WHAT is one of these, or left out:

  gates-together  the gates were cut together with those of the mating part
  gates-apart     each by itself
  pegs            pegs were cut; TEXT says which, or that none shows
  pull            from where it is pulled apart again
  shim, pin       it was shimmed, or pinned
  swap            another part was taken in its place
  store           where it lies: the tub, the cell, the bag

  --with PARTS    the mating parts; of a swap, what was taken
  --angle ANGLE   of the cut: 45°
  --side SIDE     which side: "left one short"
` + bookFlagsHelp + `
rakelight parts A12 tells the whole story of a part. Without PARTS it lists the
notes, and what is to be said before parts that were dry-fitted are glued.

Example:
  rakelight prep A12 pegs "align by eye" --side "port one short"
  rakelight prep A12 gates-together --with A13
  rakelight prep cab store "tub 2, with the masks"
`,
	run: func(a *app, args []string) error {
		var said entry.Prep
		fs := pflag.NewFlagSet("prep", pflag.ContinueOnError)
		fs.StringVar(&said.With, "with", "", "")
		fs.StringVar(&said.Angle, "angle", "", "")
		fs.StringVar(&said.Side, "side", "", "")
		at := bookFlags(fs, &said.About)
		j, rest, err := a.openBook(fs, args, &said.About, at)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.listBooks(j.State, said.Build, "no prep notes yet",
				func(b *journal.Build) []string { return prepLines(j.State, b) })
		}
		said.Parts, rest = rest[0], rest[1:]
		if len(rest) > 0 && slices.Contains(journal.PrepWhats, rest[0]) {
			said.Is, rest = rest[0], rest[1:]
		}
		if len(rest) > 0 {
			said.Text = strings.TrimSpace(strings.Join(rest, " ") + " " + said.Text)
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.PrepBody)
		a.written(done, fmt.Sprintf("%s of %s: %s", body.On(), body.Build, journal.Prep{PrepBody: body}.PrepWords()))
		return nil
	},
}

// prepLines tell what was done to parts of a build, and what is asked of them.
func prepLines(s *journal.State, b *journal.Build) []string {
	var lines []string
	for _, p := range s.PrepsOf(b.ID) {
		lines = append(lines, fmt.Sprintf("%s: %s (%s)", p.On(), p.PrepWords(), p.Record))
	}
	gates, pegs := journal.GatesAndPegs(s.DryFitQuestions(b.ID))
	if parts := journal.Ranges(gates); parts != "" {
		lines = append(lines, fmt.Sprintf("dry-fitted, and not said whether the gates were cut together: %s; %s, or gates-together --with PARTS",
			parts, journal.Typed("rakelight prep %s gates-apart --build %s", parts, b.ID)))
	}
	if parts := journal.Ranges(pegs); parts != "" {
		lines = append(lines, fmt.Sprintf("dry-fitted, and not said which pegs were cut: %s; %s", parts,
			journal.Typed("rakelight prep %s pegs TEXT --build %s", parts, b.ID)))
	}
	return lines
}

var handsCmd = &command{
	name: "hands", line: "note how the hands are, or list what work did it",
	bench: true,
	usage: `Usage: rakelight hands WHAT [WHERE] [flags]
       rakelight hands

Notes what your hands say, at the session that runs or at none: WHAT is sore,
blister, cut, strain, or rest for a rest you took. Without WHAT it lists how often
each came with which kind of work, beside the hours of that work. The figures say
what you noted, and no cause.

  --session ID    another session than the one that runs
` + bookFlagsHelp + `
Example:
  rakelight hands blister left thumb --note "new side cutter"
`,
	run: func(a *app, args []string) error {
		var said entry.Hands
		fs := pflag.NewFlagSet("hands", pflag.ContinueOnError)
		fs.StringVar(&said.Session, "session", "", "")
		at := bookFlags(fs, &said.About)
		j, rest, err := a.openBook(fs, args, &said.About, at)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			a.printHands(j.State)
			return nil
		}
		said.Is, said.Where = rest[0], strings.Join(rest[1:], " ")
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.HandsBody)
		work := body.Build
		if s := done.State.Session(body.Session); s != nil {
			work = s.Stage + " on " + s.Build
		}
		a.written(done, fmt.Sprintf("%s: noted on %s", journal.Hands{HandsBody: body}.HandsWords(), work))
		return nil
	},
}

// printHands lists what the hands showed by kind of work.
func (a *app) printHands(s *journal.State) {
	rows := s.HandsByKind()
	if len(rows) == 0 {
		a.println("Nothing noted of the hands.")
		return
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fprintf(t, "work\thours at the bench")
	for _, what := range append(slices.Clone(journal.HandsWhats), "other") {
		fprintf(t, "\t%s", what)
	}
	fprintf(t, "\n")
	for _, r := range rows {
		kind, hours := r.Kind, fmt.Sprintf("%.1f (%s)", r.Hours, count(r.Sessions, "session"))
		if kind == "" {
			kind, hours = "no session", "–"
		}
		fprintf(t, "%s\t%s", kind, hours)
		for _, what := range append(slices.Clone(journal.HandsWhats), "") {
			fprintf(t, "\t%d", r.Times[what])
		}
		fprintf(t, "\n")
	}
	t.Flush()
}
