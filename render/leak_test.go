// What is private leaves no trace on the pages for readers.

package render

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"image/color"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/sanding"
	"rakelight/media/clip/drawn"
	"rakelight/media/scene"
)

// secret is in every word of the test's journal that no reader may see.
const secret = "zqleak"

// kept is a journal in the making, of which some things are kept from readers.
type kept struct {
	t       *testing.T
	j       *journal.Journal
	secrets bool // it has the things that are private; else it is the journal of somebody who never did them
	flags   bool // and says that they are
	n       int
	hidden  []string // hashes of private photos
	device  string   // the name that this computer writes by
}

func (k *kept) ok(err error) {
	k.t.Helper()
	if err != nil {
		k.t.Fatal(err)
	}
}

// word is one that no reader may see.
func (k *kept) word() string { k.n++; return fmt.Sprintf("%s%d", secret, k.n) }

func (k *kept) file(path, text string) {
	path = k.j.Path(path)
	k.ok(os.MkdirAll(filepath.Dir(path), 0o755))
	k.ok(os.WriteFile(path, []byte(text), 0o644))
}

func (k *kept) say(body journal.Body) string {
	k.t.Helper()
	r, err := k.j.Append(body)
	k.ok(err)
	k.device = r.Dev
	return r.ID()
}

// private says a thing that is there only with the secrets.
func (k *kept) private(body journal.Body) string {
	if !k.secrets {
		return ""
	}
	return k.say(body)
}

// either is a text of a journal with its secrets, and what readers get of it.
func (k *kept) either(with, without string) string {
	if k.secrets {
		return with
	}
	return without
}

// matter is the front matter that keeps something private.
func (k *kept) matter() string {
	if k.flags {
		return "private: true\n"
	}
	return ""
}

// keep is a record that keeps something private.
func (k *kept) keep(what journal.PrivateBody) {
	if k.flags {
		k.private(what)
	}
}

// photo puts a picture into the journal; seed draws it.
func (k *kept) photo(seed int, build, stage, role, name string, at time.Time) string {
	img := image.NewRGBA(image.Rect(0, 0, 490, 360))
	for y := range 360 {
		for x := range 490 {
			img.Set(x, y, color.RGBA{uint8(x * (seed + 1) / 7), uint8(y * (seed + 3) / 5), uint8(seed * 37), 255})
		}
	}
	var b bytes.Buffer
	k.ok(scene.WriteJPEG(&b, img, scene.Exif{At: at}))
	hash := fmt.Sprintf("%x", sha256.Sum256(b.Bytes()))
	path := "photos/2026/" + hash[:8] + ".jpg"
	k.file(path, b.String())
	k.say(journal.PhotoBody{Hash: hash, Path: path, Name: name, Folder: k.word(), Words: []string{k.word()}, Size: int64(b.Len()), Format: "jpeg", Width: 490, Height: 360,
		Camera: journal.Camera{Make: "Lumen", Model: "Two", Serial: k.word()}, Instant: journal.Instant{At: at, Source: "DateTimeOriginal"},
		Tags: journal.Tags{Build: build, Stage: stage, Role: role, View: "left", Light: "raking", Parts: []journal.PartRef{{Runner: "A", Number: "1", Count: 1}}}})
	return hash
}

// secretPhoto is one that no reader sees.
func (k *kept) secretPhoto(seed int, build, stage, role string, at time.Time) string {
	if !k.secrets {
		return ""
	}
	hash := k.photo(seed, build, stage, role, k.word()+".jpg", at)
	caption := k.word()
	k.say(journal.TagBody{Photo: hash, Caption: &caption})
	k.hidden = append(k.hidden, hash)
	return hash
}

// clip puts a clip into the journal that says where it was taken in every form.
func (k *kept) clip(seed byte, build, stage, name string, at time.Time) string {
	data := drawn.Clip{Seed: seed, Brand: "qt  ", Header: at, Keys: [][2]string{{"com.apple.quicktime.location.ISO6709", secret + "place"},
		{"com.apple.quicktime.make", secret + "make"}}, UserData: [][2]string{{"xyz", secret + "place"}}}.Bytes()
	hash := fmt.Sprintf("%x", sha256.Sum256(data))
	path := "photos/2026/" + hash[:8] + ".mov"
	k.file(path, string(data))
	k.say(journal.PhotoBody{Hash: hash, Path: path, Name: name, Folder: k.word(), Size: int64(len(data)), Format: "mov", Length: 2500,
		Codec: "avc1", Frame: [2]int{320, 240}, Camera: journal.Camera{Make: "Lumen", Model: "Two", Serial: k.word()},
		Instant: journal.Instant{At: at, Source: "QuickTime creationdate"}, Tags: journal.Tags{Build: build, Stage: stage}})
	return hash
}

func bold(n int) *int { return &n }

// keptJournal makes the journal.
func keptJournal(t *testing.T, secrets, flags bool) *kept {
	dir := filepath.Join(t.TempDir(), "bench")
	start := time.Date(2026, 1, 3, 19, 0, 0, 0, time.UTC)
	if err := journal.Create(dir, "The bench", "UTC", start); err != nil {
		t.Fatal(err)
	}
	// The names in the feed are made of the device's, which is drawn by lot: one for all
	// of these.
	if err := os.MkdirAll(filepath.Join(dir, ".cache"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, ".cache", "device"), []byte("bench-5ea1ed00\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	now := start
	j, err := journal.OpenAt(dir, func() time.Time { now = now.Add(time.Second); return now })
	if err != nil {
		t.Fatal(err)
	}
	k := &kept{t: t, j: j, secrets: secrets, flags: flags}
	toml, err := os.ReadFile(j.Path("journal.toml"))
	k.ok(err)
	k.file("journal.toml", strings.Replace(string(toml), "judges = []", `judges = ["Mo"]`, 1))
	k.plans()
	k.ok(j.Reload())
	photos := map[string][]string{}
	for i, b := range []string{"lorry", "pilot-boat"} {
		for n := range 8 {
			at := start.AddDate(0, 0, 40*i+4*n)
			k.session(b, at, 10+i*3+n, "")
			photos[b] = append(photos[b], k.photo(20*i+n, b, []string{"clean", "seam"}[n%2], []string{"before", "after", "after", "finished"}[n%4], fmt.Sprintf("b%d-%d.jpg", i, n), at.Add(time.Hour)))
		}
	}
	k.clip(1, "pilot-boat", "clean", "seen.mov", start.AddDate(0, 0, 44).Add(70*time.Minute))
	k.judged(photos)
	k.said(photos, start.AddDate(0, 0, 44))
	if secrets {
		k.secretBuild(photos)
	}
	k.secretPhotos(photos, start.AddDate(0, 0, 48))
	k.secretDays(start.AddDate(0, 0, 53))
	k.series("pilot-boat", start.AddDate(0, 0, 58))
	k.ok(j.Reload())
	return k
}

// series is half an hour under a camera, of which some frames are private: the first
// ones, some between, the last.
func (k *kept) series(build string, at time.Time) {
	for i := range 90 {
		hidden := i < 5 || i == 40 || i > 84
		if hidden && !k.secrets {
			continue
		}
		img := image.NewGray(image.Rect(0, 0, 48, 36))
		for n := range img.Pix {
			img.Pix[n] = uint8(n*(i+3)) ^ uint8(i)
		}
		when := at.Add(time.Duration(20*i) * time.Second)
		var b bytes.Buffer
		k.ok(scene.WriteJPEG(&b, img, scene.Exif{At: when}))
		hash := fmt.Sprintf("%x", sha256.Sum256(b.Bytes()))
		path := "photos/2026/" + hash[:8] + ".jpg"
		k.file(path, b.String())
		k.say(journal.PhotoBody{Hash: hash, Path: path, Name: "frame.jpg", Size: int64(b.Len()), Format: "jpeg", Width: 48, Height: 36,
			Camera:      journal.Camera{Make: "Lumen", Model: "Three", Serial: k.word()},
			Fingerprint: fmt.Sprintf("%016x", uint64(i+1)*0x9e3779b97f4a7c15),
			Instant:     journal.Instant{At: when, Wall: when.Format(time.DateTime), Source: "DateTimeOriginal", Offset: journal.StatedOffset},
			Tags:        journal.Tags{Build: build, Stage: "seam"}})
		if hidden {
			k.hidden = append(k.hidden, hash)
			k.keep(journal.PrivateBody{Photo: hash, At: when})
		}
	}
}

func (k *kept) session(build string, at time.Time, parts int, note string) string {
	id := k.say(journal.WorkBody{Build: build, Stage: "clean", Kind: "clean", Class: "flat", Start: at, Date: at.Format(time.DateOnly), Minutes: 60,
		Known: journal.Measured, Count: parts, Counted: true})
	if note != "" {
		k.say(journal.NoteBody{Build: build, Session: id, Text: note, At: at.Add(time.Minute)})
	}
	return id
}

func (k *kept) plans() {
	plan := func(id, more, body string) {
		k.file("builds/"+id+"/build.md", "---\n"+more+"runners: {A: 24}\nstages: [clean, seam, paint]\n---\n"+body)
	}
	plan("lorry", "title: Field-kitchen lorry\nfinished: 2026-02-08\n", "The idea.\n\n- [x] paint\n\n### Supplies\n\n- [ ] "+k.word()+" (ordered 2026-01-02)\n\n### Order\n\n- [ ] roof\n")
	plan("pilot-boat", "title: Pilot boat\n", "A boat, and [the lorry](../lorry/build.md)"+k.either(", and [another](../zqleakbuild/build.md).\n", ", and another.\n"))
	if k.secrets {
		plan("zqleakbuild", "title: "+k.word()+"\nscale: "+k.word()+"\n"+k.matter(), k.word()+"\n\n### "+k.word()+"\n\n- [ ] "+k.word()+"\n")
		k.file("builds/zqleakbuild/diary/2026-01-20.md", "# "+k.word()+"\n\n"+k.word()+"\n")
	}
}

// judged are marks and verdicts, of which those by a judge who was not asked bear no
// name for readers.
func (k *kept) judged(photos map[string][]string) {
	for n := range 12 {
		judge := []string{"", "Mo", secret + "judge"}[n%3]
		k.say(journal.VerdictBody{Left: photos["lorry"][n%8], Right: photos["pilot-boat"][n*3%8], Criterion: 1 + n%2, Outcome: []string{"right", "left"}[n%4/3], Judge: judge})
		k.say(journal.MarkBody{Photo: photos["lorry"][n%8], Criterion: 1, Score: bold(n % 4), Rubric: journal.Rubric, Judge: judge})
	}
}

// said is what readers see.
func (k *kept) said(photos map[string][]string, at time.Time) {
	at = at.Add(time.Minute)
	b := "pilot-boat"
	part := []journal.PartRef{{Runner: "A", Number: "1", Count: 1}}
	k.say(journal.MistakeBody{Build: b, Stage: "clean", Kind: "gouge", Parts: part, Cause: "seen blade", Mended: "seen filler", Minutes: 5, At: at})
	k.say(journal.NoteBody{Build: b, Text: "seen note", At: at})
	k.say(journal.MixBody{Build: b, Name: "seen red", Recipe: []journal.MixPart{{What: "red", Parts: 1}}, Photo: photos[b][1], At: at})
	k.say(journal.PauseBody{Build: b, From: at, Why: "seen wire"})
	k.say(journal.ResumeBody{Build: b, At: at.Add(time.Hour)})
	k.say(journal.AlikeBody{A: photos[b][0], B: photos[b][1]})
	k.say(journal.PointsBody{A: photos[b][0], B: photos[b][2], Pairs: []journal.PointPair{{0.1, 0.1, 0.11, 0.1}, {0.9, 0.8, 0.9, 0.81}}})
	k.file("builds/pilot-boat/diary/"+at.Format(time.DateOnly)+".md", "# Seen\n\nSeen words, ![seen bow]("+photos[b][1][:8]+").\n")
}

// secretBuild is a build with something in every place where words can stand.
func (k *kept) secretBuild(photos map[string][]string) {
	const b = "zqleakbuild"
	part := []journal.PartRef{{Runner: "A", Number: "1", Count: 1}}
	at := time.Date(2026, 1, 10, 20, 0, 0, 0, time.UTC)
	var own []string
	for n := range 6 {
		at = at.AddDate(0, 0, 5)
		k.session(b, at, 60+n, k.word())
		own = append(own, k.secretPhoto(60+n, b, []string{"clean", "seam"}[n%2], "after", at.Add(time.Hour)))
	}
	k.hidden = append(k.hidden, k.clip(3, b, "clean", k.word()+".mov", at))
	noted := func() journal.Noted {
		return journal.Noted{Build: b, Parts: part, Text: k.word(), Photo: own[0], Sub: k.word(), At: at}
	}
	k.say(journal.CheckedBody{Noted: noted(), State: "damaged"})
	k.say(journal.SubBody{Noted: noted()})
	k.say(journal.HoldBody{Noted: noted(), Is: "curing", Of: k.word()})
	k.say(journal.PrepBody{Noted: noted(), Is: "store", Angle: k.word(), Side: k.word()})
	k.say(journal.HandsBody{Noted: noted(), Is: "sore", Where: k.word()})
	k.say(journal.MixBody{Build: b, Name: k.word(), Recipe: []journal.MixPart{{What: k.word(), Parts: 1}}, Batch: k.word(), Text: k.word(), Photo: own[0], At: at})
	k.say(journal.AdditionBody{Build: b, Kind: "addition", Text: k.word(), Where: k.word(), At: at})
	k.say(journal.SandingBody{Build: b, Parts: part, Surface: "flat", Finish: "primed", Remove: "nub", Text: k.word(), Steps: []sanding.Step{{Grit: 400, Scale: "P"}}, At: at})
	k.say(journal.MistakeBody{Build: b, Stage: "clean", Kind: k.word(), Cause: k.word(), Mended: k.word(), Minutes: 50, At: at})
	k.say(journal.PauseBody{Build: b, From: at, Why: k.word(), Next: k.word(), Waiting: k.word()})
	k.say(journal.NoteBody{Build: b, Text: k.word(), At: at})
	trial := k.say(journal.TrialBody{What: k.word(), Question: k.word(), Tool: k.word(), Build: b, At: at})
	k.say(journal.ObserveBody{Trial: trial, Text: k.word(), Photo: own[1], At: at})
	k.say(journal.ReviewBody{Trial: trial, Text: k.word(), At: at.Add(time.Hour)})
	for n, hash := range own {
		k.say(journal.MarkBody{Photo: hash, Criterion: 1, Score: bold(4), Rubric: journal.Rubric})
		k.say(journal.VerdictBody{Left: hash, Right: photos["lorry"][n], Criterion: 1, Outcome: "left"})
	}
	k.say(journal.PackBody{Pack: k.word(), Pairs: []journal.PackPair{{ID: k.word(), Left: own[0], Right: photos["lorry"][0], Criterion: 1}}})
	k.say(journal.AsideBody{Hash: strings.Repeat("ab", 32), Path: "inbox/aside/" + k.word() + ".jpg", CopyOf: own[0]})
}

// secretPhotos are photos of a build that readers see, and what goes with them.
func (k *kept) secretPhotos(photos map[string][]string, at time.Time) {
	const b = "pilot-boat"
	at = at.Add(90 * time.Minute)
	hashes := []string{
		k.secretPhoto(80, b, "clean", "after", at), k.secretPhoto(81, b, "seam", "finished", at.Add(time.Minute)), k.secretPhoto(82, b, "seam", "before", at.Add(2*time.Minute)),
	}
	if k.secrets {
		hash := k.clip(2, b, "clean", k.word()+".mov", at)
		k.hidden = append(k.hidden, hash)
		k.keep(journal.PrivateBody{Photo: hash, At: at})
	}
	for _, hash := range hashes {
		k.keep(journal.PrivateBody{Photo: hash, At: at})
		k.private(journal.MarkBody{Photo: hash, Criterion: 1, Score: bold(0), Rubric: journal.Rubric})
		k.private(journal.VerdictBody{Left: hash, Right: photos["lorry"][1], Criterion: 2, Outcome: "left"})
	}
	k.private(journal.AlikeBody{A: hashes[1], B: photos[b][0]})
	k.private(journal.PointsBody{A: hashes[1], B: photos[b][0], Pairs: []journal.PointPair{{0.1, 0.1, 0.1, 0.1}, {0.9, 0.8, 0.9, 0.8}}})
	short := k.either(first8(hashes[0]), "")
	trial := k.say(journal.TrialBody{What: "seen file", Build: b, At: at, Tool: "seen file"})
	k.say(journal.ObserveBody{Trial: trial, Text: k.either("cuts well, see "+short, "cuts well, see …"), Photo: hashes[0], At: at})
	k.say(journal.MixBody{Build: b, Name: "seen blue", Recipe: []journal.MixPart{{What: "blue", Parts: 1}}, Photo: hashes[0], At: at})
	k.say(journal.AdditionBody{Build: b, Kind: "addition", Text: "seen rail", Photo: hashes[1], At: at})
	k.say(journal.SubBody{Noted: journal.Noted{Build: b, Sub: "seen cab", Parts: []journal.PartRef{{Runner: "A", Number: "2", Count: 1}}, Photo: hashes[2], At: at}})
	name := k.either("![the bow]("+short+") and [the keel]("+short+"), which is "+strings.ToUpper(short)+" or "+k.either(first64(hashes[1]), ""), "the bow and the keel, which is … or …")
	k.file("builds/pilot-boat/diary/"+at.Format(time.DateOnly)+".md", "# Seen day\n\nHere is "+name+".\n")
}

func first8(s string) string  { return s[:min(8, len(s))] }
func first64(s string) string { return s[:min(64, len(s))] }

// secretDays are a day of one build, and a day of all.
func (k *kept) secretDays(at time.Time) {
	k.secretDay("pilot-boat", at, 90)
	if k.secrets {
		k.file("builds/pilot-boat/diary/"+at.Format(time.DateOnly)+".md", "---\n"+k.matter()+"---\n# "+k.word()+"\n\n"+k.word()+"\n")
	}
	at = at.AddDate(0, 0, 1)
	k.secretDay("lorry", at, 95)
	if k.secrets {
		k.file("builds/lorry/diary/"+at.Format(time.DateOnly)+".md", "# "+k.word()+"\n\n"+k.word()+"\n")
	}
	k.keep(journal.PrivateBody{Date: at.Format(time.DateOnly), At: at})
}

// secretDay is a session that counts, and words and photos that nobody sees.
func (k *kept) secretDay(b string, at time.Time, seed int) {
	part := []journal.PartRef{{Runner: "A", Number: "3", Count: 1}}
	note := ""
	if k.secrets {
		note = k.word()
	}
	k.session(b, at, 20, note)
	at = at.Add(time.Hour)
	if !k.secrets {
		return
	}
	k.secretPhoto(seed, b, "seam", "after", at)
	k.say(journal.NoteBody{Build: b, Text: k.word(), Parts: part, At: at})
	k.say(journal.MistakeBody{Build: b, Stage: "clean", Kind: k.word(), Parts: part, Cause: k.word(), Mended: k.word(), Minutes: 5, At: at})
	k.say(journal.MixBody{Build: b, Name: k.word(), Recipe: []journal.MixPart{{What: k.word(), Parts: 1}}, At: at})
	k.say(journal.AdditionBody{Build: b, Kind: "addition", Text: k.word(), At: at})
	k.say(journal.PrepBody{Noted: journal.Noted{Build: b, Parts: part, Text: k.word(), At: at}, Is: "pegs", Side: k.word()})
	k.say(journal.HoldBody{Noted: journal.Noted{Build: b, Parts: part, Text: k.word(), At: at}, Is: "masked"})
	k.say(journal.TrialBody{What: k.word(), Question: k.word(), Build: b, At: at})
}

var feedID = regexp.MustCompile(`urn:uuid:[0-9a-f-]{36}`)

// published publishes and reads all that is in the folder then, by path.
func (k *kept) published(dir string) map[string]string {
	k.t.Helper()
	_, err := Publish(k.t.Context(), k.j, dir, Options{})
	k.ok(err)
	return k.filesIn(dir)
}

// filesIn is all that is in a folder, by path.
func (k *kept) filesIn(dir string) map[string]string {
	all := map[string]string{}
	k.ok(filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, relErr := filepath.Rel(dir, path)
		if d.IsDir() { // its name alone tells something
			all[filepath.ToSlash(rel)+"/"] = ""
			return relErr
		}
		data, err := os.ReadFile(path)
		// The ids of a feed are a journal's own, which are two here.
		all[filepath.ToSlash(rel)] = feedID.ReplaceAllString(string(data), "urn:uuid:")
		return errors.Join(err, relErr)
	}))
	return all
}

// leaks are the words, names and bytes of the secrets in what was published.
func (k *kept) leaks(t *testing.T, pages map[string]string) (n int) {
	t.Helper()
	words := []string{secret, strings.ToUpper(secret[:1]) + secret[1:], k.device}
	for _, hash := range k.hidden {
		words = append(words, hash[:8])
	}
	for path, data := range pages {
		for _, word := range words {
			for _, in := range []string{path, data} {
				if i := strings.Index(in, word); i >= 0 {
					n++
					t.Logf("%s has %s: …%s…", path, word, in[max(0, i-60):min(len(in), i+60)])
				}
			}
		}
	}
	for _, hash := range k.hidden {
		own, err := filepath.Glob(k.j.Path("pages/photos/" + hash[:8] + "-*.jpg"))
		k.ok(err)
		for _, name := range own {
			picture, err := os.ReadFile(name)
			k.ok(err)
			for path, data := range pages {
				if data == string(picture) {
					n++
					t.Logf("%s is the picture %s", path, name)
				}
			}
		}
	}
	return n
}

func same(t *testing.T, got, want map[string]string) {
	t.Helper()
	for path := range want {
		if _, there := got[path]; !there {
			t.Errorf("%s is missing", path)
		}
	}
	for path, data := range got {
		if old, there := want[path]; !there {
			t.Errorf("%s is there", path)
		} else if old != data {
			i := 0
			for i < min(len(old), len(data)) && old[i] == data[i] {
				i++
			}
			t.Errorf("%s differs: %q, want %q", path, data[max(0, i-80):min(len(data), i+80)], old[max(0, i-80):min(len(old), i+80)])
		}
	}
}

// Who keeps things private publishes, byte for byte, what they would who never did
// them; also who made them private after they had been published, and was interrupted when
// they published again.
func TestPrivateLeavesNoTrace(t *testing.T) {
	t.Parallel()
	never := keptJournal(t, false, false)
	want := never.published(filepath.Join(t.TempDir(), "out"))
	if n := never.leaks(t, want); n > 0 {
		t.Errorf("%d leaks without any secret", n)
	}
	for _, seen := range []string{"seen blade", "seen filler", "seen note", "seen red", "seen blue", "seen wire", "Seen words", "seen rail", "Seen file", "Mo", "another judge", "the keel", "clip of 2.5 s"} {
		found := false
		for _, data := range want {
			found = found || strings.Contains(data, seen)
		}
		if !found {
			t.Errorf("nobody sees %q", seen)
		}
	}

	private := keptJournal(t, true, true)
	write(t, private.j)
	got := private.published(filepath.Join(t.TempDir(), "out"))
	if n := private.leaks(t, got); n > 0 {
		t.Errorf("%d leaks", n)
	}
	same(t, got, want)

	later := keptJournal(t, true, false)
	write(t, later.j)
	dir := filepath.Join(t.TempDir(), "out")
	open := later.published(dir)
	found := 0
	for n := range later.n {
		word := fmt.Sprintf("%s%d", secret, n+1)
		for _, data := range open {
			if strings.Contains(data, word) {
				found++
				break
			}
		}
	}
	if found < 50 {
		t.Errorf("only %d of the %d secret words would be seen, so this proves little", found, later.n)
	}
	later.flags = true
	for _, id := range []string{"zqleakbuild"} {
		later.say(journal.PrivateBody{Build: id, At: time.Now()})
	}
	for _, p := range later.j.State.Photos {
		for _, hash := range later.hidden {
			if p.Hash == hash && p.Tags.Build == "pilot-boat" {
				later.say(journal.PrivateBody{Photo: hash, At: time.Now()})
			}
		}
	}
	later.say(journal.PrivateBody{Build: "pilot-boat", Date: "2026-02-25", At: time.Now()})
	later.say(journal.PrivateBody{Date: "2026-02-26", At: time.Now()})
	later.ok(later.j.Reload())
	later.interrupted(t, dir)
	got = later.published(dir)
	if n := later.leaks(t, got); n > 0 {
		t.Errorf("%d leaks of what was public before", n)
	}
	same(t, got, want)
}

// No picture that is published holds anything but a picture: no camera data, no
// comment, no color profile, nothing behind its end.
func TestPublishedPicturesHoldNothingElse(t *testing.T) {
	t.Parallel()
	k := keptJournal(t, false, false)
	n := 0
	for path, data := range k.published(filepath.Join(t.TempDir(), "out")) {
		switch filepath.Ext(path) {
		case ".jpg":
			n++
			if !isPlainJPEG([]byte(data)) {
				t.Errorf("%s holds more than a picture", path)
			}
		case ".svg":
			if strings.Contains(data, "<metadata") || strings.Contains(data, "<!--") {
				t.Errorf("%s holds more than a drawing", path)
			}
		case ".png", ".gif", ".webp":
			t.Errorf("%s is of a kind that is not looked into", path)
		}
	}
	if n < 20 {
		t.Errorf("only %d pictures", n)
	}
	original, err := k.j.Original(k.j.State.Photos[0].Path)
	k.ok(err)
	data, err := os.ReadFile(original)
	k.ok(err)
	if isPlainJPEG(data) || isPlainJPEG([]byte("no picture")) || isPlainJPEG(nil) {
		t.Error("a picture with camera data, or none, passes")
	}
	good := []byte{0xff, 0xd8, 0xff, 0xe0, 0, 4, 'J', 'F', 0xff, 0xda, 0, 2, 1, 2, 0xff, 0, 3, 0xff, 0xd9}
	for name, one := range map[string][]byte{
		"comment":        append([]byte{0xff, 0xd8, 0xff, 0xfe, 0, 3, 'x'}, good[2:]...),
		"behind its end": append(bytes.Clone(good), 'x', 0xff, 0xd9),
		"profile":        append([]byte{0xff, 0xd8, 0xff, 0xe2, 0, 3, 'x'}, good[2:]...),
		"cut off":        good[:10],
	} {
		if isPlainJPEG(one) {
			t.Errorf("%s passes", name)
		}
	}
	if !isPlainJPEG(good) {
		t.Error("a plain one does not pass")
	}
}

// A picture among the builder's own pages that is more than a picture is made anew.
func TestPublishedPicturesAreNotCopiedUnseen(t *testing.T) {
	t.Parallel()
	k := keptJournal(t, false, false)
	write(t, k.j)
	own, err := filepath.Glob(k.j.Path("pages/photos/*-480.jpg"))
	k.ok(err)
	k.ok(os.WriteFile(own[0], []byte("\xff\xd8\xff\xe1\x00\x10Exif "+secret), 0o644))
	if n := k.leaks(t, k.published(filepath.Join(t.TempDir(), "out"))); n > 0 {
		t.Errorf("%d leaks", n)
	}
}
