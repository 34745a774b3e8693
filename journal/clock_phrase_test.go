// Tests of what a person types about a clock.

package journal

import (
	"strings"
	"testing"
	"time"
)

func TestParseFault(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"1h3m": 63 * time.Minute, "1 h 03 min": 63 * time.Minute, "20m": 20 * time.Minute, "45s": 45 * time.Second, "2d": 48 * time.Hour,
		"1 hour 3 minutes": 63 * time.Minute, "90 min": 90 * time.Minute, "1h3m5s": 63*time.Minute + 5*time.Second,
		"": 0, "0m": 0, "soon": 0, "-1h": 0, "1.5h": 0, "3": 0, "99999d": 0, "1h 1h": 0,
	} {
		got, err := ParseFault(text)
		if got != want || (err == nil) != (want > 0) {
			t.Errorf("%q is %v, %v", text, got, err)
		}
		if err == nil {
			if back, err := time.ParseDuration(FaultText(got)); err != nil || back != got {
				t.Errorf("%q is written %q", text, FaultText(got))
			}
		}
	}
	for fast, want := range map[time.Duration][2]string{
		63 * time.Minute: {"1h3m", "1 h 3 min fast"}, -20 * time.Minute: {"-20m", "20 min slow"}, 2 * time.Hour: {"2h", "2 h fast"},
		25 * time.Hour: {"25h", "1 d 1 h fast"}, 5 * time.Second: {"5s", "5 s fast"}, 0: {"0s", "right"}, 10 * time.Second: {"10s", "10 s fast"}, 10 * time.Minute: {"10m", "10 min fast"},
	} {
		if FaultText(fast) != want[0] || SpellFault(fast) != want[1] {
			t.Errorf("%v is %q and %q", fast, FaultText(fast), SpellFault(fast))
		}
	}
}

func TestFaultOf(t *testing.T) {
	p := &Photo{Name: "a.jpg", Hash: strings.Repeat("1", 64), Camera: Camera{Model: "T-24"}, Instant: Instant{At: moment(t, "2026-03-14 20:35:08 +00:00"), Wall: "2026:03:14 20:35:08", Source: "DateTimeOriginal", Offset: "journal zone"}}
	for text, want := range map[string]time.Duration{
		"2026-03-14 19:32:05": 63*time.Minute + 3*time.Second, "19:32:05": 63*time.Minute + 3*time.Second, "2026-03-14T21:35:08": -time.Hour, "20:35": 8 * time.Second,
	} {
		if got, err := FaultOf(p, text); got != want || err != nil {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	// A photo corrected already is measured by what its camera showed.
	corrected := *p
	corrected.Instant = correctClock(p.Instant, p.Camera, []ClockFault{{Fast: "20m"}}, time.UTC)
	if got, err := FaultOf(&corrected, "19:32:05"); got != 63*time.Minute+3*time.Second || err != nil {
		t.Errorf("%v, %v", got, err)
	}
	for _, text := range []string{"", "25:00", "yesterday", "1850-01-01 10:00"} {
		if got, err := FaultOf(p, text); err == nil {
			t.Errorf("%q: %v", text, got)
		}
	}
	file, nobody := *p, *p
	file.Instant.Source, nobody.Camera = "file time", Camera{}
	for _, one := range []*Photo{&file, &nobody} {
		if _, err := FaultOf(one, "19:32:05"); err == nil {
			t.Errorf("%+v told something of a clock", one)
		}
	}
}

func TestProposalText(t *testing.T) {
	p := ClockProposal{Camera: CameraUse{Name: "tarrow-t-24"}, Beside: CameraUse{Name: "osprel-k-2"}, Fast: -20 * time.Minute, Low: -30 * time.Minute, High: -15 * time.Minute,
		Sessions: 6, Days: 5, Photos: 40, Inside: 9, Would: 39, Spread: 8 * time.Minute, From: "2026-03-01", To: "2026-04-02"}
	if got := p.Command(); got != "rakelight clock tarrow-t-24 --slow 20m --from 2026-03-01 --to 2026-04-02" {
		t.Error(got)
	}
	for _, part := range []string{"6 sessions on 5 days", "osprel-k-2", "20 min slow", "30 min slow to 15 min slow", "within 8 min", "9 of its 40", "39 would"} {
		if !strings.Contains(p.Evidence(), part) {
			t.Errorf("no %q in %q", part, p.Evidence())
		}
	}
}
