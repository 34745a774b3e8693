// This file is the table of what photos alone tell.

package export

import "rakelight/journal"

// Glimpse is a row of photo-hours.
type Glimpse struct {
	Build    string  `json:"build" doc:"id of the build"`
	Photos   int     `json:"photos" doc:"on evenings without a session, or without a known day"`
	Evenings int     `json:"evenings" doc:"without a session, with photos whose day is known"`
	Least    float64 `json:"least" doc:"seconds at the bench on them, at least: between photos of one camera, of known time, that follow each other within 15 minutes; 0 where fewer than a third of the evenings have two such photos"`
	Alone    bool    `json:"alone,omitempty" doc:"no timer and no card tells of the build at all"`
	From     string  `json:"from,omitempty" doc:"when the build began, as far as it is known: a day, a month, a year, or as a person said it"`
	To       string  `json:"to,omitempty" doc:"the same of its last day"`
}

func eachGlimpse(s *journal.State, yield func(Glimpse) error) error {
	for _, b := range s.Builds {
		g := s.Glimpse(b.ID)
		if g.Photos == 0 {
			continue
		}
		from, to := s.Span(b)
		row := Glimpse{b.ID, g.Photos, g.Evenings, g.Least.Seconds(), g.Alone, from.String(), to.String()}
		if err := yield(row); err != nil {
			return err
		}
	}
	return nil
}
