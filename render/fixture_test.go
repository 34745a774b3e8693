// The small fixed journal of the tests: three invented builds over four years,
// built in code, so that the golden pages depend on nothing on disk.

package render

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/sanding"
)

// The things of the fixture that no page may show.
const (
	secretSerial = "SN-4471902"
	secretFolder = "attic/box-7"
	secretName   = "IMG_0042.JPG"
)

// device is the drawn name that begins the ids of the fixture's sessions.
const device = "bench-3f2a"

// fixture is the small journal.
type fixture struct {
	s   *journal.State
	rng *rand.Rand
}

func small() *journal.State {
	f := &fixture{
		s:   &journal.State{Config: journal.Config{Format: 1, Name: "The bench by the window", Zone: "Europe/Lisbon"}, Zone: time.UTC},
		rng: rand.New(rand.NewPCG(7, 7)),
	}
	f.build("pilot-boat", "Pilot boat", "1/48", "2021-03-06", "2021-11-20", 1)
	f.build("mail-seaplane", "Mail seaplane", "1/72", "2022-05-14", "2023-02-04", 1.2)
	f.build("lightship", "Lightship", "1/350", "2024-01-13", "", 1.45)
	b := f.s.Builds[2]
	b.Body = concept
	b.Checklist = []journal.CheckItem{
		{Section: "Before paint", Text: "Fill the sink marks", Done: true}, {Section: "Before paint", Text: "Scribe the hatch"},
		{Section: "Sea", Text: "Carve the swell", Done: true},
	}
	f.s.Pauses = []journal.Pause{
		{Build: "mail-seaplane", From: at("2022-08-01"), Until: at("2022-10-02"), Why: "Summer away", Next: "Float struts"},
		{Build: "lightship", From: at("2024-06-09"), Why: "No mast wire", Next: "Rig the foremast", Waiting: "0.2 mm wire"},
	}
	f.s.Diary = []journal.DiaryDay{
		{Build: "pilot-boat", Date: "2021-04-04", Title: "First evening with the file", Body: "The hull halves came off the runner rough.\n\nI filed too deep at the bow."},
		{Build: "lightship", Date: "2024-02-10", Title: "Steps that no longer show", Body: diary},
		{Build: "lightship", Date: "2024-02-17", Body: "Quiet day. See [the seaplane](../../mail-seaplane/build.md) and [the web](https://example.com/sea)."},
	}
	f.skill()
	f.book()
	slices.SortFunc(f.s.Photos, func(a, b *journal.Photo) int {
		return cmp.Or(a.Instant.At.Compare(b.Instant.At), cmp.Compare(a.Hash, b.Hash))
	})
	return f.s
}

// skill adds what was said of the work: pairs and marks on two criteria, some of
// them given twice, mistakes of two kinds, and a trial that is closed and one
// that runs.
func (f *fixture) skill() {
	when := at("2024-06-10")
	id := func(kind string, n int) string { return fmt.Sprintf("%s/%s%d", device, kind, n) }
	after := map[string][]*journal.Photo{}
	for _, p := range f.s.Photos {
		if p.Tags.Role == "after" && (p.Kind == "clean" || p.Kind == "seam" || p.Kind == "paint") {
			after[p.Tags.Build] = append(after[p.Tags.Build], p)
		}
	}
	photo := func(b, n int) string {
		some := after[f.s.Builds[b].ID]
		return some[n%len(some)].Hash
	}
	for n := range 48 {
		left, right := n%3, (n+1+n/3%2)%3
		outcome := "right"
		switch {
		case n%7 == 0:
			outcome = "no difference"
		case n%5 == 0 || left > right:
			outcome = "left"
		}
		criterion := 1
		if n > 40 {
			criterion = 4 // too few to tell
		}
		f.s.Verdicts = append(f.s.Verdicts, journal.Verdict{
			Left: photo(left, n), Right: photo(right, n/2), Criterion: criterion, Outcome: outcome, At: when, Record: id("v", n),
		})
	}
	for n := range 30 {
		m := journal.Mark{Photo: photo(n%3, n/3), Criterion: []int{1, 4}[n/15], Score: min(4, n%3+n%2+n/12), NA: n == 7, Rubric: journal.Rubric, At: when, Record: id("m", n)}
		f.s.Marks = append(f.s.Marks, m)
	}
	for n := range 14 {
		b := n % 3
		kind, stage, cause := "gouge", "clean", "blunt blade"
		if n%4 == 3 {
			kind, stage, cause = `run & "sag"`, "paint", ""
		}
		s := f.s.SessionsOf(f.s.Builds[b].ID)[1+n%3]
		f.s.Mistakes = append(f.s.Mistakes, journal.Mistake{
			Build: s.Build, Stage: stage, Kind: kind, Parts: []journal.PartRef{{Kit: 2, Runner: "A", Number: fmt.Sprint(n + 1), Count: 1 + n%2}},
			Cause: cause, Mended: "filled", Lost: time.Duration(n) * time.Minute, At: s.Start.Add(time.Minute), Record: id("s", n),
		})
	}
	first := f.s.SessionsOf("lightship")[1].Start
	for i, one := range f.s.SessionsOf("pilot-boat") {
		if one.Kind == "clean" && i%2 == 1 {
			one.Tools = []string{"glass file"}
		}
	}
	f.s.Trials = []*journal.Trial{
		{ID: id("t", 1), What: "glass file", Tool: "glass file", Question: "Cleaner gates?", Build: "pilot-boat", At: at("2021-04-01"), Closed: at("2021-05-01"),
			Observations: []journal.Observation{{Text: "No gouges on <flat> gates.", Photo: photo(0, 0), Record: id("o", 1), At: at("2021-04-03")}},
			Review:       "Kept for **flat** gates.\n\n# Why\n\n<script>alert(1)</script>\n"},
		{ID: id("t", 2), What: "thin cement", Tool: "thin cement", Build: "lightship", At: first,
			Observations: []journal.Observation{{Text: "Creeps under the fingers.", Record: id("o", 2), At: first}}},
	}
	f.s.Builds[2].Kits = []journal.Kit{
		{Title: "Hull", Runners: []journal.Runner{{Letter: "A", Parts: []string{"1", "2", "3"}, Class: "flat"}}},
		{Title: "Tender", Runners: []journal.Runner{{Letter: "B", Parts: make([]string, 90), Class: "flat"}, {Letter: "C", Parts: make([]string, 20), Class: "clear"}}},
	}
	for _, r := range f.s.Builds[2].Kits[1].Runners {
		for i := range r.Parts {
			r.Parts[i] = fmt.Sprint(i + 1)
		}
	}
}

// book adds what was said of the lightship's parts, and of the hands.
func (f *fixture) book() {
	b, when := f.s.Builds[2], at("2024-06-08")
	b.Kits[1].Runners[1].NotUsed, b.Kits[1].Runners[1].Missing = []string{"20"}, []string{"19"}
	for i, one := range f.s.SessionsOf(b.ID) {
		if one.Kind == "clean" {
			one.Tallies = []journal.Tally{{At: one.Start.Add(10 * time.Minute), Parts: parts(1, "A", 1, 2), Record: fmt.Sprintf("%s/d%d", device, i)},
				{Parts: parts(2, "B", 10*i, 10*i+9), Record: fmt.Sprintf("%s/d%d", device, 20+i)}}
		}
		if i == 4 {
			one.Tallies = append(one.Tallies, journal.Tally{At: one.Start.Add(time.Hour), Parts: parts(1, "A", 2, 2), Back: true, Why: "stub <left>", Record: device + "/d9"})
		}
	}
	photo := byDay(f.s, "2024-02-10")
	photo.Tags.Parts = parts(1, "A", 1, 1)
	n := 0
	noted := func(parts []journal.PartRef, sub, text string) (journal.Noted, journal.Written) {
		n++
		return journal.Noted{Build: b.ID, Parts: parts, Sub: sub, Text: text, At: when.Add(time.Duration(n) * time.Minute)}, journal.Written{Record: fmt.Sprintf("%s/b%d", device, n)}
	}
	check := func(state string, of ...journal.PartRef) {
		n, w := noted(of, "", "")
		f.s.Checks = append(f.s.Checks, journal.Checked{CheckedBody: journal.CheckedBody{Noted: n, State: state}, Written: w})
	}
	check("damaged", parts(2, "C", 3, 3)...)
	check("asked", parts(2, "C", 4, 5)...)
	sub := func(name, text string, of []journal.PartRef) {
		n, w := noted(of, name, text)
		f.s.Subs = append(f.s.Subs, journal.Sub{SubBody: journal.SubBody{Noted: n}, Written: w})
	}
	sub("lamp house", "", parts(2, "C", 1, 12))
	sub(`mast & "yard"`, "stays loose until paint", parts(2, "B", 1, 3))
	hold := func(what, of string, hours float64, parts []journal.PartRef, sub, text string) {
		n, w := noted(parts, sub, text)
		f.s.Holds = append(f.s.Holds, journal.Hold{HoldBody: journal.HoldBody{Noted: n, Is: what, Of: of, Hours: hours}, Written: w})
	}
	hold("curing", "filler", 24, parts(1, "A", 1, 1), "", "")
	hold("unglued", "", 0, nil, "lamp house", "roof lifts off")
	hold("masked", "", 0, parts(2, "C", 1, 2), "", "")
	prep := func(p journal.PrepBody, parts []journal.PartRef, sub string) {
		var w journal.Written
		text := p.Text
		p.Noted, w = noted(parts, sub, text)
		f.s.Preps = append(f.s.Preps, journal.Prep{PrepBody: p, Written: w})
	}
	prep(journal.PrepBody{Is: "pegs", Angle: "45°", Side: "left one short"}, parts(1, "A", 1, 1), "")
	prep(journal.PrepBody{Is: "gates-together", With: parts(1, "A", 2, 2)}, parts(1, "A", 1, 1), "")
	prep(journal.PrepBody{Is: "pull", Noted: journal.Noted{Text: "from below"}}, nil, "lamp house")
	prep(journal.PrepBody{Is: "store", Noted: journal.Noted{Text: "tub 3, cell <b>"}}, parts(2, "B", 40, 60), "")
	f.s.Mixes = []journal.Mix{
		{Build: b.ID, Name: "hull red", Recipe: []journal.MixPart{{What: "red", Parts: 3}, {What: "water", Parts: 1, Thins: true}}, Coats: 2, Batch: "7", Parts: parts(1, "A", 1, 3), Photo: photo.Hash, At: when, Record: device + "/m1"},
		{Build: b.ID, Name: "lamp white", Sub: "lamp house", Text: "warm", At: when.Add(time.Hour), Record: device + "/m2"},
	}
	f.s.Additions = []journal.Addition{
		{Build: b.ID, Kind: "addition", Text: "rails of wire", Where: "foredeck", Parts: parts(1, "A", 3, 3), At: when, Record: device + "/a1"},
		{Build: b.ID, Kind: "reference", Text: "plan of 1908", At: when, Record: device + "/a2"},
	}
	f.s.Sandings = []journal.SandingPlan{{Build: b.ID, Parts: parts(1, "A", 1, 3), Surface: "flat", Finish: "primed", Remove: "nub", Text: "mind the rivets",
		Steps: []sanding.Step{{Grit: 400, Scale: "P", Backing: "hard block", Check: "no step is felt"}, {Grit: 800, Scale: "P", Wet: true}}, At: when, Record: device + "/p1"}}
	for i, what := range []string{"sore", "blister", "rest", ""} {
		n, w := noted(nil, "", "")
		session := ""
		if i < 3 {
			session = f.s.SessionsOf(b.ID)[1+i].ID
		}
		f.s.Hands = append(f.s.Hands, journal.Hands{HandsBody: journal.HandsBody{Noted: n, Session: session, Is: what}, Written: w})
	}
}

// parts are those of a runner from one number to another.
func parts(kit int, runner string, from, to int) (out []journal.PartRef) {
	for n := from; n <= to; n++ {
		out = append(out, journal.PartRef{Kit: kit, Runner: runner, Number: fmt.Sprint(n), Count: 1})
	}
	return out
}

const concept = `A lightship on a slow swell, lamp lit.

### Before paint

- [x] Fill the sink marks
- [ ] Scribe the hatch

### Sea

- [x] Carve the swell

| Part | Color |
|:-----|------:|
| Hull | red   |

<script>alert(1)</script>

### Supplies

- [ ] mast wire, 0.2 mm (ordered 2024-06-01; cost 4.50)
- [ ] clear gel
- [x] brass rod
`

const diary = `The raking lamp shows no step at the keel.

## Zählung der Nähte

![Keel under the low lamp](%s "The keel, at last")

![map](../../attic/map.png) and [a file](../../notes.txt)

> A note[^1].

[^1]: Wet paper, grit 800.
`

func at(day string) time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		panic(err)
	}
	return t.Add(19*time.Hour + 30*time.Minute)
}

// build adds a build with sessions and photos of five kinds of work.
func (f *fixture) build(id, title, scale, from, to string, speed float64) {
	b := &journal.Build{ID: id, Title: title, Scale: scale, Started: from, Finished: to, Finish: "painted"}
	for _, k := range []string{"plan", "clean", "seam", "prime", "paint", "decal", "wait"} {
		b.Stages = append(b.Stages, journal.Stage{ID: k, Title: journal.Title(k), Kind: k})
	}
	f.s.Builds = append(f.s.Builds, b)
	day := at(from)
	n := len(f.s.Builds)
	for i, kind := range []string{"plan", "clean", "clean", "clean", "clean", "seam", "seam", "seam", "prime", "paint"} {
		day = day.AddDate(0, 0, 9)
		f.session(id, kind, day, speed, n == 1 && kind == "seam")
		if i%2 == 1 || kind == "paint" {
			role := map[bool]string{true: "after", false: "before"}[i > 2]
			light := "diffuse"
			if kind == "seam" && n == 1 {
				light = "raking"
			}
			f.photo(id, kind, role, "left", light, day.Add(40*time.Minute))
		}
	}
	if to != "" {
		f.photo(id, "paint", "finished", "three-quarter", "diffuse", at(to))
	}
	switch n {
	case 1:
		f.photo(id, "", "", "", "", at("2021-05-01"))
	case 3:
		p := f.photo("", "", "", "", "", at("2024-03-01"))
		p.Instant.Source, p.Instant.Doubts = "file time", reason.Doubts{{Is: reason.FileTime}}
		p = f.photo(id, "clean", "before", "left", "diffuse", at("2024-01-20"))
		p.Caption = `Before, with "quotes" & <b>signs</b>`
		p.Guess = true
		p = f.photo(id, "clean", "after", "left", "diffuse", at("2024-02-10"))
		p.Width, p.Height = 700, 525 // smaller than the middle size
		// A burst, for which the second stands.
		burst := []*journal.Photo{}
		for i := range 3 {
			p := f.photo(id, "paint", "after", "left", "diffuse", at("2024-05-04").Add(time.Duration(i)*time.Second))
			p.Instant.Corrected = reason.Fault{Fast: 63 * time.Minute}
			burst = append(burst, p)
		}
		for _, p := range burst {
			p.Burst = burst[1].Hash
		}
		p = f.photo(id, "paint", "finished", "left", "diffuse", at("2024-05-05"))
		p.Format, p.Width, p.Height = "nef", 0, 0 // no picture in it
		f.s.Asides = []journal.Aside{{Path: "inbox/aside/" + secretFolder + "/" + secretName, CopyOf: burst[1].Hash, Why: reason.Link{By: reason.SmallerCopy, Name: secretName}}}
	}
}

func (f *fixture) session(build, kind string, start time.Time, speed float64, remembered bool) {
	length := 70 + f.rng.IntN(40)
	s := &journal.Session{
		ID: fmt.Sprintf("%s/%d", device, len(f.s.Sessions)+1), Build: build, Stage: kind, Kind: kind, Class: "flat",
		Start: start, End: start.Add(time.Duration(length) * time.Minute), Net: time.Duration(length) * time.Minute,
		Date: start.Format(time.DateOnly), Known: journal.Measured, Counted: kind != "plan",
	}
	if s.Counted {
		s.Bare = int(speed * float64(length) / 4 * (0.8 + 0.4*f.rng.Float64()))
		if kind != "clean" {
			s.Bare /= 5
		}
	}
	if remembered {
		s.Known, s.Date, s.Note = journal.Remembered, start.Format("2006-01"), "about an evening"
	}
	f.s.Sessions = append(f.s.Sessions, s)
}

func (f *fixture) photo(build, stage, role, view, light string, when time.Time) *journal.Photo {
	sum := fmt.Sprintf("%x", sha256.Sum256(fmt.Append(nil, len(f.s.Photos))))
	p := &journal.Photo{
		Hash: sum, Path: "photos/" + sum[:8] + ".jpg", Name: secretName, Folder: secretFolder,
		Format: "jpeg", Width: 1600, Height: 1200, Turn: 1, Camera: journal.Camera{Make: "Lumen", Model: "Two", Serial: secretSerial},
		Instant: journal.Instant{At: when, Source: "DateTimeOriginal"}, Kind: stage,
		Tags: journal.Tags{Build: build, Stage: stage, Role: role, View: view, Light: light},
		Why:  map[string]reason.Why{"build": {By: reason.Folder, Name: secretFolder}},
	}
	f.s.Photos = append(f.s.Photos, p)
	return p
}

// byDay is the first photo of a day.
func byDay(s *journal.State, date string) *journal.Photo {
	i := slices.IndexFunc(s.Photos, func(p *journal.Photo) bool { return p.Instant.At.Format(time.DateOnly) == date })
	return s.Photos[i]
}

// smallView is the fixture looked at, with its diary naming one of its photos.
func smallView() *view { return named(viewOf(smallState(), time.Time{}, map[string]noShow{})) }

// named is a view of a journal that has records.
func named(v *view) *view {
	v.identity = "bench-0011aabb"
	return v
}

// readersOf is a state looked at for readers.
func readersOf(s *journal.State) *view {
	s = s.ForReaders(ownWords)
	return named(viewWith(s, Options{Edition: ForReaders}, originalsOf(s), map[string]noShow{}))
}

func smallState() *journal.State {
	s := small()
	for i, d := range s.Diary {
		if d.Body == diary {
			s.Diary[i].Body = fmt.Sprintf(diary, byDay(s, "2024-02-10").Short())
		}
	}
	return s
}

// inEnglish is the voice of the builder's own pages.
var inEnglish = Options{}.voice()

// viewOf looks at the state as the builder does. Today zero means the latest thing in it.
func viewOf(s *journal.State, today time.Time, unshown map[string]noShow) *view {
	return viewWith(s, Options{Today: today}, originalsOf(s), unshown)
}
