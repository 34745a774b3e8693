// What a ruler, or paper, says of printed cards: written down, and listed; and
// what cards do not agree on.

package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/media"
	"rakelight/media/card"
)

// measureSheet writes down how long the scale of a sheet's cards is.
func (a *app) measureSheet(j *journal.Journal, o cardsOptions) error {
	length, err := journal.ParseMeasured(o.measured)
	if err != nil {
		return &usageError{err.Error()}
	}
	return a.saySheet(j, entry.PrintedSheet{Sheet: strings.ToUpper(o.sheet), Measured: length, From: o.from, To: o.to},
		"as a ruler is read")
}

// measureWhole writes down what the paper says of a sheet that a photo shows all
// of.
func (a *app) measureWhole(j *journal.Journal, o cardsOptions) error {
	kind, err := card.PaperNamed(o.paper)
	if err != nil {
		return &usageError{err.Error()}
	}
	p, err := entry.Photo(j.State, o.whole)
	if err != nil {
		return err
	}
	file, err := j.Original(p.Path)
	if err != nil {
		return fmt.Errorf("%s: %w: nothing written", p.Name, err)
	}
	img, err := media.Decode(file, media.DefaultLimits)
	if err != nil {
		return fmt.Errorf("%s: %w: nothing written", p.Name, err)
	}
	found, err := card.PaperOf(img, kind)
	if err != nil {
		return &journal.AskError{What: fmt.Sprintf("%s: %v: nothing written", p.Name, err),
			Hint: "lay a ruler on a card instead: rakelight cards --sheet MARK --measured MM"}
	}
	hundredths := func(v float64) float64 { return math.Round(100*v*journal.ScaleLength) / 100 }
	return a.saySheet(j, entry.PrintedSheet{Sheet: found.Sheet, Measured: hundredths(found.Printed), From: o.from,
		To:    o.to,
		Photo: p.Hash, Paper: kind.Name, Error: hundredths(found.Error)}, "as paper is cut and lenses bend")
}

// saySheet writes down what was measured of a sheet, and says what that is.
func (a *app) saySheet(j *journal.Journal, size entry.PrintedSheet, why string) error {
	done, err := entry.Do(j, size)
	if err != nil {
		return err
	}
	rec, body := done.Records[0], done.Add[0].(journal.SheetBody)
	said := journal.Printed{Sheet: body.Sheet, Measured: body.Measured, Within: body.Error, Record: rec.ID()}
	by := ""
	if body.Paper != "" {
		by = " beside " + body.Paper + " paper"
	}
	a.printf("%s, %s: 0 to 50 is %g mm%s, so they were printed at %.1f %%\n", cardsOf(body.Sheet),
		days(body.From, body.To), body.Measured, by, 100*said.Factor())
	a.printf("%s; what is measured by them is known to %.1f %% at best, %s\n", shownIn(j.State, rec.ID()),
		math.Ceil(1000*said.Error())/10, why)
	a.printf("%s takes that back\n", journal.Typed("rakelight retract %s", rec.ID()))
	return nil
}

// cardsOf names the cards of a sheet.
func cardsOf(mark string) string {
	if mark == "" {
		return "cards without a mark"
	}
	return "cards of sheet " + mark
}

// shownIn says how many photos a measure holds for.
func shownIn(s *journal.State, record string) string {
	n := 0
	for _, p := range s.Photos {
		if slices.ContainsFunc(p.Cards, func(c journal.CardSeen) bool { return s.PrintedOf(p, c).Record == record }) {
			n++
		}
	}
	if n == 0 {
		return "no photo shows one yet"
	}
	return "seen in " + count(n, "photo")
}

// listSheets lists the sheets that photos show, and all that was measured.
func (a *app) listSheets(s *journal.State) {
	used := s.SheetsUsed()
	for _, u := range used {
		a.printf("%s  %s", cardsOf(u.Sheet), count(u.Photos, "photo"))
		if !u.First.IsZero() {
			a.printf(", %s to %s", u.First.In(s.Zone).Format(time.DateOnly), u.Last.In(s.Zone).Format(time.DateOnly))
		}
		switch {
		case u.Unmeasured == u.Photos:
			a.printf(": nobody measured them; their millimeters hold if printed at 100 %%")
		case u.Unmeasured > 0:
			a.printf(": of %d nobody measured the cards", u.Unmeasured)
		}
		a.printf("\n")
	}
	if len(used) == 0 {
		a.println("no photo shows a card yet")
	}
	for _, m := range s.Sheets {
		a.printf("measured  %s, %s: 0 to 50 is %g mm by %s (%s takes it back)\n", cardsOf(m.Sheet), days(m.From, m.To),
			m.Measured, cmp.Or(m.Paper, "a ruler"), journal.Typed("rakelight retract %s", m.Record))
	}
}

// scaleRemarks prints what the photos' cards do not agree on, with how it is
// settled.
func (a *app) scaleRemarks(s *journal.State) {
	for _, d := range card.Disagreements(s) {
		other := ""
		if len(d.Photos) > 1 {
			other = "with " + d.Photos[1].Path + ", "
		}
		a.printf("remark  %s: %s%s; lay a ruler on the cards and say what it tells: %s\n", d.Photos[0].Path, other, d,
			measureLine(d))
	}
}

// measureLine is what to type of the first sheet nobody measured of those that
// disagree.
func measureLine(d card.Disagreement) string {
	for _, r := range d.Rulers {
		if !r.Printed.Known() && r.Printed.Sheet != "" {
			return journal.Typed("rakelight cards --measured MM --sheet %s", r.Printed.Sheet)
		}
	}
	return journal.Typed("rakelight cards --measured MM --sheet MARK")
}
