// Tests of stages in which more is done than there is.

package journal

import (
	"strings"
	"testing"
)

// TestOver holds that a stage with more done than its runners have is said so at
// the card that counted last and in the list of what there is to do, that the
// counts stay as they were given, and that nothing is said where all fits.
func TestOver(t *testing.T) {
	fits := Fold(cardPlan, shots(t, "19:00 begin pilot-boat clean", "19:10 runner A", "20:00 end"))
	if over := fits.Over(); len(over) > 0 {
		t.Errorf("all of a runner is too much: %v", over)
	}
	s := Fold(cardPlan, shots(t, "19:00 begin pilot-boat clean", "19:10 2", "19:30 runner A", "19:40 4", "20:00 end"))
	if done := s.Sessions[0].Done(); done != 9 {
		t.Errorf("%d done; the counts were 2, 3 and 4", done)
	}
	want := "clean on pilot-boat: 9 parts counted, and there are only 3"
	var came []string
	for _, c := range s.Cards {
		came = append(came, c.Came())
	}
	all := strings.Join(came, "\n")
	if !strings.Contains(all, "4 parts counted in clean; "+want) || strings.Count(all, want) != 1 {
		t.Errorf("cards say\n%s\nwant %q at the last count", all, want)
	}
	if !strings.Contains(all, "runner A done, 3 parts; 3 counted by number in the same session may be of them") {
		t.Errorf("cards say\n%s\nwant the counts by number named at the runner", all)
	}
	rows := s.ToDo()
	last := rows[len(rows)-1]
	if last.Kind != CardWrong || last.Why.(CardCause).Cards[0].Over.String() != want || !strings.HasSuffix(last.Command, ` "NUMBER parts"`) || !strings.Contains(last.Else, "cards --ignore") {
		t.Errorf("to do: %+v", last)
	}
}
