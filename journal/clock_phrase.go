// This file reads and writes what is said of a clock: how far it was off, and
// when a photo was really taken.

package journal

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"rakelight/journal/plan"
)

var clockLength = regexp.MustCompile(`(?i)^\s*(?:(\d{1,5})\s*d(?:ays?)?)?\s*(?:(\d{1,6})\s*h(?:ours?|rs?)?)?\s*(?:(\d{1,7})\s*m(?:in(?:utes?)?)?)?\s*(?:(\d{1,8})\s*s(?:ec(?:onds?)?)?)?\s*$`)

// ParseFault reads how far a clock was off: "1h3m", "1 h 03 min", "2d", "45s".
// It is above zero and at most sixty years.
func ParseFault(text string) (time.Duration, error) {
	m := clockLength.FindStringSubmatch(text)
	if m == nil {
		return 0, fmt.Errorf("%q is not a length of time; write it like 1h3m, 20m or 45s", text)
	}
	var d time.Duration
	for i, unit := range []time.Duration{24 * time.Hour, time.Hour, time.Minute, time.Second} {
		n, _ := strconv.Atoi("0" + m[i+1]) // the pattern vouches for digits
		d += time.Duration(n) * unit
	}
	if d <= 0 || d > plan.MaxFault {
		return 0, fmt.Errorf("%q: a clock is off by more than nothing and by less than sixty years", text)
	}
	return d, nil
}

// FaultText writes how far a clock is ahead as records hold it: "1h3m", "-20m".
func FaultText(fast time.Duration) string {
	text := fast.String()
	if strings.HasSuffix(text, "m0s") {
		text = strings.TrimSuffix(text, "0s")
	}
	if strings.HasSuffix(text, "h0m") {
		text = strings.TrimSuffix(text, "0m")
	}
	return text
}

// SpellFault says how far a clock is ahead: "1 h 3 min fast", "20 min slow",
// "5 s fast".
func SpellFault(fast time.Duration) string {
	word, d := "fast", fast
	if fast < 0 {
		word, d = "slow", -fast
	}
	var parts []string
	for _, unit := range []struct {
		name string
		of   time.Duration
	}{{"d", 24 * time.Hour}, {"h", time.Hour}, {"min", time.Minute}, {"s", time.Second}} {
		if n := d / unit.of; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, unit.name))
			d -= n * unit.of
		}
	}
	if len(parts) == 0 {
		return "right"
	}
	return strings.Join(parts, " ") + " " + word
}

// ParseReally reads when a photo was really taken, by a clock at the place:
// "2026-03-14 19:32:05", or "19:32:05" on the day its camera showed. Seconds
// may be left out. What comes back are the digits, in UTC, as Shown gives
// them.
func ParseReally(text string, shown time.Time) (time.Time, error) {
	text = strings.TrimSpace(strings.Replace(text, "T", " ", 1))
	if !strings.Contains(text, " ") {
		text = shown.Format(time.DateOnly) + " " + text
	}
	for _, layout := range []string{time.DateTime, "2006-01-02 15:04"} {
		if t, err := time.Parse(layout, text); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("%q is not a time; write it like \"2026-03-14 19:32:05\" or 19:32:05", text)
}

// TellsClock reports whether FaultOf can say something: the photo's time is that
// of its camera's clock, and it names its camera.
func (p *Photo) TellsClock() bool {
	return p.Instant.ByClock() && (p.Camera.Make != "" || p.Camera.Model != "")
}

// FaultOf is how far the camera was ahead when it took the photo that was
// really taken at the moment text tells, in whole seconds. A photo whose time
// did not come from its camera's clock tells nothing.
func FaultOf(p *Photo, text string) (time.Duration, error) {
	if !p.Instant.ByClock() {
		return 0, &AskError{What: fmt.Sprintf("%s: its time is not its camera's (it is from: %s), so it tells nothing of the clock",
			p.Name, p.Instant.Source),
			Hint: "choose another photo of the same camera; " + Typed("rakelight why %s", p.Short()) +
				" tells what this one states"}
	}
	if p.Camera.Make == "" && p.Camera.Model == "" {
		return 0, &AskError{What: p.Name + ": it names no camera, so there is no clock to correct",
			Hint: "choose a photo as it came from the camera"}
	}
	shown := p.Instant.Shown()
	really, err := ParseReally(text, shown)
	if err != nil {
		return 0, err
	}
	fast := shown.Truncate(time.Second).Sub(really)
	if fast.Abs() > plan.MaxFault {
		return 0, fmt.Errorf("%s and what the camera showed, %s, lie more than sixty years apart", text,
			shown.Format(time.DateTime))
	}
	return fast, nil
}

// Evidence is what a proposal rests on, in one sentence.
func (p ClockProposal) Evidence() string {
	return fmt.Sprintf("in %d sessions on %d days both it and %s were used; median offset %s (%s to %s fits), half of the sessions within %s; %d of its %d photos lie in a session as the clock is, %d would",
		p.Sessions, p.Days, p.Beside.Name, SpellFault(p.Fast), SpellFault(p.Low.Round(time.Minute)),
		SpellFault(p.High.Round(time.Minute)), Spell(p.Spread), p.Inside, p.Photos, p.Would)
}

// Command is what a person types to accept the proposal.
func (p ClockProposal) Command() string {
	return clockCommand(p.Camera.Name, p.Fast, p.From, p.To)
}

// clockCommand says that a camera was ahead by fast between two days.
func clockCommand(camera string, fast time.Duration, from, to string) string {
	flag := "--fast"
	if fast < 0 {
		flag = "--slow"
	}
	return Typed("rakelight clock %s "+flag+" %s --from %s --to %s", camera, FaultText(fast.Abs()), from, to)
}
