// What is said of millimeters, by what a ruler said of the cards' sheets.

package render

import (
	"math"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// onSheet is a card seen at a place, with the mark of its sheet.
func onSheet(t *testing.T, at shot.Placed, sheet string) journal.CardSeen {
	t.Helper()
	one := seenAt(at, 1600, 1200)
	text, err := journal.Card{Says: journal.EndCard, Sheet: sheet}.Text()
	if err != nil {
		t.Fatal(err)
	}
	one.Text = text
	return one
}

// Every millimeter on a page carries its condition until a ruler told, and then
// the error of the ruler.
func TestMillimetersBySheet(t *testing.T) {
	k7, m2 := journal.SheetSize{Sheet: "K7QF", Measured: 47.5, Record: "bench-1/1"}, journal.SheetSize{Sheet: "M2AB", Measured: 50, Record: "bench-1/2"}
	stems := map[string]string{}
	var unsureBy = map[string]float64{}
	for name, c := range map[string]struct {
		marks      [2]string
		sheets     []journal.SheetSize
		want, none []string
	}{
		"no marks":   {[2]string{"", ""}, nil, []string{"0.20 mm a pixel at the card ± 0.1 % if printed at 100 %,", "at one scale if their cards were printed at the same size, which nobody measured"}, nil},
		"one sheet":  {[2]string{"K7QF", "K7QF"}, nil, []string{"± 0.1 % if printed at 100 %,"}, []string{"at one scale"}},
		"two sheets": {[2]string{"K7QF", "M2AB"}, nil, []string{"± 0.1 % if printed at 100 %,", "which nobody measured"}, nil},
		"the later one's": {[2]string{"K7QF", "M2AB"}, []journal.SheetSize{m2},
			[]string{"0.20 mm a pixel at the card ± 0.6 %,", "at one scale if the earlier one's card was printed at 100 %, which nobody measured"}, []string{"if printed"}},
		"the earlier one's":   {[2]string{"K7QF", "M2AB"}, []journal.SheetSize{k7}, []string{"± 0.1 % if printed at 100 %,", "at one scale if the later one's card was printed at 100 %, which nobody measured"}, nil},
		"both":                {[2]string{"K7QF", "M2AB"}, []journal.SheetSize{k7, m2}, []string{"0.20 mm a pixel at the card ± 0.6 %,"}, []string{"if printed", "at one scale"}},
		"one sheet, measured": {[2]string{"K7QF", "K7QF"}, []journal.SheetSize{k7}, []string{"0.19 mm a pixel at the card ± 0.6 %,"}, []string{"if printed", "at one scale"}},
	} {
		v, p := laidView(func(s *journal.State, a, b *journal.Photo) {
			a.Cards, b.Cards = []journal.CardSeen{onSheet(t, earlierCard, c.marks[0])}, []journal.CardSeen{onSheet(t, laterCard, c.marks[1])}
			s.Sheets = c.sheets
		})
		l, why := v.layOf(p)
		if l == nil {
			t.Fatalf("%s: %s", name, why)
		}
		words := strings.Join(l.done, " ")
		for _, w := range c.want {
			if !strings.Contains(words, w) {
				t.Errorf("%s: %q does not say %q", name, words, w)
			}
		}
		for _, w := range c.none {
			if strings.Contains(words, w) {
				t.Errorf("%s: %q says %q", name, words, w)
			}
		}
		stems[l.stem[0]] = name
		keep, other := card.Best(v.State, p.b.photo), card.Best(v.State, p.a.photo)
		fr, _ := inEnglish.shareFrame(p.b.photo, p.a.photo, keep.Plane.Inverse().Then(other.Plane), keep.Corners[0])
		_, unsureBy[name] = unsure(keep, other, fr)
	}
	if len(stems) != 7 {
		t.Errorf("the files of pictures by other measures go by the same names: %v", stems)
	}
	// One sheet is as large as itself, whatever a ruler says of it; two are known
	// beside each other as surely as two rulers are read.
	if math.Abs(unsureBy["one sheet, measured"]/unsureBy["one sheet"]-1) > 1e-6 || unsureBy["both"] < 1.1*unsureBy["two sheets"] {
		t.Errorf("%v", unsureBy)
	}
}

// A card printed at 95 % lays its picture as large as it is once that was
// measured, and not before.
func TestLaidAtTheMeasuredSize(t *testing.T) {
	small := earlierCard
	small.Share *= 0.95 // in a photo it looks like one farther away
	onA, onB := small.Plane(1600, 1200), laterCard.Plane(1600, 1200)
	long := func(sheets ...journal.SheetSize) float64 {
		v, p := laidView(func(s *journal.State, a, b *journal.Photo) {
			a.Cards, b.Cards = []journal.CardSeen{onSheet(t, small, "K7QF")}, []journal.CardSeen{onSheet(t, laterCard, "M2AB")}
			s.Sheets = sheets
		})
		l, why := v.layOf(p)
		if l == nil {
			t.Fatal(why)
		}
		// 60 mm on paper, along which the small card's own millimeters are more.
		length := func(i int, x0, y0, x1, y1 float64) float64 {
			u0, v0 := l.laid[i].From.Inverse().At(x0, y0)
			u1, v1 := l.laid[i].From.Inverse().At(x1, y1)
			return math.Hypot(u1-u0, v1-v0)
		}
		ax0, ay0 := onA(10/0.95, 10/0.95)
		ax1, ay1 := onA(70/0.95, 10/0.95)
		bx0, by0 := onB(10, 10)
		bx1, by1 := onB(70, 10)
		return length(0, ax0, ay0, ax1, ay1) / length(1, bx0, by0, bx1, by1)
	}
	if r := long(); math.Abs(r-1/0.95) > 0.002 {
		t.Errorf("unmeasured, the earlier picture shows things %.3f times as large", r)
	}
	if r := long(journal.SheetSize{Sheet: "K7QF", Measured: 47.5, Record: "bench-1/1"}, journal.SheetSize{Sheet: "M2AB", Measured: 50, Record: "bench-1/2"}); math.Abs(r-1) > 0.002 {
		t.Errorf("measured, the earlier picture shows things %.3f times as large", r)
	}
}

// The page tells that two cards of one photo disagree, and that spots do.
func TestScaleInDoubt(t *testing.T) {
	page := func(change func(s *journal.State, a, b *journal.Photo)) string {
		v, _ := laidView(change)
		return pagesByPath(t, v)[laidPage]
	}
	// Small enough that the photo is still one of the work.
	first := laterCard
	first.Share = 0.2
	second := first
	second.X, second.Share = 0.85, first.Share*0.95
	if got := page(nil); strings.Contains(got, "in doubt") {
		t.Error("in doubt without a reason")
	}
	got := page(func(_ *journal.State, _, b *journal.Photo) {
		b.Cards = []journal.CardSeen{onSheet(t, first, "K7QF"), onSheet(t, second, "M2AB")}
	})
	if want := `The scale of the later picture is in doubt: of its cards, “end” of sheet K7QF is 5.3 % larger than “end” of sheet M2AB`; !strings.Contains(got, want) {
		t.Errorf("it does not say %q", want)
	}
	got = page(func(s *journal.State, a, b *journal.Photo) {
		one := journal.Points{A: a.Hash, B: b.Hash}
		for _, spot := range [][2]float64{{0, 0}, {110, 0}, {0, 100}} {
			ax, ay := earlierCard.Plane(1600, 1200)(spot[0], spot[1])
			bx, by := laterCard.Plane(1600, 1200)(spot[0]*0.9, spot[1]*0.9)
			pair := journal.PointPair{ax / 1600, ay / 1200, bx / 1600, by / 1200}
			if a.Hash > b.Hash {
				pair = journal.PointPair{pair[2], pair[3], pair[0], pair[1]}
			}
			one.Pairs = append(one.Pairs, pair)
		}
		if one.A > one.B {
			one.A, one.B = one.B, one.A
		}
		s.Points = []journal.Points{one}
	})
	if want := "are 11.1 % apart: the cards were printed at different sizes"; !strings.Contains(got, want) {
		t.Errorf("it does not say %q", want)
	}
}
