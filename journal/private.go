// This file keeps and folds what a person keeps to themselves, and asks what is
// private.

package journal

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"time"

	"rakelight/journal/plan"
)

// Private is a photo, a build or a day that is for nobody else.
type Private struct {
	Photo  string // hash, as it was said; "" = a build or a day
	Build  string // id; with Date, the day of this build alone
	Date   string // YYYY-MM-DD
	Record string // that says so
}

// what is the private thing, without who says so.
func (p Private) what() Private { p.Record = ""; return p }

func orderOfPrivates(a, b Private) int {
	return cmp.Or(cmp.Compare(a.Photo, b.Photo), cmp.Compare(a.Build, b.Build), cmp.Compare(a.Date, b.Date))
}

// private folds a record: the latest of a thing counts. The thing need not be there:
// what comes later is private from the beginning.
func (f *folding) private(r Record) error {
	b, err := read[PrivateBody](r)
	if err != nil {
		return err
	}
	one := Private{Photo: b.Photo, Build: b.Build, Date: b.Date, Record: r.ID()}
	if one.what() == (Private{}) || one.Photo != "" && (one.Build != "" || one.Date != "") {
		return errors.New("it does not name one thing")
	}
	if _, err := time.Parse(time.DateOnly, b.Date); b.Date != "" && err != nil {
		return fmt.Errorf("%q is not a day", b.Date)
	}
	i, found := slices.BinarySearchFunc(f.state.Privates, one, orderOfPrivates)
	switch {
	case found && b.Not:
		f.state.Privates = someOf(slices.Delete(f.state.Privates, i, i+1))
	case found:
		f.state.Privates[i] = one
	case !b.Not:
		f.state.Privates = slices.Insert(f.state.Privates, i, one)
	}
	return nil
}

// SaidPrivate is the record that keeps just this thing private, "" = none does.
func (s *State) SaidPrivate(what Private) string {
	if i, found := slices.BinarySearchFunc(s.Privates, what, orderOfPrivates); found {
		return s.Privates[i].Record
	}
	return ""
}

// PrivacyDigest tells whether other things are private than were once: 32 hex digits of
// all that a person keeps to themselves, by whatever way they say so.
func (s *State) PrivacyDigest() string {
	p := s.privacy()
	var all []string
	for id := range p.builds {
		all = append(all, "build "+id)
	}
	for day := range p.days {
		all = append(all, "day "+day.build+" "+day.date)
	}
	for hash := range p.photos {
		all = append(all, "photo "+hash)
	}
	slices.Sort(all)
	sum := sha256.Sum256(fmt.Appendf(nil, "%q %+v", all, p.public))
	return hex.EncodeToString(sum[:16])
}

// privacy tells quickly what of a state is private.
type privacy struct {
	builds   map[string]bool
	days     map[buildDay]bool
	photos   map[string]bool // hashes, as they were said
	public   plan.PublicConfig
	evenings Evenings // where a day is private
}

// buildDay is a day of a build, "" = of all builds.
type buildDay struct{ build, date string }

// privacy is what is private of the state. A build whose build.md cannot be read, or
// holds nothing, is: nobody knows what it would say.
func (s *State) privacy() privacy {
	p := privacy{builds: map[string]bool{}, days: map[buildDay]bool{}, photos: map[string]bool{},
		public: s.Config.Public}
	for _, one := range s.Privates {
		switch {
		case one.Photo != "":
			p.photos[one.Photo] = true
		case one.Date != "":
			p.days[buildDay{one.Build, one.Date}] = true
		default:
			p.builds[one.Build] = true
		}
	}
	unread := map[string]bool{}
	for _, one := range s.Problems {
		unread[one.File] = unread[one.File] || one.Kind == plan.Emptied || one.Kind == plan.Unread
	}
	for _, b := range s.Builds {
		if b.Private || p.public.Finished && b.Finished == "" || unread["builds/"+b.ID+"/build.md"] {
			p.builds[b.ID] = true
		}
	}
	for _, d := range s.Diary {
		if d.Private {
			p.days[buildDay{d.Build, d.Date}] = true
		}
	}
	if len(p.days) > 0 {
		p.evenings = s.Evenings()
	}
	return p
}

// build reports whether a build is private.
func (p privacy) build(id string) bool { return p.builds[id] }

// day reports whether a day of a build is.
func (p privacy) day(build, date string) bool {
	return p.builds[build] || p.days[buildDay{"", date}] || p.days[buildDay{build, date}]
}

// moment reports whether a moment of a build is, where date is its day by the calendar:
// what is of an evening that went on after midnight is of two days, and private as soon
// as one of them is.
func (p privacy) moment(build string, at time.Time, date string) bool {
	return p.day(build, date) || len(p.days) > 0 && p.day(build, p.evenings.Of(at, date))
}

// photo reports whether a photo is: itself, its build, or the day it was taken.
func (p privacy) photo(one *Photo) bool {
	return p.photos[one.Hash] || slices.ContainsFunc(one.Beside, func(o Original) bool { return p.photos[o.Hash] }) ||
		p.taken(one)
}

// taken reports whether the build of a photo, or the day it was taken, is private.
func (p privacy) taken(one *Photo) bool {
	date := photoDay(one)
	if date == "" {
		return p.build(one.Tags.Build)
	}
	return p.moment(one.Tags.Build, one.Instant.At, date)
}

// photoDay is the day a photo was taken, where it was taken; "" when none is known.
func photoDay(p *Photo) string {
	if p.Instant.Said != "" || p.Instant.At.IsZero() {
		return ""
	}
	return p.Instant.At.Format(time.DateOnly)
}

// PrivateByFile is the file of the person's own that keeps a build or a day of a build
// private, below the journal folder, "" = none does.
func (s *State) PrivateByFile(what Private) string {
	if b := s.Build(what.Build); b != nil && what.Date == "" && b.Private {
		return "builds/" + b.ID + "/build.md"
	}
	for _, d := range s.Diary {
		if d.Private && d.Date == what.Date && (what.Build == "" || d.Build == what.Build) {
			return "builds/" + d.Build + "/diary/" + d.Date + ".md"
		}
	}
	return ""
}

// Hidden says why readers see nothing of a photo: "itself", "its build", "its day", ""
// where they see it as far as it goes by what is private.
func (s *State) Hidden(p *Photo) string {
	h := s.privacy()
	switch {
	case h.build(p.Tags.Build):
		return "its build"
	case h.taken(p):
		return "its day"
	case h.photo(p):
		return "itself"
	}
	return ""
}
