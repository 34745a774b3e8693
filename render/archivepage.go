// The archive: the whole diary in one list, years, months, weeks and days.

package render

import (
	"fmt"
	"slices"
	"time"
)

// archivePage is the address of the whole diary.
const archivePage = "archive.html"

// ArchivePage is archive.html.
type ArchivePage struct {
	Frame
	Says  string
	Years []ArchiveYear // the newest first
}

// ArchiveYear is a year of the archive.
type ArchiveYear struct {
	Year   Link
	Says   string // "41.2 h in 61 days"
	Months []ArchiveMonth
}

// ArchiveMonth is a month: its weeks and days, or, of years long past, only how many
// there are.
type ArchiveMonth struct {
	Month Link
	Says  string
	Weeks []Link // "26", of its year
	Days  []Link // "23", of the month
}

// daysListed is how many days the archive lists one by one at most: about a hundred
// bytes each with their weeks. Of years before them it leads to the months on the
// years' own pages.
const daysListed = 900

func (v *view) archive() ArchivePage {
	p := ArchivePage{Frame: v.frame("", "archive", v.Say("page¦Diary"))}
	c := v.calendar()
	p.Says = v.Say("No day at the bench yet.")
	if len(c.days) > 0 {
		p.Says = v.Say("%s, %s to %s.", v.count(len(c.days), "day"), v.dayOf(c.days[0].date),
			v.dayOf(c.days[len(c.days)-1].date))
	}
	left := daysListed
	for _, y := range slices.Backward(c.years) {
		left -= len(y.days)
		p.Years = append(p.Years, v.archiveYear(y, left >= 0))
	}
	return p
}

func (v *view) archiveYear(y *benchYear, listed bool) ArchiveYear {
	one := ArchiveYear{Year: Link{Words: y.id, Href: v.yearHref(y.id)}}
	if n := len(y.days); n > 0 {
		one.Says = v.count(n, "day")
	}
	for month := time.January; month <= time.December; month++ {
		id := fmt.Sprintf("%s-%02d", y.id, month)
		m := ArchiveMonth{Month: Link{Words: v.Month(month), Href: v.yearHref(y.id) + "#" + monthID(id)}}
		for _, w := range y.weeks {
			if monday(w.days[0].date).AddDate(0, 0, 3).Month() == month {
				m.Weeks = append(m.Weeks, Link{Words: weekNumber(w.id), Href: v.weekNamedHref(w.id)})
			}
		}
		for _, d := range y.days {
			if d.date[:7] == id {
				m.Days = append(m.Days, Link{Words: fmt.Sprint(dayMoment(d.date).Day()), Href: v.dayHref(d.date)})
			}
		}
		if len(m.Weeks)+len(m.Days) == 0 {
			continue
		}
		if !listed {
			m.Says, m.Weeks, m.Days = v.count(len(m.Days), "day"), nil, nil
		}
		one.Months = append(one.Months, m)
	}
	return one
}
