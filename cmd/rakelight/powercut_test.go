// The power goes off: after each change that a command made, what was not synced
// is lost, or there in part, in any order. The next start finishes the work.

package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rakelight/journal/disk"
	"rakelight/journal/disk/mishap"
)

// cutWhile are the commands of the story during which the power is cut.
var cutWhile = []string{"on", "done", "off", "take", "day", "build", "write", "release", "mix", "addition", "sanding",
	"supplies"}

// cutSeldom are those of them that write as others do.
var cutSeldom = []string{"release", "mix", "addition", "sanding"}

// TestPowerCut cuts the power after the changes of each command, and in different
// ways each time: nothing of what was not synced is there, all of it, files with
// zeros in them, their first line and a half, or any part. RAKELIGHT_FAULTS=all cuts
// after every change.
func TestPowerCut(t *testing.T) {
	t.Parallel()
	h := faultsBench(t)
	for _, said := range story {
		if said.args == "take" {
			h.drop()
		}
		if !slices.Contains(cutWhile, strings.Fields(said.args)[0]) {
			h.must(said.after, said.args)
			continue
		}
		before := h
		h = before.copied()
		d, err := mishap.Trace(h.dir)
		if err != nil {
			t.Fatal(err)
		}
		unmount := disk.Mount(h.dir, d)
		h.must(said.after, said.args)
		unmount()
		undisturbed := h
		t.Run(strings.ReplaceAll(said.args, " ", "_"), func(t *testing.T) {
			cutEach(t, said, d, heard{t, undisturbed.dir})
		})
	}
}

func cutEach(t *testing.T, said errand, d *mishap.Traced, undisturbed heard) {
	again := slices.Contains(repeated, said.args)
	done := undisturbed.records()
	end := undisturbed.copied()
	end.settle("nothing")
	want := end.holds()
	want["records"] = keptIn(want["records"])
	step := 4
	switch {
	case os.Getenv("RAKELIGHT_FAULTS") == "all":
		step = 1
	case again:
		step = 1 + d.Len()/8
	case slices.Contains(cutSeldom, strings.Fields(said.args)[0]):
		step = 10
	}
	cuts := 0
	for n := 0; n <= d.Len(); n++ {
		if n%step != 0 && n != d.Len() {
			continue
		}
		rng := rand.New(rand.NewPCG(uint64(n), 7))
		for how, fate := range []func(int) mishap.Fate{
			func(int) mishap.Fate { return mishap.Lost },
			func(int) mishap.Fate { return mishap.Kept },
			func(int) mishap.Fate { return mishap.Blank },
			func(int) mishap.Fate { return mishap.Begun },
			func(int) mishap.Fate { return mishap.Fate(rng.IntN(4)) },
		} {
			cuts++
			cut := heard{t, filepath.Join(t.TempDir(), "bench")}
			if err := d.Cut(undisturbed.dir, cut.dir, n, fate); err != nil {
				t.Fatal(err)
			}
			what := fmt.Sprintf("cut %d of %d, way %d", n, d.Len(), how)
			cut.goOn(said, what, again, n == d.Len(), done)
			cut.settle(what)
			got := cut.holds()
			got["records"] = keptIn(got["records"])
			same(t, what, got, want)
			if t.Failed() {
				t.FailNow()
			}
			_ = os.RemoveAll(cut.dir)
		}
	}
	t.Logf("%d cuts", cuts)
}

// goOn says a command again that had not returned. What had is there.
func (h heard) goOn(said errand, what string, again, returned bool, done []string) {
	h.t.Helper()
	now := h.records()
	if returned && !slices.Equal(now, done) {
		h.t.Errorf("%s: the command had returned, and the records are\n%s", what, strings.Join(now, "\n"))
	}
	if again || !returned && (!slices.Equal(now, done) || unrecorded.MatchString(said.args) && h.unsaid(said)) {
		if code, told := h.say(said.after, said.args); code != exitDone {
			h.t.Errorf("%s: again: %d\n%s", what, code, told)
		}
	}
}

// unsaid reports whether what writes no record was not done.
func (h heard) unsaid(said errand) bool {
	words := strings.Fields(said.args)
	if words[0] == "build" {
		_, err := os.Stat(filepath.Join(h.dir, "builds", words[1], "build.md"))
		return err != nil
	}
	if words[0] == "supplies" {
		text, err := os.ReadFile(filepath.Join(h.dir, "builds", words[1], "build.md"))
		if err != nil {
			h.t.Fatal(err)
		}
		return !strings.Contains(string(text), map[string]string{"--add": "thin tape", "--ordered": "ordered"}[words[2]])
	}
	days, _ := filepath.Glob(filepath.Join(h.dir, "builds", "*", "diary", "*.md"))
	return len(days) == 0
}
