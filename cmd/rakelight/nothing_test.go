// How often a journal claims a change: where nothing changed, and where all went
// faster.

package main

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"rakelight/journal/metrics"
)

// These run as many simulated journals as the environment asks for; else few.
const (
	nothingEnv = "RAKELIGHT_NOTHING" // journals in which nothing changed
	gainsEnv   = "RAKELIGHT_GAINS"   // journals of each gain and each number of evenings
)

// Of how many evenings a build the simulated journals are.
var simulatedEvenings = []int{6, 12, 24}

// TestNothingChanged holds the first promise of all words of change: where
// nothing changed, at most one journal in twenty claims any, on all its pages and
// in all commands together.
//
// RAKELIGHT_NOTHING=400 asks as many journals; RAKELIGHT_NOTHING_KITS=0.2 makes
// the builds unlike in how hard they are, which is no change of the person.
func TestNothingChanged(t *testing.T) {
	n := asked(t, nothingEnv, 20)
	kits := 0.0
	if text := os.Getenv(nothingEnv + "_KITS"); text != "" {
		var err error
		if kits, err = strconv.ParseFloat(text, 64); err != nil {
			t.Fatal(err)
		}
	}
	all := make([][]telling, n)
	inParallel(n, func(i int) {
		p := usual(uint64(i))
		p.evenings, p.kits = simulatedEvenings[i%len(simulatedEvenings)], kits
		if i%4 == 3 {
			p.builds = 6 // enough for the control charts of mistakes
		}
		withJournal(t, p, func(dir string) (err error) {
			all[i], err = claims(dir)
			return err
		})
	})
	if t.Failed() {
		return
	}
	claiming := 0
	for _, found := range all {
		if len(found) > 0 {
			claiming++
		}
	}
	bound := metrics.FamilyLevel + 2*math.Sqrt(metrics.FamilyLevel*(1-metrics.FamilyLevel)/float64(n))
	t.Logf("%d of %d journals in which nothing changed claim a change (%.1f %%; bound %.1f %%)\n%s", claiming, n,
		100*float64(claiming)/float64(n), 100*bound, bySurface(all))
	if share := float64(claiming) / float64(n); share > bound {
		t.Errorf("a change is claimed in %.1f %% of the journals in which there is none; at most %.1f %% may be. Such as:\n%s",
			100*share, 100*bound, examples(all))
	}
}

// crowd is journals of one sort in the test of gains.
type crowd struct {
	gain     float64
	evenings int
	classes  int // of parts: 1 = all alike, 4 = mixed, also within sessions
}

// leadSays is in what share of journals the lead says that a person is faster who is so
// by a quarter or by two fifths: 100 and 30 journals each. A lead that looked at every pair of builds by
// itself said it in 0.17, 0.40 and 0.63 where parts are all alike, and 0.01, 0.06 and
// 0.09 where sessions mix classes; it also said a change in 0.14 of the journals in
// which there was none.
var leadSays = map[crowd]float64{
	{0.25, 6, 1}: 0.09, {0.25, 12, 1}: 0.15, {0.25, 24, 1}: 0.32,
	{0.25, 6, 4}: 0.02, {0.25, 12, 4}: 0.10, {0.25, 24, 4}: 0.19,
	{0.40, 24, 1}: 0.67, {0.40, 24, 4}: 0.40,
}

// TestGainIsTold is the other side of TestNothingChanged: a person who is 15, 25
// or 40 % faster in every stage of the latest build is told so by the lead of the
// page of pace, in enough of the journals.
//
// RAKELIGHT_GAINS=200 asks as many journals of each sort, else a few of the sorts
// that are held to a share.
func TestGainIsTold(t *testing.T) {
	gains, evenings := []float64{0.15, 0.25, 0.40}, simulatedEvenings
	n := asked(t, gainsEnv, 0)
	if n == 0 { // so few that only a gain which shows is looked for
		gains, evenings, n = []float64{0.40}, []int{24}, 16
	}
	var crowds []crowd
	for _, classes := range []int{1, 4} {
		for _, gain := range gains {
			for _, many := range evenings {
				crowds = append(crowds, crowd{gain, many, classes})
			}
		}
	}
	told, home := make([]bool, n*len(crowds)), make([]bool, n*len(crowds))
	inParallel(len(told), func(i int) {
		c := crowds[i/n]
		p := usual(uint64(1_000_000 + i%n)) // the same people in every crowd
		p.gain, p.evenings, p.classes = c.gain, c.evenings, c.classes
		withJournal(t, p, func(dir string) (err error) {
			told[i], home[i], err = toldFaster(dir)
			return err
		})
	})
	if t.Failed() {
		return
	}
	var table strings.Builder
	table.WriteString("classes  gain  evenings a build  lead says faster  first page says so\n")
	for i, c := range crowds {
		share := shareOf(told[i*n : (i+1)*n])
		fmt.Fprintf(&table, "%7d  %3.0f %%  %16d  %14.1f %%  %16.1f %%\n", c.classes, 100*c.gain, c.evenings, 100*share,
			100*shareOf(home[i*n:(i+1)*n]))
		want := 0.8 * leadSays[c]
		if least := want - 2*math.Sqrt(want*(1-want)/float64(n)); share < least {
			t.Errorf("%.0f %% faster, %d evenings a build, %s: told in %.1f %% of the journals, want %.1f %% or more",
				100*c.gain, c.evenings, metrics.Count(c.classes, "class"), 100*share, 100*least)
		}
	}
	t.Logf("%d journals each\n%s", n, &table)
}

// faster is what a lead or a sentence says of a gain of speed.
var faster = regexp.MustCompile(`(?i)\b(faster|quicker|less time|more an hour|times (its|the) speed|takes? .* % off)\b`)

// toldFaster asks the pages whether a lead, and whether the first page, tells of a
// gain of speed.
func toldFaster(dir string) (lead, home bool, err error) {
	if _, err := answerOf(dir, "write"); err != nil {
		return false, false, err
	}
	first, err := leads(dir)
	if err != nil {
		return false, false, err
	}
	says := func(one telling) bool { return faster.MatchString(one.words) && !strings.Contains(one.words, "slower") }
	data, err := os.ReadFile(filepath.Join(dir, "pages", "index.html"))
	if err != nil {
		return false, false, err
	}
	for _, line := range linesOf("index.html", data) {
		home = home || slices.ContainsFunc(line.claims(), says)
	}
	return slices.ContainsFunc(first, says), home, nil
}

// asked is how many journals the environment asks for.
func asked(t *testing.T, env string, usually int) int {
	text := os.Getenv(env)
	if text == "" {
		return usually
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("%s=%q is not a number of journals", env, text)
	}
	return n
}

// inParallel does the works 0 to n-1 on all cores.
func inParallel(n int, do func(i int)) {
	var group sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	group.Wait()
}

// withJournal simulates a person's journal, asks it, and removes it, so that four
// hundred do not lie on the disk at once.
func withJournal(t *testing.T, p person, ask func(dir string) error) {
	dir, err := os.MkdirTemp("", "rakelight-simulated-")
	if err != nil {
		t.Error(err)
		return
	}
	defer os.RemoveAll(dir)
	journal := filepath.Join(dir, "journal")
	if err := simulate(journal, p); err != nil {
		t.Errorf("person %d: %v", p.seed, err)
	} else if err := ask(journal); err != nil {
		t.Errorf("person %d: %v", p.seed, err)
	}
}

func shareOf(all []bool) float64 {
	n := 0
	for _, one := range all {
		if one {
			n++
		}
	}
	return float64(n) / float64(len(all))
}

// bySurface is a table of the journals that claim something, by where they do.
func bySurface(all [][]telling) string {
	journals := map[string]int{}
	for _, found := range all {
		seen := map[string]bool{}
		for _, one := range found {
			seen[one.surface] = true
			if strings.HasPrefix(one.surface, "rakelight ") {
				seen["all commands"] = true
			} else if one.surface != "values" {
				seen["all pages"] = true
			}
		}
		for surface := range seen {
			journals[surface]++
		}
	}
	var table strings.Builder
	for _, surface := range slices.Sorted(maps.Keys(journals)) {
		fmt.Fprintf(&table, "%-18s %5d journals %6.1f %%\n", surface, journals[surface],
			100*float64(journals[surface])/float64(len(all)))
	}
	return table.String()
}

// examples are the first claims of the first few journals that claim any.
func examples(all [][]telling) string {
	var out strings.Builder
	shown := 0
	for i, found := range all {
		if len(found) == 0 || shown == 5 {
			continue
		}
		shown++
		fmt.Fprintf(&out, "person %d, %d claims\n", i, len(found))
		seen := map[string]bool{} // one of each surface
		for _, one := range found {
			if !seen[one.surface] {
				fmt.Fprintf(&out, "  %v\n", one)
			}
			seen[one.surface] = true
		}
	}
	return out.String()
}
