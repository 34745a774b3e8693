// The state, looked at once for all pages: builds in time order with their
// shade, photos and work sorted by build and kind.

package render

import (
	"cmp"
	"fmt"
	"html/template"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
	"rakelight/media/alike"
)

// view is what every page is made from. Nothing changes it after viewOf but
// the addresses that pages take.
type view struct {
	*journal.State
	voice
	edition   Edition
	identity  string // of the journal: see journal.Journal.Identity; "" = it has no record yet
	today     time.Time
	order     []*build                    // by first day
	builds    map[string]*build           // by id
	byHash    map[string]*journal.Photo   // all photos
	stem      map[string]string           // photo hash → file name of its sizes, without width
	unshown   map[string]noShow           // photo hash → why there is no picture of it
	clips     map[string]published        // of readers: hash of a clip → its file, or why there is none
	frames    map[string]string           // hash of a clip → its still, as a video program took it
	tones     map[string]string           // photo hash → class of what stands in its place until it is loaded
	bursts    map[string][]*journal.Photo // hash of the photo that stands for a burst → the others
	series    map[string]*seriesShown     // by id, of builds that are shown: see findSeries
	todo      []journal.ToDo
	asked     []*journal.Photo          // photos of todo
	inInbox   int                       // files that are no photos of the journal
	old       int                       // pictures of the years before that wait to be sorted
	gone      map[string]bool           // paths of copies that were set aside and are no longer there
	folded    map[*journal.Photo]string // the page of a photo that its build page has no room for
	taken     map[string]bool           // addresses of pages
	paired    []pair                    // see pairs
	pairsIn   map[*build][]pair         // those a build is in, in the order of pairs
	grays     map[string]grayed         // photo hash → what its card tells of its light
	unlaid    map[string]string         // stem of a laid picture → why it could not be made
	unflicked map[string]bool           // stems of frames of flick-throughs that could not be made
	judged    judged
	finder    func() *journal.PhotoFinder
	alikes    func() *alike.Finder // that looks at no picture

	stands      func() map[stepOf]*journal.Photo // see findStanding
	calledAlike func() map[string][]calledPair   // see called

	knownPhotos  map[*journal.Photo]photoDigest // from views before, nil = none
	calendarOnce sync.Once
	dated        *calendar // see calendar
	digestOnce   sync.Once
	digested     *digests // see digest

	templatesOnce sync.Once
	parsed        *template.Template // see templates
}

// build is a build with what all its pages need.
type build struct {
	*journal.Build
	href        string // address of its page from the top
	first, last string // days, or as much of them as is sure, "" = none known
	from, to    journal.When
	glimpse     journal.Glimpse
	untold      bool             // nobody said what became of it: see journal.Untold
	gone        *journal.Pause   // it was given away or scrapped; nil = it was not
	seen        journal.When     // when the last photo of such a build was taken
	shade       string           // style classes: place on the ramp, dash
	shape       int              // which of the point shapes stands for it
	photos      []*journal.Photo // but the frames of its series
	series      []*seriesShown   // by instant
	folded      []foldedPage     // pages of photos that have no room on the build's own
	prints      []*journal.Photo // those that can be held up: see view.print
	sessions    []*journal.Session
	work        []metrics.Work
	byKind      map[string][]*journal.Photo
	workByKind  map[string][]metrics.Work

	leafOnce sync.Once
	leaves   []*kitLeaf        // see view.leaves
	places   map[string]string // of each part by its key, from the top

	flickOnce sync.Once
	flicked   *flick // see view.flick

	lock  sync.Mutex
	paced map[string][]KnownPace // see paces
}

// Tag is a build as charts and tables name it: title, year, and its shade.
type Tag struct {
	Title  string
	Year   string // "" when no day is known
	Href   string
	Shade  string // style classes
	Shape  int    // 0 to 3
	Within bool   // the page is one of its pages
}

const (
	rampSteps = 10 // colors r0 (then) to r10 (now) in the style sheet
	dashes    = 4  // d0 to d3; point shapes come in the same number
)

// viewWith looks at the state for an edition, where the originals are known. Today zero
// means the latest thing in the state.
func viewWith(s *journal.State, opts Options, all originals, unshown map[string]noShow) *view {
	v := &view{
		State: s, voice: opts.voice(), edition: opts.Edition, inInbox: opts.InInbox, old: opts.Old, today: opts.Today,
		builds: map[string]*build{},
		byHash: s.PhotosByHash(), stem: all.stem, unshown: map[string]noShow{},
		bursts: map[string][]*journal.Photo{}, taken: map[string]bool{}, folded: map[*journal.Photo]string{},
		grays: map[string]grayed{}, unlaid: map[string]string{}, unflicked: map[string]bool{},
	}
	if v.mine() {
		v.todo = s.ToDo()
		v.asked = journal.Asked(v.todo)
	}
	v.judged = v.judge()
	v.finder = sync.OnceValue(s.PhotoFinder)
	v.stands = sync.OnceValue(v.findStanding)
	v.calledAlike = sync.OnceValue(v.called)
	v.alikes = sync.OnceValue(func() *alike.Finder { return alike.New(s, nil) })
	maps.Copy(v.unshown, unshown)
	for _, p := range s.Photos {
		if !hasPicture(p) {
			v.unshown[p.Hash] = noPicture
			if p.Clip() {
				v.unshown[p.Hash] = noShow{v.clipWords(p), true}
			}
		}
	}
	v.clips = v.readersClips()
	for _, burst := range s.Bursts() {
		v.bursts[burst[0].Burst] = burst[1:]
	}
	for _, b := range s.Builds {
		one := &build{
			Build: b, glimpse: s.Glimpse(b.ID), photos: s.PhotosOf(b.ID), sessions: s.SessionsOf(b.ID),
			work: s.Work(b.ID), byKind: map[string][]*journal.Photo{}, workByKind: map[string][]metrics.Work{},
		}
		one.from, one.to = s.Span(b)
		one.first, one.last = one.from.Date, one.to.Date
		one.seen, one.untold = s.Untold(b)
		one.gone = s.Gone(b.ID)
		for _, w := range one.work {
			one.workByKind[w.Kind] = append(one.workByKind[w.Kind], w)
		}
		v.order = append(v.order, one)
		v.builds[b.ID] = one
	}
	v.findSeries()
	for _, b := range v.order {
		b.prints = keepPhotos(b.photos, v.print)
		for _, p := range b.prints {
			if p.Kind != "" {
				b.byKind[p.Kind] = append(b.byKind[p.Kind], p)
			}
		}
	}
	// A build without a day has not begun: it comes last.
	slices.SortStableFunc(v.order, func(a, b *build) int {
		return cmp.Or(cmp.Compare(cmp.Or(a.first, "9999"), cmp.Or(b.first, "9999")), cmp.Compare(a.ID, b.ID))
	})
	for i, b := range v.order {
		b.href = v.address("builds/" + fileName(b.ID))
		b.shape = i % dashes
		b.shade = fmt.Sprintf("r%d d%d", v.ramp(b), b.shape)
		for _, s := range b.series {
			s.href = b.folder() + "series-" + v.stem[s.ID] + ".html"
		}
	}
	for _, b := range v.order {
		v.fold(b) // once all builds have their addresses
	}
	if v.today.IsZero() {
		v.today = v.latest()
	}
	return v
}

// ramp is the place of a build on the ramp, by the time between the first build's
// first day and the last one's. A build that has not begun stands at its end.
func (v *view) ramp(b *build) int {
	var days []float64
	for _, one := range v.order {
		if at, ok := daysSince(one.first); ok {
			days = append(days, at)
		}
	}
	at, ok := daysSince(b.first)
	switch {
	case !ok || len(v.order) == 1:
		return rampSteps
	case days[0] == days[len(days)-1]:
		return 0
	}
	return int(math.Round(rampSteps * (at - days[0]) / (days[len(days)-1] - days[0])))
}

// print reports whether a photo can open a page or be held against another: it
// can be shown and does not move, it stands for its burst if it has one, it is no frame of
// a series, and it shows more than bench cards.
func (v *view) print(p *journal.Photo) bool {
	return stands(p) && v.series[p.Series] == nil && !v.unshown[p.Hash].any() && !p.OfCards() && !p.Clip()
}

// ofDay reports whether a photo or clip is among those of its day.
func (v *view) ofDay(p *journal.Photo) bool { return v.print(p) || p.Clip() }

// stands reports whether the photo is shown in its own right, not a tap away
// under another of the same moment.
func stands(p *journal.Photo) bool { return p.Burst == "" || p.Burst == p.Hash }

// latest is the moment of the latest thing in the journal.
func (v *view) latest() time.Time {
	var t time.Time
	see := func(at time.Time) {
		if at.After(t) {
			t = at
		}
	}
	for _, p := range v.Photos {
		see(p.Instant.At)
	}
	for _, s := range v.Sessions {
		see(s.Start)
		see(s.End)
	}
	for _, p := range v.Pauses {
		see(p.From)
		see(p.Until)
	}
	for _, d := range v.Diary {
		if at, err := time.Parse(time.DateOnly, d.Date); err == nil {
			see(at)
		}
	}
	for _, b := range v.order {
		for _, date := range []string{b.first, b.last} {
			if at, err := time.Parse(time.DateOnly, date); err == nil {
				see(at)
			}
		}
	}
	return t
}

// address reserves a page's address, without ending, so that two pages never
// share one: ids may hold the dashes that join them.
func (v *view) address(stem string) string {
	name := stem + ".html"
	for n := 2; v.taken[strings.ToLower(name)]; n++ {
		name = fmt.Sprintf("%s-%d.html", stem, n)
	}
	// Lower case, because two names that differ in case alone are one file on
	// many computers.
	v.taken[strings.ToLower(name)] = true
	return name
}

// fileName keeps letters, digits and what is harmless in file names and
// addresses everywhere; everything else becomes a dash. A build's folder made on
// another system may be called as a device of Windows is.
func fileName(id string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_':
			return r
		}
		return '-'
	}, id)
	if deviceName.MatchString(name) {
		name += "-"
	}
	return name
}

// deviceName is what no file can be called on Windows, whatever its ending
// (Microsoft, "Naming Files, Paths, and Namespaces").
var deviceName = regexp.MustCompile(`(?i)^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

func (b *build) tag(root string) Tag {
	return Tag{Title: b.Title, Year: yearOf(b.first), Href: root + b.href, Shade: b.shade, Shape: b.shape}
}

// named is a build in running text and in labels: its title and its year.
func (b *build) named() string {
	if year := yearOf(b.first); year != "" {
		return b.Title + " (" + year + ")"
	}
	return b.Title
}

// sessionID is the anchor of a session. Its id is shown beside it too, because
// a person types it to correct the session; the device in it is a name drawn by
// lot for this journal and says nothing about the computer.
func sessionID(id string) string {
	return "session-" + strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return '-' // no anchor holds a space
		}
		return r
	}, id)
}

// KnownPace is a pace over sessions whose time was known in one way.
type KnownPace struct {
	metrics.Pace
	Known Known
}

// paces are those of a kind of step in the build, worked out once.
func (b *build) paces(in voice, kind string) []KnownPace {
	b.lock.Lock()
	defer b.lock.Unlock()
	ps, ok := b.paced[kind]
	if !ok {
		ps = in.pacesBy(b.workByKind[kind])
		if b.paced == nil {
			b.paced = map[string][]KnownPace{}
		}
		b.paced[kind] = ps
	}
	return ps
}

// paces are the paces of some work by how its time was known: measured first,
// then remembered, then estimated. They are never mixed.
func (in voice) pacesBy(ws []metrics.Work) []KnownPace {
	var out []KnownPace
	for _, how := range []string{metrics.Measured, metrics.Remembered, metrics.Estimated} {
		var some []metrics.Work
		for _, w := range ws {
			if w.Known == how {
				some = append(some, w)
			}
		}
		if p := metrics.PaceOf(some); p.OK {
			out = append(out, KnownPace{p, in.known(how)})
		}
	}
	return out
}

// unit is what one done of a kind is.
func unit(kind string) string {
	u, ok := metrics.CountedKind(kind)
	if !ok {
		return "part"
	}
	return u
}

// Its nouns are all there can be, by package metrics.
var _ = []say.Noun{"part", "join", "coat", "item", "decal"}
