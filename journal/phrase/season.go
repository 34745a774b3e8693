// This file reads seasons: "spring 2019", "last summer". They are the
// meteorological ones, whole months: spring is March to May north of the
// equator and September to November south of it (World Meteorological
// Organization, as national weather services use them; from memory).

package phrase

import (
	"fmt"
	"strings"
	"time"
)

// seasons are the first months of the seasons north of the equator.
var seasons = map[string]time.Month{
	"spring": time.March, "summer": time.June, "autumn": time.September, "fall": time.September,
	"winter": time.December,
}

// southern are the heads of zone names south of the equator, by the
// coordinates of the tz database's zone.tab (from memory).
var southern = []string{
	"Australia/", "Antarctica/", "America/Argentina/", "America/Sao_Paulo", "America/Santiago", "America/Montevideo",
	"America/Asuncion",
	"America/La_Paz", "America/Lima", "America/Punta_Arenas", "Africa/Johannesburg", "Africa/Harare", "Africa/Maputo",
	"Africa/Windhoek",
	"Africa/Lusaka", "Africa/Gaborone", "Africa/Maseru", "Africa/Mbabane", "Pacific/Auckland", "Pacific/Chatham",
	"Pacific/Fiji", "Pacific/Tongatapu",
	"Pacific/Noumea", "Indian/Mauritius", "Indian/Reunion", "Indian/Antananarivo", "Atlantic/Stanley",
}

func south(zone *time.Location) bool {
	for _, head := range southern {
		if strings.HasPrefix(zone.String(), head) {
			return true
		}
	}
	return false
}

// seasonOf reads a season with its year; without one it is the last that has
// begun. A winter is named by the year in which it begins; "winter 2019" is
// the only season that lies in two years, so both readings are asked about.
func (s *said) seasonOf(i int) (*day, int, error) {
	j := s.skip(i, "last", "early", "late")
	first, ok := seasons[s.at(j).text]
	if !ok {
		return nil, 0, nil
	}
	name := s.at(j).text
	if south(s.now.Location()) {
		first = (first+5)%12 + 1
	}
	j++
	if !fourYear.MatchString(s.at(j).text) {
		return s.lastSeason(name, first), j - i, nil
	}
	y := whole(s.at(j).text)
	if first == time.December {
		return nil, 0, &Ambiguous{Text: s.text, Readings: []string{
			fmt.Sprintf("January %d", y), fmt.Sprintf("December %d", y)}}
	}
	return s.season(name, y, first), j + 1 - i, nil
}

func (s *said) season(name string, y int, first time.Month) *day {
	from := time.Date(y, first, 1, 0, 0, 0, 0, s.now.Location())
	return &day{first: from, last: from.AddDate(0, 3, -1), said: fmt.Sprintf("%s %d", name, y)}
}

func (s *said) lastSeason(name string, first time.Month) *day {
	y := s.now.Year()
	if first > s.now.Month() {
		y--
	}
	return s.season(name, y, first)
}
