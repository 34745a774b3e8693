// This file makes a journal of many years, to measure how the cost of a command
// grows: the stories that go on, over and over, each time as a build of its own, evening
// after evening, with as many photos as are asked for. Every record is one that the
// program writes, at the moment at which it would have been written; only the
// pictures are few, told apart by a comment in each file.

package demo

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/reason"
	"rakelight/journal/record"
	"rakelight/media/scene"
)

// Size is how large a journal Years makes.
type Size struct {
	Years  int // up to Today
	Builds int
	Photos int
}

// Years makes a journal of that size in dir, which must be new or empty. What is
// in it depends on the size alone.
func Years(ctx context.Context, dir string, size Size, report Report) error {
	if size.Years < 1 || size.Builds < 1 || size.Photos < 0 {
		return fmt.Errorf("%d builds and %d photos over %d years cannot be made", size.Builds, size.Photos, size.Years)
	}
	if err := journal.Create(dir, "The harbor bench", zoneName, Today); err != nil {
		return err
	}
	y := &years{dir: dir, size: size, book: record.Book{Dir: dir}, rng: rand.New(rand.NewPCG(uint64(size.Photos), 60)),
		report: report}
	if err := y.plan(); err != nil {
		return err
	}
	j, err := journal.OpenAt(dir, storyClock)
	if err != nil {
		return err
	}
	if n := len(j.State.Problems); n > 0 {
		return fmt.Errorf("the demo's own build files have a problem: %s", j.State.Problems[0].What)
	}
	y.zone = j.State.Zone
	for i, p := range y.builds {
		if err := y.build(ctx, p, j.State.Build(p.id), i); err != nil {
			return err
		}
	}
	return y.judge()
}

// years is such a journal in the making.
type years struct {
	dir      string
	size     Size
	book     record.Book
	rng      *rand.Rand
	report   Report
	zone     *time.Location
	builds   []story
	evenings int            // of all builds
	evening  int            // so far
	photos   int            // so far
	pictures map[string]int // place in drawn
	drawn    [][]byte
	finished []string // hashes of photos to be judged
}

var dates = regexp.MustCompile(`(?m)^(started|finished): .*\n`)

// plan writes what a person would have typed: a build.md for each build, begun
// one after the other over the years, and a day's words now and then.
func (y *years) plan() error {
	first := Today.AddDate(-y.size.Years, 0, 0)
	span := Today.Sub(first) / time.Duration(y.size.Builds)
	kinds := slices.DeleteFunc(slices.Clone(stories), story.laidAside)
	for i := range y.size.Builds {
		p := kinds[i%len(kinds)]
		model := p.id
		p.id = fmt.Sprintf("%s-%02d", model, i+1)
		p.seed, p.skill = uint64(i+1), min(0.9, 0.1+0.8*float64(i)/float64(y.size.Builds))
		p.speed = 1 + 0.5*float64(i)/float64(y.size.Builds)
		begun := first.Add(time.Duration(i) * span)
		p.first = begun.Format(time.DateOnly)
		front := "---\nstarted: " + p.first + "\n"
		if i+1 < y.size.Builds {
			front += "finished: " + begun.Add(span*9/10).Format(time.DateOnly) + "\n"
		}
		text := dates.ReplaceAllString(strings.TrimLeft(p.build, "\n"), "")
		p.build = strings.Replace(strings.Replace(text, "---\n", front, 1), "title: ",
			fmt.Sprintf("title: No. %d, ", i+1), 1)
		p.diary = map[string]string{}
		for n := range 12 {
			day := begun.Add(span * time.Duration(n) / 14).Format(time.DateOnly)
			p.diary[day] = fmt.Sprintf("# Evening %d\n\nWent on with the %s. The light was good, the hand was calm.\n",
				n+1, strings.ReplaceAll(model, "-", " "))
		}
		if err := writeProse(y.dir, p); err != nil {
			return err
		}
		for _, w := range p.work {
			y.evenings += w.evenings
		}
		y.builds = append(y.builds, p)
	}
	return nil
}

// build is the evenings of one build.
func (y *years) build(ctx context.Context, p story, b *journal.Build, nth int) error {
	day, err := time.ParseInLocation(time.DateOnly, p.first, y.zone)
	if err != nil {
		return err
	}
	evenings := 0
	for _, w := range p.work {
		evenings += w.evenings
	}
	step := Today.Sub(Today.AddDate(-y.size.Years, 0, 0)) / time.Duration(y.size.Builds) * 17 / 20
	n := 0
	for _, w := range p.work {
		if w.pause > 0 {
			continue
		}
		left := w.refs(b)
		for i := range w.evenings {
			if err := ctx.Err(); err != nil {
				return err
			}
			on := day.Add(step * time.Duration(n) / time.Duration(evenings))
			if n++; n == evenings/2 && nth%9 == 4 { // now and then one rests for two days
				from := on.Add(9 * time.Hour)
				if _, err := y.write(from, journal.PauseBody{Build: p.id, From: from.AddDate(0, 0, -2), Why: "no wire",
					Next: "the mast"}, journal.ResumeBody{Build: p.id, At: from}); err != nil {
					return err
				}
			}
			start := time.Date(on.Year(), on.Month(), on.Day(), 19, 5+y.rng.IntN(40), y.rng.IntN(60), 0, y.zone)
			share := left[len(left)*i/w.evenings : len(left)*(i+1)/w.evenings]
			if err := y.sit(p, b.Stage(w.stage), w, i, start, share); err != nil {
				return err
			}
		}
	}
	return nil
}

// sit is one evening at the bench.
func (y *years) sit(p story, st *journal.Stage, w work, nth int, start time.Time, parts []journal.PartRef) error {
	y.evening++
	y.report(y.evening, y.evenings, "evenings written")
	begin := journal.BeginBody{Build: p.id, Kit: w.kit, Stage: st.ID, Kind: st.Kind, Class: w.class, Start: start}
	if len(w.tools) > 0 {
		begin.Tools = w.tools[nth%len(w.tools) : nth%len(w.tools)+1]
	}
	begun, err := y.write(start, begin)
	if err != nil {
		return err
	}
	session := begun[0].ID()
	minutes := 40.0 + float64(y.rng.IntN(60))
	count := 0
	if len(parts) == 0 && w.perHour > 0 {
		count = w.count / w.evenings
	}
	if n := len(parts) + count; n > 0 {
		minutes = max(15, min(240, 60*float64(n)/(w.perHour*p.speed*math.Exp(0.16*y.rng.NormFloat64()))))
	}
	end := start.Add(time.Duration(minutes * float64(time.Minute))).Truncate(time.Second)
	said := []journal.Body{}
	half := start.Add(end.Sub(start) / 2)
	for i, some := range [][]journal.PartRef{parts[:len(parts)/2], parts[len(parts)/2:]} {
		if len(some) > 0 {
			said = append(said, journal.DoneBody{Session: session, Build: p.id, Stage: st.ID, Kit: w.kit,
				Class: w.class, Parts: some, At: []time.Time{half, end}[i]})
		}
	}
	if _, counts := metrics.CountedKind(st.Kind); counts && len(parts) == 0 {
		said = append(said, journal.DoneBody{Session: session, Build: p.id, Stage: st.ID, Kit: w.kit, Count: count,
			At: end})
	}
	if y.rng.IntN(6) == 0 {
		said = append(said, journal.BreakBody{Session: session, Start: half, End: half.Add(5 * time.Minute)})
	}
	if y.rng.IntN(25) == 0 {
		said = append(said, journal.NoteBody{Build: p.id, Session: session, Stage: st.ID, Text: "the peg was cut off",
			At: half})
	}
	if y.rng.IntN(40) == 0 {
		said = append(said, journal.MistakeBody{Build: p.id, Stage: st.ID, Kind: "gouge", Minutes: 5, At: half})
	}
	said = append(said, journal.EndBody{Session: session, End: end})
	taken, err := y.take(p, w, st, session, start, end)
	if err != nil {
		return err
	}
	_, err = y.write(end, append(said, taken...)...)
	return err
}

// write appends records as they were said at a moment, past the door. The door looks at a
// state as it is now and writes each thing said durably; for twenty years of evenings that
// would be a fold and a sync each, and photos do not come through it at all. What it would
// refuse or remark on, TestYearsAreWhole looks for in the whole.
func (y *years) write(at time.Time, said ...journal.Body) ([]record.Record, error) {
	add := make([]record.New, len(said))
	for i, body := range said {
		add[i] = record.New{Kind: body.RecordKind(), Body: body}
	}
	return y.book.Append(func() time.Time { return at }, add)
}

// take is the evening's share of the photos.
func (y *years) take(p story, w work, st *journal.Stage, session string, start, end time.Time) ([]journal.Body, error) {
	n := y.size.Photos*y.evening/y.evenings - y.photos
	var all []journal.Body
	for k := range n {
		role := "progress"
		switch {
		case k == 0 && n > 1:
			role = "before"
		case k == n-1:
			role = "after"
		}
		at := start.Add(end.Sub(start) * time.Duration(k+1) / time.Duration(n+1)).Truncate(time.Second)
		stray := y.photos%97 == 0 // one that nothing places: no folder, and hours from any session
		if stray {
			at = at.Add(-6 * time.Hour)
		}
		s := p.sight(w, role, float64(k)/float64(max(1, n-1)), at)
		s.hold(p.phone, y.photos)
		if stray {
			s.folder = ""
		}
		one, err := y.keep(s)
		if err != nil {
			return nil, err
		}
		why := reason.Why{By: reason.InSession, Session: &reason.Session{ID: session, Build: p.id, Stage: st.ID,
			Began: start.Format("2006-01-02 15:04")}}
		folder := reason.Why{By: reason.Folder, Name: role}
		one.Tags = journal.Tags{Build: p.id, Kit: w.kit, Stage: st.ID, Role: role, View: s.scene.View,
			Light: s.scene.Light}
		one.Why = reason.Whys{"build": why, "stage": why, "role": folder, "view": folder, "light": folder}
		if stray {
			one.Tags = journal.Tags{}
			one.Why = reason.Whys{"build": {By: reason.NoSession, Away: reason.Length(time.Hour)}}
		}
		all = append(all, one)
		if y.photos%31 == 0 && one.Tags.Build != "" {
			all = append(all, journal.TagBody{Photo: one.Hash, Set: journal.Tags{View: "front"}})
		}
		if role == "after" {
			y.finished = append(y.finished, one.Hash)
		}
		y.photos++
	}
	return all, nil
}

// keep writes a photo where it is kept: one of a few drawn pictures, with a
// comment that no other has.
func (y *years) keep(s shot) (journal.PhotoBody, error) {
	picture, err := y.picture(s)
	if err != nil {
		return journal.PhotoBody{}, err
	}
	words := fmt.Sprintf("%s, %s, photo %d", s.scene.Model, s.taken.Format(time.RFC3339), y.photos+1)
	data := commented(picture, words)
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	body := journal.PhotoBody{
		Hash: hash, Name: s.name, Folder: filepath.ToSlash(s.folder), Size: int64(len(data)), Format: "jpeg",
		Path:  "photos/" + s.taken.Format("2006/01/20060102-150405-") + hash[:8] + ".jpg",
		Width: s.scene.Width, Height: s.scene.Height, Turn: 1,
		Camera: journal.Camera{Make: s.exif.Make, Model: s.exif.Model, Serial: s.exif.Serial},
		Instant: journal.Instant{At: s.taken, Wall: s.taken.Format("2006:01:02 15:04:05"), Source: "DateTimeOriginal",
			Offset: journal.HomeOffset},
		Fingerprint: fmt.Sprintf("%016x", y.rng.Uint64()), Sharp: 0.1 + 0.1*y.rng.Float64(),
	}
	path := filepath.Join(y.dir, filepath.FromSlash(body.Path))
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return body, err
	}
	return body, os.WriteFile(path, data, 0o644)
}

// yearsWidth is how wide those pictures are drawn, in pixels: small, since there
// are many files of them.
const yearsWidth = 320

// picture is the drawn picture that stands for a photo: each model from each view
// it is shown in, bare and done.
func (y *years) picture(s shot) ([]byte, error) {
	draw := s.scene
	draw.Kind, draw.Step, draw.Skill, draw.Seed = "paint", math.Round(draw.Step), 0.5, 1
	draw.Width, draw.Height = yearsWidth, yearsWidth*3/4
	key := fmt.Sprint(draw.Model, draw.View, draw.Light, draw.Step)
	if at, ok := y.pictures[key]; ok {
		return y.drawn[at], nil
	}
	var b bytes.Buffer
	if err := scene.WriteJPEG(&b, scene.Draw(draw), scene.Exif{Make: s.exif.Make, Model: s.exif.Model}); err != nil {
		return nil, err
	}
	if y.pictures == nil {
		y.pictures = map[string]int{}
	}
	y.pictures[key] = len(y.drawn)
	y.drawn = append(y.drawn, b.Bytes())
	return b.Bytes(), nil
}

// commented is a JPEG with a comment (segment FFFE, ITU-T T.81 B.2.4.5) right behind its
// first marker.
func commented(jpeg []byte, words string) []byte {
	segment := append([]byte{0xff, 0xfe, 0, 0}, words...)
	binary.BigEndian.PutUint16(segment[2:], uint16(len(words)+2))
	return slices.Concat(jpeg[:2], segment, jpeg[2:])
}

// judge gives marks to photos of results, and blind pairs of them, in the last
// evening.
func (y *years) judge() error {
	var said []journal.Body
	for i, hash := range y.finished {
		score := min(journal.TopScore, 1+i*3/len(y.finished)+y.rng.IntN(2))
		said = append(said, journal.MarkBody{Photo: hash, Criterion: 4, Score: &score, Rubric: journal.Rubric})
		if i > 9 && i%5 == 0 {
			said = append(said, journal.VerdictBody{Left: y.finished[y.rng.IntN(i)], Right: hash, Criterion: 4,
				Outcome: []string{"right", "left", "right", "no difference"}[y.rng.IntN(4)]})
		}
	}
	if len(said) == 0 {
		return nil
	}
	_, err := y.write(Today, said...)
	return err
}
