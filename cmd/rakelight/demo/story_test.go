// Tests that what the demo tells could have happened: the rules of the trade, as code.

package demo

import (
	"fmt"
	"image/color"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
	"rakelight/media/scene"
)

// told is a journal with what the stories say before any photo is taken in, and
// their evenings.
func told(t *testing.T) (*journal.Journal, moments) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "bench")
	if err := journal.Create(dir, "bench", zoneName, Today); err != nil {
		t.Fatal(err)
	}
	for _, p := range stories {
		if err := writeProse(dir, p); err != nil {
			t.Fatal(err)
		}
	}
	j, err := journal.OpenAt(dir, storyClock)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range stories {
		said, _, err := p.tell(j)
		if err == nil {
			_, err = entry.DoAll(j, said...)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	all, err := momentsOf(j.State)
	if err != nil {
		t.Fatal(err)
	}
	return j, all
}

// TestStoryCounts holds that a part is cut, then cleaned, then tried, then glued, each
// once; that a finished build has had all its parts through that, and that no part that
// is not for use was touched.
func TestStoryCounts(t *testing.T) {
	j, all := told(t)
	order := []string{"cut", "clean", "dry-fit", "assemble"}
	needs := map[string]string{"clean": "cut", "dry-fit": "clean", "assemble": "clean"}
	for _, b := range j.State.Builds {
		done := map[string]map[string]time.Time{} // stage, part → its evening
		for _, stage := range order {
			done[stage] = map[string]time.Time{}
		}
		for _, one := range all[b.ID] {
			for _, ref := range one.parts {
				part := ref.String()
				if was, ok := done[one.stage][part]; ok {
					t.Errorf("%s: %s of %s on %s was done on %s", b.ID, one.stage, part, one.start, was)
				}
				if need := needs[one.stage]; need != "" && !done[need][part].Before(one.start) || need != "" &&
					done[need][part].IsZero() {
					t.Errorf("%s: %s of %s on %s, before its %s", b.ID, one.stage, part, one.start, need)
				}
				if one.stage == "dry-fit" && !done["assemble"][part].IsZero() {
					t.Errorf("%s: %s is glued before it is tried", b.ID, part)
				}
				done[one.stage][part] = one.start
			}
		}
		total := 0
		for k, kit := range b.Kits {
			for _, r := range kit.Runners {
				total += len(r.Parts) - len(r.NotUsed)
				for _, n := range r.NotUsed {
					ref := journal.PartRef{Runner: r.Letter, Number: n, Count: 1}
					if len(b.Kits) > 1 {
						ref.Kit = k + 1
					}
					for stage, parts := range done {
						if _, ok := parts[ref.String()]; ok {
							t.Errorf("%s: %s of %s, which is not for use", b.ID, stage, ref)
						}
					}
				}
			}
		}
		for _, stage := range []string{"cut", "clean", "assemble"} {
			if n := len(done[stage]); b.Finished != "" && n != total || n > total {
				t.Errorf("%s: %d parts of %d went through %s", b.ID, n, total, stage)
			}
		}
		sums := map[string]int{}
		for _, one := range all[b.ID] {
			if len(one.parts) == 0 {
				sums[one.stage] += one.done
			}
			if _, counts := metrics.CountedKind(one.stage); counts != (one.done > 0) && one.pause == 0 {
				t.Errorf("%s: %d done of %s on %s", b.ID, one.done, one.stage, one.start)
			}
		}
		for stage, most := range b.Totals {
			if sums[stage] > most {
				t.Errorf("%s: %d done of %s, and build.md says %d", b.ID, sums[stage], stage, most)
			}
		}
	}
}

// TestStoryOrder holds the order that a painted kit is finished in.
func TestStoryOrder(t *testing.T) {
	j, all := told(t)
	for _, b := range j.State.Builds {
		type span struct{ first, last time.Time }
		of := map[string]span{} // by kit and stage
		key := func(kit int, stage string) string { return fmt.Sprint(kit, stage) }
		looped := false
		for _, one := range all[b.ID] {
			s := of[key(one.kit, one.stage)]
			if s.first.IsZero() {
				s.first = one.start
			}
			s.last = one.end
			of[key(one.kit, one.stage)] = s
			looped = looped || one.stage == "seam" && !of[key(one.kit, "prime")].first.IsZero()
		}
		for kit := range len(b.Kits) + 1 {
			// The whole of the earlier stage lies before the first of the later one.
			for _, pair := range [][2]string{{"inspect", "cut"}, {"plan", "cut"}, {"cut", "dry-fit"}, {"dry-fit", "assemble"},
				{"cut", "prime"}, {"clean", "prime"}, {"assemble", "prime"}, {"prime", "paint"}, {"paint", "gloss"},
				{"gloss", "decal"}, {"decal", "line"}, {"decal", "weather"}, {"decal", "top-coat"}, {"detail", "gloss"},
				{"weather", "top-coat"}, {"line", "top-coat"}} {
				a, z := of[key(kit, pair[0])], of[key(kit, pair[1])]
				if !a.last.IsZero() && !z.first.IsZero() && a.last.After(z.first) {
					t.Errorf("%s: %s until %s, %s from %s", b.ID, pair[0], a.last, pair[1], z.first)
				}
				if decal := of[key(kit, "decal")]; !decal.first.IsZero() && of[key(kit, "gloss")].first.IsZero() {
					t.Errorf("%s: decals without gloss below them", b.ID)
				}
			}
			prime, glued := of[key(kit, "prime")], of[key(kit, "assemble")]
			if !prime.first.IsZero() && glued.first.IsZero() {
				t.Errorf("%s, kit %d: primed on %s, and not put together", b.ID, kit, prime.first)
			}
		}
		if !looped && !all.primed(b.ID).IsZero() {
			t.Errorf("%s: the primer showed nothing: no seam work after it", b.ID)
		}
		last := all[b.ID][len(all[b.ID])-1]
		if b.Finished != "" && (last.stage != "top-coat" || !last.last || last.end.Format(time.DateOnly) != b.Finished) {
			t.Errorf("%s is finished on %s, and its last evening is %s on %s", b.ID, b.Finished, last.stage, last.end)
		}
		if first := all[b.ID][0]; first.start.Format(time.DateOnly) != b.Started {
			t.Errorf("%s is begun on %s, and its first evening is %s", b.ID, b.Started, first.start)
		}
	}
}

// TestStoryEvenings holds that one person can have sat at these evenings, and that a
// pause says why, what next and what it waits for, and has no evening in it.
func TestStoryEvenings(t *testing.T) {
	_, all := told(t)
	evenings := slices.SortedFunc(func(yield func(sitting) bool) {
		for _, some := range all {
			for _, one := range some {
				if !yield(one) {
					return
				}
			}
		}
	}, func(a, b sitting) int { return a.start.Compare(b.start) })
	pauses, aside := 0, 0
	var before sitting // the evening before, of whatever build
	for _, one := range evenings {
		if one.pause == 0 {
			if one.start.Before(before.end) {
				t.Errorf("%s on %s begins before %s has ended on %s", one.stage, one.start, before.stage, before.end)
			}
			before = one
		}
		if one.pause == forever {
			aside++
		} else if !one.end.After(one.start) || one.end.After(Today) {
			t.Errorf("%s from %s to %s", one.stage, one.start, one.end)
		}
		if one.pause == 0 {
			if length := one.end.Sub(one.start); length > 3*time.Hour || length < 8*time.Minute {
				t.Errorf("%s on %s took %s", one.stage, one.start, length)
			}
			continue
		}
		pauses++
		if one.why == "" || one.next == "" || one.waiting == "" {
			t.Errorf("the pause of %s lacks an answer: %q, %q, %q", one.start, one.why, one.next, one.waiting)
		}
	}
	if pauses == aside || aside != 1 {
		t.Errorf("%d pauses, and %d builds are put aside to this day", pauses, aside)
	}
	for build, some := range all {
		for i, one := range some {
			if i > 0 && one.start.Before(some[i-1].end) {
				t.Errorf("%s: work on %s, in a pause", build, one.start)
			}
		}
	}
}

// primed is when the first primer went onto a build, zero when none did.
func (m moments) primed(build string) time.Time {
	for _, one := range m[build] {
		if one.stage == "prime" {
			return one.start
		}
	}
	return time.Time{}
}

// TestStorySaid holds that what reaches the journal is the evenings: the entries, and
// for the build kept with cards alone, the cards.
func TestStorySaid(t *testing.T) {
	j, all := told(t)
	for _, p := range stories {
		b := j.State.Build(p.id)
		if !p.cards {
			var got int
			for _, one := range j.State.SessionsOf(p.id) {
				got += len(one.Parts)
			}
			want := 0
			for _, one := range all[p.id] {
				want += len(one.parts)
			}
			if got != want {
				t.Errorf("%s: the journal has %d parts worked on, the story %d", p.id, got, want)
			}
			continue
		}
		_, shots, err := p.tell(j)
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range all[p.id] {
			if one.pause > 0 {
				continue
			}
			n := 0
			for _, s := range shots {
				if s.cards == nil || s.taken.Before(one.start) || s.taken.After(one.end) {
					continue
				}
				for _, placed := range s.cards.Cards {
					switch c := placed.Face.Card; c.Says {
					case journal.CountCard:
						n += c.Count
					case journal.RunnerCard:
						n += len(work{kit: c.Kit, runners: c.Word}.refs(b))
					}
				}
			}
			if n != one.done {
				t.Errorf("%s on %s: the cards say %d done, the story %d", one.stage, one.start, n, one.done)
			}
		}
	}
}

// words are all texts of the demo that somebody reads, by build.
func words(t *testing.T, j *journal.Journal) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	for _, p := range stories {
		out[p.id] = append(out[p.id], p.build)
		for _, day := range slices.Sorted(maps.Keys(p.diary)) {
			out[p.id] = append(out[p.id], p.diary[day])
		}
		for _, w := range p.work {
			out[p.id] = append(out[p.id], w.why, w.next, w.waiting)
		}
	}
	for _, one := range workedWith {
		said := one.say(one.build, Today)
		out[one.build] = append(out[one.build], fmt.Sprintf("%+v", said))
	}
	for _, one := range trials {
		out[one.build] = append(out[one.build], one.question, strings.Join(one.notes, " "), one.review)
	}
	for _, m := range slips {
		out[""] = append(out[""], m.mended, m.taught, strings.Join(m.causes, ", "))
	}
	said, err := booked(j.State)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range said {
		out[""] = append(out[""], fmt.Sprintf("%+v", one))
	}
	return out
}

// A number of the usual series of grits (FEPA 43-2 for P grades, and what is printed
// on sheets for the hobby) that has no scale before it.
var bareGrit = regexp.MustCompile(
	`(^|[^P/\d-])(120|150|180|220|240|280|320|360|400|500|600|800|1000|1200|1500|2000|2500|3000)\b`)

// TestStoryGrits holds that each grit says of which scale it is.
func TestStoryGrits(t *testing.T) {
	j, _ := told(t)
	dates := regexp.MustCompile(`\d{4}-\d{2}-\d{2}[T ]?[\d:.]*|\d\d:\d\d:\d\d|1/\d+`)
	grits := 0
	for build, texts := range words(t, j) {
		for _, text := range texts {
			grits += strings.Count(text, "P1000") + strings.Count(text, "P600")
			text = dates.ReplaceAllString(text, "")
			if bare := bareGrit.FindString(text); bare != "" || strings.Contains(strings.ToLower(text), "grit ") {
				t.Errorf("%s: a grit without its scale (%s) in %q", build, bare, text)
			}
		}
	}
	if grits == 0 {
		t.Error("no grit is named anywhere")
	}
}

// shades tell which paints a color word can stand for: by hue in degrees, saturation
// and value from 0 to 1. Common usage, no source.
var shades = map[string]func(h, s, v float64) bool{
	"black":  func(_, s, v float64) bool { return v < 0.27 && s < 0.5 },
	"white":  func(_, s, v float64) bool { return v > 0.9 && s < 0.12 },
	"cream":  func(h, s, v float64) bool { return v > 0.8 && s > 0.08 && s < 0.3 && h > 30 && h < 70 },
	"sand":   func(h, s, v float64) bool { return v > 0.6 && s > 0.25 && s < 0.5 && h > 25 && h < 55 },
	"yellow": func(h, s, v float64) bool { return v > 0.6 && s > 0.5 && h > 42 && h < 70 },
	"orange": func(h, s, v float64) bool { return v > 0.6 && s > 0.6 && h > 14 && h < 42 },
	"red":    func(h, s, v float64) bool { return v > 0.4 && s > 0.5 && (h < 14 || h > 346) },
	"green":  func(h, s, v float64) bool { return v > 0.15 && s > 0.2 && h > 70 && h < 185 },
	"blue":   func(h, s, v float64) bool { return v > 0.2 && s > 0.3 && h > 190 && h < 260 },
}

// hsv is a color as hue, saturation and value (A. R. Smith, SIGGRAPH 1978).
func hsv(c color.RGBA) (h, s, v float64) {
	r, g, b := float64(c.R)/255, float64(c.G)/255, float64(c.B)/255
	v = max(r, g, b)
	d := v - min(r, g, b)
	switch {
	case d == 0:
		return 0, 0, v
	case v == r:
		h = 60 * (g - b) / d
	case v == g:
		h = 60*(b-r)/d + 120
	default:
		h = 60*(r-g)/d + 240
	}
	if h < 0 {
		h += 360
	}
	return h, d / v, v
}

// colorOfThing finds a color word said of the whole: "green hull", "hull black".
var colorOfThing = regexp.MustCompile(`(?i)\b(black|white|cream|sand|yellow|orange|red|green|blue) ` +
	`(?:hull|lightship|seaplane|lorry|pilot boat)\b|\b(?:hull|lightship|lorry|mail) ` +
	`(black|white|cream|sand|yellow|orange|red|green|blue)\b`)

// TestStoryColors holds that the words name the colors that the pictures show: each
// color word is a paint of the model, its main one where it is said of the whole, and
// the build's own page names that.
func TestStoryColors(t *testing.T) {
	j, _ := told(t)
	all := words(t, j)
	recipe := regexp.MustCompile(`Recipe:.*? (Coats|Parts):`) // ingredients are not what is seen
	said := regexp.MustCompile(`(?i)\b(black|white|cream|sand|yellow|orange|red|green|blue)\b`)
	for _, p := range stories {
		paints := scene.Colors(p.model)
		if p.second != "" {
			paints = append(paints, scene.Colors(p.second)...)
		}
		isMain := func(word string) bool { return shades[strings.ToLower(word)](hsv(paints[0])) }
		named := false
		for _, text := range all[p.id] {
			text = strings.NewReplacer("white glue", "glue").Replace(recipe.ReplaceAllString(text, ""))
			for _, m := range said.FindAllString(text, -1) {
				named = named || isMain(m) && text == p.build
				if !slices.ContainsFunc(paints, func(c color.RGBA) bool { return shades[strings.ToLower(m)](hsv(c)) }) {
					t.Errorf("%s has no %s paint: %q", p.id, m, text)
				}
			}
			for _, m := range colorOfThing.FindAllStringSubmatch(text, -1) {
				if word := m[1] + m[2]; !isMain(word) {
					t.Errorf("%s is drawn in %v, and not %s: %q", p.id, paints[0], word, text)
				}
			}
		}
		if !named {
			t.Errorf("the page of %s does not name its main color, %v", p.id, paints[0])
		}
	}
}

// TestStoryDays holds that words are of evenings at the bench, or of a show once the
// build is done; that each mistake has what it taught; and that the newest week has
// words for each of several days.
func TestStoryDays(t *testing.T) {
	j, all := told(t)
	year, week := Today.ISOWeek()
	worked, worded := map[string]bool{}, map[string]bool{} // days of the newest week
	pictures := 0                                          // in its words
	for _, p := range stories {
		b := j.State.Build(p.id)
		bench := map[string]bool{}
		for _, one := range all[p.id] {
			day := one.start.Format(time.DateOnly)
			bench[day] = bench[day] || one.pause == 0
			if y, w := one.start.ISOWeek(); y == year && w == week {
				worked[day] = true
			}
		}
		shows, open := 0, strings.Contains(p.build, "- [ ]")
		for day, text := range p.diary {
			at, err := time.Parse(time.DateOnly, day)
			if err != nil || at.After(Today) {
				t.Errorf("%s: words of %s", p.id, day)
			}
			if y, w := at.ISOWeek(); y == year && w == week {
				worded[day] = true
				pictures += len(photoNamed.FindAllString(text, -1))
				if strings.Count(text, "\n\n") < 2 {
					t.Errorf("%s: one paragraph alone of %s", p.id, day)
				}
			}
			switch show := strings.Contains(text, " show"); {
			case bench[day]:
			case show && b.Finished != "" && day > b.Finished:
				shows++
			default:
				t.Errorf("%s has words of %s, which is no day at the bench: %q", p.id, day, text)
			}
		}
		if b.Finished != "" && (shows != 1 || open) {
			t.Errorf("%s is finished, with %d shows; open tasks: %t", p.id, shows, open)
		}
		if b.Finished == "" && (!open || b.ReadyBy == "" && !p.laidAside()) {
			t.Errorf("%s is open: tasks %t, ready by %q", p.id, open, b.ReadyBy)
		}
	}
	if len(worked) < 3 || !maps.Equal(worked, worded) {
		t.Errorf("in the newest week there is work on %v and words of %v", worked, worded)
	}
	if pictures < 3 {
		t.Errorf("the words of the newest week show %d photos", pictures)
	}
	for _, m := range slips {
		if m.taught == "" || m.mended == "" || len(m.causes) == 0 {
			t.Errorf("a %s teaches nothing", m.kind)
		}
	}
}

// TestStoryMasks holds that clear parts are bare or masked while paint flies: glued in
// after the top coat, or under masks from before the primer until the top coat is on.
func TestStoryMasks(t *testing.T) {
	j, all := told(t)
	said, err := booked(j.State)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range j.State.Builds {
		var clear []string
		for _, r := range b.Kits[0].Runners {
			if r.Class == "clear" {
				clear = append(clear, r.Letter)
			}
		}
		if len(clear) == 0 || all.primed(b.ID).IsZero() {
			continue
		}
		var primed, coated, masked, bared time.Time
		for _, one := range all[b.ID] {
			switch {
			case one.stage == "prime" && primed.IsZero():
				primed = one.start
			case one.stage == "top-coat":
				coated = one.end
			}
		}
		for _, one := range said {
			switch one := one.(type) {
			case entry.Hold:
				if one.Build == b.ID && one.Is == "masked" && strings.HasPrefix(one.Parts, clear[0]) {
					masked = one.At
				}
			case entry.Release:
				if one.Build == b.ID && strings.HasPrefix(one.Parts, clear[0]) {
					bared = one.At
				}
			}
		}
		if masked.IsZero() || !masked.Before(primed) || bared.Before(coated) {
			t.Errorf("%s: masked %s, primed %s, top coat %s, masks off %s", b.ID, masked, primed, coated, bared)
		}
	}
}

// TestBookMeetsStory holds that what is said of work in the bench book is said on an
// evening of that build, of parts that exist, and that a part was cut by then.
func TestBookMeetsStory(t *testing.T) {
	j, all := told(t)
	said, err := booked(j.State)
	if err != nil {
		t.Fatal(err)
	}
	during := func(build string, at time.Time) bool {
		return slices.ContainsFunc(all[build], func(one sitting) bool {
			return one.pause == 0 && !at.Before(one.start) && !at.After(one.end)
		})
	}
	cut := func(build, part string) time.Time {
		for _, one := range all[build] {
			if one.stage == "cut" && slices.ContainsFunc(one.parts,
				func(r journal.PartRef) bool { return r.String() == part }) {
				return one.start
			}
		}
		return time.Time{}
	}
	first := func(parts string) string {
		return strings.FieldsFunc(parts, func(r rune) bool { return r == ',' || r == '-' })[0]
	}
	before := time.Time{}
	for _, one := range said {
		var a entry.About
		apart := true // the work is on single parts that are off the runner
		switch one := one.(type) {
		case entry.CheckParts:
			if a = one.About; one.State == "come" {
				if at := cut(a.Build, a.Parts); !a.At.Before(at) {
					t.Errorf("%s: %s came on %s and was cut on %s", a.Build, a.Parts, a.At, at)
				}
			}
			if one.State == "come" || one.State == "asked" {
				continue // by post
			}
			apart = false
		case entry.SubAssembly:
			a, apart = one.About, false
		case entry.Prep:
			a = one.About
		case entry.Hold:
			a = one.About
		case entry.Hands:
			a, apart = one.About, false
		case entry.Release:
			a, apart = entry.About{Build: one.Build, Parts: one.Parts, At: one.At}, false
		default:
			t.Fatalf("a %T in the book", one)
		}
		if !during(a.Build, a.At) {
			t.Errorf("%T of %s at %s is on no evening of the build", one, a.Build, a.At)
		}
		if apart && a.Parts != "" && strings.ContainsAny(first(a.Parts), "0123456789") {
			if at := cut(a.Build, first(a.Parts)); at.IsZero() || a.At.Before(at) {
				t.Errorf("%T of %s %s at %s, which is cut at %s", one, a.Build, a.Parts, a.At, at)
			}
		}
		before = a.At
	}
	if before.IsZero() {
		t.Error("the book is empty")
	}
}

// TestPicturesMeetStory holds that a picture shows no more than was done: nothing but
// runners of a kit that is not put together, and the finished views after all else.
func TestPicturesMeetStory(t *testing.T) {
	j, all := told(t)
	for _, p := range stories {
		_, shots, err := p.tell(j)
		if err != nil {
			t.Fatal(err)
		}
		last := all[p.id][len(all[p.id])-1]
		finished := 0
		for _, s := range shots {
			if s.cards != nil {
				continue
			}
			i := slices.IndexFunc(all[p.id], func(one sitting) bool {
				return one.pause == 0 && !s.taken.Before(one.start) && !s.taken.After(one.end)
			})
			if s.role == "finished" {
				finished++
				if s.taken.Before(last.end) {
					t.Errorf("%s is shown finished at %s, before its last evening", p.id, s.taken)
				}
				continue
			}
			if i < 0 {
				t.Errorf("%s: a photo of %s at %s, on no evening", p.id, s.scene.Kind, s.taken)
				continue
			}
			one := all[p.id][i]
			if s.scene.Kind != one.kindShown() {
				t.Errorf("%s at %s: the picture shows %s, the evening is %s", p.id, s.taken, s.scene.Kind, one.stage)
			}
			if want := []string{p.model, p.model, p.second}[min(one.kit, 2)]; s.scene.Model != want {
				t.Errorf("%s at %s: the picture shows the %s in place of the %s", p.id, s.taken, s.scene.Model, want)
			}
		}
		if done := j.State.Build(p.id).Finished != ""; done != (finished > 0) {
			t.Errorf("%s: finished %t, %d finished views", p.id, done, finished)
		}
	}
	alone, both := scene.Colors("lightship"), scene.Colors("tender")
	if slices.Contains(alone, both[0]) {
		t.Error("the lightship is drawn with the tender at its side")
	}
}
