// Tests that what bears an id is written once, however often it is sent.

package entry

import (
	"bufio"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

func TestOnce(t *testing.T) {
	b := sitDown(t)
	first, err := DoOnce(b.j, "begin-0001", b.now, Begin{Build: "pilot-boat", Stage: "cut"})
	if err != nil || first.Again || len(first.Records) != 1 {
		t.Fatal(first, err)
	}
	b.now = b.at("19:20")
	done, err := DoOnce(b.j, "done-00001", b.now, Done{Parts: "A1-A4"}, Note{Text: "dull blade"})
	if err != nil || len(done.Records) != 2 {
		t.Fatal(done, err)
	}
	// On the same journal, on one that is opened anew, and on one of the bench.
	open := map[string]func() (*journal.Journal, error){
		"same":  func() (*journal.Journal, error) { return b.j, nil },
		"anew":  func() (*journal.Journal, error) { return journal.OpenAt(b.j.Dir, b.j.Now) },
		"bench": func() (*journal.Journal, error) { return journal.OpenBench(b.j.Dir, b.j.Now) },
	}
	for name, open := range open {
		j, err := open()
		if err != nil {
			t.Fatal(err)
		}
		// What it says is not looked at again: the id tells.
		again, err := DoOnce(j, "done-00001", b.now, Done{Parts: "A5"})
		if err != nil || !again.Again || len(again.Records) != 2 || again.Records[0].ID() != done.Records[0].ID() || again.Records[1].ID() != done.Records[1].ID() {
			t.Errorf("%s: %+v, %v", name, again, err)
		}
		if s := again.Sessions(); len(s) != 1 || s[0].ID != first.Records[0].ID() || len(s[0].Parts) != 4 {
			t.Errorf("%s: sessions %+v", name, s)
		}
	}
	// Without a room for a second one it is refused, and leaves no id behind.
	var no *Refusal
	if _, err := DoOnce(b.j, "begin-0002", b.now, Begin{Build: "pilot-boat", Stage: "cut"}); !errors.As(err, &no) {
		t.Errorf("%v", err)
	}
	b.now = b.at("20:00")
	b.says("20:00", End{})
	if again, err := DoOnce(b.j, "begin-0002", b.at("19:25"), Begin{Build: "pilot-boat", Stage: "clean"}); err != nil || again.Again {
		t.Errorf("%+v, %v", again, err)
	}
	// What was taken back stays so.
	if _, err := Do(b.j, RetractAll{Records: []string{done.Records[1].ID()}}); err != nil {
		t.Fatal(err)
	}
	if again, err := DoOnce(b.j, "done-00001", b.at("19:20"), Note{Text: "dull blade"}); err != nil || !again.Again || len(b.j.State.Notes) != 0 {
		t.Errorf("%+v, %v, %v", again, err, b.j.State.Notes)
	}
}

// A clock that goes ahead by a day at most is taken: the record is found all the same.
func TestOnceOfAClockAhead(t *testing.T) {
	b := sitDown(t)
	b.now = time.Date(2026, 3, 31, 22, 0, 0, 0, time.UTC)
	ahead := b.now.Add(journal.OnceAhead)
	note := Note{Build: "lorry", Text: "late"}
	if out, err := DoOnce(b.j, "ahead-0001", ahead, note); err != nil || out.Again {
		t.Fatal(out, err)
	}
	b.now = b.now.AddDate(0, 1, 0)
	if out, err := DoOnce(b.j, "ahead-0001", ahead, note); err != nil || !out.Again {
		t.Errorf("%+v, %v", out, err)
	}
	var no *Refusal
	if _, err := DoOnce(b.j, "ahead-0002", b.now.Add(journal.OnceAhead+time.Minute), note); !errors.As(err, &no) || no.Reason != NotYet {
		t.Errorf("%v", err)
	}
	for _, id := range []string{"", "short", `no"quote"s`} {
		if _, err := DoOnce(b.j, id, b.now, note); err == nil {
			t.Errorf("%q is taken for an id", id)
		}
	}
	if len(b.j.State.Notes) != 1 {
		t.Errorf("%v", b.j.State.Notes)
	}
}

const (
	onceDir  = "RAKELIGHT_ONCE_DIR"  // the journal of the process that is killed
	onceSeed = "RAKELIGHT_ONCE_SEED" // what it sends, and on which day
	entries  = 60
	resends  = 1000
)

// TestSendsUntilKilled is no test of its own: it is the process that
// TestResendsWriteEachEntryOnce kills. It sends entries in a random order, again and
// again.
func TestSendsUntilKilled(t *testing.T) {
	dir := os.Getenv(onceDir)
	if dir == "" {
		t.Skip("run by TestResendsWriteEachEntryOnce")
	}
	seed, err := strconv.ParseUint(os.Getenv(onceSeed), 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(seed, 13))
	now := firstEntry.AddDate(0, 0, 1+8*int(seed))
	open := []func(string, func() time.Time) (*journal.Journal, error){journal.OpenAt, journal.OpenBench}[seed%2]
	j, err := open(dir, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	for {
		n := rng.IntN(entries)
		given := firstEntry.Add(time.Duration(n) * time.Minute)
		said := []Request{Note{Build: "pilot-boat", Text: fmt.Sprintf("entry %d", n), At: given}}
		if n%5 == 0 {
			said = append(said, Note{Build: "lorry", Text: fmt.Sprintf("entry %d", n), At: given})
		}
		if _, err := DoOnce(j, fmt.Sprintf("entry-%04d", n), given, said...); err != nil {
			t.Fatal(err)
		}
		fmt.Printf("\nsent %d\n", n)
	}
}

// firstEntry is when the first of the entries is given; they are sent for months.
var firstEntry = time.Date(2026, 3, 29, 19, 0, 0, 0, time.UTC)

// Sent a thousand times in any order, by processes that are killed between and within,
// each entry is there exactly once.
func TestResendsWriteEachEntryOnce(t *testing.T) {
	b := sitDown(t)
	rng := rand.New(rand.NewPCG(5, 13))
	sent := map[string]int{}
	total := 0
	for seed := 0; total < resends; seed++ {
		cmd := exec.Command(os.Args[0], "-test.run=^TestSendsUntilKilled$", "-test.v")
		cmd.Env = append(os.Environ(), onceDir+"="+b.j.Dir, onceSeed+"="+strconv.Itoa(seed))
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lives := 1 + rng.IntN(100)
		for lines := bufio.NewScanner(out); lines.Scan(); {
			if n, is := strings.CutPrefix(lines.Text(), "sent "); is {
				sent[n]++
				total++
				lives--
			}
			if lives == 0 {
				if err := cmd.Process.Kill(); err != nil {
					t.Fatal(err)
				}
			}
			if strings.HasPrefix(lines.Text(), "--- FAIL") {
				t.Error(lines.Text())
			}
		}
		if lives > 0 {
			t.Fatal("it ended by itself")
		}
		_ = cmd.Wait() // it was killed
	}
	j, err := journal.OpenAt(b.j.Dir, b.j.Now)
	if err != nil {
		t.Fatal(err)
	}
	if len(j.State.Problems) > 0 {
		t.Error(j.State.Problems)
	}
	var got, want []string
	for _, n := range j.State.Notes {
		got = append(got, n.Build+" "+n.Text)
	}
	for n := range entries {
		if sent[strconv.Itoa(n)] == 0 {
			t.Fatalf("entry %d was never sent; of %d", n, total)
		}
		want = append(want, fmt.Sprintf("pilot-boat entry %d", n))
		if n%5 == 0 {
			want = append(want, fmt.Sprintf("lorry entry %d", n))
		}
	}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("%d times sent, it is\n%v, not\n%v", total, got, want)
	}
}
