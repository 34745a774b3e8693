// This file keeps the state in .cache/index, with exactly what it was folded from,
// so that a command need not fold twenty years to begin an evening. It is never the
// truth: it is thrown away where anything is not as it was, and what it says is
// what the fold of all records says (TestIndexAgrees).
//
// There is a head and parts. A part is a piece of the state that changes as a
// whole: the photos of a year, the sessions of a year, all the rest. Its name holds
// the checksum of its bytes, so that it is written once and never changed; the
// parts of years that are over stay. The head names the parts and what they were
// made of: each file a person writes by hand, each records file, and the program
// itself. It is written last, by rename, so whoever reads it has a whole index or
// none. Nothing waits for the disk: bytes that did not come there do not fit their
// checksum.

package journal

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
	"unsafe"

	"rakelight/journal/disk"
	"rakelight/journal/freeze"
	"rakelight/journal/plan"
	"rakelight/journal/reason"
	"rakelight/journal/record"
)

// indexDir is the folder of the index.
const indexDir = ".cache/index"

// The coders of the parts and of the head.
var (
	freezeHead     = freeze.For[indexHead]()
	freezePlan     = freeze.For[Plan]()
	freezeState    = freeze.For[State]()
	freezeGround   = freeze.For[ground]()
	freezeShown    = freeze.For[map[string]shownBuild]()
	freezePhotos   = freeze.For[[]*Photo](freeze.MapsOf[map[string]reason.Why]())
	freezeSessions = freeze.For[[]*Session]()
)

// indexHead is what the parts are and what they were made of.
type indexHead struct {
	Plan  map[string]plan.Stamp // what is written by hand
	Brief record.Brief          // the records
	Parts []indexPart           // in the order of what they hold
}

// indexPart is a piece of the state in a file of its own.
type indexPart struct {
	Name string // of the file
	Size int64
	Sum  uint32 // CRC-32C of its bytes
}

// Names of the parts; those of years go on with the year.
const (
	planPart, statePart, groundPart  = "plan", "state", "ground"
	shownPart                        = "shown" // shownBuilds of the photos
	photosOfYear, sessionsOfYear     = "photos-", "sessions-"
	headName, indexMagic, partEnding = "head", "rakelight index ", ".part"
)

// index is the index as this process last read or wrote it.
type index struct {
	dir    string
	stood  standing              // what it holds; zero = nothing
	plan   Plan                  // what it holds
	stamps map[string]plan.Stamp // of plan
	parts  map[string]indexPart  // by what they hold
	at     time.Time             // when it was written, zero = not by this process
}

// programShape tells programs apart that may fold otherwise, or freeze otherwise.
var programShape = sync.OnceValue(func() string {
	shapes := []string{freezeHead.Shape(), freezePlan.Shape(), freezeState.Shape(), freezeGround.Shape(),
		freezeShown.Shape(),
		freezePhotos.Shape(), freezeSessions.Shape(), runtime.Version(), fmt.Sprint(Format)}
	path, err := os.Executable()
	if err != nil {
		return ""
	}
	info, err := os.Stat(path)
	if err != nil {
		return ""
	}
	// A release may bear the time of its commit, and the size of another.
	if build, ok := debug.ReadBuildInfo(); ok {
		shapes = append(shapes, fmt.Sprintf("%08x", crc32.Checksum([]byte(build.String()), castagnoli)))
	}
	return fmt.Sprintf("%d %d %s", info.Size(), info.ModTime().UnixNano(), strings.Join(shapes, " "))
})

// read reads the index, and is false where there is none that could be of these
// files. planned says whether what is written by hand is as it was. For the bench,
// photos are read when they are asked for.
func (x *index) read(dir string, now time.Time, bench bool) (brief record.Brief, planned, ok bool) {
	*x = index{dir: filepath.Join(dir, filepath.FromSlash(indexDir)), parts: map[string]indexPart{}}
	head, ok := x.readHead()
	if !ok {
		return record.Brief{}, false, false
	}
	// What is read is a state and nothing else: there is no garbage to look for yet.
	defer debug.SetGCPercent(debug.SetGCPercent(-1))
	var state State
	later := &laterPhotos{}
	for _, part := range head.Parts {
		holds, _, _ := strings.Cut(part.Name, ".")
		x.parts[holds] = part
		if bench && strings.HasPrefix(holds, photosOfYear) {
			continue
		}
		text, ok := x.text(part)
		if !ok {
			return record.Brief{}, false, false
		}
		switch {
		case holds == planPart:
			ok = thaw(freezePlan, text, &x.plan)
		case holds == statePart:
			ok = thaw(freezeState, text, &state)
		case holds == groundPart:
			ok = thaw(freezeGround, text, &x.stood.ground)
		case holds == shownPart:
			ok = thaw(freezeShown, text, &later.shown)
		case strings.HasPrefix(holds, photosOfYear):
			ok = thawMore(freezePhotos, text, &state.Photos)
		case strings.HasPrefix(holds, sessionsOfYear):
			ok = thawMore(freezeSessions, text, &state.Sessions)
		}
		if !ok {
			return record.Brief{}, false, false
		}
	}
	if bench {
		state.later = later
	}
	x.stamps, state.reckoned = head.Plan, &reckoned{}
	state.Diary = sortedDiary(x.plan.Diary)
	x.stood.state = &state
	return head.Brief, plan.Unchanged(dir, head.Plan), true
}

// photos reads the photos alone, of the years in which any of the words stands. The
// strings of a part stand in it as they are.
func (x *index) photos(words ...string) (all []*Photo, ok bool) {
	for _, holds := range sortedKeys(x.parts) {
		if !strings.HasPrefix(holds, photosOfYear) {
			continue
		}
		text, ok := x.text(x.parts[holds])
		stands := func(word string) bool { return strings.Contains(text, word) }
		if !ok || slices.ContainsFunc(words, stands) && !thawMore(freezePhotos, text, &all) {
			return nil, false
		}
	}
	return all, true
}

// forget forgets what was read: perhaps half of an index, and files that are not what
// their names say. All of it is written anew.
func (x *index) forget() { *x = index{dir: x.dir, at: x.at, parts: map[string]indexPart{}} }

// holdsAt reports whether the state is that of a moment: some of it goes by time.
func (g ground) holdsAt(now time.Time) bool {
	return !now.Before(g.From) && (g.Until.IsZero() || !now.After(g.Until))
}

func thaw[T any](c *freeze.Coder[T], text string, to *T) bool {
	value, err := c.Read(text)
	if err == nil {
		*to = *value
	}
	return err == nil
}

func thawMore[T any](c *freeze.Coder[[]T], text string, to *[]T) bool {
	var more []T
	ok := thaw(c, text, &more)
	*to = append(*to, more...)
	return ok
}

// readHead reads the head, if this program wrote it.
func (x *index) readHead() (*indexHead, bool) {
	data, err := os.ReadFile(filepath.Join(x.dir, headName))
	if err != nil {
		return nil, false
	}
	first, body, ok := bytes.Cut(data, []byte("\n"))
	if !ok || programShape() == "" || string(first) != headLine(body) {
		return nil, false
	}
	head, err := freezeHead.Read(asText(body))
	return head, err == nil
}

// headLine is the first line of a head.
func headLine(body []byte) string {
	return fmt.Sprintf("%s%08x %s", indexMagic, crc32.Checksum(body, castagnoli), programShape())
}

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// text is what a part holds, if it is whole.
func (x *index) text(part indexPart) (string, bool) {
	data, err := os.ReadFile(filepath.Join(x.dir, part.Name))
	if err != nil || int64(len(data)) != part.Size || crc32.Checksum(data, castagnoli) != part.Sum {
		return "", false
	}
	return asText(data), true
}

// asText is bytes that nobody changes any more, as a text.
func asText(data []byte) string { return unsafe.String(unsafe.SliceData(data), len(data)) }

// write writes the index anew: the parts that changed, then the head. What cannot
// be written is missed by nobody but the next command, which folds.
func (x *index) write(written Plan, stood standing, stamps map[string]plan.Stamp, brief record.Brief,
	now time.Time) bool {
	if err := record.MakeDirs(x.dir); err != nil || programShape() == "" {
		return false
	}
	w := indexWriter{index: x, before: x.stood, parts: map[string]indexPart{}}
	rest := *stood.state
	rest.Photos, rest.Sessions, rest.Diary, rest.later = nil, nil, nil, nil
	if x.parts[planPart].Name == "" || !samePlan(&x.plan, &written) {
		w.add(planPart, freezePlan.Append(nil, &written))
	} else {
		w.keep(planPart)
	}
	w.add(statePart, freezeState.Append(nil, &rest))
	w.add(groundPart, freezeGround.Append(nil, &stood.ground))
	before := State{}
	if x.stood.state != nil {
		before = *x.stood.state
	}
	byYear(&w, sessionsOfYear, freezeSessions, before.Sessions, stood.state.Sessions,
		func(s *Session) time.Time { return s.Start })
	if stood.state.later != nil {
		w.keepPhotos()
	} else {
		w.addPhotos(before.photosRead(), stood.state.Photos)
	}
	body := freezeHead.Append(nil, &indexHead{stamps, brief, w.order})
	data := append([]byte(headLine(body)+"\n"), body...)
	if w.failed || record.WriteQuick(filepath.Join(x.dir, headName), data) != nil {
		return false
	}
	x.stood, x.plan, x.stamps, x.parts, x.at = stood, written, stamps, w.parts, now
	x.sweep()
	return true
}

// samePlan reports whether two plans are one: a plan is read as a whole, and never
// changed.
func samePlan(a, b *Plan) bool {
	return len(a.Builds) == len(b.Builds) && slices.Equal(a.Builds, b.Builds) && len(a.Diary) == len(b.Diary) &&
		unsafe.SliceData(a.Diary) == unsafe.SliceData(b.Diary)
}

// indexWriter writes the parts of an index.
type indexWriter struct {
	*index
	before standing
	parts  map[string]indexPart
	order  []indexPart
	added  int
	failed bool
}

func (w *indexWriter) add(holds string, data []byte) {
	w.added++
	sum := crc32.Checksum(data, castagnoli)
	part := indexPart{fmt.Sprintf("%s.%08x%s", holds, sum, partEnding), int64(len(data)), sum}
	if part != w.index.parts[holds] {
		w.failed = w.failed || record.WriteQuick(filepath.Join(w.dir, part.Name), data) != nil
	}
	w.parts[holds], w.order = part, append(w.order, part)
}

// addPhotos writes the photos of the years of which any changed.
func (w *indexWriter) addPhotos(before, all []*Photo) {
	n := w.added
	byYear(w, photosOfYear, freezePhotos, before, all, func(p *Photo) time.Time { return p.Instant.At })
	if w.added == n && w.index.parts[shownPart].Name != "" && len(before) == len(all) {
		w.keep(shownPart)
		return
	}
	shown := shownBuilds(all)
	w.add(shownPart, freezeShown.Append(nil, &shown))
}

// keepPhotos keeps photos that nobody asked for.
func (w *indexWriter) keepPhotos() {
	for _, holds := range sortedKeys(w.index.parts) {
		if holds == shownPart || strings.HasPrefix(holds, photosOfYear) {
			w.keep(holds)
		}
	}
}

// keep keeps a part as it is.
func (w *indexWriter) keep(holds string) {
	part := w.index.parts[holds]
	w.parts[holds], w.order = part, append(w.order, part)
}

// byYear writes things in order as parts of one year each; those of which no thing
// changed stay.
func byYear[T any](w *indexWriter, prefix string, c *freeze.Coder[[]*T], before, all []*T, at func(*T) time.Time) {
	was := map[int][]*T{}
	eachYear(before, at, func(year int, things []*T) { was[year] = things })
	eachYear(all, at, func(year int, things []*T) {
		holds := prefix + strconv.Itoa(year)
		if w.index.parts[holds].Name != "" && slices.Equal(was[year], things) {
			w.keep(holds)
			return
		}
		w.add(holds, c.Append(nil, &things))
	})
}

// eachYear calls do with the things of each year, which stand in the order of time.
func eachYear[T any](all []*T, at func(*T) time.Time, do func(year int, things []*T)) {
	for len(all) > 0 {
		year := at(all[0]).UTC().Year()
		n := slices.IndexFunc(all, func(one *T) bool { return at(one).UTC().Year() != year })
		if n < 0 {
			n = len(all)
		}
		do(year, all[:n:n])
		all = all[n:]
	}
}

// sweep removes the parts that no head names any more. One that another process
// still reads is missed by it, and it folds.
func (x *index) sweep() {
	files, err := os.ReadDir(x.dir)
	if err != nil {
		return
	}
	for _, f := range files {
		holds, _, _ := strings.Cut(f.Name(), ".")
		if strings.HasSuffix(f.Name(), partEnding) && x.parts[holds].Name != f.Name() {
			disk.Remove(filepath.Join(x.dir, f.Name())) // what stays is swept the next time
		}
	}
}
