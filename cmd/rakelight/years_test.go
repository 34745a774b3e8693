// A benchmark of commands on journals of many years, each as a process of its own.

package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/cmd/rakelight/demo"
	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/reason"
	"rakelight/media/card"
	"rakelight/media/card/shot"
	"rakelight/media/scene"
)

var (
	yearsPhotos = flag.String("years-photos", "600", "sizes of the journals of BenchmarkYears, in photos")
	yearsDir    = flag.String("years-journal", "", "a journal to measure, and to write to, in place of one that is made")
)

var eveningPhotos = flag.Int("evening-photos", 1000, "photos of an evening in BenchmarkYearsEvening")

// yearsJournal is a journal of sixty builds over twenty years.
func yearsJournal(b *testing.B, photos int) string {
	b.Helper()
	if *yearsDir != "" {
		return *yearsDir
	}
	dir := filepath.Join(b.TempDir(), "journal")
	size := demo.Size{Years: 20, Builds: 60, Photos: photos}
	if err := demo.Years(context.Background(), dir, size, func(int, int, string) {}); err != nil {
		b.Fatal(err)
	}
	return dir
}

func sizesOfYears(b *testing.B) []int {
	b.Helper()
	var sizes []int
	for _, one := range strings.Split(*yearsPhotos, ",") {
		n, err := strconv.Atoi(one)
		if err != nil {
			b.Fatal(err)
		}
		sizes = append(sizes, n)
	}
	return sizes
}

// BenchmarkYears reports the time of the processor, user's and system's, that an
// evening's commands take as processes: the median over the rounds, in milliseconds.
func BenchmarkYears(b *testing.B) {
	for _, photos := range sizesOfYears(b) {
		b.Run(fmt.Sprint(photos), func(b *testing.B) {
			dir := yearsJournal(b, photos)
			b.Setenv(marksEnv, filepath.Join(b.TempDir(), "marks"))
			j, err := journal.Open(dir)
			if err != nil {
				b.Fatal(err)
			}
			photo := j.State.Photos[len(j.State.Photos)/3].Short()
			j = nil
			last := "lightship-60"
			rounds := [][]string{{"on", last, "seam"}, {"done", "0"}, {"status"}, {"why", photo},
				{"tag", photo, "--role", "progress"}, {"off"}, {"pace"}, {"skill"}, {"forecast"}, {"check", "--quick"}}
			runCommand(b, dir, "status") // the index is written
			took := map[string][]float64{}
			for b.Loop() {
				for _, args := range rounds {
					took[args[0]] = append(took[args[0]], runCommand(b, dir, args...))
				}
			}
			for name, all := range took {
				slices.Sort(all)
				b.ReportMetric(all[len(all)/2], name+"-ms")
			}
		})
	}
}

// BenchmarkYearsWrite reports what writing the pages takes as a process: all of them
// without work on pictures, and when nothing changed; in milliseconds of the
// processor.
func BenchmarkYearsWrite(b *testing.B) {
	for _, photos := range sizesOfYears(b) {
		b.Run(fmt.Sprint(photos), func(b *testing.B) {
			dir := yearsJournal(b, photos)
			b.Setenv(marksEnv, filepath.Join(b.TempDir(), "marks"))
			runCommand(b, dir, "write") // with the pictures
			took := map[string][]float64{}
			for b.Loop() {
				took["nothing"] = append(took["nothing"], runCommand(b, dir, "write"))
				removePages(b, dir)
				took["all"] = append(took["all"], runCommand(b, dir, "write"))
			}
			for name, all := range took {
				slices.Sort(all)
				b.ReportMetric(all[len(all)/2], name+"-ms")
			}
		})
	}
}

// removePages takes all pages away, but no web size of a photo.
func removePages(b *testing.B, dir string) {
	b.Helper()
	for _, pattern := range []string{"*.html", "*/*.html", "data/*.js", "../.cache/pages.json"} {
		names, err := filepath.Glob(filepath.Join(dir, "pages", filepath.FromSlash(pattern)))
		if err != nil {
			b.Fatal(err)
		}
		for _, name := range names {
			if err := os.Remove(name); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// runCommand runs a command as a process, and is the milliseconds of the processor
// that it took.
func runCommand(b *testing.B, dir string, args ...string) float64 {
	b.Helper()
	self, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	cmd := exec.Command(self, args...)
	cmd.Args[0], cmd.Dir = "rakelight", dir
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%v: %v\n%s", args, err, out)
	}
	took := cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	return float64(took.Microseconds()) / 1000
}

// BenchmarkYearsAppend reports what one photo and one count cost a process that has
// the journal open.
func BenchmarkYearsAppend(b *testing.B) {
	for _, photos := range sizesOfYears(b) {
		dir := yearsJournal(b, photos)
		b.Run(fmt.Sprintf("photo/%d", photos), func(b *testing.B) {
			j := openYears(b, dir)
			for n := 0; b.Loop(); n++ {
				at := time.Now()
				hash := fmt.Sprintf("%032x%032x", at.UnixNano(), n)
				if _, err := j.Append(journal.PhotoBody{Hash: hash, Path: "photos/" + hash + ".jpg", Name: "a.jpg",
					Instant: journal.Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal",
						Offset: journal.StatedOffset}, Tags: journal.Tags{Build: "lightship-60"},
					Why: reason.Whys{"build": {By: reason.Folder, Name: "lightship-60"}}}); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("count/%d", photos), func(b *testing.B) {
			j := openYears(b, dir)
			if _, err := entry.Do(j, entry.Begin{Build: "lightship-60", Stage: "seam"}); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				if _, err := entry.Do(j, entry.Done{Parts: "0"}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkYearsTaps reports what each thing said at the bench costs in a process that
// has the journal open, as a tap on a served page: looked at, written down, and held
// against what was before. Medians over the rounds, milliseconds of wall time; the
// first correction and retraction, which read more, are told alone.
func BenchmarkYearsTaps(b *testing.B) {
	for _, photos := range sizesOfYears(b) {
		b.Run(fmt.Sprint(photos), func(b *testing.B) {
			dir := yearsJournal(b, photos)
			now := time.Now()
			j, err := journal.OpenAt(dir, func() time.Time { return now })
			if err != nil {
				b.Fatal(err)
			}
			photo := j.State.Photos[len(j.State.Photos)/3].Short()
			old := j.State.Sessions[len(j.State.Sessions)/3].ID
			took := map[string][]float64{}
			tap := func(name string, r entry.Request) string {
				now = now.Add(time.Minute)
				start := time.Now()
				if _, _, err := entry.Preview(j, r); err != nil {
					b.Fatalf("%s: %v", name, err)
				}
				took["see-"+name] = append(took["see-"+name], time.Since(start).Seconds()*1000)
				start = time.Now()
				out, err := entry.Do(j, r)
				if err != nil {
					b.Fatalf("%s: %v", name, err)
				}
				took[name] = append(took[name], time.Since(start).Seconds()*1000)
				return out.Records[0].ID()
			}
			last, words := "lightship-60", "peg cut"
			for b.Loop() {
				id := tap("begin", entry.Begin{Build: last, Stage: "seam"})
				tap("break", entry.Break{})
				tap("break", entry.Break{})
				tap("done", entry.Done{Parts: "0"})
				note := tap("note", entry.Note{Text: words})
				tap("mistake", entry.Mistake{Build: last, Kind: "gouge", Stage: "seam"})
				tap("tag", entry.Tag{Photos: []string{photo}, Role: "progress"})
				tap("end", entry.End{})
				tap("correct", entry.Correct{Session: id, Note: &words})
				tap("correct-old", entry.Correct{Session: old, Note: &words})
				tap("retract", entry.RetractAll{Records: []string{note}})
				now = now.Add(24 * time.Hour)
			}
			for name, all := range took {
				if name == "retract" || name == "see-retract" || name == "correct-old" || name == "see-correct-old" {
					b.ReportMetric(all[0], name+"-first-ms")
				}
				slices.Sort(all)
				b.ReportMetric(all[len(all)/2], name+"-ms")
			}
			b.ReportMetric(0, "ns/op")
		})
	}
}

// BenchmarkYearsCards reports what the photos of an evening by bench cards cost a
// process that has the journal open, each as it comes: one card to begin, photos of
// the work, one card with a count among ten of them, one to end. Milliseconds of wall
// time a photo, without reading the picture.
func BenchmarkYearsCards(b *testing.B) {
	for _, photos := range sizesOfYears(b) {
		b.Run(fmt.Sprint(photos), func(b *testing.B) {
			now := time.Now()
			j, err := journal.OpenAt(yearsJournal(b, photos), func() time.Time { return now })
			if err != nil {
				b.Fatal(err)
			}
			n := 0
			take := func(cards ...journal.Card) {
				n++
				now = now.Add(2 * time.Minute)
				hash := fmt.Sprintf("%x", sha256.Sum256([]byte(fmt.Sprint(now, n))))
				body := journal.PhotoBody{Hash: hash, Path: "photos/" + hash + ".jpg", Name: "a.jpg", Width: 800, Height: 600,
					Instant: journal.Instant{At: now, Wall: now.Format(time.DateTime), Source: "DateTimeOriginal",
						Offset: journal.StatedOffset}}
				for _, c := range cards {
					text, err := c.Text()
					if err != nil {
						b.Fatal(err)
					}
					body.Cards = append(body.Cards, journal.CardSeen{Text: text})
				}
				if _, err := j.Append(body); err != nil {
					b.Fatal(err)
				}
			}
			const evening = 40
			took := 0
			for b.Loop() {
				take(journal.Card{Says: journal.BeginCard, Build: journal.BuildKey("lightship-60"), Stage: journal.StageKey("seam")})
				for i := range evening - 2 {
					if i%10 == 5 {
						take(journal.Card{Says: journal.CountCard, Count: 1})
						continue
					}
					take()
				}
				take(journal.Card{Says: journal.EndCard})
				took += evening
				now = now.Add(22 * time.Hour)
			}
			b.ReportMetric(b.Elapsed().Seconds()*1000/float64(took), "ms/photo")
			if last := j.State.Sessions[len(j.State.Sessions)-1]; !last.Cards || last.Bare != 4 || last.Open {
				b.Fatalf("%+v", last)
			}
		})
	}
}

// BenchmarkYearsEvening reports what taking in an evening of a thousand photos costs as
// a process, from the inbox to the records: by cards, one to begin, a count every
// twenty photos and one to end; and as many without a card. Milliseconds of the
// processor a photo.
func BenchmarkYearsEvening(b *testing.B) {
	evening := *eveningPhotos
	for _, photos := range sizesOfYears(b) {
		dir := yearsJournal(b, photos)
		b.Setenv(marksEnv, filepath.Join(b.TempDir(), "marks"))
		runCommand(b, dir, "status")
		day := 0
		for _, what := range []string{"plain", "cards"} {
			b.Run(fmt.Sprintf("%s/%d", what, photos), func(b *testing.B) {
				took := 0.0
				for n := 0; b.Loop(); n++ {
					b.StopTimer()
					day++
					dropEvening(b, dir, time.Now().AddDate(0, 0, day-60), evening, what == "cards")
					b.StartTimer()
					took += runCommand(b, dir, "take")
				}
				b.ReportMetric(took/float64(b.N*evening), "cpu-ms/photo")
				j := openYears(b, dir)
				byCards := 0
				for _, one := range j.State.Sessions {
					if one.Cards && one.Build == "lightship-60" && one.Bare > 1 {
						byCards++
					}
				}
				if got := len(j.State.Photos); got != photos+day*evening || (byCards > 0) != (what == "cards") {
					b.Fatalf("%d photos, %d sessions by cards", got, byCards)
				}
			})
		}
	}
}

// dropEvening puts small photos into the inbox, a quarter of a minute apart.
func dropEvening(b *testing.B, dir string, from time.Time, photos int, cards bool) {
	b.Helper()
	for i := range photos {
		s := shot.Shot{Width: 640, Height: 480, Seed: uint64(from.Unix()) + uint64(i)}
		c := journal.Card{Says: journal.CountCard, Count: 1}
		switch i {
		case 0:
			c = journal.Card{Says: journal.BeginCard, Build: journal.BuildKey("lightship-60"), Stage: journal.StageKey("seam")}
		case photos - 1:
			c = journal.Card{Says: journal.EndCard}
		}
		if cards && (i%20 == 0 || i == photos-1) {
			s.Cards = []shot.Placed{{Face: card.Face{Card: c, Words: c.String()}, Share: 0.5, X: 0.5, Y: 0.5, Turn: 0.1}}
		}
		img, err := s.Draw()
		if err != nil {
			b.Fatal(err)
		}
		var data bytes.Buffer
		at := from.Add(time.Duration(i) * 15 * time.Second)
		if err := scene.WriteJPEG(&data, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: at, Offset: "+00:00"}); err != nil {
			b.Fatal(err)
		}
		name := filepath.Join(dir, "inbox", fmt.Sprintf("e%d-%d.jpg", from.Unix(), i))
		if err := os.WriteFile(name, data.Bytes(), 0o644); err != nil {
			b.Fatal(err)
		}
	}
}

func openYears(b *testing.B, dir string) *journal.Journal {
	b.Helper()
	j, err := journal.Open(dir)
	if err != nil {
		b.Fatal(err)
	}
	return j
}

// The journal of many years is one that a person could have kept: nothing in it is
// remarked on but what its story has, and check finds every photo.
func TestYearsAreWhole(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "journal")
	size := demo.Size{Years: 3, Builds: 5, Photos: 40}
	if err := demo.Years(context.Background(), dir, size, func(int, int, string) {}); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	s := j.State
	if len(s.Builds) != size.Builds || len(s.Photos) != size.Photos || len(s.Sessions) < 100 || len(s.Problems) > 0 ||
		len(s.Over()) > 0 || len(s.Overlaps()) > 0 {
		t.Errorf("%d builds, %d photos, %d sessions, problems %v, over %v, overlaps %v", len(s.Builds), len(s.Photos),
			len(s.Sessions), s.Problems, s.Over(), s.Overlaps())
	}
	for _, f := range j.Check(true) {
		t.Errorf("%+v", f)
	}
}

// The photos of that journal lie where the first take would put them: else it would
// move some, and writing after it would be as much as for all of them.
func TestYearsPlaceTheirPhotos(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "bench")
	size := demo.Size{Years: 2, Builds: 3, Photos: 200}
	if err := demo.Years(context.Background(), dir, size, func(int, int, string) {}); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	stray := 0
	for _, p := range j.State.Photos {
		is, _, _ := j.State.Tag(journal.WordsOf(p.Folder, p.Words), p.Instant)
		if is.Build != p.Tags.Build || is.Stage != p.Tags.Stage {
			t.Errorf("%s of %s is of %s/%s, and would be of %s/%s", p.Short(), p.Instant.At, p.Tags.Build, p.Tags.Stage,
				is.Build, is.Stage)
		}
		if p.Tags.Build == "" {
			stray++
		}
	}
	if stray < 2 {
		t.Errorf("only %d photos belong nowhere", stray)
	}
}
