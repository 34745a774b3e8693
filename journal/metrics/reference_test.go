// Reading the published tables, and the work the tests share.

package metrics

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
)

// table reads a reference table as rows by column name. A missing or empty
// table fails the test: a check against nothing is no check.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	var rows []map[string]string
	for _, rec := range all[1:] {
		row := map[string]string{}
		for i, v := range rec {
			row[all[0][i]] = v
		}
		rows = append(rows, row)
	}
	return rows
}

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g, want %.10g ± %g", what, got, want, tol)
	}
}

// clean is one measured clean-up session.
func clean(build, session, class string, parts, hours float64) Work {
	return Work{Session: session, Build: build, Kind: "clean", Class: class, Finish: "painted",
		Week: "2026-W07", Hours: hours, Parts: parts, Counted: true, Known: Measured}
}

// lorryAndSeaplane is the example in which the mix hides the progress: both
// classes are quicker on the seaplane and the raw pace is lower.
func lorryAndSeaplane() (lorry, seaplane []Work) {
	return []Work{clean("lorry", "l1", "flat", 60, 3), clean("lorry", "l2", "curved", 20, 2)},
		[]Work{clean("seaplane", "s1", "flat", 20, 0.8), clean("seaplane", "s2", "curved", 60, 5)}
}

// evenings draws n sessions in each of the given cells, at a pace of perHour
// times the cell's own difficulty.
func evenings(rng *rand.Rand, build string, n int, perHour float64, cells ...string) []Work {
	var ws []Work
	for c, class := range cells {
		for i := range n {
			h := 0.5 + 2*rng.Float64()
			p := math.Round(h * perHour / float64(c+1) * math.Exp(0.3*rng.NormFloat64()))
			ws = append(ws, clean(build, fmt.Sprintf("%s-%s-%05d", build, class, i), class, p, h))
		}
	}
	return ws
}

func shuffled(ws []Work, seed uint64) []Work {
	out := slices.Clone(ws)
	rng := rand.New(rand.NewPCG(seed, 1))
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}
