// rakelight judge: blind pairs on a local page, and in packs for judges elsewhere.

package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/render/judge"
)

var judgeCmd = &command{
	name: "judge", line: "judge blind pairs of photos",
	usage: `Usage: rakelight judge [--judge NAME]
       rakelight judge --pack FILE.html [--pairs N] [--criterion CRITERIA]
       rakelight judge --take FILE [FILE…] [--judge NAME | --mine]

Serves a page on this computer that shows two photos of the same kind of work,
from the same view and under the same light, of two builds, and asks which is the
better on one criterion: by tap, or by the keys 1 (left), 2 (right), 3 (no
difference) and 4 (cannot tell). Nothing on the page, in its addresses or in the
picture files tells builds or dates. Now and then a pair comes back with its
sides swapped, to see how steady the eye is, and now and then comes a pair that
somebody else has judged, to see how you agree. Each verdict is kept at once.
Stop it with Ctrl-C; rakelight skill says what the verdicts tell.

  --judge NAME    somebody else judges at this computer

Photos with a bench card in them are not judged, since the card names the build,
nor photos tagged before or problem: for judging take one more photo of the
finished stage without the card, and tag its view and light.

--pack writes the same as one file for friends, 12 MB at most: it opens in any
browser, offline, and holds the pictures and nothing that tells builds, dates or
cameras. Half of its pairs are ones you have judged, as far as there are such; one
in six comes twice. What stands where is written into this journal.

  --pairs N       so many different pairs (24; 60 at most)
  --criterion C   only on these criteria, by number or name, with commas between

--take adds the answers that come back, as a file or as a mail saved as text. The
judge is who the answers say: the same name is the same judge, also from another
pack. Taking answers twice changes nothing, and what a judge once said of a pair
stands. If any file is damaged, was edited, or answers a pack this journal does
not know, nothing is taken from any of them.

  --judge NAME    the judge's name here, such as for a second person of one name
  --mine          you filled in the pack yourself: they count as your own

Examples:
  rakelight judge
  rakelight judge --pack for-friends.html
  rakelight judge --take answers-from-mo.txt
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("judge", pflag.ContinueOnError)
		who := fs.String("judge", "", "")
		pack := fs.String("pack", "", "")
		pairs := fs.Int("pairs", judge.DefaultPairs, "")
		criterion := fs.String("criterion", "", "")
		take := fs.String("take", "", "")
		mine := fs.Bool("mine", false, "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		given := map[string]bool{}
		fs.Visit(func(f *pflag.Flag) { given[f.Name] = true })
		name, err := judgeNamed(fs, *who)
		if err != nil {
			return err
		}
		switch {
		case len(rest) > 0 && *take == "":
			return &usageError{"judge takes files after --take only"}
		case *pack != "" && (*take != "" || given["judge"]), *take == "" && *mine, *mine && given["judge"]:
			return &usageError{"--pack, --take and --judge, --mine do not go together like this"}
		case *pack == "" && (given["pairs"] || given["criterion"]):
			return &usageError{"--pairs and --criterion go with --pack"}
		case *pairs < 1 || *pairs > judge.MaxPairs:
			return &usageError{fmt.Sprintf("--pairs takes a number from 1 to %d", judge.MaxPairs)}
		}
		criteria, err := criteriaOf(*criterion)
		if err != nil {
			return err
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		switch {
		case *pack != "":
			return a.pack(j, *pack, *pairs, criteria)
		case *take != "":
			return a.takeAnswers(j, append([]string{*take}, rest...), name, *mine)
		}
		if name, err = entry.Judge(j.State, name); err != nil {
			return err
		}
		s, err := judge.Serve(a.ctx, j, name, uint64(a.now().UnixNano()))
		if err != nil {
			return err
		}
		a.printf("Judge at %s (Ctrl-C ends)\n", s.URL)
		<-a.ctx.Done()
		a.printf("%s given\n", count(s.Said(), "verdict"))
		return s.Close()
	},
}

// judgeNamed is the name that --judge was given, cleaned; "" when it was not.
func judgeNamed(fs *pflag.FlagSet, said string) (string, error) {
	given := false
	fs.Visit(func(f *pflag.Flag) { given = given || f.Name == "judge" })
	name := entry.Name(said)
	switch {
	case given && name == "":
		return "", &usageError{"--judge takes a name"}
	case entry.IsOwner(name):
		return "", &entry.Refusal{Reason: entry.OwnersName, Name: name}
	}
	return name, nil
}

// criteriaOf reads a list of criteria; none = all.
func criteriaOf(list string) ([]int, error) {
	var out []int
	for name := range strings.SplitSeq(list, ",") {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		n, err := criterionOf(name)
		if err != nil {
			return nil, err
		}
		out = append(out, n)
	}
	return out, nil
}

// pack writes a pack: the file first, then its key. A key without its file does
// no harm; a file whose answers nobody can read would waste a friend's evening,
// so it goes again when the key cannot be written.
func (a *app) pack(j *journal.Journal, name string, pairs int, criteria []int) error {
	if !strings.HasSuffix(strings.ToLower(name), ".html") {
		return &usageError{"--pack takes the name of a file that ends in .html"}
	}
	if err := j.CanHandOut(name); err != nil {
		return err
	}
	made, err := judge.Pack(a.ctx, j, pairs, criteria, uint64(a.now().UnixNano()))
	if err != nil {
		return err
	}
	if err := j.HandOut(name, made.HTML); err != nil {
		return err
	}
	if _, err := entry.Do(j, entry.Pack{Key: made.Key}); err != nil {
		_ = os.Remove(name) // what the person reads is that there is none
		return fmt.Errorf("%s: the pack was not written: %w", name, err)
	}
	a.printf("%s: %s", name, count(made.Pairs, "pair"))
	if made.Again > 0 {
		a.printf(", %d of them twice", made.Again)
	}
	a.printf(", %s, %.1f MB\n", count(made.Pictures, "picture"), float64(len(made.HTML))/(1<<20))
	if made.Pairs < pairs {
		a.printf("There are no more pairs that compare than these %d.\n", made.Pairs)
	}
	a.println("Send it to friends; what they send back: rakelight judge --take FILE")
	return nil
}
