// This file is the clocks of journal.toml: cameras that showed a wrong time.

package plan

import (
	"fmt"
	"strings"
	"time"
)

// ClockFault is a camera whose clock was wrong over a range of days. An empty
// make, model or serial is any.
type ClockFault struct {
	Make   string `toml:"make"`
	Model  string `toml:"model"`
	Serial string `toml:"serial"`
	Fast   string `toml:"fast"` // "1h3m"; negative = slow
	From   string `toml:"from"` // YYYY-MM-DD as the camera showed it, "" = always
	To     string `toml:"to"`   // YYYY-MM-DD inclusive, "" = for good
	Record string `toml:"-"`    // id of the clock record, "" = from journal.toml
}

// MaxFault is the most a clock can be wrong: one that fell back to its first
// day is decades behind.
const MaxFault = 60 * 366 * 24 * time.Hour

// Check says why the fault moves no photo, nil = it does.
func (c ClockFault) Check() error {
	if fast, err := c.Duration(); err != nil || fast.Abs() > MaxFault {
		return fmt.Errorf("%q is not a length of time a clock can be wrong by", c.Fast)
	}
	for _, day := range []string{c.From, c.To} {
		if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
			return fmt.Errorf("%q is not a day", day)
		}
	}
	if c.From != "" && c.To != "" && c.To < c.From {
		return fmt.Errorf("the days run backwards, from %s to %s", c.From, c.To)
	}
	return nil
}

// Duration is how far the clock was ahead; negative = behind.
func (c ClockFault) Duration() (time.Duration, error) {
	return time.ParseDuration(strings.ReplaceAll(c.Fast, " ", ""))
}

// Fits reports whether the fault is one of the camera of that make, model and
// serial number on the day (YYYY-MM-DD) it showed.
func (c ClockFault) Fits(maker, model, serial, day string) bool {
	same := func(want, got string) bool {
		return want == "" || strings.EqualFold(strings.TrimSpace(want), strings.TrimSpace(got))
	}
	return same(c.Make, maker) && same(c.Model, model) && same(c.Serial, serial) &&
		(c.From == "" || day >= c.From) && (c.To == "" || day <= c.To)
}
