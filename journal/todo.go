// This file lists photos a person should look at, each with the reason and the
// next command to type.

package journal

import (
	"cmp"
	"slices"
	"time"

	"rakelight/journal/reason"
)

// Kinds of things to do, in the order of ToDo. The last three are of files in
// the inbox: the state knows those that were set aside, a look into the folder
// (inbox.Lying) tells the others.
const (
	NoDate      = "no date"      // the file states no time, or only a day
	ZoneGuessed = "zone guessed" // its zone is a guess that something speaks against
	ClockDoubt  = "clock doubt"  // its camera's clock seems wrong
	Guessed     = "guessed"      // build or stage is a guess
	Unsorted    = "to sort"      // no build or no stage
	CardWrong   = "card"         // a bench card that contradicts, counts too much, or says nothing that is understood
	SetAside    = "set aside"    // in inbox/aside
	Unreadable  = "unreadable"   // in the inbox, and cannot be taken in
	NotTaken    = "not taken in" // in the inbox, and can be
)

// ToDoKinds are the kinds in order.
var ToDoKinds = []string{NoDate, ZoneGuessed, ClockDoubt, Guessed, Unsorted, CardWrong, SetAside, Unreadable, NotTaken}

// ToDo is one thing to do about one photo or file.
type ToDo struct {
	Kind    string // one of ToDoKinds
	Photo   *Photo // nil for a file that is none
	File    string // of a file that is no photo: below the journal folder, slashes
	Why     Cause
	Else    string // the other thing one may type, "" = none
	Command string // BUILD, STAGE and TIME stand for what the person knows; "" = no command helps, and Why says what does
}

// Name is what the row is about, in short.
func (t ToDo) Name() string {
	if t.Photo != nil {
		return t.Photo.Short() + "  " + t.Photo.Name
	}
	return t.File
}

// ToDo lists what there is to do about the photos, by kind, then by instant. A
// photo with several doubts has several rows. Of the frames of a series one stands for
// all, and what is to be typed is about all.
//
// Most cameras state no zone, and the journal's is the right one for nearly all
// of their photos: that alone is no row (NoZone counts them). A row is a photo
// whose hour came twice or was skipped when the clocks were changed, or one
// taken on a day on which another photo states another offset than the
// journal's: its camera was perhaps away too. A photo whose clock was corrected
// is not asked about again.
func (s *State) ToDo() []ToDo {
	var rows []ToDo
	listed := map[[2]string]bool{} // kinds by series: all frames want the same
	add := func(kind string, p *Photo, why Cause, command string) {
		if of := [2]string{kind, p.Series}; p.Series != "" {
			if listed[of] {
				return
			}
			listed[of] = true
		}
		rows = append(rows, ToDo{Kind: kind, Photo: p, Why: why, Command: command})
	}
	names := map[Camera]string{}
	for _, c := range s.Cameras() {
		names[c.Camera] = c.Name
	}
	proposed := map[Camera]ClockProposal{}
	for _, p := range s.ProposeClocks() {
		proposed[p.Camera.Camera] = p
	}
	away := s.awayDays()
	for _, p := range s.photos() {
		in := p.Instant
		doubt := DoubtCause{in.Doubts}
		day := in.At.Format(time.DateOnly)
		// Most photos have no row, and need no words.
		all := ""
		if p.Series != "" {
			all = " --series"
		}
		place := func() string { return Typed("rakelight tag %s BUILD STAGE", p.Short()) + all }
		really := func() string {
			if p.TellsClock() {
				return Typed("rakelight clock --photo %s --really TIME", p.Short())
			}
			return Typed("rakelight date %s WHEN", p.Short()) // no clock tells it
		}
		switch {
		case in.Source == SaidSo: // a person said it, as well as they know
		case in.Source == FileTime || in.Source == TakenIn || in.Doubts.Has(reason.DayOnly):
			add(NoDate, p, doubt, Typed("rakelight date %s WHEN", p.Short()))
		case in.Doubts.Has(reason.Twice, reason.Skipped):
			add(ZoneGuessed, p, doubt, really())
		case in.Doubts.Any():
			add(ClockDoubt, p, doubt, really())
		case in.Offset == HomeOffset && !in.Corrected.Any() && away[day] != nil && names[p.Camera] != "":
			add(ZoneGuessed, p, ZoneCause{away[day].Name, away[day].Instant.At},
				awayCommand(names[p.Camera], p, away[day]))
		}
		if c, ok := proposed[p.Camera]; ok && in.ByClock() {
			if shown := in.Shown().Format(time.DateOnly); shown >= c.From && shown <= c.To {
				add(ClockDoubt, p, ClockCause{c.Fast}, c.Command())
			}
		}
		switch {
		case p.ToSort() && p.Tags.Build != "":
			var why Cause = StageCause{p.Tags.Build}
			if p.Why["stage"].Any() {
				why = PlaceCause{p.Why["stage"]}
			}
			command := Typed("rakelight tag %s %s STAGE", p.Short(), p.Tags.Build)
			if stage := s.LikelyStage(p); stage != "" {
				command = Typed("rakelight tag %s %s %s", p.Short(), p.Tags.Build, stage)
			}
			add(Unsorted, p, why, command+all)
		case p.ToSort():
			add(Unsorted, p, PlaceCause{firstWhy(p.Why["build"], p.Why["stage"])}, place())
		case p.Guess && !p.OfCards():
			guess := place()
			if b := s.Build(p.Tags.Build); b != nil && b.Stage(p.Tags.Stage) != nil {
				guess = Typed("rakelight tag %s %s %s", p.Short(), p.Tags.Build, p.Tags.Stage) + all
			}
			add(Guessed, p, PlaceCause{firstWhy(p.Why["stage"], p.Why["build"])}, guess)
		}
		if role := p.Lapsed.Role; role != "" && p.Tags.Role == "" {
			rows = append(rows, ToDo{Kind: CardWrong, Photo: p,
				Else:    Typed("rakelight tag %s --role progress", p.Short()),
				Command: Typed("rakelight tag %s --role %s", p.Short(), role),
				Why:     LapseCause{role, p.Lapsed.Last.In(s.ZoneAt(p.Lapsed.Last)), in.At.Sub(p.Lapsed.Last)}})
		}
	}
	rows = append(rows, s.cardRows()...)
	for _, a := range s.Asides {
		rows = append(rows, ToDo{Kind: SetAside, File: a.Path, Why: CopyCause{a.Why},
			Command: Typed("rakelight take %s", a.Path)})
	}
	slices.SortStableFunc(rows, func(a, b ToDo) int {
		return cmp.Compare(slices.Index(ToDoKinds, a.Kind), slices.Index(ToDoKinds, b.Kind))
	})
	return rows
}

// firstWhy is the first that is a reason.
func firstWhy(a, b reason.Why) reason.Why {
	if a.Any() {
		return a
	}
	return b
}

// Asked are the photos of some rows, each once, in the order of the rows: those
// that want a person's word.
func Asked(rows []ToDo) []*Photo {
	var photos []*Photo
	seen := map[string]bool{}
	for _, row := range rows {
		if p := row.Photo; p != nil && !seen[p.Hash] {
			seen[p.Hash] = true
			photos = append(photos, p)
		}
	}
	return photos
}

// NoZone counts the photos that state no zone and were read in the journal's.
func (s *State) NoZone() int {
	return len(keep(s.photos(), func(p *Photo) bool { return p.Instant.Offset == HomeOffset }))
}

// awayDays are the days on which a photo knows its offset and it is another
// than the journal's, each with the first such photo.
func (s *State) awayDays() map[string]*Photo {
	days := map[string]*Photo{}
	for _, p := range s.photos() {
		known := p.Instant.Offset == StatedOffset || p.Instant.Offset == FromGPS && p.Instant.Source != FromGPS
		day := p.Instant.At.Format(time.DateOnly)
		if known && days[day] == nil && offsetOf(p.Instant.At) != offsetOf(p.Instant.At.In(s.zone())) {
			days[day] = p
		}
	}
	return days
}

func (s *State) zone() *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}

// awayCommand corrects a camera that showed the time of another zone on the
// photo's day: as far as the journal is concerned its clock was off by the
// difference.
func awayCommand(name string, p, other *Photo) string {
	if p.Camera == other.Camera {
		return Typed("rakelight why %s", p.Short()) // a correction would move the other photo too
	}
	fast := time.Duration(offsetOf(other.Instant.At)-offsetOf(p.Instant.At)) * time.Second
	day := p.Instant.Shown().Format(time.DateOnly)
	return clockCommand(name, fast, day, day)
}
