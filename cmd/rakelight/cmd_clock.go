// rakelight clock: lists cameras, and corrects a camera whose clock was wrong.

package main

import (
	"path"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

var clockCmd = &command{
	name: "clock", line: "correct a camera whose clock was wrong",
	usage: `Usage: rakelight clock
       rakelight clock CAMERA --fast TIME [--from DAY] [--to DAY] [--yes]
       rakelight clock CAMERA --slow TIME [--from DAY] [--to DAY] [--yes]
       rakelight clock --photo PHOTO --really TIME [--from DAY] [--to DAY] [--yes]

Without arguments: lists the cameras, the corrections that stand, and those the
photos themselves suggest, with the evidence. Nothing is corrected by itself.

Says that a camera's clock was fast or slow, from and to the days it showed
(left out: always). Its photos move in time, and to the sessions of that time;
what you, a folder or a keyword said of them stays. First it shows what would
move; with --yes it writes that down, as a record that can be taken back. The
originals are never written. Of several corrections of a day the latest counts.

  --fast TIME     the clock was ahead: 1h3m, 20m, 45s, 2d
  --slow TIME     the clock was behind
  --really TIME   when the photo was really taken: "2026-03-14 19:32:05", or
                  19:32:05 on the day its camera showed
  --from, --to    YYYY-MM-DD, both days included
  --yes           write it down

Example:
  rakelight clock tarrow-t-24 --fast 1h3m --from 2024-03-01 --to 2024-05-12
`,
	run: func(a *app, args []string) error {
		var o clockOptions
		fs := pflag.NewFlagSet("clock", pflag.ContinueOnError)
		fs.StringVar(&o.fast, "fast", "", "")
		fs.StringVar(&o.slow, "slow", "", "")
		fs.StringVar(&o.photo, "photo", "", "")
		fs.StringVar(&o.really, "really", "", "")
		fs.StringVar(&o.from, "from", "", "")
		fs.StringVar(&o.to, "to", "", "")
		fs.BoolVar(&o.yes, "yes", false, "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if err := o.check(rest); err != nil {
			return err
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		if len(rest) == 0 && o.photo == "" {
			a.listClocks(j.State)
			return nil
		}
		said, err := o.said(rest)
		if err != nil {
			return err
		}
		return a.setClock(j, said, o.yes)
	},
}

type clockOptions struct {
	fast, slow, photo, really, from, to string
	yes                                 bool
}

// check refuses a command line that says too much or too little.
func (o clockOptions) check(rest []string) error {
	said := o.fast != "" || o.slow != ""
	switch {
	case len(rest) > 1:
		return &usageError{"clock takes one camera"}
	case o.fast != "" && o.slow != "":
		return &usageError{"a clock is --fast or --slow, not both"}
	case (o.photo == "") != (o.really == ""):
		return &usageError{"--photo and --really go together"}
	case o.photo != "" && (len(rest) > 0 || said):
		return &usageError{"--photo tells the camera and how far it was off; leave out the rest"}
	case len(rest) == 1 && !said:
		return &usageError{"say how far the clock was off, with --fast or --slow"}
	case len(rest) == 0 && o.photo == "" && (said || o.from != "" || o.to != "" || o.yes):
		return &usageError{"name the camera; rakelight clock lists them"}
	}
	return nil
}

// said is what the flags say of the camera's clock.
func (o clockOptions) said(rest []string) (entry.Clock, error) {
	said := entry.Clock{Photo: o.photo, Really: o.really, From: o.from, To: o.to}
	if o.photo != "" {
		return said, nil
	}
	said.Camera = rest[0]
	fast, err := journal.ParseFault(o.fast + o.slow) // one of them is set
	if err != nil {
		return said, &usageError{err.Error()}
	}
	said.Fast = fast
	if o.slow != "" {
		said.Fast = -fast
	}
	return said, nil
}

// setClock shows what the record moves, and writes it down if told to.
func (a *app) setClock(j *journal.Journal, said entry.Clock, yes bool) error {
	before := j.State
	came, err := shownOrDone(j, said, yes)
	if err != nil {
		return err
	}
	body := came.Add[0].(journal.ClockBody)
	fast, err := time.ParseDuration(body.Fast)
	if err != nil {
		return err
	}
	a.printf("%s: its clock was %s, %s\n", cameraName(before, body.Camera), journal.SpellFault(fast),
		days(body.From, body.To))
	a.showMoves(journal.Moves(before, came.State), yes)
	a.told(came.Remarks)
	if yes {
		a.printf("written down%s\n", takeBack(came.Records[0]))
		return nil
	}
	a.println(notWritten)
	return nil
}

// cameraName is what the commands call a camera.
func cameraName(s *journal.State, camera journal.Camera) string {
	for _, c := range s.Cameras() {
		if c.Camera == camera {
			return c.Name
		}
	}
	return ""
}

// shownMoves is how many moves are shown one by one.
const shownMoves = 6

func (a *app) showMoves(moves []journal.Move, done bool) {
	verb := "would move"
	if done {
		verb = "moved"
	}
	a.printf("%s %s\n", count(len(moves), "photo"), verb)
	for i, m := range moves {
		if i == shownMoves {
			a.printf("  and %d more\n", len(moves)-i)
			break
		}
		a.printf("  %s  %s → %s", m.Before.Short(), when(m.Before), when(m.After))
		if from, to := where(m.Before), where(m.After); from != to {
			a.printf("  %s → %s", from, to)
		}
		a.printf("\n")
	}
	if len(moves) == 0 {
		return
	}
	gained, changed, lost := journal.Gains(moves)
	if done {
		a.printf("of these, %d gained a session, %d changed to another, %d have none any more\n", gained, changed, lost)
		return
	}
	a.printf("of these, %d would gain a session, %d change to another, %d have none any more\n", gained, changed, lost)
}

func when(p *journal.Photo) string { return p.Instant.Told("2006-01-02 15:04:05") }

// where is a photo's build and stage, for one line.
func where(p *journal.Photo) string {
	if at := path.Join(p.Tags.Build, p.Tags.Stage); at != "" {
		return at
	}
	return "to sort"
}

func days(from, to string) string {
	switch {
	case from == "" && to == "":
		return "on all days"
	case to == "":
		return "from " + from
	case from == "":
		return "until " + to
	}
	return "from " + from + " to " + to
}

// listClocks prints the cameras, the corrections that stand and those the
// photos suggest.
func (a *app) listClocks(s *journal.State) {
	cameras := s.Cameras()
	if len(cameras) == 0 {
		a.println("no photo names a camera yet")
		return
	}
	for _, c := range cameras {
		a.printf("%s  %s, %s", c.Name, c.Title(), count(c.Photos, "photo"))
		if !c.First.IsZero() {
			a.printf(", %s to %s", c.First.Format(time.DateOnly), c.Last.Format(time.DateOnly))
		}
		if c.Corrected > 0 {
			a.printf(", %d corrected", c.Corrected)
		}
		a.printf("\n")
	}
	for _, c := range s.Clocks {
		fast, err := time.ParseDuration(c.Fast)
		if err != nil {
			continue
		}
		from := "journal.toml"
		if c.Record != "" {
			from = journal.Typed("rakelight retract %s", c.Record) + " takes it back"
		}
		camera := journal.CameraUse{Camera: journal.Camera{Make: c.Make, Model: c.Model}}.Title()
		if camera == "" {
			camera = "any camera"
		}
		a.printf("corrected  %s: %s, %s (%s)\n", camera, journal.SpellFault(fast), days(c.From, c.To), from)
	}
	for _, p := range s.ProposeClocks() {
		a.printf("suggested  %s seems %s: %s\n  %s\n  a photo of a clock you trust tells it to the second: rakelight clock --photo PHOTO --really TIME\n",
			p.Camera.Name, journal.SpellFault(p.Fast), p.Evidence(), p.Command())
	}
}
