// This file is journal.toml: the settings, and what holds where they are silent.

package plan

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/BurntSushi/toml"
)

// Config is journal.toml.
type Config struct {
	Format      int           `toml:"format"`
	Name        string        `toml:"name"`
	Zone        string        `toml:"zone"`         // IANA name: "Europe/Lisbon"
	Settle      string        `toml:"settle"`       // how near a session must be for a guess: "2h"
	Longest     string        `toml:"longest"`      // a timer longer than this is asked about: "5h"
	CardSilence string        `toml:"card-silence"` // a session by card without an end card ends after so much silence: "90m"
	CardTwice   string        `toml:"card-twice"`   // the same card again within this counts once: "15s"
	CardUnseen  string        `toml:"card-unseen"`  // so long a stretch between begin and end without a photo is remarked on: "2h"
	Zones       []ZoneChange  `toml:"zones"`        // where else the person was, and when
	Clocks      []ClockFault  `toml:"clock"`
	Stages      []StageConfig `toml:"stage"`
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

// readSettings reads journal.toml.
func (p *Plan) readSettings(dir string) error {
	const name = "journal.toml"
	data, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		return err
	}
	text := string(bytes.TrimPrefix(data, []byte("\ufeff")))
	// A newer format may mean anything by its other settings, so this is asked
	// first.
	var newer struct {
		Format int `toml:"format"`
	}
	if _, err := toml.Decode(text, &newer); err == nil && newer.Format > Format {
		return fmt.Errorf("%s: %w", dir, ErrNewerFormat)
	}
	meta, err := toml.Decode(text, &p.Config)
	if err != nil {
		return fmt.Errorf("%s: %w; nothing was changed", filepath.Join(dir, name), err)
	}
	if p.Config.Format < 1 {
		p.problem(name, 0, "the line format = %d is missing; the journal is read as of that format", Format)
		p.Config.Format = Format
	}
	for _, key := range meta.Undecoded() {
		p.problem(name, 0, "the setting %s is not known and does nothing", key)
	}
	if zone, err := time.LoadLocation(p.Config.Zone); err != nil || p.Config.Zone == "" {
		p.problem(name, 0, "zone %q is no time zone; UTC is used until you name one like Europe/Lisbon", p.Config.Zone)
	} else {
		p.Zone = zone
	}
	for _, what := range p.Config.misread() {
		p.problem(name, 0, "%s", what)
	}
	for _, copied := range copiesOf(name, dir) {
		p.Problems = append(p.Problems, copyProblem(copied, name))
	}
	return nil
}

// misread says which settings do nothing, because they are not written as they
// should be.
func (c Config) misread() []string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	for _, z := range c.Zones {
		if _, _, err := z.read(); err != nil {
			say("zones: %v; it is not applied", err)
		}
	}
	for _, l := range []struct {
		name, value string
		fallback    time.Duration
		zero        bool
	}{
		{"settle", c.Settle, DefaultSettle, true}, {"longest", c.Longest, DefaultLongest, false},
		{"card-silence", c.CardSilence, defaultSilence, false}, {"card-twice", c.CardTwice, defaultTwice, true},
		{"card-unseen", c.CardUnseen, defaultUnseen, false},
	} {
		if _, ok := length(l.value, l.zero); l.value != "" && !ok {
			say("%s = %q is no length of time; write it like \"2h\", \"90m\" or \"15s\"; %s is used", l.name, l.value, typed(l.fallback))
		}
	}
	for _, s := range c.Stages {
		if kind := cmp.Or(s.Kind, s.ID); s.ID == "" || !slices.Contains(Kinds, kind) {
			say("stage %q: %q is no kind of stage; a kind is one of %s; it is left out", s.ID, kind, strings.Join(Kinds, ", "))
		}
	}
	for _, f := range c.Clocks {
		if _, err := time.ParseDuration(f.Fast); err != nil {
			say("clock of %s %s: fast = %q is no length of time; write it like \"1h3m\" or \"-10m\"; it is not applied", f.Make, f.Model, f.Fast)
		}
		for _, day := range []string{f.From, f.To} {
			if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
				say("clock of %s %s: %q is no day; write it like 2024-03-01; it is not applied", f.Make, f.Model, day)
			}
		}
	}
	return all
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
