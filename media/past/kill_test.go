// Real kills: a process that looks through old pictures and brings them in is killed at
// random moments and started again, until all is done.

package past

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/media/inbox"
	"rakelight/media/past/pasttest"
)

// killDir is set in the environment of the process to be killed: the journal, and the
// folder of old pictures.
const killDir = "RAKELIGHT_KILL_PAST"

// TestBringsInUntilKilled is no test of its own: it is the process that TestKills
// kills.
func TestBringsInUntilKilled(t *testing.T) {
	dir, old, _ := strings.Cut(os.Getenv(killDir), "\n")
	if dir == "" {
		t.Skip("run by TestKills")
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	fmt.Println("\nopen")
	s, err := Look(context.Background(), j, []string{old}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := BringIn(context.Background(), j, inbox.Options{Batch: 4}, s.Wanted(), nil); err != nil {
		t.Fatal(err)
	}
	fmt.Println("\ndone")
}

// startedAndKilled runs the process for a while from when it opened the journal, and
// reports whether it came to its end before.
func startedAndKilled(t *testing.T, dir, old string, after time.Duration) (done bool) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run", "^TestBringsInUntilKilled$", "-test.v")
	cmd.Env = append(os.Environ(), killDir+"="+dir+"\n"+old)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		switch lines.Text() {
		case "open":
			time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
		case "done":
			done = true
		}
	}
	_ = cmd.Wait()
	return done
}

// Whenever it is killed, each picture that is wanted is in the journal once in the end,
// byte for byte, with what was said of it; the folder of old pictures is as it was.
func TestKills(t *testing.T) {
	j := newJournal(t)
	old := t.TempDir()
	past := pasttest.Make(pasttest.Options{Seed: 8, Pictures: 60, Layout: pasttest.Messy})
	if err := past.Write(old); err != nil {
		t.Fatal(err)
	}
	before := untouched(t, old)
	rng := rand.New(rand.NewPCG(8, 15))
	met := 0
	kill := func() bool {
		done := startedAndKilled(t, j.Dir, old, time.Duration(20+rng.IntN(250))*time.Millisecond)
		if !done {
			met++
		}
		return done
	}
	for range 3 { // while it looks through them
		kill()
	}
	s := look(t, j, old)
	var hashes []string
	for _, p := range s.Pictures {
		hashes = append(hashes, p.Hash)
	}
	if _, err := Say(j, entry.Past{Photos: hashes, Build: "pilot-boat", Stage: "cut"}, nil, entry.Do); err != nil {
		t.Fatal(err)
	}
	for n := 0; n < 8; n++ { // while it brings them in
		if kill() {
			break
		}
	}
	j, err := journal.Open(j.Dir)
	if err != nil {
		t.Fatal(err)
	}
	if s, err = Look(t.Context(), j, []string{old}, nil); err != nil {
		t.Fatal(err)
	}
	if sum, err := BringIn(t.Context(), j, inbox.Options{}, s.Wanted(), nil); err != nil || len(sum.Left) > 0 {
		t.Fatalf("%+v, %v", sum, err)
	}
	kept := j.State.PhotosByHash()
	wanted := 0
	for _, p := range s.Pictures {
		if p.CopyOf == "" {
			wanted++
			if one := kept[p.Hash]; one == nil || one.Tags.Build != "pilot-boat" || one.Tags.Stage != "cut" {
				t.Errorf("%s: %+v", p.Path, one)
			}
		}
	}
	if len(kept) != wanted {
		t.Errorf("%d are kept, %d were wanted", len(kept), wanted)
	}
	for _, f := range j.Check(true) {
		if f.Kind != journal.OtherRemark {
			t.Errorf("check finds %v", f)
		}
	}
	originals := 0
	_ = filepath.WalkDir(j.Path("photos"), func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			originals++
		}
		return nil
	})
	if originals != wanted {
		t.Errorf("%d originals, %d wanted", originals, wanted)
	}
	for path, was := range untouched(t, old) {
		if before[path] != was {
			t.Errorf("%s is not as it was", path)
		}
		delete(before, path)
	}
	if len(before) > 0 {
		t.Errorf("%v are gone", before)
	}
	t.Logf("%d kills", met)
	if met == 0 {
		t.Error("no kill met anything")
	}
}
