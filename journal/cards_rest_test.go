// Tests of breaks by card, and of the card that counts nothing.

package journal

import (
	"strings"
	"testing"
	"time"
)

// restTold is the sessions with their breaks and net minutes.
func restTold(s *State) string {
	var out []string
	for _, one := range s.Sessions {
		line := one.Start.Format("15:04") + " " + one.Known + " " + Spell(one.Net)
		for _, b := range one.Breaks {
			end := "now"
			if !b.End.IsZero() {
				end = b.End.Format("15:04")
			}
			line += ", break " + b.Start.Format("15:04") + "-" + end
		}
		out = append(out, line)
	}
	for _, c := range s.Cards {
		if c.Did.Idle() {
			out = append(out, "wrong: "+c.Why())
		}
	}
	return strings.Join(out, "\n")
}

func TestBreaksByCard(t *testing.T) {
	const begin = "19:00 begin pilot-boat clean"
	for name, one := range map[string]struct {
		shots []string
		want  string
	}{
		"the card again ends it":            {[]string{begin, "19:30 break", "19:50 break", "20:30 end"}, "19:00 measured 1 h 10 min, break 19:30-19:50"},
		"two breaks":                        {[]string{begin, "19:30 break", "19:50 break", "20:10 break", "20:20 break", "20:30 end"}, "19:00 measured 1 h, break 19:30-19:50, break 20:10-20:20"},
		"a begin card of the stage":         {[]string{begin, "19:30 break", "19:50 begin pilot-boat clean", "20:30 end"}, "19:00 measured 1 h 10 min, break 19:30-19:50"},
		"a begin card of another":           {[]string{begin, "19:30 break", "19:50 begin lorry clean", "20:30 end"}, "19:00 measured 30 min, break 19:30-19:50\n19:50 measured 40 min"},
		"nothing came after it":             {[]string{begin, "19:30 break", "20:30 end"}, "19:00 measured 30 min, break 19:30-20:30"},
		"a photo of the work":               {[]string{begin, "19:30 break", "19:50 photo", "20:30 end"}, "19:00 estimated 1 h 10 min, break 19:30-19:50"},
		"a count":                           {[]string{begin, "19:30 break", "19:50 5", "20:30 end"}, "19:00 estimated 1 h 10 min, break 19:30-19:50"},
		"a runner":                          {[]string{begin, "19:30 break", "19:50 runner A", "20:30 end"}, "19:00 estimated 1 h 10 min, break 19:30-19:50"},
		"a last photo while getting up":     {[]string{begin, "19:30 break", "19:33 photo", "19:50 break", "20:30 end"}, "19:00 measured 1 h 10 min, break 19:30-19:50"},
		"a count while getting up":          {[]string{begin, "19:30 break", "19:34 5", "19:50 break", "20:30 end"}, "19:00 measured 1 h 10 min, break 19:30-19:50"},
		"photographed twice":                {[]string{begin, "19:30 break", "19:30:08 break", "20:00 break", "20:30 end"}, "19:00 measured 1 h, break 19:30-20:00"},
		"count and break in one picture":    {[]string{begin, "19:30 break & 5", "19:50 break", "20:30 end"}, "19:00 measured 1 h 10 min, break 19:30-19:50"},
		"never came back":                   {[]string{begin, "19:30 break", "+19:00 photo"}, "19:00 estimated 30 min"},
		"longer than a silence":             {[]string{begin, "19:30 break", "21:30 break", "22:00 end"}, "19:00 measured 1 h, break 19:30-21:30"},
		"it runs":                           {[]string{begin, "19:30 break"}, "19:00 measured under 1 min, break 19:30-now"},
		"nothing ran":                       {[]string{"19:30 break"}, "wrong: nothing ran at that time"},
		"of another build":                  {[]string{begin, "19:30 break lorry", "20:30 end"}, "19:00 measured 1 h 30 min\nwrong: it is of another build than pilot-boat, which ran at that time and goes on"},
		"with a longest timer's silence in": {[]string{begin, "19:30 break", "+08:00 break"}, "19:00 estimated 30 min\nwrong: nothing ran at that time"},
	} {
		if got := restTold(Fold(cardPlan, shots(t, one.shots...))); got != one.want {
			t.Errorf("%s: %q\ngot\n%s\nwant\n%s", name, one.shots, got, one.want)
		}
	}
}

// A person knows better than a photo when a break ended; and breaks by card go to a
// timer as well.
func TestBreaksByCardAndByHand(t *testing.T) {
	at := func(clock string) time.Time {
		v, err := time.Parse(time.DateTime, "2026-03-14 "+clock+":00")
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	cards := shots(t, "19:00 begin pilot-boat clean", "19:30 break", "19:50 photo", "20:30 end")
	id := cardSession("0000000000000001")
	said := written(t, 1, BreakBody{Session: id, Start: at("19:30"), End: at("19:40")})
	if got := restTold(Fold(cardPlan, append(cards, said))); got != "19:00 measured 1 h 20 min, break 19:30-19:40" {
		t.Errorf("its end said by hand: %s", got)
	}
	yes := written(t, 2, CorrectBody{Session: id, Accept: true})
	if got := restTold(Fold(cardPlan, append(cards, yes))); got != "19:00 measured 1 h 10 min, break 19:30-19:50" {
		t.Errorf("vouched for: %s", got)
	}

	timer := written(t, 3, BeginBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Start: at("19:00")})
	off := written(t, 4, EndBody{Session: timer.ID(), End: at("20:30")})
	byCard := append(shots(t, "19:30 break", "19:50 break"), timer, off)
	if got := restTold(Fold(cardPlan, byCard)); got != "19:00 measured 1 h 10 min, break 19:30-19:50" {
		t.Errorf("beside a timer: %s", got)
	}
	byHand := written(t, 5, BreakBody{Session: timer.ID(), Start: at("19:20")})
	if got := restTold(Fold(cardPlan, append(shots(t, "19:50 break"), timer, off, byHand))); got != "19:00 measured 1 h, break 19:20-19:50" {
		t.Errorf("begun by hand, ended by card: %s", got)
	}
	ended := written(t, 6, BreakBody{Session: timer.ID(), Start: at("19:30"), End: at("19:40")})
	if got := restTold(Fold(cardPlan, append(shots(t, "19:30 break", "20:10 break", "20:20 break"), timer, off, ended))); got != "19:00 measured 1 h 10 min, break 19:30-19:40, break 20:10-20:20" {
		t.Errorf("begun by card, ended by hand, and another by card: %s", got)
	}
}

// An evening counted as nothing done is another than one that was not counted.
func TestNothingDoneByCard(t *testing.T) {
	for _, words := range []string{"0", "0 & end"} {
		s := Fold(cardPlan, shots(t, "19:00 begin pilot-boat clean", "20:00 "+words, "20:30 end"))
		if one := s.Sessions[0]; !one.Counted || one.Done() != 0 {
			t.Errorf("%s: counted %v, %d done; want counted and none", words, one.Counted, one.Done())
		}
	}
	if Fold(cardPlan, shots(t, "19:00 begin pilot-boat clean", "20:30 end")).Sessions[0].Counted {
		t.Error("counted without a count")
	}
}
