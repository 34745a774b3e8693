// Real kills in the middle of writing the index: a process that says one thing
// after another is killed at random moments, and started again.

package journal

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Set in the environment of the process to be killed: the journal, what time it is
// there, and the seed of what it says.
const (
	sayDir  = "RAKELIGHT_SAY_DIR"
	sayTime = "RAKELIGHT_SAY_TIME"
	saySeed = "RAKELIGHT_SAY_SEED"
)

// TestSaysUntilKilled is no test of its own: it is the process that
// TestKillsWhileTheIndexIsWritten kills. Each thing is said as by a command of its
// own, which writes the index.
func TestSaysUntilKilled(t *testing.T) {
	dir := os.Getenv(sayDir)
	if dir == "" {
		t.Skip("run by TestKillsWhileTheIndexIsWritten")
	}
	now, err := time.Parse(time.RFC3339, os.Getenv(sayTime))
	if err != nil {
		t.Fatal(err)
	}
	seed, err := strconv.ParseUint(os.Getenv(saySeed), 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	h := &fate{t: t, dir: dir, rng: rand.New(rand.NewPCG(seed, 11)), now: now, theme: []int{3, 4, 5, 7}}
	fmt.Println("\nopen")
	for {
		open := OpenAt
		if h.rng.IntN(2) == 0 {
			open = OpenBench
		}
		j, err := open(dir, h.clock)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := j.Append(h.say(j.State)); err != nil {
			t.Fatal(err)
		}
		h.now = h.now.Add(time.Minute)
	}
}

// TestKillsWhileTheIndexIsWritten holds that, after each kill, a journal opened
// through what is left of the index is what the fold of all records says, whole and
// as read for the bench. RAKELIGHT_KILLS sets how often (25); it goes on until one has met
// an index half written, and a look gone through one.
func TestKillsWhileTheIndexIsWritten(t *testing.T) {
	kills := 25
	if n, err := strconv.Atoi(os.Getenv("RAKELIGHT_KILLS")); err == nil {
		kills = n
	}
	h := newFate(t, 12)
	rng := rand.New(rand.NewPCG(12, uint64(kills)))
	n, half, through := 0, 0, 0
	for ; n < kills || (half == 0 || through == 0) && n < 6*kills; n++ {
		h.killOnce(uint64(n), time.Duration(rng.IntN(60000))*time.Microsecond)
		h.did("kill %d", n)
		if h.halfWritten() {
			half++
		}
		h.now = h.now.Add(6 * time.Hour) // later than all it said
		j, err := OpenBench(h.dir, h.clock)
		if err != nil {
			t.Fatal(err)
		}
		if j.book.IsBrief() && j.index.at.IsZero() {
			through++
		}
		h.agree("a look from the bench", j.State)
		h.agree("a fresh look", h.open().State)
		if n%3 == 2 { // the next process begins without one
			if err := os.RemoveAll(h.path(indexDir)); err != nil {
				t.Fatal(err)
			}
		}
	}
	t.Logf("%d kills, %d left half an index, %d looks went through one", n, half, through)
	if half == 0 || through == 0 {
		t.Error("no kill met anything, or no look went through an index")
	}
}

// killOnce runs the process and kills it so long after it began to say something.
func (h *fate) killOnce(seed uint64, after time.Duration) {
	h.t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestSaysUntilKilled$")
	cmd.Env = append(os.Environ(), sayDir+"="+h.dir, sayTime+"="+h.now.Format(time.RFC3339), saySeed+"="+fmt.Sprint(seed))
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		h.t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() && lines.Text() != "open" {
	}
	time.Sleep(after) // any moment will do
	_ = cmd.Process.Kill()
	for lines.Scan() {
		h.t.Errorf("the process ended by itself: %s", lines.Text())
	}
	_ = cmd.Wait()
}

// halfWritten reports whether the index holds what its head does not name, or no
// head.
func (h *fate) halfWritten() bool {
	x := index{dir: h.path(indexDir)}
	head, ok := x.readHead()
	named := map[string]bool{}
	if ok {
		for _, part := range head.Parts {
			named[part.Name] = true
		}
	}
	files, _ := filepath.Glob(filepath.Join(x.dir, "*"))
	hidden, _ := filepath.Glob(filepath.Join(x.dir, ".*"))
	for _, file := range append(files, hidden...) {
		if name := filepath.Base(file); strings.HasSuffix(name, ".tmp") || strings.HasSuffix(name, partEnding) && !named[name] {
			return true
		}
	}
	return false
}
