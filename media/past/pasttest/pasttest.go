// Package pasttest makes an invented past: pictures of five years by two phones and a
// camera, of which is known what they show, to try on it what finds evenings and
// builds, and files of them to measure with.
//
// Start with Make. It is made up: how often somebody is at the bench, goes on holiday
// or sends a picture on is nobody's statistics (no source), but none of it is made
// easier than it is: builds overlap and rest, evenings go on after midnight, some are
// one picture, phones also photograph the family, copies lose what the camera wrote.
package pasttest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// Layout is how the files lie.
type Layout string

// The layouts.
const (
	Flat  Layout = "flat"  // all in one folder
	Messy Layout = "messy" // phones' dumps, a camera's folders, and some sorted by hand, under many names
)

// Options of a past. The zero value has about 3,000 pictures in one folder, and a
// camera whose clock was right.
type Options struct {
	Seed     uint64
	Pictures int // about so many; 3,000
	Layout   Layout
	Fast     time.Duration // how far the camera's clock was ahead
	Reset    bool          // instead: it began at 2012-01-01 00:00 when it was bought
	Overlap  bool          // one build begins while the one before goes on
	Mornings bool          // other habits: at the bench in the morning and more often, builds close on each other, two rests
}

// Shot is one file.
type Shot struct {
	Path     string    // below the folder of the past, slashes
	True     time.Time // when it was taken
	Evening  string    // of that time; "" = nobody can say
	Build    string    // "" = not of the bench
	Camera   journal.Camera
	Claims   media.Claims // as a reading finds them, without the file's name and time
	FileTime time.Time
	Number   uint64 // of the picture: copies have that of their original
	Small    bool   // a messenger's copy
	Lone     bool   // whose original is not there
	Width    int    // pixels
	Height   int
	Far      float64 // of the evenings of its build the share that was over, 0..1
}

// Past is an invented past.
type Past struct {
	Shots  []Shot
	Fast   time.Duration // how far the camera's clock was ahead
	Camera journal.Camera
	Phones [2]journal.Camera
}

// Zone is where it happened.
const Zone = "Europe/Lisbon"

// Models are what was built, in their order.
var Models = []string{"pilot boat", "field kitchen", "mail seaplane", "lightship", "second pilot boat", "second lorry"}

// maker is a past in the making.
type maker struct {
	*Past
	opts   Options
	rng    *rand.Rand
	zone   *time.Location
	first  time.Time
	number uint64
	serial int // of the camera's file names
	phone  int // of the second phone's
	sent   int // of the messenger's
	away   map[string]bool
	copied time.Time // when the backup was made
}

// Make makes a past. What is in it depends on the options alone.
func Make(o Options) *Past {
	if o.Pictures == 0 {
		o.Pictures = 3000
	}
	if o.Layout == "" {
		o.Layout = Flat
	}
	zone, err := time.LoadLocation(Zone)
	if err != nil {
		panic(err)
	}
	m := &maker{opts: o, zone: zone, rng: rand.New(rand.NewPCG(o.Seed, 1985)), away: map[string]bool{},
		first: time.Date(2019, 2, 4, 0, 0, 0, 0, zone), copied: time.Date(2024, 5, 2, 10, 0, 0, 0, zone),
		Past: &Past{Fast: o.Fast, Camera: journal.Camera{Make: "Tarrow", Model: "T-24", Serial: "1178"},
			Phones: [2]journal.Camera{{Make: "Pellory", Model: "P5"}, {Make: "Pellory", Model: "P9"}}}}
	if o.Reset {
		m.Fast = time.Date(2012, 1, 1, 0, 0, 0, 0, zone).Sub(m.first.Add(19 * time.Hour))
	}
	m.holidays()
	m.family()
	m.builds()
	m.scans()
	slices.SortStableFunc(m.Shots, func(a, b Shot) int { return a.True.Compare(b.True) })
	m.howFar()
	return m.Past
}

// howFar tells of each shot how far its build had come.
func (m *maker) howFar() {
	evenings, nth := map[string]int{}, map[string]int{}
	for _, s := range m.Shots {
		if nth[s.Evening] == 0 {
			evenings[s.Build]++
			nth[s.Evening] = evenings[s.Build]
		}
	}
	for i := range m.Shots {
		s := &m.Shots[i]
		if s.Build != "" {
			s.Far = (float64(nth[s.Evening]) - 0.5) / float64(evenings[s.Build])
		}
	}
}

// scale is by how much there is less or more of everything than in 3,000 pictures.
func (m *maker) scale() float64 { return float64(m.opts.Pictures) / 3000 }

func (m *maker) chance(p float64) bool { return m.rng.Float64() < p }

// around is a length about a middle one, by half of it at most.
func (m *maker) around(d time.Duration) time.Duration {
	return time.Duration(float64(d) * (0.5 + m.rng.Float64()))
}

// few is a count with a long tail: most often small.
func (m *maker) few(mean float64) int {
	return max(1, int(math.Round(m.rng.ExpFloat64()*mean*m.scale())))
}

const day = 24 * time.Hour

// holidays are one or two a year, with pictures all day.
func (m *maker) holidays() {
	for year := range 5 {
		for n := range 1 + m.rng.IntN(2) {
			from := m.first.AddDate(year, 4*n+m.rng.IntN(4), m.rng.IntN(28))
			for d := range 5 + m.rng.IntN(8) {
				date := from.AddDate(0, 0, d)
				m.away[date.Format(time.DateOnly)] = true
				at := date.Add(9*time.Hour + m.around(time.Hour))
				evening := "holiday " + date.Format(time.DateOnly)
				for range m.few(9) {
					m.shoot(Shot{True: at, Evening: evening}, m.chance(0.4))
					at = at.Add(time.Duration(m.rng.ExpFloat64() * float64(45*time.Minute)))
					if at.Sub(date) > 23*time.Hour {
						break
					}
				}
			}
		}
	}
}

// family is a few pictures every other week, by phone.
func (m *maker) family() {
	for at := m.first; at.Before(m.first.AddDate(5, 0, 0)); at = at.Add(m.around(14 * day)) {
		on := time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, m.zone)
		if m.away[on.Format(time.DateOnly)] {
			continue
		}
		on = on.Add(10*time.Hour + time.Duration(m.rng.IntN(10*60))*time.Minute)
		evening := "family " + on.Format(time.DateTime)
		for range min(8, m.few(2.5)) {
			m.shoot(Shot{True: on, Evening: evening}, false)
			on = on.Add(time.Duration(m.rng.IntN(25)) * time.Minute)
		}
	}
}

// span is when a build was worked on.
type span struct{ from, to, rest, back time.Time }

// spans lays the builds out over the years: some weeks between most of them, one that
// rests for a while, and if it is asked for one that begins while the one before goes
// on.
func (m *maker) spans() []span {
	var all []span
	at := m.first.Add(m.around(20 * day))
	overlaps, rests := 1+m.rng.IntN(4), m.rng.IntN(len(Models))
	for i := range Models {
		length := m.around(200 * day)
		s := span{from: at, to: at.Add(length)}
		if i == rests || m.opts.Mornings && i == (rests+3)%len(Models) {
			s.rest = at.Add(length/3 + time.Duration(m.rng.Int64N(int64(length/3))))
			s.back = s.rest.Add(m.around(70 * day))
			s.to = s.to.Add(s.back.Sub(s.rest))
		}
		all = append(all, s)
		between := 52 * day
		if m.opts.Mornings {
			between = 30 * day
		}
		at = s.to.Add(m.around(between))
		if i+1 == overlaps && m.opts.Overlap {
			at = s.to.Add(-m.around(length / 3))
		}
	}
	return all
}

// builds are the evenings at the bench, about two a week.
func (m *maker) builds() {
	for i, s := range m.spans() {
		apart := m.around(88 * time.Hour) // between two evenings
		if m.opts.Mornings {
			apart = m.around(60 * time.Hour)
		}
		for at := s.from; at.Before(s.to); at = at.Add(time.Duration((0.3 + 0.7*m.rng.ExpFloat64()) * float64(apart))) {
			if !s.rest.IsZero() && at.After(s.rest) && at.Before(s.back) {
				at = s.back
			}
			date := time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, m.zone)
			if !m.away[date.Format(time.DateOnly)] {
				m.evening(Models[i], date)
			}
		}
	}
}

// evening is one at the bench: one picture or many, by phone, camera or both, now and
// then into the next day.
func (m *maker) evening(build string, date time.Time) {
	begin := date.Add(18*time.Hour + 30*time.Minute + time.Duration(m.rng.IntN(150))*time.Minute)
	if wd := date.Weekday(); (wd == time.Saturday || wd == time.Sunday) && m.chance(0.3) {
		begin = date.Add(13*time.Hour + time.Duration(m.rng.IntN(180))*time.Minute)
	}
	if m.opts.Mornings {
		begin = begin.Add(-10 * time.Hour)
	}
	length := time.Hour + time.Duration(m.rng.IntN(150))*time.Minute
	if m.chance(0.08) {
		length += 3 * time.Hour
	}
	n := m.few(7)
	if m.chance(0.12) {
		n = 1
	}
	camera, phone := m.chance(0.35), true
	if camera {
		phone = m.chance(0.75)
	}
	evening := build + " " + date.Format(time.DateOnly)
	var times []time.Duration
	for range n {
		times = append(times, time.Duration(m.rng.Int64N(int64(length))))
	}
	slices.Sort(times)
	for _, t := range times {
		m.shoot(Shot{True: begin.Add(t), Evening: evening, Build: build}, camera && (!phone || m.chance(0.55)))
	}
}

// scans are some old prints, scanned in one go.
func (m *maker) scans() {
	at := time.Date(2021, 11, 6, 15, 0, 0, 0, m.zone)
	for i := range 8 {
		on := at.Add(time.Duration(i) * 2 * time.Minute)
		text := on.Format(exifTime)
		m.number++
		claims := []media.Claim{{Tag: "DateTimeDigitized", Text: text}, {Tag: "DateTime", Text: text}}
		m.Shots = append(m.Shots, Shot{Path: m.into("scans", fmt.Sprintf("scan%04d.jpg", i+1)), True: on,
			Camera:   journal.Camera{Make: "Ormond", Model: "A4 Scanner"},
			FileTime: on, Number: m.number, Width: 2400, Height: 1800,
			Claims: media.Claims{Scanned: true, List: claims}})
	}
}

const exifTime = "2006:01:02 15:04:05"

// shoot takes a picture, and lets happen to it what happens to pictures.
func (m *maker) shoot(s Shot, byCamera bool) {
	m.number++
	s.Number, s.True = m.number, s.True.Truncate(time.Second)
	s.Width, s.Height = 4000, 3000
	var name, dump string
	switch {
	case byCamera:
		m.serial++
		s.Camera = m.Camera
		s.state(s.True.Add(m.Fast), "")
		name = fmt.Sprintf("TRW%05d.JPG", m.serial)
		dump = fmt.Sprintf("camera card/DCIM/%dTARRO", 100+m.serial/400)
		s.FileTime = m.copied
		if m.chance(0.5) {
			s.FileTime = s.True.Add(m.Fast)
		}
	case s.True.Before(m.first.AddDate(2, 7, 0)):
		s.Camera = m.Phones[0]
		s.state(s.True, "")
		if m.chance(0.4) {
			gps := s.True.UTC().Add(-time.Duration(m.rng.IntN(40)) * time.Second)
			s.Claims.GPS = gps
			s.Claims.List = append(s.Claims.List, media.Claim{Tag: "GPS", Text: gps.Format(exifTime)})
		}
		name, dump, s.FileTime = s.True.Format("IMG_20060102_150405.jpg"), "phone old/DCIM/Camera", s.True
	default:
		m.phone++
		s.Camera = m.Phones[1]
		s.state(s.True, s.True.Format("-07:00"))
		name, s.FileTime = fmt.Sprintf("IMG_%04d.JPG", 1+m.phone%9999), m.copied
		dump = fmt.Sprintf("phone 2024/DCIM/%dPELLO", 100+m.phone/1000)
	}
	folder := m.folder(s, dump)
	s.Path = m.into(folder, name)
	switch lost := m.rng.Float64(); {
	case byCamera || lost >= 0.10:
		m.Shots = append(m.Shots, s)
		if folder != dump && m.opts.Layout == Messy && m.chance(0.25) { // it lies where it came from, too
			s.Path = m.into(dump, name)
			m.Shots = append(m.Shots, s)
		}
	case lost < 0.06: // sent on, and both are there
		m.Shots = append(m.Shots, s, m.sentOn(s))
	case lost < 0.085: // only what was sent on is there
		one := m.sentOn(s)
		one.Lone = true
		m.Shots = append(m.Shots, one)
	default: // an editor took out when it was taken
		edited := s.True.Add(m.around(20 * day)).Truncate(time.Second)
		s.Claims = media.Claims{List: []media.Claim{{Tag: "DateTime", Text: edited.Format(exifTime)}}}
		s.FileTime = m.copied
		s.Path = m.into(folder, name[:len(name)-4]+"_edited.jpg")
		m.Shots = append(m.Shots, s)
	}
}

// state writes the times that a camera writes.
func (s *Shot) state(shown time.Time, offset string) {
	text := shown.Format(exifTime)
	s.Claims.List = []media.Claim{{Tag: "DateTimeOriginal", Text: text, Offset: offset},
		{Tag: "DateTimeDigitized", Text: text, Offset: offset}, {Tag: "DateTime", Text: text}}
}

// sentOn is the picture as a messenger sends it, on that day or the next.
func (m *maker) sentOn(s Shot) Shot {
	m.sent++
	on := s.True
	if m.chance(0.15) {
		on = on.Add(15 * time.Hour)
	}
	s.Camera, s.Claims, s.Small = journal.Camera{}, media.Claims{}, true
	s.Width, s.Height = 1600, 1200
	s.FileTime = m.copied
	s.Path = m.into(m.folder(s, "phone old/messenger"), fmt.Sprintf("IMG-%s-M%04d.jpg", on.Format("20060102"), m.sent))
	return s
}

// into is a path in a folder, or in the one there is.
func (m *maker) into(folder, name string) string {
	if m.opts.Layout == Flat {
		return path.Join("pictures", name)
	}
	return path.Join(folder, name)
}

// sorted are the folders somebody made by hand for each build, over the years.
var sorted = map[string][]string{
	"pilot boat":        {"boat", "Desktop/boat hull", "models/boat/finished"},
	"field kitchen":     {"models/field kitchen", "field kitchen wheels", "models/field kitchen/paint"},
	"mail seaplane":     {"seaplane", "Desktop/new/seaplane floats", "2021/seaplane"},
	"lightship":         {"models/lightship", "lightship sea"},
	"second pilot boat": {"boat 2", "Desktop/boat 2 deck"},
	"second lorry":      {"models/lorry", "lorry cab", "old stick/lorry"},
}

// folder is where a picture lies: where it came from, or where somebody sorted it.
func (m *maker) folder(s Shot, dump string) string {
	switch {
	case s.Build != "" && m.chance(0.6):
		list := sorted[s.Build]
		return list[m.rng.IntN(len(list))]
	case s.Build == "" && m.chance(0.3):
		if s.Evening[:3] == "hol" {
			return s.True.Format("holidays/2006 coast")
		}
		return "family/" + s.True.Format("2006")
	}
	return dump
}
