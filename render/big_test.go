// A drawn journal of any size, to see how writing it grows: 60 builds over
// twenty years, with sessions, marks, pairs, mistakes and a diary.

package render

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

var (
	bigKinds  = []string{"cut", "clean", "assemble", "seam", "prime", "paint", "decal", "weather"}
	bigModels = []string{"Pilot boat", "Field-kitchen lorry", "Mail seaplane", "Lightship"}
	bigDays   = 20 * 365
)

// bigJournal makes a journal of so many builds and photos in dir. The web sizes
// of the photos are files of one byte, so that no picture is worked on.
func bigJournal(tb testing.TB, builds, photos int) *journal.Journal {
	tb.Helper()
	dir := filepath.Join(tb.TempDir(), "bench")
	first := time.Date(2006, 1, 7, 19, 30, 0, 0, time.UTC)
	ok := func(err error) {
		tb.Helper()
		if err != nil {
			tb.Fatal(err)
		}
	}
	ok(journal.Create(dir, "Twenty years", "Europe/Lisbon", first))
	j, err := journal.Open(dir)
	ok(err)
	rng := rand.New(rand.NewPCG(20, 60))
	var all []journal.Body
	perBuild, sessions := photos/builds, max(50, photos/builds/2)
	var shown [][]string // hashes, by build
	for i := range builds {
		id := fmt.Sprintf("build-%02d", i)
		begin := first.AddDate(0, 0, i*bigDays/builds)
		span := bigDays / builds * 9 / 10
		text := fmt.Sprintf("---\ntitle: %s %d\nscale: 1/48\nstarted: %s\n", bigModels[i%len(bigModels)], 1+i/len(bigModels), begin.Format(time.DateOnly))
		if i < builds-2 {
			text += "finished: " + begin.AddDate(0, 0, span).Format(time.DateOnly) + "\n"
		}
		text += "runners:\n  - {letter: A, parts: 60, class: flat}\n  - {letter: B, parts: 40, class: small}\nstages: [cut, clean, assemble, seam, prime, paint, decal, weather]\n---\nThe idea of this one.\n"
		ok(os.MkdirAll(filepath.Join(dir, "builds", id, "diary"), 0o755))
		ok(os.WriteFile(filepath.Join(dir, "builds", id, "build.md"), []byte(text), 0o644))
		at := func(n, of int) time.Time {
			return begin.AddDate(0, 0, span*n/of).Add(time.Duration(rng.IntN(90)) * time.Minute)
		}
		for n := range sessions {
			kind := bigKinds[n*len(bigKinds)/sessions]
			minutes := 30 + rng.IntN(70)
			all = append(all, journal.WorkBody{Build: id, Stage: kind, Kind: kind, Class: []string{"flat", "small"}[n%2], Start: at(n, sessions),
				Date: at(n, sessions).Format(time.DateOnly), Minutes: float64(minutes), Known: journal.Measured,
				Count: minutes * (8 + i/8 + rng.IntN(4)) / 60, Counted: true})
		}
		hashes := []string{}
		for n := range perBuild {
			sum := fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, id, n)))
			kind := bigKinds[n*len(bigKinds)/perBuild]
			role := []string{"before", "progress", "after"}[n*len(bigKinds)*3/perBuild%3]
			when := at(n, perBuild)
			all = append(all, journal.PhotoBody{Hash: sum, Path: "photos/" + sum[:8] + ".jpg", Name: "a.jpg", Format: "jpeg", Width: 4000, Height: 3000,
				Instant: journal.Instant{At: when, Source: "DateTimeOriginal"},
				Tags:    journal.Tags{Build: id, Stage: kind, Role: role, View: "three-quarter", Light: "raking"}})
			hashes = append(hashes, sum)
			if n%max(1, perBuild/10) == 0 {
				ok(os.WriteFile(filepath.Join(dir, "builds", id, "diary", when.Format(time.DateOnly)+".md"),
					[]byte("# An evening\n\nThe seam shows under the low lamp.\n\n![The seam]("+sum[:8]+")\n"), 0o644))
			}
			if role == "after" && n%max(1, perBuild/30) == 0 {
				for _, c := range []int{1, 3, 4, 7} {
					score := min(journal.TopScore, i/20+rng.IntN(3))
					all = append(all, journal.MarkBody{Photo: sum, Criterion: c, Score: &score, Rubric: journal.Rubric})
				}
			}
		}
		shown = append(shown, hashes)
		for n := range 4 {
			all = append(all, journal.MistakeBody{Build: id, Stage: "clean", Kind: []string{"gouge", "lost part"}[n%2], Minutes: 10, At: at(n, 4)})
		}
		for range 30 {
			if i == 0 || perBuild == 0 {
				break
			}
			left, right := shown[i][rng.IntN(perBuild)], shown[rng.IntN(i)][rng.IntN(perBuild)]
			all = append(all, journal.VerdictBody{Left: left, Right: right, Criterion: []int{1, 3, 4, 7}[rng.IntN(4)], Outcome: journal.Outcomes[rng.IntN(len(journal.Outcomes))]})
		}
	}
	_, err = j.AppendAll(all)
	ok(err)
	ok(j.Reload())
	o := output{dir: j.Path("pages")}
	ok(os.MkdirAll(o.path("photos"), 0o755))
	names := originalsOf(j.State).sizeFiles(nil)
	for _, name := range names {
		ok(os.WriteFile(o.path(name), []byte{0}, 0o644))
	}
	ok(o.keepList(names))
	return j
}

const bigBuilds = 60

// bigPhotos is how many photos the benchmarks draw: RAKELIGHT_BIG=20000, or 2,000.
func bigPhotos() int {
	if n, err := strconv.Atoi(os.Getenv("RAKELIGHT_BIG")); err == nil {
		return n
	}
	return 2000
}

// BenchmarkWrite writes a big journal's pages: all of them, when nothing
// changed, and when one photo came. No picture is worked on, and the journal's
// state is read before.
func BenchmarkWrite(b *testing.B) {
	j := bigJournal(b, bigBuilds, bigPhotos())
	w := NewWriter(j)
	write := func(b *testing.B, w *Writer) Report {
		b.Helper()
		r, err := w.Write(b.Context(), j.State, Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(r.Made), "made")
		b.ReportMetric(float64(r.Changed), "changed")
		b.ReportMetric(float64(len((&output{dir: j.Path("pages")}).list())), "files")
		return r
	}
	b.Run("full", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			clearPages(b, j)
			w = NewWriter(j)
			b.StartTimer()
			write(b, w)
		}
	})
	b.Run("nothing", func(b *testing.B) {
		for b.Loop() {
			if r := write(b, NewWriter(j)); r.Changed > 0 {
				b.Fatalf("%d files changed", r.Changed)
			}
		}
	})
	b.Run("photo", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			addPhoto(b, j)
			b.StartTimer()
			write(b, w)
		}
	})
}

// clearPages takes all pages away, but no web size of a photo.
func clearPages(tb testing.TB, j *journal.Journal) {
	tb.Helper()
	o := output{dir: j.Path("pages")}
	var keep []string
	for _, name := range o.list() {
		if strings.HasPrefix(name, "photos/") {
			keep = append(keep, name)
		} else if err := os.Remove(o.path(name)); err != nil {
			tb.Fatal(err)
		}
	}
	if err := o.keepList(keep); err != nil {
		tb.Fatal(err)
	}
	_ = os.Remove(j.Path(manifestFile))
}

// addPhoto takes a photo of the latest build in, a minute after the last one.
func addPhoto(tb testing.TB, j *journal.Journal) {
	tb.Helper()
	last := j.State.Photos[len(j.State.Photos)-1]
	sum := fmt.Sprintf("%x", sha256.Sum256([]byte(last.Hash)))
	_, err := j.Append(journal.PhotoBody{Hash: sum, Path: "photos/" + sum[:8] + ".jpg", Name: "a.jpg", Format: "jpeg", Width: 4000, Height: 3000,
		Instant: journal.Instant{At: last.Instant.At.Add(time.Minute), Source: "DateTimeOriginal"}, Tags: last.Tags})
	if err != nil {
		tb.Fatal(err)
	}
	o := output{dir: j.Path("pages")}
	for _, width := range widths {
		name := sizeName(sum[:8], width)
		if err := errors.Join(os.WriteFile(o.path(name), []byte{0}, 0o644), o.addToList(name)); err != nil {
			tb.Fatal(err)
		}
	}
}
