// This file keeps what a ruler says of printed cards. Printers make pages
// smaller to fit the paper, and a card that was printed at 95 % makes all that
// is measured by it too large. So each sheet bears a mark, the cards carry it
// into the photos, and a person says once how long the scale came out.

package journal

import (
	"cmp"
	"crypto/rand"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
)

// ScaleLength is how long the scale on a card is at 100 %, in millimeters.
const ScaleLength = 50.0

// rulerError is the standard error of a length that a person reads off a ruler,
// in millimeters. A ruler with a line each millimeter is read to half of one, so
// either end is off by a quarter at most: rectangular, which is 0.25·√(2/3) =
// 0.20 for both ends (JCGM 100:2008, 4.3.7). The rest is left to the ruler
// itself, of which nothing is known.
const rulerError = 0.25

// What a scale of 50 mm can have become. Beyond it the number was not in
// millimeters, or not of this scale.
const (
	shortestScale = 20.0
	longestScale  = 80.0
)

// mostSheetError is the most a measure may be off by, in millimeters: a tenth of
// the scale.
const mostSheetError = 5.0

// SheetSize is what was measured of a sheet of cards.
type SheetSize struct {
	Sheet    string  // its mark, "" = cards that bear none
	Measured float64 // millimeters from 0 to 50
	Error    float64 // standard error of Measured, 0 = that of a ruler
	Paper    string  // by what paper, "" = by a ruler
	From, To string  // days of the photos it is said of, YYYY-MM-DD, "" = no limit
	Record   string
}

// fits reports whether it is said of a card of the sheet in a photo of the day;
// "" is a day that is not known.
func (m SheetSize) fits(sheet, day string) bool {
	if m.Sheet != sheet || day == "" && (m.From != "" || m.To != "") {
		return false
	}
	return (m.From == "" || day >= m.From) && (m.To == "" || day <= m.To)
}

// Check refuses what is no measure of a sheet.
func (b SheetBody) Check() error {
	if b.Sheet != "" && !isSheet(b.Sheet) {
		return fmt.Errorf("%q is not a mark of a sheet: it has %d characters of A to Z and 2 to 7", b.Sheet, sheetLen)
	}
	if !(b.Measured >= shortestScale && b.Measured <= longestScale) {
		return fmt.Errorf("a scale of %g mm does not become %g mm in any printer: it takes millimeters, from the line at 0 to the line at 50",
			ScaleLength, b.Measured)
	}
	if !(b.Error >= 0 && b.Error <= mostSheetError) {
		return fmt.Errorf("a length known to %g mm is no measure", b.Error)
	}
	for _, day := range []string{b.From, b.To} {
		if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
			return fmt.Errorf("%q is not a day", day)
		}
	}
	if b.From != "" && b.To != "" && b.To < b.From {
		return fmt.Errorf("the days run backwards, from %s to %s", b.From, b.To)
	}
	return nil
}

// ParseMeasured reads a length in millimeters as a person types it: "47.5",
// "47,5 mm".
func ParseMeasured(text string) (float64, error) {
	number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "mm"))
	v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, fmt.Errorf("%q is not a length: it takes millimeters, as 47.5", text)
	}
	return v, nil
}

// isSheet reports whether a text can be the mark of a sheet.
func isSheet(s string) bool { return len(s) == sheetLen && isKey(s) }

// NewSheet is a mark for a sheet to be printed, which no photo of the journal
// shows and nothing was measured of.
func (s *State) NewSheet() string {
	for {
		mark := rand.Text()[:sheetLen] // the same letters and digits as keys
		if _, seen := s.sheetPhotos()[mark]; !seen &&
			!slices.ContainsFunc(s.Sheets, func(m SheetSize) bool { return m.Sheet == mark }) {
			return mark
		}
	}
}

// sheet folds a record of a sheet, the latest first.
func (f *folding) sheet(r Record) error {
	b, err := read[SheetBody](r)
	if err != nil {
		return err
	}
	if err := b.Check(); err != nil {
		return err
	}
	f.state.Sheets = slices.Insert(f.state.Sheets, 0,
		SheetSize{b.Sheet, b.Measured, b.Error, b.Paper, b.From, b.To, r.ID()})
	if b.Photo != "" {
		// A page that lies there whole says nothing: else all its cards would.
		f.cardSaid[b.Photo], f.cardsBy[b.Photo] = []string{}, r.ID()
	}
	return nil
}

// Printed is what is known of the size a card in a photo was printed at.
type Printed struct {
	Sheet    string  // mark of its sheet, "" = it bears none
	Measured float64 // millimeters from 0 to 50, 0 = nobody measured
	Within   float64 // standard error of Measured, 0 = that of a ruler
	Record   string  // that says so
}

// PrintedOf is what is known of the size of a card in a photo.
func (s *State) PrintedOf(p *Photo, seen CardSeen) Printed {
	var out Printed
	if c, err := ParseCard(seen.Text); err == nil {
		out.Sheet = c.Sheet
	}
	day := ""
	if !p.Instant.At.IsZero() && p.Instant.Said == "" {
		day = p.Instant.At.In(s.Zone).Format(time.DateOnly)
	}
	for _, m := range s.Sheets {
		if m.fits(out.Sheet, day) {
			out.Measured, out.Within, out.Record = m.Measured, m.Error, m.Record
			break
		}
	}
	return out
}

// Known reports whether somebody measured the card.
func (p Printed) Known() bool { return p.Measured > 0 }

// Factor is how many millimeters of paper one of the card's millimeters is; 1
// where nobody measured.
func (p Printed) Factor() float64 {
	if !p.Known() {
		return 1
	}
	return p.Measured / ScaleLength
}

// Error is the standard error of Factor by what it is; 0 where nobody measured,
// since nothing is known then.
func (p Printed) Error() float64 {
	if !p.Known() {
		return 0
	}
	return cmp.Or(p.Within, rulerError) / p.Measured
}

// SameSize reports whether two cards are as large as each other for certain:
// they bear the mark of one sheet, or one measure is said of both.
func (p Printed) SameSize(q Printed) bool {
	return p.Sheet != "" && p.Sheet == q.Sheet && p.Record == q.Record || p.Known() && p.Record == q.Record
}

// SheetUse is a sheet of cards as the photos show it.
type SheetUse struct {
	Sheet       string    // its mark, "" = all cards that bear none
	Photos      int       // that show a card of it
	First, Last time.Time // of these photos; zero = of none the time is known
	Unmeasured  int       // photos whose cards nobody measured
}

// SheetsUsed lists the sheets whose cards photos show, those that bear no mark
// first, then by mark.
func (s *State) SheetsUsed() []SheetUse {
	var out []SheetUse
	for mark, photos := range s.sheetPhotos() {
		u := SheetUse{Sheet: mark, Photos: len(photos)}
		for _, p := range photos {
			if at := p.Instant.At; !at.IsZero() && p.Instant.Said == "" {
				if u.First.IsZero() || at.Before(u.First) {
					u.First = at
				}
				if at.After(u.Last) {
					u.Last = at
				}
			}
			if s.unmeasured(p, mark) {
				u.Unmeasured++
			}
		}
		out = append(out, u)
	}
	slices.SortFunc(out, func(a, b SheetUse) int { return strings.Compare(a.Sheet, b.Sheet) })
	return out
}

// unmeasured reports whether nobody measured the cards of a sheet in a photo.
func (s *State) unmeasured(p *Photo, mark string) bool {
	return slices.ContainsFunc(p.Cards, func(c CardSeen) bool {
		printed := s.PrintedOf(p, c)
		return printed.Sheet == mark && !printed.Known()
	})
}

// sheetPhotos are the photos that show cards, by the marks of their sheets.
func (s *State) sheetPhotos() map[string][]*Photo {
	out := map[string][]*Photo{}
	for _, p := range s.photos() {
		var marks []string
		for _, seen := range p.Cards {
			if c, err := ParseCard(seen.Text); err == nil && !slices.Contains(marks, c.Sheet) {
				marks = append(marks, c.Sheet)
				out[c.Sheet] = append(out[c.Sheet], p)
			}
		}
	}
	return out
}

// AskSheet says why a measure cannot be written down as it was said, nil if it
// can: without a mark it is of cards that bear none, so there must be some.
func (s *State) AskSheet(b SheetBody) error {
	if err := b.Check(); err != nil {
		return err
	}
	if b.Sheet != "" {
		return nil
	}
	used := s.SheetsUsed()
	if len(used) > 0 && used[0].Sheet == "" {
		return nil
	}
	if len(used) == 0 {
		return &AskError{What: "no photo shows a card without the mark of a sheet: nothing written",
			Hint: "the mark stands on each card, below its grays: --sheet MARK"}
	}
	var marks []string
	for _, u := range used {
		marks = append(marks, u.Sheet)
	}
	return &AskError{What: "each card in the photos bears the mark of its sheet: nothing written",
		Hint: "say which you measured, --sheet MARK; photos show " + strings.Join(marks, ", ")}
}
