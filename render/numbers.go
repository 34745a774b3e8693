// What package metrics says of numbers, as pages say it.

package render

import (
	"html/template"
	"math"
	"strconv"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// of says what was made to be said.
func (in voice) of(w say.Wording) string { return w.In(in.Speaker) }

// decimal writes a number with so many digits behind its point.
func (in voice) decimal(x float64, digits int) string { return in.of(say.Decimal(x, digits)) }

// percent writes a share of one as a percentage.
func percent(p float64) string {
	whole := math.RoundToEven(100*p) + 0 // adding 0 takes the sign from a negative zero
	return tie(string(say.Decimal(whole, 0)) + " %")
}

// many is what was done, in the plural: "parts".
func (in voice) many(kind string) string { return in.of(metrics.Many(unit(kind))) }

// span writes a range of figures: "7.10 to 9.50".
func (in voice) span(iv metrics.Interval) string {
	return in.Say("%s to %s", in.figure(iv.Low), in.figure(iv.High))
}

// spanOf writes an interval whose ends are worded: "71 to 95", or why there is none.
func (in voice) spanOf(iv metrics.Interval, low, high string) string {
	if !iv.OK {
		return in.Say("no range: %s", iv.Why)
	}
	return in.Say("%s to %s", low, high)
}

// figures is spanOf with its ends as figures.
func (in voice) figures(iv metrics.Interval) string {
	return in.spanOf(iv, in.figure(iv.Low), in.figure(iv.High))
}

// tenths is spanOf with its ends to the tenth.
func (in voice) tenths(iv metrics.Interval) string {
	return in.spanOf(iv, in.decimal(iv.Low, 1), in.decimal(iv.High, 1))
}

// tickDay is a day on an axis: "2 Jan".
func (in voice) tickDay(t time.Time) string {
	return in.Say("date¦%d %s", t.Day(), in.ShortMonth(t.Month()))
}

// tickMonth is a month on an axis: "Jan 2006".
func (in voice) tickMonth(t time.Time) string {
	return in.Say("date¦%s %04d", in.ShortMonth(t.Month()), t.Year())
}

// criterion is a criterion inside a sentence, criterionTitle as a heading.
func (in voice) criterion(c journal.Criterion) string      { return in.Say(c.Name) }
func (in voice) criterionTitle(c journal.Criterion) string { return journal.Capital(in.criterion(c)) }

// percentage is a whole percentage in a sentence of a template, on one line.
func percentage(n int) template.HTML { return template.HTML(strconv.Itoa(n) + "&nbsp;%") }

// way is a link in a sentence of a template.
func way(href, words string) template.HTML {
	address, said := template.HTMLEscapeString(href), template.HTMLEscapeString(words)
	return template.HTML(`<a href="` + address + `">` + said + "</a>")
}

// strong are words that stand out in a sentence of a template.
func strong(words string) template.HTML {
	return template.HTML("<strong>" + template.HTMLEscapeString(words) + "</strong>")
}
