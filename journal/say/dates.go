// Dates, as far as they are known.

package say

import "time"

// The names of months and weekdays are the keys of time's own, so that a table is only
// here to name them all.
var (
	months = [...]Key{"January", "February", "March", "April", "month¦May", "June", "July", "August", "September",
		"October", "November", "December"}
	shortMonths = [...]Key{"short¦Jan", "short¦Feb", "short¦Mar", "short¦Apr", "short¦May", "short¦Jun", "short¦Jul",
		"short¦Aug", "short¦Sep", "short¦Oct", "short¦Nov", "short¦Dec"}
	weekdays = [...]Key{"Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"}
)

// Month is the name of a month: "May".
func (s *Speaker) Month(m time.Month) string { return s.Say(months[m-1]) }

// ShortMonth is the name of a month in three letters or so: "May".
func (s *Speaker) ShortMonth(m time.Month) string { return s.Say(shortMonths[m-1]) }

// Weekday is the name of a day: "Tuesday".
func (s *Speaker) Weekday(d time.Weekday) string { return s.Say(weekdays[d]) }

// Day is a day: "3 May 2024".
func (s *Speaker) Day(t time.Time) string {
	return s.Say("date¦%d %s %04d", t.Day(), s.Month(t.Month()), t.Year())
}

// DayOfMonth is a day without its year: "3 May".
func (s *Speaker) DayOfMonth(t time.Time) string {
	return s.Say("date¦%d %s", t.Day(), s.Month(t.Month()))
}

// MonthOf is the month of a day: "May 2024".
func (s *Speaker) MonthOf(t time.Time) string {
	return s.Say("date¦%s %04d", s.Month(t.Month()), t.Year())
}

// Date is a date as far as it is known: "3 May 2024", "May 2024", "2024". What is no date
// comes back as it is.
func (s *Speaker) Date(date string) string {
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		return s.Day(t)
	}
	if t, err := time.Parse("2006-01", date); err == nil {
		return s.MonthOf(t)
	}
	return date
}
