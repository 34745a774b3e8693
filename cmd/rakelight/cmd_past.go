// rakelight past: says what old pictures are, and brings in those of the bench.

package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/media/inbox"
	"rakelight/media/past"
	"rakelight/render"
)

var pastCmd = &command{
	name: "past", line: "sort old pictures, and bring in those of the bench",
	usage: `Usage: rakelight past
       rakelight past WHAT…
       rakelight past WHAT… [--build BUILD [--title TEXT]] [--stage STAGE] [flags]
       rakelight past --in [WHAT…]
       rakelight past --undo

Old pictures that rakelight take FOLDER… --past looked through lie where they were
until you bring them in. Without arguments: lists the likely builds, each a guess by
folders and gaps in time, and what you said of them. With WHAT alone: its evenings.
WHAT is a likely build (G3), an evening as it is listed (2021-03-14, or 2021-03-14-2
for the second of that day), some days (2021-03-14..2021-04-02), a build (pilot-boat)
for all that you said to be of it, or a picture by the first characters of its id or by
its file name. rakelight watch, or rakelight start, shows all of them as pictures, to be
sorted by mouse, keys or touch: the page The years before.

Otherwise it says what the pictures are. That is a record, of pictures that are not
here yet too, and can be taken back; a picture that is kept already gets its tags at
once. A copy that a messenger made goes with its original, and is not brought in.

  --build BUILD   the build they are of; with --title a new one is begun
  --title TEXT    what the pages call the new build
  --stage STAGE   the stage of that build, or of the one said before
  --role ROLE     before, after, progress, problem or finished
  --view, --light, --kit, --parts, --clear
                  as rakelight tag has them
  --date WHEN     when they were taken, as well as you know it: "spring 1998"
  --out           not of the bench: never brought in, never asked about again
  --not-out       of the bench after all; brought in even if it is a copy
  --clock CAMERA  yes, the clock of this camera was wrong as it is guessed
  --in            bring in what has a build; of WHAT alone if that is named
  --undo          take back what was said last
  --forget DIR    look at a folder no more

Examples:
  rakelight past G3 --build pilot-boat --title "Pilot boat"
  rakelight past 2021-03-14..2021-04-02 --stage paint
  rakelight past --in
`,
	run: func(a *app, args []string) error {
		var o pastOptions
		fs := pflag.NewFlagSet("past", pflag.ContinueOnError)
		fs.StringVar(&o.said.Build, "build", "", "")
		fs.StringVar(&o.title, "title", "", "")
		fs.StringVar(&o.said.Stage, "stage", "", "")
		fs.StringVar(&o.said.Role, "role", "", "")
		fs.StringVar(&o.said.View, "view", "", "")
		fs.StringVar(&o.said.Light, "light", "", "")
		fs.IntVar(&o.said.Kit, "kit", 0, "")
		fs.StringVar(&o.said.Parts, "parts", "", "")
		fs.StringVar(&o.clear, "clear", "", "")
		fs.StringVar(&o.date, "date", "", "")
		fs.BoolVar(&o.out, "out", false, "")
		fs.BoolVar(&o.notOut, "not-out", false, "")
		fs.StringVar(&o.clock, "clock", "", "")
		fs.BoolVar(&o.in, "in", false, "")
		fs.BoolVar(&o.undo, "undo", false, "")
		fs.StringVar(&o.forget, "forget", "", "")
		j, rest, err := a.openWith(fs, args, o.check(fs))
		if err != nil {
			return err
		}
		return a.past(j, rest, o)
	},
}

// pastOptions are what the flags say.
type pastOptions struct {
	said                              entry.Past
	title, clear, date, clock, forget string
	out, notOut, in, undo             bool
}

// check refuses a command line that says two things at once.
func (o *pastOptions) check(fs *pflag.FlagSet) func([]string) error {
	return func(rest []string) error {
		alone := 0
		for _, name := range []string{"undo", "clock", "forget", "in"} {
			if fs.Changed(name) {
				alone++
			}
		}
		n := 0
		fs.Visit(func(*pflag.Flag) { n++ })
		switch {
		case alone > 1 || alone == 1 && n > 1:
			return &usageError{"--in, --undo, --clock and --forget each stand alone"}
		case alone == 1 && len(rest) > 0 && !o.in:
			return &usageError{"that takes no pictures; rakelight help past tells what does"}
		case o.out && o.notOut:
			return &usageError{"pictures are --out or --not-out, not both"}
		case alone == 0 && n > 0 && len(rest) == 0:
			return &usageError{"say of which: a likely build (G3), an evening, some days, a picture"}
		case o.title != "" && o.said.Build == "":
			return &usageError{"--title is that of a new build; name it with --build"}
		}
		return nil
	}
}

// past does what the command line says.
func (a *app) past(j *journal.Journal, rest []string, o pastOptions) error {
	switch {
	case o.undo:
		return a.undoPast(j)
	case o.forget != "":
		known, err := past.Forget(j, o.forget)
		if err == nil && !known {
			err = &journal.AskError{What: o.forget + " was not looked through: nothing changed"}
		}
		return err
	}
	s, err := past.Open(j)
	if err != nil {
		return err
	}
	if len(s.Roots) == 0 {
		return &journal.AskError{What: "no old pictures were looked through yet",
			Hint: "rakelight take FOLDER… --past looks through folders of them"}
	}
	if o.clock != "" {
		return a.acceptClock(j, s, o.clock)
	}
	chosen, err := meant(j.State, s, rest)
	switch {
	case err != nil:
		return err
	case o.in:
		return a.bringIn(j, s, chosen, len(rest) > 0)
	case o.says():
		return a.sayPast(j, s, chosen, o)
	case len(rest) > 0:
		a.listEvenings(s, chosen)
		return nil
	}
	a.listPast(j, s)
	if len(s.Pictures) > 0 {
		a.askFates(j.State, hashesOf(s))
		a.tellSheet(j)
	}
	return nil
}

func hashesOf(s *past.Survey) []string {
	var all []string
	for _, p := range s.Pictures {
		all = append(all, p.Hash)
	}
	return all
}

// says reports whether anything is said of the pictures.
func (o pastOptions) says() bool {
	t := o.said
	return t.Build+t.Stage+t.Role+t.View+t.Light+t.Parts+o.clear+o.date != "" || t.Kit != 0 || o.out || o.notOut
}

// meant are the pictures that are named, each once.
func meant(state *journal.State, s *past.Survey, names []string) ([]*past.Picture, error) {
	var all []*past.Picture
	seen := map[*past.Picture]bool{}
	for _, name := range names {
		some, err := s.Find(name)
		if of := saidOfBuild(state, s, name); err != nil && len(of) > 0 {
			some, err = of, nil
		}
		var none *past.NotFound
		if errors.As(err, &none) {
			return nil, &journal.AskError{What: none.Error() + ": nothing written",
				Hint: "rakelight past lists what there is"}
		}
		for _, p := range some {
			if !seen[p] {
				seen[p] = true
				all = append(all, p)
			}
		}
	}
	return all, nil
}

// saidOfBuild are the pictures that were said to be of a build, by its id.
func saidOfBuild(state *journal.State, s *past.Survey, build string) []*past.Picture {
	if state.Build(build) == nil {
		return nil
	}
	var all []*past.Picture
	for _, p := range s.Pictures {
		if p.Said != nil && p.Said.Tags.Build == build {
			all = append(all, p)
		}
	}
	return all
}

// sayPast writes down what is said of some pictures. Those left out are meant only
// where that is what is said.
func (a *app) sayPast(j *journal.Journal, s *past.Survey, chosen []*past.Picture, o pastOptions) error {
	said := o.said
	var of []*past.Picture
	for _, p := range chosen {
		if !p.Out() || o.out || o.notOut {
			of, said.Photos = append(of, p), append(said.Photos, p.Hash)
		}
	}
	if len(of) == 0 {
		return &journal.AskError{What: "these pictures are left out: nothing written",
			Hint: "rakelight past WHAT… --not-out says that they are of the bench; then say the rest"}
	}
	if o.clear != "" {
		said.Clear = strings.Split(o.clear, ",")
	}
	if o.out || o.notOut {
		said.Out = &o.out
	}
	if o.date != "" {
		when, err := dated(o.date, a.now().In(j.State.Zone))
		if err != nil {
			return err
		}
		if said.First, said.Last, said.Said = when.First, when.Last, when.Said; !when.At.IsZero() {
			return &usageError{"--date is a day, a month, a season or a year; an hour is said of kept photos, with rakelight date"}
		}
	}
	var draft *journal.Draft
	if o.title != "" {
		draft = &journal.Draft{ID: said.Build, Title: o.title}
	} else if _, err := j.State.ResolveBuild(said.Build); err != nil && said.Build != "" {
		return &journal.AskError{What: err.Error(),
			Hint: "with --title TEXT a new one is begun"}
	}
	begun := draft != nil && j.State.Build(draft.ID) == nil
	out, err := past.Say(j, said, draft, entry.Do)
	if err != nil {
		return err
	}
	if begun {
		a.printf("began %s: builds/%s/build.md is its plan, for you to go on with\n", said.Build, said.Build)
	}
	a.printf("%s: %s; %s (rakelight past --undo takes it back)\n", count(len(of), "picture"), saidWords(said),
		eveningWords(s.EveningsOf(of)))
	a.told(out.Remarks)
	if said.Out == nil || !*said.Out {
		a.println("rakelight past --in brings in what has a build")
	}
	return nil
}

// eveningWords names the evenings of pictures, as they are listed.
func eveningWords(all []*past.Evening) string {
	if len(all) == 1 {
		return "evening " + all[0].ID
	}
	return fmt.Sprintf("%s, %s to %s", count(len(all), "evening"), all[0].ID, all[len(all)-1].ID)
}

// saidWords is what was said, in a few words.
func saidWords(said entry.Past) string {
	var all []string
	for _, one := range []string{said.Build, said.Stage, said.Role, said.View, said.Light, said.Parts} {
		if one != "" {
			all = append(all, one)
		}
	}
	if said.Kit != 0 {
		all = append(all, fmt.Sprintf("kit %d", said.Kit))
	}
	if len(said.Clear) > 0 {
		all = append(all, "no "+strings.Join(said.Clear, ", no "))
	}
	switch {
	case said.First == "":
	case said.Said != "":
		all = append(all, said.Said)
	case said.First == said.Last:
		all = append(all, said.First)
	default:
		all = append(all, said.First+" to "+said.Last)
	}
	if said.Out != nil && *said.Out {
		all = append(all, "not of the bench")
	} else if said.Out != nil {
		all = append(all, "of the bench")
	}
	return strings.Join(all, ", ")
}

// undoPast takes back what was said last.
func (a *app) undoPast(j *journal.Journal) error {
	u, err := past.Undo(j)
	if errors.Is(err, past.ErrNothing) {
		return &journal.AskError{What: err.Error()}
	}
	if err != nil {
		return err
	}
	if u.Open != "" {
		a.printf("taken back: %s is not said to be finished any more\n", u.Open)
		return nil
	}
	a.printf("taken back: what was said last, of %s\n", count(u.Pictures, "picture"))
	if u.Build != "" {
		a.printf("%s, which was begun for them, is gone again\n", u.Build)
	}
	return nil
}

// pastCards begins the line of what bench cards in old pictures said.
const pastCards = "bench cards in these pictures said"

// bringIn takes in what has a build, of some pictures or of all.
func (a *app) bringIn(j *journal.Journal, s *past.Survey, chosen []*past.Picture, named bool) error {
	if !named {
		chosen = s.Pictures
	}
	var hashes []string
	for _, p := range chosen {
		if p.Wanted() {
			hashes = append(hashes, p.Hash)
		}
	}
	if len(hashes) == 0 {
		return &journal.AskError{What: "of these pictures none has a build and is still to be brought in",
			Hint: "rakelight past WHAT… --build BUILD says which build they are of"}
	}
	var opts inbox.Options
	opts.SizePath, opts.Widths = render.IntakeSizes(j)
	opts.Now = a.now
	bar := newProgress(a.err)
	taken := map[string]bool{}
	sum, err := past.BringIn(a.ctx, j, opts, hashes, func(done, total int, o inbox.Outcome) {
		bar.at(done, total, "pictures")
		if o.Status == inbox.Taken && o.Photo != nil {
			taken[o.Photo.Hash] = true
		}
	})
	bar.end()
	a.tell(sum)
	a.tellCardsAs(pastCards, j.State, taken)
	if err != nil {
		return err
	}
	finished, err := past.Finish(j, hashes, a.now())
	for _, f := range finished {
		a.printf("%s is finished, on %s: %s shows it so, and it is the last of it (rakelight past --undo takes it back)\n",
			f.Build, f.Date, f.Name)
	}
	if err != nil {
		return err
	}
	a.askFates(j.State, hashes)
	return aside(sum)
}

// askFates asks what became of builds of kept pictures, where nobody said it.
func (a *app) askFates(s *journal.State, hashes []string) {
	kept := s.PhotosByHash()
	of := map[string]bool{}
	for _, hash := range hashes {
		if p := kept[hash]; p != nil {
			of[p.Tags.Build] = true
		}
	}
	for _, b := range s.Builds {
		last, untold := s.Untold(b)
		if !untold || !of[b.ID] {
			continue
		}
		day := "DAY"
		if len(last.Date) == len(time.DateOnly) {
			day = last.Date
		}
		known := ""
		if last.Date != "" {
			known = "its last photo is of " + last.String() + ", and "
		}
		a.printf("what became of %s? %suntil you say it no page claims that it is on the bench:\n"+
			"  it was finished: %s\n  it was put aside, given away, scrapped: %s\n", b.ID, known,
			journal.Typed("rakelight finish %s %s", b.ID, day),
			journal.Typed("rakelight pause %s --since %s --why %s", b.ID, day, string(journal.GivenAway)))
	}
}

// acceptClock makes a guess at a clock a record.
func (a *app) acceptClock(j *journal.Journal, s *past.Survey, name string) error {
	for _, c := range s.Clocks {
		if journal.CameraSlug(c.Camera) != name {
			continue
		}
		out, err := entry.Do(j, entry.Clock{Of: c.Camera, Fast: c.Fast, From: c.From, To: c.To})
		if err != nil {
			return err
		}
		a.printf("%s: its clock was %s, %s%s\n", name, journal.SpellFault(c.Fast), days(c.From, c.To),
			takeBack(out.Records[0]))
		a.told(out.Remarks)
		return nil
	}
	return &journal.AskError{What: fmt.Sprintf("nothing is guessed of the clock of %q: nothing written", name),
		Hint: "rakelight past lists the guesses; rakelight clock corrects a camera of kept photos"}
}

// lookAtPast looks through folders of old pictures and says what is there.
func (a *app) lookAtPast(folders []string) error {
	j, err := a.open()
	if err != nil {
		return err
	}
	bar := newProgress(a.err)
	s, err := past.Look(a.ctx, j, folders, func(done, total int, path string) { bar.at(done, total, "pictures") })
	bar.end()
	if s == nil {
		return err
	}
	for _, root := range s.Missing {
		a.printf("%s: nothing of what was read there is there now; is the disk plugged in? What is known of its pictures stays (%s lets go of it)\n",
			root, journal.Typed("rakelight past --forget %s", root))
	}
	if err != nil {
		a.printf("it was interrupted; the same command again goes on\nread so far: ")
		a.tellPast(s)
		return err
	}
	a.tellPast(s)
	a.listPast(j, s)
	if len(s.Pictures) > 0 {
		a.tellSheet(j)
	}
	n := 0
	for _, l := range s.Left {
		n += oneIf(l.Is == past.Unreadable)
	}
	if n > 0 {
		return &setAsideError{text: fmt.Sprintf("%s could not be read, listed above", count(n, "file")),
			hint: "the rest goes on without them"}
	}
	return nil
}

// span is from which day to which something was.
func span(first, last time.Time) string {
	from, to := first.Format(time.DateOnly), last.Format(time.DateOnly)
	if from == to {
		return from
	}
	return from + " to " + to
}
