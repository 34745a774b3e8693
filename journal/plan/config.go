// This file is the settings of a journal, and what holds where they are silent.

package plan

import (
	"fmt"
	"slices"
	"time"
)

// Config is journal.toml.
type Config struct {
	Format      int           `toml:"format"`
	Name        string        `toml:"name"`
	Zone        string        `toml:"zone"`         // IANA name: "Europe/Lisbon"
	WrittenIn   string        `toml:"written-in"`   // language of the person's own words (BCP 47): "de"; "" = not said
	Settle      string        `toml:"settle"`       // how near a session must be for a guess: "2h"
	Longest     string        `toml:"longest"`      // a timer longer than this is asked about: "5h"
	CardSilence string        `toml:"card-silence"` // a session by card without an end card ends after so much silence: "90m"
	CardTwice   string        `toml:"card-twice"`   // the same card again within this counts once: "15s"
	CardUnseen  string        `toml:"card-unseen"`  // so long a stretch between begin and end without a photo is remarked on: "2h"
	Zones       []ZoneChange  `toml:"zones"`        // where else the person was, and when
	Clocks      []ClockFault  `toml:"clock"`
	Stages      []StageConfig `toml:"stage"`

	// Before is how many were done before the journal began, by stage kind, in what
	// that kind counts: clean = 3000 parts. It is where learning begins to count.
	Before map[string]int `toml:"before"`

	// Curing is how long things cure on this bench, by what cures: filler = "24h".
	Curing   map[string]string `toml:"curing"`
	Supplies []string          `toml:"supplies"` // headings of lists of supplies in build.md, in place of Supplies and Shopping
	Sandings []SandingConfig   `toml:"sanding"`  // plans in place of the default ones
	Public   PublicConfig      `toml:"public"`   // what others may see
}

// SandingConfig is a person's own sanding plan: the steps where the words it names
// fit; those it leaves out are any.
type SandingConfig struct {
	Surface string   `toml:"surface"`
	Finish  string   `toml:"finish"`
	Remove  string   `toml:"remove"`
	Steps   []string `toml:"steps"` // each as sanding.ParseStep reads it
}

// StageConfig is one default stage for builds that list none.
type StageConfig struct {
	ID    string `toml:"id"`
	Title string `toml:"title"`
	Kind  string `toml:"kind"`
}

// ZoneChange is another time zone from a day on: a journey, or a new home. It
// holds until the next one.
type ZoneChange struct {
	From string `toml:"from"` // YYYY-MM-DD, or with the hour there: YYYY-MM-DD HH:MM
	Name string `toml:"name"` // IANA name: "Asia/Tokyo"
}

// typed writes a length of time as a setting has it.
func typed(d time.Duration) string {
	switch {
	case d%time.Hour == 0:
		return fmt.Sprintf("%dh", d/time.Hour)
	case d%time.Minute == 0:
		return fmt.Sprintf("%dm", d/time.Minute)
	}
	return d.String()
}

// length reads a setting that is a length of time; zero says that none is one,
// too.
func length(value string, zero bool) (d time.Duration, ok bool) {
	d, err := time.ParseDuration(value)
	return d, err == nil && (d > 0 || zero && d == 0)
}

// DefaultLongest is how long a timer may run before it is asked about. Long
// sittings at the bench exist; five hours without a break entered are rare
// enough to ask.
const DefaultLongest = 5 * time.Hour

// LongestTimer is the longest stretch a timer may run unasked.
func (c Config) LongestTimer() time.Duration {
	if d, ok := length(c.Longest, false); ok {
		return d
	}
	return DefaultLongest
}

const (
	defaultSilence = 90 * time.Minute
	defaultTwice   = 15 * time.Second
	defaultUnseen  = 2 * time.Hour
)

// Silence is how long no photo may come before a session without an end card
// is taken to have ended.
func (c Config) Silence() time.Duration {
	if d, ok := length(c.CardSilence, false); ok {
		return d
	}
	return defaultSilence
}

// Unseen is how long a session between its cards may go without any photo before
// that is remarked on. Two hours is common practice, no source: whoever keeps
// hours by camera shows a count or a step more often than that.
func (c Config) Unseen() time.Duration {
	if d, ok := length(c.CardUnseen, false); ok {
		return d
	}
	return defaultUnseen
}

// Twice is within how much time the same card in two pictures is one.
func (c Config) Twice() time.Duration {
	if d, ok := length(c.CardTwice, true); ok {
		return d
	}
	return defaultTwice
}

// Retake is within how much time a second picture of a card may be the first one
// taken again: the time to look at it and see that it is blurred, on top of
// card-twice. Without card-twice no picture is taken to be another's.
func (c Config) Retake() time.Duration {
	if c.Twice() == 0 {
		return 0
	}
	return c.Twice() + 30*time.Second
}

// DefaultSettle is how near a session must be for a guess when the journal's
// settings do not say.
const DefaultSettle = 2 * time.Hour

// SettleTime is how near a session must be for a guess.
func (c Config) SettleTime() time.Duration {
	if d, ok := length(c.Settle, true); ok {
		return d
	}
	return DefaultSettle
}

// defaultStages are the stages of builds that list none: the settings' own, or
// the usual order.
func (c Config) defaultStages() []Stage {
	var stages []Stage
	for _, s := range c.Stages {
		if s.Kind == "" {
			s.Kind = s.ID
		}
		if s.Title == "" {
			s.Title = Title(s.ID)
		}
		if s.ID != "" && slices.Contains(Kinds, s.Kind) {
			stages = append(stages, Stage(s))
		}
	}
	if len(stages) > 0 {
		return stages
	}
	for _, kind := range Kinds {
		stages = append(stages, Stage{ID: kind, Title: Title(kind), Kind: kind})
	}
	return stages
}
