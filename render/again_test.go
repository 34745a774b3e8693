// Writing again after anything equals writing anew, byte for byte.

package render

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/sanding"
)

// diarist is a journal to which things happen by chance.
type diarist struct {
	t     *testing.T
	j     *journal.Journal
	rng   *rand.Rand
	built int
	at    time.Time
}

var diaristKinds = []string{"clean", "seam", "paint"}

func newDiarist(t *testing.T, seed uint64) *diarist {
	d := &diarist{t: t, j: newJournal(t), rng: rand.New(rand.NewPCG(seed, 1)), at: at("2024-06-01")}
	for range 3 {
		d.newBuild()
	}
	for range 25 {
		d.photo(d.at.AddDate(0, 0, -d.rng.IntN(150)))
		d.session()
	}
	for range 8 {
		d.day()
	}
	d.ok(d.j.Reload())
	return d
}

func (d *diarist) ok(err error) {
	d.t.Helper()
	if err != nil {
		d.t.Fatal(err)
	}
}

func (d *diarist) say(body journal.Body) {
	d.t.Helper()
	_, err := d.j.Append(body)
	d.ok(err)
}

func one[T any](rng *rand.Rand, some []T) T { return some[rng.IntN(len(some))] }

func (d *diarist) someBuild() string { return one(d.rng, d.j.State.Builds).ID }

func (d *diarist) someHash() string { return one(d.rng, d.j.State.Photos).Hash }

func (d *diarist) someSession() string { return one(d.rng, d.j.State.Sessions).ID }

func (d *diarist) write(path, text string) {
	path = d.j.Path(path)
	d.ok(os.MkdirAll(filepath.Dir(path), 0o755))
	d.ok(os.WriteFile(path, []byte(text), 0o644))
}

func (d *diarist) newBuild() {
	d.built++
	started := d.at.AddDate(0, 0, -200+30*d.built).Format(time.DateOnly)
	d.plan(fmt.Sprintf("boat-%d", d.built), fmt.Sprint("Boat ", d.built), started)
	d.ok(d.j.Reload())
}

// plan writes a build.md. One of two builds must be ready by a day: its page rests on
// all that was said.
func (d *diarist) plan(id, title, started string) {
	readyBy := ""
	if strings.ContainsAny(id[len(id)-1:], "13579") {
		readyBy = "ready-by: 2027-05-08\n"
	}
	d.write("builds/"+id+"/build.md", fmt.Sprintf(
		"---\ntitle: %s\nstarted: %s\n%srunners:\n  - {letter: A, parts: 9, class: flat}\nstages: [clean, seam, paint]\n---\nOf %s, after [the first](../boat-1/build.md).\n\n- [ ] varnish\n", title, started, readyBy, title))
}

// photo takes a photo in, its sizes beside it. Some share their first digits, and
// so change each other's names.
func (d *diarist) photo(when time.Time) {
	sum := fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, d.rng.Uint64())))
	if n := len(d.j.State.Photos); n > 0 && d.rng.IntN(8) == 0 {
		sum = d.someHash()[:8] + sum[8:]
	}
	tags := journal.Tags{Build: d.someBuild(), Stage: one(d.rng, diaristKinds), Role: one(d.rng, []string{"before", "progress", "after", "finished", ""}),
		View: one(d.rng, []string{"left", "top", ""}), Light: one(d.rng, []string{"raking", "diffuse"})}
	if d.rng.IntN(6) == 0 {
		tags = journal.Tags{}
	}
	d.say(journal.PhotoBody{Hash: sum, Path: "photos/" + sum[:16] + ".jpg", Name: "a.jpg", Format: "jpeg", Width: 640, Height: 480,
		Instant: journal.Instant{At: when, Wall: when.Format(time.DateTime), Source: "DateTimeOriginal"}, Tags: tags, Guess: d.rng.IntN(9) == 0,
		Fingerprint: one(d.rng, []string{"00ff00ff00ff00ff", "", ""})})
}

func (d *diarist) session() {
	kind := one(d.rng, diaristKinds)
	start := d.at.AddDate(0, 0, -d.rng.IntN(150))
	d.say(journal.WorkBody{Build: d.someBuild(), Stage: kind, Kind: kind, Class: "flat", Start: start, Date: start.Format(time.DateOnly),
		Minutes: float64(20 + d.rng.IntN(90)), Known: one(d.rng, []string{journal.Measured, journal.Measured, journal.Remembered}), Count: d.rng.IntN(30), Counted: true})
}

// day writes or changes a day of a diary; what it shows may not be there yet, or
// not any more.
func (d *diarist) day() {
	text := fmt.Sprintf("# Day %d\n\nThe seam.\n\n![It](%s) and [a photo](%s), [the next](../../boat-%d/build.md), [A3](part:A3) of [that day](%s.md).\n\n![Two](%s+%s)\n", d.rng.IntN(99),
		d.someHash()[:8], d.someHash()[:12], 1+d.rng.IntN(d.built+2), d.at.AddDate(0, 0, -d.rng.IntN(5)).Format(time.DateOnly),
		d.someHash()[:8], d.someHash()[:8])
	d.write(fmt.Sprintf("builds/%s/diary/%s.md", d.someBuild(), d.at.AddDate(0, 0, -d.rng.IntN(5)).Format(time.DateOnly)), text)
}

// parts are some of the parts of runner A.
func (d *diarist) parts() []journal.PartRef {
	from := 1 + d.rng.IntN(8)
	return parts(0, "A", from, from+d.rng.IntN(3))
}

// noted is an entry of the bench book about some parts, with a photo or without.
func (d *diarist) noted() journal.Noted {
	photo := ""
	if d.rng.IntN(2) == 0 {
		photo = d.someHash()
	}
	return journal.Noted{Build: d.someBuild(), Parts: d.parts(), Photo: photo, Text: one(d.rng, []string{"", "mind it"}), At: d.at}
}

func (d *diarist) retract() {
	var ids []string
	for _, p := range d.j.State.Photos {
		ids = append(ids, p.Record)
	}
	for _, m := range d.j.State.Marks {
		ids = append(ids, m.Record)
	}
	for _, s := range d.j.State.Sessions {
		ids = append(ids, s.ID)
	}
	for _, p := range d.j.State.Preps {
		ids = append(ids, p.Record)
	}
	for _, m := range d.j.State.Mixes {
		ids = append(ids, m.Record)
	}
	if len(d.j.State.Photos) > 10 && len(d.j.State.Sessions) > 10 {
		d.say(journal.RetractBody{Record: one(d.rng, ids), Why: "not mine"})
	}
}

// happens is one thing that happens, and its name.
func (d *diarist) happens() string {
	minutes, score, title := float64(d.rng.IntN(200)), d.rng.IntN(5), one(d.rng, []string{"Seen", "", "Raking & late"})
	things := []struct {
		name string
		do   func()
	}{
		{"a photo", func() { d.at = d.at.Add(time.Hour); d.photo(d.at) }},
		{"an older photo, late", func() { d.photo(d.at.AddDate(0, 0, -d.rng.IntN(400))) }},
		{"a tag", func() {
			d.say(journal.TagBody{Photo: d.someHash(), Set: journal.Tags{Build: d.someBuild(), Stage: one(d.rng, diaristKinds), Role: one(d.rng, []string{"before", "after"})}, Caption: &title})
		}},
		{"a tag taken off", func() {
			d.say(journal.TagBody{Photo: d.someHash(), Clear: []string{one(d.rng, []string{"build", "stage", "role", "view"})}})
		}},
		{"a day", d.day},
		{"a day taken away", func() { d.ok(os.RemoveAll(d.j.Path("builds/" + d.someBuild() + "/diary"))) }},
		{"a session", d.session},
		{"a correction", func() { d.say(journal.CorrectBody{Session: d.someSession(), Minutes: &minutes}) }},
		{"a retraction", d.retract},
		{"a new title", func() {
			b := one(d.rng, d.j.State.Builds)
			d.plan(b.ID, one(d.rng, []string{"Lorry", "Seaplane", "Lightship"})+fmt.Sprint(d.rng.IntN(9)), b.Started)
		}},
		{"a finish", func() {
			d.say(journal.FinishBody{Build: d.someBuild(), Date: one(d.rng, []string{d.at.Format(time.DateOnly), ""}), At: d.at})
		}},
		{"a pause", func() { d.say(journal.PauseBody{Build: d.someBuild(), From: d.at, Why: "no wire"}) }},
		{"a resume", func() { d.say(journal.ResumeBody{Build: d.someBuild(), At: d.at}) }},
		{"a mark", func() {
			d.say(journal.MarkBody{Photo: d.someHash(), Criterion: 1 + d.rng.IntN(4), Score: &score, Rubric: journal.Rubric})
		}},
		{"a verdict", func() {
			d.say(journal.VerdictBody{Left: d.someHash(), Right: d.someHash(), Criterion: 1 + d.rng.IntN(4), Outcome: one(d.rng, journal.Outcomes)})
		}},
		{"a mistake", func() {
			d.say(journal.MistakeBody{Build: d.someBuild(), Stage: "clean", Kind: one(d.rng, []string{"gouge", "lost part"}), At: d.at})
		}},
		{"something private", func() {
			what := journal.PrivateBody{Photo: d.someHash(), Not: d.rng.IntN(3) == 0, At: d.at}
			switch d.rng.IntN(5) {
			case 0:
				what.Photo, what.Build = "", d.someBuild()
			case 1:
				what.Photo, what.Date = "", d.at.Format(time.DateOnly)
			}
			d.say(what)
		}},
		{"old pictures said of", func() {
			d.say(journal.PastBody{Photos: []string{d.someHash(), d.someHash()}, Set: journal.Tags{Build: d.someBuild(), Role: one(d.rng, journal.Roles)}})
		}},
		{"a note", func() {
			d.say(journal.NoteBody{Build: d.someBuild(), Session: one(d.rng, []string{"", d.someSession()}), Text: title, At: d.at})
		}},
		{"a runner check", func() {
			d.say(journal.CheckedBody{Noted: d.noted(), State: one(d.rng, journal.CheckStates)})
		}},
		{"a sub-assembly", func() {
			n := d.noted()
			n.Sub = one(d.rng, []string{"cab", "mast"})
			d.say(journal.SubBody{Noted: n, Over: d.rng.IntN(4) == 0})
		}},
		{"a hold", func() {
			d.say(journal.HoldBody{Noted: d.noted(), Is: one(d.rng, journal.HoldWhats), Of: one(d.rng, []string{"filler", ""})})
		}},
		{"a release", func() {
			for _, h := range d.j.State.Holds {
				d.say(journal.ReleaseBody{Hold: h.Record, At: d.at})
				break
			}
		}},
		{"a prep note", func() {
			d.say(journal.PrepBody{Noted: d.noted(), Is: one(d.rng, journal.PrepWhats), With: d.parts()})
		}},
		{"a note of the hands", func() {
			n := d.noted()
			n.Parts = nil
			d.say(journal.HandsBody{Noted: n, Session: d.someSession(), Is: one(d.rng, journal.HandsWhats)})
		}},
		{"a mix", func() {
			n := d.noted()
			d.say(journal.MixBody{Build: n.Build, Name: "red", Recipe: []journal.MixPart{{What: "red", Parts: 2}}, Parts: n.Parts, Photo: n.Photo, At: d.at})
		}},
		{"an addition", func() {
			n := d.noted()
			d.say(journal.AdditionBody{Build: n.Build, Kind: one(d.rng, journal.AdditionKinds), Text: "wire", Parts: n.Parts, Photo: n.Photo, At: d.at})
		}},
		{"a sanding plan", func() {
			n := d.noted()
			d.say(journal.SandingBody{Build: n.Build, Parts: n.Parts, Surface: "flat", Finish: "primed", Remove: "nub", Steps: []sanding.Step{{Grit: 100 * (1 + d.rng.IntN(9)), Scale: "P"}}, At: d.at})
		}},
		{"a session with parts", func() {
			d.say(journal.WorkBody{Build: d.someBuild(), Stage: "clean", Kind: "clean", Class: "flat", Start: d.at, Date: d.at.Format(time.DateOnly),
				Minutes: 30, Known: journal.Measured, Parts: d.parts(), Counted: true})
		}},
		{"a photo of a part", func() {
			d.say(journal.TagBody{Photo: d.someHash(), Set: journal.Tags{Build: d.someBuild(), Parts: d.parts()}})
		}},
		{"a supply", func() {
			b := one(d.rng, d.j.State.Builds)
			d.ok(d.j.AddSupply(b.ID, fmt.Sprintf("wire %d", d.rng.IntN(99))))
		}},
		{"a trial", func() {
			r, err := d.j.Append(journal.TrialBody{What: "glass file", Build: d.someBuild(), At: d.at})
			d.ok(err)
			d.say(journal.ObserveBody{Trial: r.ID(), Text: "good", Photo: d.someHash(), At: d.at})
			d.say(journal.ReviewBody{Trial: r.ID(), Text: "Kept, see ![it](" + d.someHash()[:8] + ").", At: d.at})
		}},
		{"points", func() {
			d.say(journal.AlikeBody{A: d.someHash(), B: d.someHash(), Not: d.rng.IntN(3) == 0})
			d.say(journal.PointsBody{A: d.someHash(), B: d.someHash(), Pairs: []journal.PointPair{{0.1, 0.1, 0.2, 0.1}, {0.9, 0.8, 0.9, 0.9}}})
		}},
		{"another setting", func() {
			d.write("journal.toml", fmt.Sprintf("format = 1\nname = \"Bench %d\"\nzone = \"%s\"\n", d.rng.IntN(3), one(d.rng, []string{"Europe/Lisbon", "Asia/Tokyo"})))
		}},
		{"a build", d.newBuild},
		{"a date", func() {
			d.say(journal.DatedBody{Photo: d.someHash(), First: "2019-03-01", Last: "2019-05-31", Said: "spring 2019"})
		}},
		{"a page changed by somebody", func() {
			pages := slices.DeleteFunc(pageNames(d.t, d.j), func(name string) bool { return name == "notes.txt" })
			d.write("pages/"+one(d.rng, pages), "spoiled")
		}},
	}
	thing := one(d.rng, things)
	thing.do()
	d.ok(d.j.Reload())
	return thing.name
}

// sizesThere makes the sizes of all photos, and of those laid over each other,
// files of one byte.
func (d *diarist) sizesThere() {
	o := output{dir: d.j.Path("pages")}
	d.ok(os.MkdirAll(o.path("photos"), 0o755))
	for _, name := range viewOf(d.j.State, time.Time{}, nil).sizeFiles() {
		if _, err := os.Stat(o.path(name)); err != nil {
			d.ok(errors.Join(os.WriteFile(o.path(name), []byte{0}, 0o644), o.addToList(name)))
		}
	}
}

// pageNames are the files in the pages folder that no list and no size of a photo is.
func pageNames(t *testing.T, j *journal.Journal) []string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(j.Path("pages"), func(path string, e fs.DirEntry, err error) error {
		name, rerr := filepath.Rel(j.Path("pages"), path)
		if name = filepath.ToSlash(name); err == nil && rerr == nil && !e.IsDir() && name != listName && !strings.HasPrefix(name, "photos/") {
			names = append(names, name)
		}
		return errors.Join(err, rerr)
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

func TestWritingAgainEqualsWritingAnew(t *testing.T) {
	steps := 60
	if testing.Short() {
		steps = 15
	}
	seeds := uint64(3)
	if n, err := strconv.ParseUint(os.Getenv("RAKELIGHT_AGAIN"), 10, 64); err == nil {
		seeds = n
	}
	for seed := range seeds + 1 {
		edition := []Edition{Mine, ForReaders}[seed/seeds]
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			d := newDiarist(t, seed)
			d.write("pages/notes.txt", "somebody's own")
			w := NewWriter(d.j)
			var told []string
			made, all := 0, 0
			for range steps {
				d.sizesThere()
				if d.rng.IntN(5) == 0 {
					w = NewWriter(d.j) // another start
				}
				left := d.rng.IntN(200)
				r, err := w.Write(t.Context(), d.j.State, Options{Edition: edition, Stop: func() bool { left--; return left < 0 }})
				d.ok(err)
				if !r.Stopped { // else the next thing happens in the middle of it
					made, all = made+r.Made, all+r.Pages
					if bad := d.compare(edition); bad != "" {
						t.Fatalf("%s\nafter %s", bad, strings.Join(told, ", "))
					}
				}
				told = append(told, d.happens())
			}
			t.Logf("of %d pages %d were made", all, made)
			if made*4 > all*3 { // nearly every page changes with what happens here
				t.Errorf("of %d pages %d were made", all, made)
			}
			if got := read(t, d.j.Path("pages/notes.txt")); got != "somebody's own" {
				t.Errorf("somebody's file holds %q", got)
			}
		})
	}
}

// compare says where the folder is another than one written anew, "" = nowhere.
func (d *diarist) compare(edition Edition) string {
	v := viewOf(d.j.State, time.Time{}, nil)
	if edition == ForReaders {
		v = readersOf(d.j.State)
	}
	v.identity = d.j.Identity()
	want := map[string][]byte{"notes.txt": []byte("somebody's own")}
	for _, f := range makeAll(d.t, v, append(pagesOf(v), assets()...)) {
		want[f.path] = f.data
	}
	have := pageNames(d.t, d.j)
	for _, name := range have {
		data, ok := want[name]
		if !ok {
			return name + " stays, though nothing wants it"
		}
		if got := read(d.t, d.j.Path("pages/"+name)); got != string(data) {
			return fmt.Sprintf("%s is another at %q, anew %q", name, firstDifference(data, []byte(got)), firstDifference([]byte(got), data))
		}
	}
	for name := range want {
		if !slices.Contains(have, name) {
			return name + " is missing"
		}
	}
	return ""
}

// A photo makes its build's page, its comparisons, its day with the day before it, its
// week, its year, and the few that show the latest; of the others none is made.
func TestAPhotoMakesFewPages(t *testing.T) {
	d := &diarist{t: t, j: newJournal(t), rng: rand.New(rand.NewPCG(4, 4)), at: at("2024-06-01")}
	for range 30 {
		d.newBuild()
	}
	for range 300 {
		d.photo(d.at.AddDate(0, 0, -d.rng.IntN(150)))
		d.session()
	}
	w := NewWriter(d.j)
	write := func() Report {
		d.sizesThere()
		r, err := w.Write(t.Context(), d.j.State, Options{})
		d.ok(err)
		return r
	}
	all := write()
	always := write()
	if all.Made != all.Pages || always.Changed != 0 || always.Made > 2 {
		t.Errorf("first %+v, again %+v", all, always)
	}
	latest := viewOf(d.j.State, time.Time{}, nil).order
	d.say(journal.PhotoBody{Hash: strings.Repeat("7c", 32), Path: "photos/7c.jpg", Name: "a.jpg", Format: "jpeg", Width: 640, Height: 480,
		Instant: journal.Instant{At: d.at.Add(time.Hour), Source: "DateTimeOriginal"},
		Tags:    journal.Tags{Build: latest[len(latest)-1].ID, Stage: "clean", Role: "after", View: "left", Light: "raking"}})
	if r := write(); r.Made-always.Made > 16 || r.Changed == 0 {
		t.Errorf("of %d pages %d were made for one photo, and %d for none", r.Pages, r.Made, always.Made)
	}
}
