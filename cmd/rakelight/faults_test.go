// A disk that fails: every call that changes a journal fails once, one after
// another, for each command that says something. What a command called done is
// there; what it called not done is not, and can be said again.

package main

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/disk/mishap"
	"rakelight/journal/record"
	"rakelight/media/scene"
)

// faultsBegin is when the story of the failing disks begins.
var faultsBegin = time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)

// errand is one command of a story, said so long after its beginning.
type errand struct {
	after time.Duration
	args  string // words; SESSION and NOTE stand for the ids of the first ones
}

// story says each thing that a command can say once, in an order that holds.
var story = []errand{
	{0, "on pilot-boat clean"},
	{5, "done A1-A3"},
	{6, "break"},
	{9, "break"},
	{10, "tool glass-file"},
	{12, "note peg-cut-on-the-left --part A2"},
	{30, "off"},
	{40, "take"},
	{41, "tag b.jpg lorry cut --role before"},
	{42, "date c.jpg 14_March_2026_19:30 --yes"},
	{43, "clock tarrow-t-24 --fast 1m --yes"},
	{44, "mark a.jpg 4 3"},
	{45, "mistake pilot-boat gouge --stage clean --parts A2"},
	{46, "trial begin glass-file --build pilot-boat"},
	{47, "worked lorry clean 14_March_17:00_to_17:30 --parts A1"},
	{48, "correct SESSION --add A4"},
	{49, "reopen pilot-boat A2 --why seam"},
	{50, "retract NOTE"},
	{51, "pause pilot-boat --why wire"},
	{52, "resume pilot-boat"},
	{53, "day The_seam_is_gone. --build pilot-boat"},
	{54, "build seaplane --runner A:9:flat --stages clean"},
	{55, "finish lorry"},
	{56, "write"},
	{57, "runners A5 missing --build pilot-boat"},
	{58, "sub cab A6-A8 --build pilot-boat"},
	{59, "hold curing cab --of filler --takes 24h --build pilot-boat"},
	{60, "prep A2 store tub_4 --build pilot-boat"},
	{61, "hands blister left_thumb --build pilot-boat"},
	{62, "release cab --build pilot-boat"},
	{63, "mix pilot-boat hull_red --recipe 3_red,_1_brown --parts A2"},
	{64, "addition pilot-boat brass_wire --where along_the_deck"},
	{65, "sanding pilot-boat A2 --remove nub --surface curved --finish primed"},
	{66, "supplies pilot-boat --add thin_tape"},
	{67, "supplies pilot-boat --ordered tape"},
}

// heard is a journal in a folder, with what is said to it.
type heard struct {
	t   *testing.T
	dir string
}

// say runs a command so many minutes after the story began.
func (h heard) say(after time.Duration, words string) (code int, told string) {
	h.t.Helper()
	args := []string{"--journal", h.dir}
	for _, word := range strings.Fields(words) {
		if word == "SESSION" || word == "NOTE" {
			word = h.first(map[string]string{"SESSION": "begin", "NOTE": "note"}[word])
		}
		args = append(args, strings.ReplaceAll(word, "_", " "))
	}
	at := faultsBegin.Add(after * time.Minute)
	var out bytes.Buffer
	code = run(h.t.Context(), args, &out, &out, func() time.Time { return at })
	return code, out.String()
}

// first is the id of the first record of a kind.
func (h heard) first(kind string) string {
	h.t.Helper()
	for _, r := range h.book() {
		if r.Kind == kind {
			return r.ID()
		}
	}
	h.t.Fatalf("nothing of kind %s was said", kind)
	return ""
}

// book are all records, in their order.
func (h heard) book() []record.Record {
	h.t.Helper()
	b := record.Book{Dir: h.dir}
	if err := b.Read(); err != nil {
		h.t.Fatal(err)
	}
	slices.SortFunc(b.Records, record.Compare)
	return b.Records
}

// must is say for what has to be done.
func (h heard) must(after time.Duration, words string) {
	h.t.Helper()
	if code, told := h.say(after, words); code != exitDone {
		h.t.Fatalf("%s: %d\n%s", words, code, told)
	}
}

// copied is a copy of the journal.
func (h heard) copied() heard {
	h.t.Helper()
	to := filepath.Join(h.t.TempDir(), "bench")
	if err := os.CopyFS(to, os.DirFS(h.dir)); err != nil {
		h.t.Fatal(err)
	}
	_ = filepath.WalkDir(h.dir, func(path string, _ fs.DirEntry, err error) error { // CopyFS keeps no times
		if info, statErr := os.Stat(path); err == nil && statErr == nil {
			_ = os.Chtimes(to+strings.TrimPrefix(path, h.dir), info.ModTime(), info.ModTime())
		}
		return nil
	})
	return heard{h.t, to}
}

// records are the bodies of what was said, in their order.
func (h heard) records() (list []string) {
	h.t.Helper()
	for _, r := range h.book() {
		list = append(list, h.nameless(fmt.Sprintf("%s %s %s", r.At.Format(time.RFC3339), r.Kind, r.Body)))
	}
	return list
}

// nameless puts the place of each record for its id: devices get their names by
// lot, and a line that was cut off keeps its number.
func (h heard) nameless(text string) string {
	h.t.Helper()
	var names []string
	for i, r := range h.book() {
		names = append(names, r.ID()+"\"", fmt.Sprintf("#%d\"", i+1), r.ID()+"<", fmt.Sprintf("#%d<", i+1),
			r.ID()+" ", fmt.Sprintf("#%d ", i+1))
	}
	return feedIDs.ReplaceAllString(strings.NewReplacer(names...).Replace(text), "urn:uuid:")
}

// feedIDs are made of the name of a device.
var feedIDs = regexp.MustCompile(`urn:uuid:[0-9a-f-]+`)

// holds is everything a person has in the journal: files by path with their
// bytes, and the records.
func (h heard) holds() map[string]string {
	h.t.Helper()
	all := map[string]string{"records": strings.Join(h.records(), "\n")}
	err := filepath.WalkDir(h.dir, func(path string, d fs.DirEntry, err error) error {
		rel, relErr := filepath.Rel(h.dir, path)
		if err != nil || relErr != nil {
			return errors.Join(err, relErr)
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if rel == "records" || rel == ".cache" || rel == "marks" {
				return fs.SkipDir
			}
			return nil
		}
		data, err := os.ReadFile(path)
		switch {
		case strings.HasPrefix(rel, "photos/") || strings.HasSuffix(rel, ".jpg"):
			all[rel] = fmt.Sprintf("%d bytes, %x", len(data), sha256.Sum256(data))
		default:
			all[rel] = h.nameless(string(data))
		}
		return err
	})
	if err != nil {
		h.t.Fatal(err)
	}
	return all
}

// settle does what a person does after a fault: takes in again, writes, and
// looks the journal over, an hour later. Half-written files are made older,
// since those of the last hour may still be somebody's.
func (h heard) settle(fault string) {
	h.t.Helper()
	old := time.Now().Add(-2 * time.Hour)
	_ = filepath.WalkDir(h.dir, func(path string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".tmp") {
			_ = os.Chtimes(path, old, old)
		}
		return nil
	})
	for _, words := range []string{"note the-end --build pilot-boat", "take", "write", "check"} {
		code, told := h.say(120, words)
		if words == "check" && code == exitFailed && cutOff.MatchString(told) {
			continue // reported, and said again
		}
		if code != exitDone {
			h.t.Errorf("after %s: %s: %d\n%s", fault, words, code, told)
		}
	}
}

// keptIn leaves of records which files they say are kept, and of what kind the
// others are.
func keptIn(records string) string {
	var lines []string
	for line := range strings.Lines(records) {
		kind := strings.Fields(line)[1]
		if hash := keptHash.FindStringSubmatch(line); hash != nil {
			kind = "file " + hash[1]
		}
		lines = append(lines, kind)
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

var keptHash = regexp.MustCompile(`"hash":"([0-9a-f]+)"`)

// cutOff is what check says of a line that a command could not write to its end,
// and of nothing else.
var cutOff = regexp.MustCompile(`^(?:what is written by hand [^\n]*\n)?damage  records/[^\n]*: the line is cut off or is no record\nrakelight: 1 damage found, [^\n]*\n$`)

// same fails unless two journals hold the same.
func same(t *testing.T, fault string, got, want map[string]string) {
	t.Helper()
	for _, path := range slices.Sorted(maps.Keys(want)) {
		if have, ok := got[path]; !ok {
			t.Errorf("after %s: %s is missing", fault, path)
		} else if have != want[path] {
			a, b := strings.Split(have, "\n"), strings.Split(want[path], "\n")
			i := 0
			for i < min(len(a), len(b))-1 && a[i] == b[i] {
				i++
			}
			t.Errorf("after %s: %s, %d lines, line %d is\n%.600s\nnot one of %d\n%.600s", fault, path, len(a), i+1, a[i], len(b), b[i])
		}
	}
	for _, path := range slices.Sorted(maps.Keys(got)) {
		if _, ok := want[path]; !ok {
			t.Errorf("after %s: %s is there", fault, path)
		}
	}
}

// faultsBench is a journal with two builds, a runner each, and nothing said.
func faultsBench(t *testing.T) heard {
	t.Helper()
	h := heard{t, filepath.Join(t.TempDir(), "bench")}
	h.must(-30, "new "+h.dir+" --zone UTC --name Bench")
	for _, build := range []string{"pilot-boat", "lorry"} {
		h.put("builds/"+build+"/build.md", "---\nrunners: {A: 12}\nstages: [cut, clean, paint]\n---\n")
	}
	return h
}

// put writes a file of the person's.
func (h heard) put(path, text string) {
	h.t.Helper()
	path = filepath.Join(h.dir, filepath.FromSlash(path))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		h.t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		h.t.Fatal(err)
	}
}

// drop puts photos into the inbox: in a build's folder, beside it, without a date,
// and one with an XMP file.
func (h heard) drop() {
	h.t.Helper()
	for i, name := range []string{"pilot-boat/a.jpg", "b.jpg", "c.jpg", "lorry/paint/d.jpg"} {
		exif := scene.Exif{Make: "Tarrow", Model: "T-24", At: faultsBegin.Add(time.Duration(5+i) * time.Minute)}
		if name == "c.jpg" {
			exif.At = time.Time{}
		}
		img := image.NewRGBA(image.Rect(0, 0, 64, 48))
		for n := range img.Pix {
			img.Pix[n] = byte(n*(i+3)) ^ byte(i*31)
		}
		var b bytes.Buffer
		if err := scene.WriteJPEG(&b, img, exif); err != nil {
			h.t.Fatal(err)
		}
		h.put("inbox/"+name, b.String())
		path := filepath.Join(h.dir, "inbox", filepath.FromSlash(name))
		if err := os.Chtimes(path, faultsBegin, faultsBegin); err != nil {
			h.t.Fatal(err)
		}
	}
	h.put("inbox/pilot-boat/a.jpg.xmp", `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:subject><rdf:Bag><rdf:li>hull</rdf:li></rdf:Bag></dc:subject></rdf:Description></rdf:RDF></x:xmpmeta>`)
}

// repeated are commands that may be said again whatever came of them.
var repeated = []string{"take", "write"}

// TestFailingDisk fails the n-th call of each command of the story, alone and
// with all that follow, until a run needs no failure: each eighteenth call, and with
// RAKELIGHT_FAULTS=all each.
func TestFailingDisk(t *testing.T) {
	t.Parallel()
	h := faultsBench(t)
	for _, said := range story {
		word := strings.Fields(said.args)[0]
		if word == "take" {
			h.drop()
		}
		before := h
		h = before.copied()
		h.must(said.after, said.args)
		undisturbed := h
		t.Run(strings.ReplaceAll(said.args, " ", "_"), func(t *testing.T) {
			failEach(t, said, heard{t, before.dir}, heard{t, undisturbed.dir})
		})
	}
}

func failEach(t *testing.T, said errand, before, undisturbed heard) {
	again := slices.Contains(repeated, strings.Fields(said.args)[0])
	done := undisturbed.records()
	end := undisturbed.copied()
	end.settle("nothing")
	want := end.holds()
	if again { // why an XMP file came later than its photo stands in the records
		want["records"] = keptIn(want["records"])
	}
	faults := 0
	rng := rand.New(rand.NewPCG(uint64(said.after), 1))
	for _, stays := range []bool{false, true} {
		step := 18
		if os.Getenv("RAKELIGHT_FAULTS") == "all" {
			step = 1
		}
		for n := 1 + rng.IntN(step); ; n += step {
			h := before.copied()
			d := &mishap.Failing{Fail: n, Stays: stays, Err: syscall.EIO}
			if stays {
				d.Err = syscall.ENOSPC
			}
			unmount := disk.Mount(h.dir, d)
			code, told := h.say(said.after, said.args)
			unmount()
			if d.Failed() == "" {
				break
			}
			faults++
			fault := strings.ReplaceAll(d.Failed(), h.dir, "")
			if stays {
				fault += " and all after it"
			}
			h.finish(said, fault, code, told, again, stays, done)
			if again || n%6 == 1 { // pages cost the most
				h.settle(fault)
				got := h.holds()
				if again {
					got["records"] = keptIn(got["records"])
				}
				same(t, fault, got, want)
			}
			if t.Failed() {
				t.Fatalf("call %d; it said\n%s", n, told)
			}
			_ = os.RemoveAll(h.dir)
		}
	}
	t.Logf("%d faults", faults)
	if faults < 2 {
		t.Errorf("only %d calls failed", faults)
	}
}

// finish says a command again that was not done. One that was done left its
// record, and one that was not left none, as long as the disk let it take back
// what it had begun.
func (h heard) finish(said errand, fault string, code int, told string, again, stays bool, done []string) {
	h.t.Helper()
	now := h.records()
	switch {
	case again:
		if code, told := h.say(said.after, said.args); code != exitDone {
			h.t.Errorf("after %s, again: %d\n%s", fault, code, told)
		}
	case code == exitDone:
		if !slices.Equal(now, done) {
			h.t.Errorf("after %s it was called done; the records are\n%s", fault, strings.Join(now, "\n"))
		}
	case slices.Equal(now, done) && !stays && len(now) > 0 && !unrecorded.MatchString(said.args):
		h.t.Errorf("after %s it was called not done, and is: %s", fault, told)
	case unrecorded.MatchString(said.args) && stays && !h.unsaid(said): // it could not be taken back
	case !slices.Equal(now, done) || unrecorded.MatchString(said.args):
		if code, told := h.say(said.after, said.args); code != exitDone {
			h.t.Errorf("after %s, again: %d\n%s", fault, code, told)
		}
	}
}

// unrecorded are commands that write no record.
var unrecorded = regexp.MustCompile(`^(day|build|supplies) `)
