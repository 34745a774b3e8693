// This file is what the builder of the story kept in the bench book.

package demo

import (
	"fmt"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// keepBook says what the story keeps in the bench book, one after the other: what is
// said later takes up what was said before.
func keepBook(j *journal.Journal) error {
	said, err := booked(j.State)
	if err != nil {
		return err
	}
	for _, one := range said {
		if _, err := entry.Do(j, one); err != nil {
			return toldBy(err)
		}
	}
	return nil
}

// moments finds the evenings of the stories.
type moments map[string][]sitting

func momentsOf(s *journal.State) (moments, error) {
	m := moments{}
	for _, p := range stories {
		b := s.Build(p.id)
		if b == nil {
			return nil, fmt.Errorf("the demo's build %s was not read", p.id)
		}
		all, err := p.sittings(b, s.Zone)
		if err != nil {
			return nil, err
		}
		m[p.id] = all
	}
	return m, nil
}

// in is so many minutes into the evening of a stage on which a part of that class
// came to hand, or its end where that is earlier. nth counts these from 0.
func (m moments) in(build, stage, class string, nth, minutes int) time.Time {
	for _, one := range m[build] {
		if one.stage != stage || one.class != class {
			continue
		}
		if nth == 0 {
			at := one.start.Add(time.Duration(minutes) * time.Minute)
			if at.After(one.end) {
				return one.end
			}
			return at
		}
		nth--
	}
	return time.Time{} // the test of the book finds it
}

const atEnd = 24 * 60 // minutes: the end of any evening

// booked are the entries of the bench book, by their moments.
func booked(s *journal.State) ([]entry.Request, error) {
	m, err := momentsOf(s)
	if err != nil {
		return nil, err
	}
	of := func(build string) func(at time.Time, parts, text string) entry.About {
		return func(at time.Time, parts, text string) entry.About {
			return entry.About{Build: build, Parts: parts, Text: text, At: at}
		}
	}
	lorry, plane, boat, ship := of("lorry"), of("seaplane"), of("pilot-boat"), of("lightship")
	again := of("second-lorry")
	post := func(month time.Month, day int) time.Time { return time.Date(2025, month, day, 10, 0, 0, 0, s.Zone) }
	cutter := m.in("pilot-boat", "cut", "small", 1, 18)
	cutting := "" // the evening with the cutter
	for _, one := range s.SessionsOf("pilot-boat") {
		if !one.Start.After(cutter) && !cutter.After(one.End) {
			cutting = one.ID
		}
	}
	tower := m.in("lightship", "dry-fit", "flat", 0, 25)
	built := m.in("pilot-boat", "detail", "", 1, atEnd)
	return []entry.Request{
		entry.CheckParts{About: lorry(m.in("lorry", "inspect", "", 0, 30), "A,B,C,D", ""), State: "seen"},
		entry.Hold{About: lorry(m.in("lorry", "assemble", "clear", 0, atEnd), "D1-D6", "tape, cut to each window"),
			Is: "masked"},
		entry.Release{Build: "lorry", Parts: "D1-D6", Text: "masks off, no glue on the glass",
			At: m.in("lorry", "top-coat", "", 0, atEnd)},
		entry.CheckParts{About: plane(m.in("seaplane", "inspect", "", 0, 30), "A,B,C,D", ""), State: "seen"},
		entry.Hold{About: plane(m.in("seaplane", "assemble", "clear", 0, atEnd), "D1-D5", "tape, cut to each window"),
			Is: "masked"},
		entry.Release{Build: "seaplane", Parts: "D1-D5", Text: "masks off while the coat was soft",
			At: m.in("seaplane", "top-coat", "", 0, atEnd)},
		entry.CheckParts{About: again(m.in("second-lorry", "inspect", "", 0, 20), "A,B,C,D", ""), State: "seen"},
		entry.CheckParts{About: again(m.in("second-lorry", "inspect", "", 0, 25), "B14",
			"the foot of the chimney, half filled"), State: "damaged"},
		entry.CheckParts{About: again(time.Date(2024, 9, 9, 10, 0, 0, 0, s.Zone), "B14", ""), State: "asked"},
		entry.CheckParts{About: boat(m.in("pilot-boat", "inspect", "", 0, 15), "A,B,C,D", ""), State: "seen"},
		entry.CheckParts{About: boat(m.in("pilot-boat", "inspect", "", 0, 20), "D6", "a scratch across the pane"),
			State: "damaged"},
		entry.CheckParts{About: boat(post(1, 12), "D6", ""), State: "asked"},
		entry.SubAssembly{About: boat(m.in("pilot-boat", "plan", "", 0, 20), "C1-C8", ""), Name: "wheelhouse"},
		entry.SubAssembly{About: boat(m.in("pilot-boat", "plan", "", 0, 21), "A24-A28", ""), Name: "mast"},
		entry.Prep{About: boat(m.in("pilot-boat", "cut", "flat", 0, 10), "A12", ""), Is: "gates-together",
			With: "A13"},
		entry.Hands{About: boat(cutter, "", "stiff cutter"), Session: cutting, Is: "blister",
			Where: "right forefinger"},
		entry.CheckParts{About: boat(post(2, 1), "D6", "by post, in a stiff envelope"), State: "come"},
		entry.Prep{About: boat(m.in("pilot-boat", "clean", "flat", 3, 10), "A24", "align by eye"), Is: "pegs",
			Angle: "45°", Side: "port one short"},
		entry.Prep{About: boat(m.in("pilot-boat", "assemble", "flat", 2, atEnd), "mast", "tub 2, beside the rails"),
			Is: "store"},
		entry.Hold{About: boat(m.in("pilot-boat", "assemble", "flat", 3, atEnd), "wheelhouse",
			"rests on the deck, painted apart"), Is: "unglued"},
		entry.Hold{About: boat(m.in("pilot-boat", "assemble", "clear", 0, atEnd), "D1-D8", "ready-cut masks"),
			Is: "masked"},
		entry.Release{Build: "pilot-boat", Parts: "wheelhouse", Text: "painted, glued to the deck", At: built},
		entry.SubAssembly{About: boat(built, "", ""), Name: "wheelhouse", Over: true},
		entry.SubAssembly{About: boat(built, "", ""), Name: "mast", Over: true},
		entry.Release{Build: "pilot-boat", Parts: "D1-D8", Text: "masks off, no bleed",
			At: m.in("pilot-boat", "top-coat", "", 0, atEnd)},
		entry.CheckParts{About: ship(m.in("lightship", "inspect", "", 0, 20),
			"1/A,1/B,1/C,1/D,1/E,1/F,1/G,1/H,1/I,2/A,2/B,2/C,2/D", ""), State: "seen"},
		entry.SubAssembly{About: ship(tower, "1/D3-D7", ""), Name: "lantern tower"},
		entry.Hold{About: ship(tower, "lantern tower", "no wire for the stays"), Is: "unglued"},
		entry.Prep{About: ship(tower, "lantern tower", "cell 3 of the parts box"), Is: "store"},
		entry.Release{Build: "lightship", Parts: "lantern tower", Text: "the wire came",
			At: m.in("lightship", "assemble", "flat", 2, atEnd)},
		entry.Hold{About: ship(m.in("lightship", "paint", "", 0, 2), "1/A1-A9", "tape along the waterline"),
			Is: "masked"},
	}, nil
}
