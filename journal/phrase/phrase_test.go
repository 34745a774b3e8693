// Tests of what people say about when and how long.

package phrase

import (
	"errors"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"
)

func lisbon(t testing.TB) *time.Location {
	zone, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

// TestWorked reads phrases said on Wednesday, 25 November 2026, at 20:00.
func TestWorked(t *testing.T) {
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, lisbon(t))
	for _, c := range []struct {
		text    string
		minutes float64
		date    string
		start   string // "" = none said
	}{
		{"about 40 min yesterday evening", 40, "2026-11-24", ""},
		{"40m", 40, "2026-11-25", ""},
		{"1h20 2026-03-14", 80, "2026-03-14", ""},
		{"1 h 20 min today", 80, "2026-11-25", ""},
		{"1,5 hours on sunday", 90, "2026-11-22", ""},
		{"2 h wednesday", 120, "2026-11-18", ""},
		{"6 h spring 1998", 360, "1998", ""},
		{"90 minutes 2021-07", 90, "2021-07", ""},
		{"25 min 3 days ago", 25, "2026-11-22", ""},
		{"half an hour", 30, "2026-11-25", ""},
		{"a half hour", 30, "2026-11-25", ""},
		{"half-hour", 30, "2026-11-25", ""},
		{"a quarter of an hour", 15, "2026-11-25", ""},
		{"three quarters of an hour", 45, "2026-11-25", ""},
		{"an hour", 60, "2026-11-25", ""},
		{"an hour and a half last night", 90, "2026-11-24", ""},
		{"an hour and a quarter", 75, "2026-11-25", ""},
		{"an hour and three quarters", 105, "2026-11-25", ""},
		{"one and a half hours", 90, "2026-11-25", ""},
		{"two hours and a half on Monday", 150, "2026-11-23", ""},
		{"2½ h", 150, "2026-11-25", ""},
		{"1 1/2 hours", 90, "2026-11-25", ""},
		{"1/2 hour", 30, "2026-11-25", ""},
		{"an hour and twenty minutes", 80, "2026-11-25", ""},
		{"an hour twenty", 80, "2026-11-25", ""},
		{"forty-five minutes this morning", 45, "2026-11-25", ""},
		{"ninety min", 90, "2026-11-25", ""},
		{"1:20 h", 80, "2026-11-25", ""},
		{"0,5 h", 30, "2026-11-25", ""},
		{"2.75 h", 165, "2026-11-25", ""},
		{"1 h 24 November", 60, "2026-11-24", ""},
		{"40 min two weeks ago", 40, "2026-11-11", ""},
		{"40 min the day before yesterday", 40, "2026-11-23", ""},
		{"40 min on the 24th of November 2025", 40, "2025-11-24", ""},
		{"40 min November 24", 40, "2026-11-24", ""},
		{"40 min Nov 24, 2025", 40, "2025-11-24", ""},
		{"40 min 26 November", 40, "2025-11-26", ""}, // tomorrow's day: the last such one
		{"40 min 24.11.", 40, "2026-11-24", ""},
		{"40 min 3.4.2026", 40, "2026-04-03", ""},
		{"40 min 24/11", 40, "2026-11-24", ""},
		{"40 min 29 February", 40, "2024-02-29", ""},
		{"3 h in March 2019", 180, "2019-03", ""},
		{"3 h in December", 180, "2025-12", ""},
		{"8 h 1998", 480, "1998", ""},
		{"24 November 19:30 to 20:15", 45, "2026-11-24", "2026-11-24 19:30"},
		{"from 7 to 8.15 pm yesterday", 75, "2026-11-24", "2026-11-24 19:00"},
		{"from 11 to 1 pm yesterday", 120, "2026-11-24", "2026-11-24 11:00"},
		{"yesterday evening from 7 to 8.15", 75, "2026-11-24", "2026-11-24 19:00"},
		{"19:30-20:00", 30, "2026-11-25", "2026-11-25 19:30"},
		{"between 9 and 10:30 this morning", 90, "2026-11-25", "2026-11-25 09:00"},
		{"from 07:30 to 09:00", 90, "2026-11-25", "2026-11-25 07:30"},
		{"from 8 to 9 today", 60, "2026-11-25", "2026-11-25 08:00"}, // the evening's has not come
		{"from 22:30 to 0:15 yesterday", 105, "2026-11-24", "2026-11-24 22:30"},
		{"last night from 11 to 12:30", 90, "2026-11-24", "2026-11-24 23:00"},
		{"last night 0:30 to 1:15", 45, "2026-11-25", "2026-11-25 00:30"},
		{"half past seven to quarter past eight yesterday evening", 45, "2026-11-24", "2026-11-24 19:30"},
		{"2 h from 7 pm yesterday", 120, "2026-11-24", "2026-11-24 19:00"},
		{"half an hour until 19:30", 30, "2026-11-25", "2026-11-25 19:00"},
		{"yesterday 8 p.m. to 9 p.m.", 60, "2026-11-24", "2026-11-24 20:00"},
		{"21:00 to 22:00", 60, "2026-11-24", "2026-11-24 21:00"}, // today's has not come
		{"from eight to nine yesterday evening", 60, "2026-11-24", "2026-11-24 20:00"},
		{"yesterday 19.30-20.15", 45, "2026-11-24", "2026-11-24 19:30"},
		{"an hour or so", 60, "2026-11-25", ""},
		{"five to eight to nine pm yesterday", 65, "2026-11-24", "2026-11-24 19:55"},
		{"noon to 1 pm", 60, "2026-11-25", "2026-11-25 12:00"},
	} {
		got, err := ParseWorked(c.text, now)
		start := ""
		if !got.Start.IsZero() {
			start = got.Start.Format("2006-01-02 15:04")
		}
		if err != nil || got.Minutes != c.minutes || got.Date != c.date || start != c.start || got.Words != c.text {
			t.Errorf("ParseWorked(%q) = %v min on %s from %q, %v; want %v min on %s from %q", c.text, got.Minutes, got.Date, start, err, c.minutes, c.date, c.start)
		}
	}
}

// TestAmbiguous refuses with both readings, and takes each of them.
func TestAmbiguous(t *testing.T) {
	now := time.Date(2026, 11, 26, 22, 0, 0, 0, lisbon(t)) // a Thursday
	for _, c := range []struct {
		text  string
		reads []string
	}{
		{"40 min 3/4/2026", []string{"2026-04-03", "2026-03-04"}},
		{"40 min 3/4", []string{"2026-04-03", "2026-03-04"}},
		{"40 min last Tuesday", []string{"2026-11-24", "2026-11-17"}},
		{"from 7 to 8.15 yesterday", []string{"2026-11-25 07:00 to 08:15", "2026-11-25 19:00 to 20:15"}},
		{"8 to 9 yesterday", []string{"2026-11-25 08:00 to 09:00", "2026-11-25 20:00 to 21:00"}},
		{"1.20 h", []string{"1h20", "1h12"}},
		{"1,25 h", []string{"1h25", "1h15"}},
		{"3 h winter 2019", []string{"January 2019", "December 2019"}},
		{"1 h from 7 yesterday", []string{"2026-11-25 07:00", "2026-11-25 19:00"}},
		{"2026-10-25 1:10 to 1:40", nil}, // the clocks of Lisbon show that hour twice
	} {
		got, err := ParseWorked(c.text, now)
		var twofold *Ambiguous
		if !errors.As(err, &twofold) || got != (Worked{}) {
			t.Errorf("ParseWorked(%q) = %+v, %v; want both readings", c.text, got, err)
			continue
		}
		if c.reads != nil && strings.Join(twofold.Readings, "|") != strings.Join(c.reads, "|") {
			t.Errorf("ParseWorked(%q): readings %q, want %q", c.text, twofold.Readings, c.reads)
		}
	}
	for _, clear := range []string{"2026-04-03 40 min", "1h20", "1h12", "40 min 2026-11-17", "3 h January 2019", "2026-11-25 07:00 to 08:15"} {
		if _, err := ParseWorked(clear, now); err != nil {
			t.Errorf("a reading that is offered is refused: %q: %v", clear, err)
		}
	}
}

// TestUnclear refuses what it does not understand, with the reason.
func TestUnclear(t *testing.T) {
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC)
	for text, want := range map[string]Reason{
		"": NoLength, "yesterday": NoLength, "0 min": BadLength, "30 h": BadLength, "40 min tomorrow": Word, "40 min 2027-01-01": Future,
		"40 min 2026-02-31": BadDay, "40 min 30 February": BadDay, "40 min today yesterday": Twice, "many min": NoLength, "a while": NoLength, "40 min soon": Word, "a few hours": Vague, "a couple of hours": Vague,
		"40 min 2 h": Twice, "19:30 to 20:30 today": Future, "half an hour ago": Word, "2 to 3 hours": Word, "40 min 32.1.": BadDay, "40 min 20 min 19:30 to 20:00": Twice,
		"19:30": NoLength, "25:30 to 26:00": NoLength, "2 h 2026-11-25 from 19:00": Future,
	} {
		got, err := ParseWorked(text, now)
		var unclear *Unclear
		if !errors.As(err, &unclear) || unclear.Reason != want || got != (Worked{}) {
			t.Errorf("ParseWorked(%q) = %+v, %v; want reason %d", text, got, err, want)
		}
	}
}

func TestMoment(t *testing.T) {
	now := time.Date(2026, 11, 25, 0, 30, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"22:10": "2026-11-24 22:10", "0:10": "2026-11-25 00:10", "2026-11-21 20:30": "2026-11-21 20:30", "2026-11-21T20:30": "2026-11-21 20:30",
		"yesterday 7.30 pm": "2026-11-24 19:30", "at 7 pm on 20 November": "2026-11-20 19:00", "last night 22:10": "2026-11-24 22:10",
		"2026-11-21 10:50": "2026-11-21 10:50", "2026-11-21 07:30 pm": "2026-11-21 19:30", "2026-11-21 10:50 pm": "2026-11-21 22:50", "2026-11-21 12:10 am": "2026-11-21 00:10",
	} {
		got, _, err := ParseMoment(text, now)
		if err != nil || got.Format("2006-01-02 15:04") != want {
			t.Errorf("ParseMoment(%q) = %v, %v; want %s", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "yesterday", "half an hour", "19:30 to 20:00", "today 19:30", "7:10 on 20 November"} {
		if got, _, err := ParseMoment(bad, now); err == nil || !got.IsZero() {
			t.Errorf("ParseMoment(%q) = %v, %v; want an error", bad, got, err)
		}
	}
}

func TestDay(t *testing.T) {
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, lisbon(t))
	for text, want := range map[string]string{
		"yesterday": "2026-11-24 2026-11-24 2026-11-24", "2019": "2019-01-01 2019-12-31 2019", "March 2019": "2019-03-01 2019-03-31 2019-03",
		"spring 2019": "2019-03-01 2019-05-31 spring 2019", "last summer": "2026-06-01 2026-08-31 summer 2026", "in winter": "2025-12-01 2026-02-28 winter 2025",
		"about 14 March 2020": "2020-03-14 2020-03-14 2020-03-14",
	} {
		got, err := ParseDay(text, now)
		if s := got.First.Format(time.DateOnly) + " " + got.Last.Format(time.DateOnly) + " " + got.Said; err != nil || s != want {
			t.Errorf("ParseDay(%q) = %s, %v; want %s", text, s, err, want)
		}
	}
	sydney, err := time.LoadLocation("Australia/Sydney")
	if err != nil {
		t.Fatal(err)
	}
	got, err := ParseDay("spring 2019", now.In(sydney))
	if err != nil || got.First.Format(time.DateOnly) != "2019-09-01" {
		t.Errorf("spring in Sydney = %v, %v; want September", got, err)
	}
}

func TestLength(t *testing.T) {
	for text, want := range map[string]time.Duration{"1h20": 80 * time.Minute, "half an hour": 30 * time.Minute, "about 45 min": 45 * time.Minute} {
		if got, err := ParseLength(text); err != nil || got != want {
			t.Errorf("ParseLength(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "yesterday", "1h20 yesterday", "19:30", "25 h"} {
		if got, err := ParseLength(bad); err == nil || got != 0 {
			t.Errorf("ParseLength(%q) = %v, %v; want an error", bad, got, err)
		}
	}
}

func TestUnderstood(t *testing.T) {
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"24 November 19:30 to 20:15": "Tuesday 24 November 2026, 19:30 to 20:15, 45 min",
		"an hour and a half":         "Wednesday 25 November 2026, 1 h 30 min",
		"2 h March 2019":             "March 2019, 2 h",
		"2 h 1998":                   "1998, 2 h",
	} {
		w, err := ParseWorked(text, now)
		if err != nil || w.Understood() != want {
			t.Errorf("%q is understood as %q, %v; want %q", text, w.Understood(), err, want)
		}
	}
}

// FuzzWorked looks that no text crashes, and that what is understood is sane.
func FuzzWorked(f *testing.F) {
	now := time.Date(2026, 11, 25, 20, 0, 0, 0, time.UTC)
	for _, seed := range []string{"half an hour", "from 7 to 8.15 pm yesterday", "24.11. 1½ h", "an hour and", "to to to", "1/2 3/4", "last last", "half past", "½½ h - -"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		w, err := ParseWorked(text, now)
		if err != nil {
			if w != (Worked{}) {
				t.Errorf("%q: a value beside an error: %+v", text, w)
			}
			return
		}
		if w.Minutes <= 0 || w.Minutes > 24*60 || w.Date > now.Format(time.DateOnly) || w.Start.After(now) {
			t.Errorf("%q is understood as %+v", text, w)
		}
	})
}
