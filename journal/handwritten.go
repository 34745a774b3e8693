// This file has the names of journal/plan under which the rest of the program
// knows what a person writes by hand: whoever has a State needs no second import.

package journal

import (
	"time"

	"rakelight/journal/plan"
)

// What a person writes by hand; see journal/plan.
type (
	Plan        = plan.Plan
	Config      = plan.Config
	StageConfig = plan.StageConfig
	ZoneChange  = plan.ZoneChange
	ClockFault  = plan.ClockFault
	Build       = plan.Build
	Kit         = plan.Kit
	Runner      = plan.Runner
	Stage       = plan.Stage
	CheckItem   = plan.CheckItem
	DiaryDay    = plan.DiaryDay
	PartRef     = plan.PartRef
	Draft       = plan.Draft
	AskError    = plan.AskError
	Supply      = plan.Supply
)

// Format is the version of the folder's layout that this program writes.
const Format = plan.Format

// ErrNewerFormat is the error of a journal of a later layout.
var ErrNewerFormat = plan.ErrNewerFormat

// Kinds are the stage kinds that compare across builds; see plan.Kinds.
var Kinds = plan.Kinds

// Create makes a journal in dir; see plan.Create.
func Create(dir, name, zone string, now time.Time) error { return plan.Create(dir, name, zone, now) }

// CheckVacant says why no journal can be made in dir; see plan.CheckVacant.
func CheckVacant(dir string) error { return plan.CheckVacant(dir) }

// ParseParts reads references to parts; see plan.ParseParts.
func ParseParts(text string, b *Build) (refs []PartRef, count int, err error) {
	return plan.ParseParts(text, b)
}

// Ranges writes references as a person types them; see plan.Ranges.
func Ranges(refs []PartRef) string { return plan.Ranges(refs) }

// LooksLikePart reports whether the text has the form of a part or a runner; see
// plan.LooksLikePart.
func LooksLikePart(text string) bool { return plan.LooksLikePart(text) }

// BuildHelp tells every word of build.md; see plan.BuildHelp.
func BuildHelp() string { return plan.BuildHelp() }

// Title makes a readable title of an id; see plan.Title.
func Title(id string) string { return plan.Title(id) }

// Capital is the words with their first letter as a capital; see plan.Capital.
func Capital(words string) string { return plan.Capital(words) }

// Slug is a name as folders spell it; see plan.Slug.
func Slug(name string) string { return plan.Slug(name) }

// ZoneDoubt says what is wrong with the time zones of journal.toml, "" = nothing.
// Photos that state no zone would be dated by the wrong one for ever, so none is
// taken in until it is mended.
func (s *State) ZoneDoubt() string { return s.Config.ZoneDoubt() }

// ZoneAt is the zone the person was in when the clock on the wall showed a time;
// see plan.Config.ZoneAt.
func (s *State) ZoneAt(wall time.Time) *time.Location { return s.Config.ZoneAt(s.Zone, wall) }

// PagesFolder is the folder of a journal that dir is or lies in, that of its pages
// among them, "" = of none; see plan.PagesFolder.
func PagesFolder(dir string, journals ...string) (string, error) {
	return plan.PagesFolder(dir, journals...)
}
