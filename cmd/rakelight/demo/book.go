// This file is what the builder of the story kept in the bench book.

package demo

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// keepBook says what the story keeps in the bench book, one after the other: what is
// said later takes up what was said before.
func keepBook(j *journal.Journal) error {
	for _, one := range booked(j.State) {
		if _, err := entry.Do(j, one); err != nil {
			return toldBy(err)
		}
	}
	return nil
}

// booked are the entries of the bench book, by their moments.
func booked(s *journal.State) []entry.Request {
	at := func(year, month, day, hour, minute int) time.Time {
		return time.Date(year, time.Month(month), day, hour, minute, 0, 0, s.Zone)
	}
	boat := func(at time.Time, parts, text string) entry.About {
		return entry.About{Build: "pilot-boat", Parts: parts, Text: text, At: at}
	}
	ship := func(at time.Time, parts, text string) entry.About {
		return entry.About{Build: "lightship", Parts: parts, Text: text, At: at}
	}
	cutting := "" // the last evening with the cutter
	for _, one := range s.SessionsOf("pilot-boat") {
		if one.Kind == "cut" {
			cutting = one.ID
		}
	}
	return []entry.Request{
		entry.CheckParts{About: boat(at(2025, 1, 11, 10, 40), "A,B,C,D", ""), State: "seen"},
		entry.CheckParts{About: boat(at(2025, 1, 11, 10, 45), "D6", "a scratch across the pane"), State: "damaged"},
		entry.CheckParts{About: boat(at(2025, 1, 12, 9, 0), "D6", ""), State: "asked"},
		entry.SubAssembly{About: boat(at(2025, 1, 13, 19, 30), "C1-C8", ""), Name: "wheelhouse"},
		entry.SubAssembly{About: boat(at(2025, 1, 13, 19, 31), "A24-A28", ""), Name: "mast"},
		entry.Prep{About: boat(at(2025, 1, 17, 19, 25), "A12", ""), Is: "gates-together", With: "A13"},
		entry.Prep{About: boat(at(2025, 1, 21, 19, 35), "A24", "align by eye"), Is: "pegs", Angle: "45°",
			Side: "port one short"},
		entry.Hands{About: boat(at(2025, 1, 30, 19, 40), "", "stiff cutter"), Session: cutting, Is: "blister",
			Where: "right forefinger"},
		entry.CheckParts{About: boat(at(2025, 2, 8, 10, 0), "D6", "by post, in a stiff envelope"), State: "come"},
		entry.Hold{About: boat(at(2025, 3, 31, 19, 50), "wheelhouse", "loose until the glass is in"), Is: "unglued"},
		entry.Prep{About: boat(at(2025, 4, 1, 20, 0), "mast", "tub 2, beside the rails"), Is: "store"},
		entry.Release{Build: "pilot-boat", Parts: "wheelhouse", Text: "glass in, glued", At: at(2025, 5, 8, 20, 30)},
		entry.SubAssembly{About: boat(at(2025, 5, 15, 20, 30), "", ""), Name: "wheelhouse", Over: true},
		entry.SubAssembly{About: boat(at(2025, 5, 15, 20, 31), "", ""), Name: "mast", Over: true},
		entry.CheckParts{About: ship(at(2026, 3, 7, 10, 40), "1/A,1/B,1/C,1/D,1/E,1/F,1/G,1/H,1/I", ""),
			State: "seen"},
		entry.SubAssembly{About: ship(at(2026, 5, 9, 19, 0), "1/D3-D7", ""), Name: "lantern tower"},
		entry.Hold{About: ship(at(2026, 5, 9, 19, 1), "lantern tower", "no wire for the stays"), Is: "unglued"},
		entry.Prep{About: ship(at(2026, 5, 9, 19, 2), "lantern tower", "cell 3 of the parts box"), Is: "store"},
		entry.Release{Build: "lightship", Parts: "lantern tower", Text: "the wire came", At: at(2026, 8, 25, 20, 0)},
		entry.Hold{About: ship(at(2026, 9, 13, 20, 0), "1/A1-A9", "tape along the waterline"), Is: "masked"},
	}
}
