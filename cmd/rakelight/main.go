// Command rakelight keeps a photo journal of scale-model builds and publishes
// it as plain pages. In a terminal, run it without arguments for the list of
// commands; opened without one, it is rakelight start.
//
// Rules of the terminal, kept by every command: results go to standard output;
// everything else goes to standard error, begins with "rakelight: ", starts
// lower case and ends without a period. A line of help may follow as
// "rakelight: hint: …". Progress shows only on a terminal.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry/wording"
)

// Exit codes.
const (
	exitDone     = 0 // all of it done
	exitFailed   = 1 // not done; standard error says why
	exitUsage    = 2 // the command line was not understood
	exitSetAside = 3 // done, but something was left aside and is listed
)

// softMemory is where the garbage collector begins to work harder. It lies well
// above what a journal of 20,000 photos and a decoder hold: nearer to that, the
// collector runs without end (at half of it, 50,000 photos take twice the time).
// GOMEMLIMIT, if set, is heeded instead.
const softMemory = 640 << 20

// marksEnv names the folder outside all journals in which this computer notes
// how many records it wrote, so that an older copy of a journal is noticed.
const marksEnv = "RAKELIGHT_MARKS"

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softMemory)
	}
	if dir, err := os.UserConfigDir(); err == nil && os.Getenv(marksEnv) == "" {
		os.Setenv(marksEnv, filepath.Join(dir, "rakelight", "marks"))
	}
	if dir, err := os.UserConfigDir(); err == nil && os.Getenv(settingsEnv) == "" {
		os.Setenv(settingsEnv, filepath.Join(dir, "rakelight"))
	}
	args := os.Args[1:]
	if len(args) == 0 && clicked() {
		args = []string{startCmd.name}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	// A command that is blocked (a pipe, a share that does not answer) hears of the
	// first interrupt and cannot act on it: the second one ends the program.
	context.AfterFunc(ctx, stop)
	code := run(ctx, args, os.Stdout, os.Stderr, time.Now)
	stop()
	os.Exit(code)
}

// app is what a command may touch.
type app struct {
	ctx      context.Context
	out, err io.Writer
	now      func() time.Time
	read     reading // of a journal as a whole
	dir      string  // the journal folder asked for, "" = look upward from here
	remarks  bool    // tell of remarks in the journal's files
	bench    bool    // the command asks for few photos, or none
	inTheWay string  // what was said of files in the way of pages
}

// reading is journal.OpenAt, or stands for it where many commands ask one journal.
type reading func(dir string, now func() time.Time) (*journal.Journal, error)

// command is one word a person can type.
type command struct {
	name  string
	line  string // one line for the list
	usage string // the whole help
	bench bool   // it asks for few photos, or none
	run   func(a *app, args []string) error
}

var commands []*command

// The table is filled here, because usageOf looks into it from the commands.
func init() {
	commands = []*command{
		startCmd, newCmd, demoCmd,
		takeCmd, pastCmd, watchCmd, devicesCmd, cardsCmd, alignCmd, alikeCmd, tagCmd, dateCmd, clockCmd, whyCmd,
		buildCmd, buildsCmd, finishCmd,
		onCmd, offCmd, breakCmd, doneCmd, partsCmd, reopenCmd, workedCmd, correctCmd, retractCmd, noteCmd, dayCmd,
		runnersCmd, subCmd, holdCmd, releaseCmd, prepCmd, handsCmd,
		pauseCmd, resumeCmd, toolCmd, statusCmd,
		mixCmd, additionCmd, sandingCmd, suppliesCmd, checklistCmd,
		markCmd, judgeCmd, mistakeCmd, trialCmd, paceCmd, hoursCmd, skillCmd, forecastCmd,
		weekCmd, filmCmd, seriesCmd, writeCmd, publishCmd, privateCmd,
		checkCmd, copyCmd, exportCmd,
		versionCmd,
	}
}

// run does one command and answers with the exit code.
func run(ctx context.Context, args []string, out, errw io.Writer, now func() time.Time) int {
	a := &app{ctx: ctx, out: out, err: errw, now: now, read: journal.OpenAt, dir: os.Getenv("RAKELIGHT_JOURNAL")}
	return a.do(args)
}

// do does the command that the words say.
func (a *app) do(args []string) int {
	for len(args) > 0 && strings.HasPrefix(args[0], "-") {
		name, value, has := strings.Cut(strings.TrimLeft(args[0], "-"), "=")
		switch {
		case name == "h" || name == "help":
			manual(a.out, overview())
			return exitDone
		case name == "journal" && has:
			a.dir, args = value, args[1:]
		case name == "journal" && len(args) > 1:
			a.dir, args = args[1], args[2:]
		default:
			a.say(fmt.Errorf("the flag %s is not known here", args[0]), "rakelight help lists the commands")
			return exitUsage
		}
	}
	if len(args) == 0 {
		manual(a.err, overview())
		return exitUsage
	}
	if args[0] == "help" {
		return a.help(args[1:])
	}
	c := find(args[0])
	if c == nil {
		a.say(fmt.Errorf("there is no command %q", args[0]), "rakelight help lists the commands")
		return exitUsage
	}
	a.remarks = c == statusCmd || c == writeCmd
	a.bench = c.bench
	return a.answer(c, c.run(a, args[1:]))
}

// answer turns what a command returned into words and an exit code.
func (a *app) answer(c *command, err error) int {
	var usage *usageError
	var aside *setAsideError
	words, refused := wording.Refused(err)
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, pflag.ErrHelp):
		manual(a.out, c.usage)
		return exitDone
	case errors.As(err, &usage):
		a.say(err, journal.Typed("rakelight help %s", c.name)+" shows how it is written")
		return exitUsage
	case errors.As(err, &aside):
		a.say(err, aside.hint)
		return exitSetAside
	case refused:
		a.say(errors.New(words.What), words.Hint)
		return exitFailed
	case errors.Is(err, journal.ErrNoJournal):
		a.say(err, "rakelight new DIR makes a journal; --journal DIR names one")
		return exitFailed
	case errors.Is(err, context.Canceled):
		a.say(errors.New("stopped; what was finished is kept, and the next start goes on from there"), "")
		return exitFailed
	}
	a.say(err, diskHint(err))
	return exitFailed
}

func (a *app) say(err error, hint string) {
	a.remark(err.Error())
	if hint != "" {
		a.hint(hint)
	}
}

func (a *app) help(args []string) int {
	if len(args) == 0 {
		manual(a.out, overview())
		return exitDone
	}
	if args[0] == "build.md" {
		manual(a.out, journal.BuildHelp())
		return exitDone
	}
	if text, ok, err := helpTopic(args); err != nil {
		a.say(err, "")
		return exitUsage
	} else if ok {
		manual(a.out, text)
		return exitDone
	}
	c := find(args[0])
	if c == nil {
		a.say(fmt.Errorf("there is no command %q", args[0]), "rakelight help lists the commands")
		return exitUsage
	}
	manual(a.out, c.usage)
	return exitDone
}

func find(name string) *command {
	for _, c := range commands {
		if c.name == name {
			return c
		}
	}
	return nil
}

func overview() string {
	var b strings.Builder
	b.WriteString(`Rakelight keeps the photo journal of your model builds: drop photos in the
inbox, say what you work on, and read honestly whether you get better.

Usage: rakelight [--journal DIR] COMMAND [ARGUMENTS]

`)
	for _, c := range commands {
		fmt.Fprintf(&b, "  %-9s %s\n", c.name, c.line)
	}
	b.WriteString(`
The journal is the nearest folder upward with a journal.toml, or --journal DIR,
or $RAKELIGHT_JOURNAL. rakelight help COMMAND tells more, rakelight help build.md
tells what a build's plan may hold, rakelight help man writes the manual page, and
rakelight help completion SHELL writes what teaches a shell these words.

Exit codes: 0 done; 1 not done; 2 command line not understood;
            3 done, but something was left aside and is listed.
`)
	return b.String()
}

// usageError is a command line that was not understood.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

// setAsideError is work done in part: the rest is listed and untouched.
type setAsideError struct{ text, hint string }

func (e *setAsideError) Error() string { return e.text }

// parse reads flags wherever they stand among the arguments, and returns the
// arguments that are none. Behind "--" nothing is a flag.
func parse(fs *pflag.FlagSet, args []string) ([]string, error) {
	fs.Usage = func() {}
	fs.SetNormalizeFunc(oneOrMany(fs))
	if err := fs.Parse(args); err != nil {
		if errors.Is(err, pflag.ErrHelp) {
			return nil, err
		}
		return nil, flagError(err)
	}
	return fs.Args(), nil
}

// many is no bound on the number of arguments.
const many = 1 << 30

// takes is a check of the number of arguments.
func takes(least, most int, words string) func([]string) error {
	return func(rest []string) error {
		if len(rest) < least || len(rest) > most {
			return &usageError{words}
		}
		return nil
	}
}

// openWith reads the flags and arguments of a command, and opens the journal
// when none of the checks speaks against them.
func (a *app) openWith(fs *pflag.FlagSet, args []string, checks ...func(rest []string) error) (*journal.Journal,
	[]string, error) {
	rest, err := parse(fs, args)
	if err != nil {
		return nil, nil, err
	}
	for _, check := range checks {
		if err := check(rest); err != nil {
			return nil, nil, err
		}
	}
	j, err := a.open()
	return j, rest, err
}

// open opens the journal a command works on; status and write say how much could
// not be read there, and rakelight check says what.
func (a *app) open() (*journal.Journal, error) {
	j, err := a.openQuietly()
	if err != nil {
		return nil, err
	}
	if doubt := j.State.ZoneDoubt(); doubt != "" {
		a.say(errors.New(doubt+"; until it does, times are read and shown in UTC"), zoneHint)
	}
	if n := len(j.State.Problems); n > 0 && a.remarks {
		a.remark(fmt.Sprintf("%s in the journal's files, the first in %s: %s", count(n, "remark"),
			j.State.Problems[0].File, j.State.Problems[0].What))
		a.hint("rakelight check lists them")
	}
	return j, nil
}

// zoneHint mends a time zone that is none.
const zoneHint = "open journal.toml and name your zone as zone = \"Europe/Lisbon\" does"

// openQuietly opens the journal a command works on.
func (a *app) openQuietly() (*journal.Journal, error) {
	dir := a.dir
	if dir == "" {
		here, err := os.Getwd()
		if err != nil {
			return nil, err
		}
		dir = here
	}
	read := a.read
	if a.bench {
		read = journal.OpenBench
	}
	j, err := read(dir, a.now)
	if err == nil {
		j.MarkIn(os.Getenv(marksEnv))
	}
	return j, err
}
