// This file is the table of series.

package export

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// Series is a row of series.
type Series struct {
	ID       string         `json:"id" doc:"hash of its first frame; photos and sessions name it so"`
	End      string         `json:"end" doc:"hash of its last frame"`
	First    time.Time      `json:"first" doc:"when its first frame was taken"`
	Last     time.Time      `json:"last" doc:"when its last frame was taken"`
	Camera   journal.Camera `json:"camera,omitzero" doc:"{make, model, serial}"`
	Frames   int            `json:"frames" doc:"how many photos it has"`
	Step     float64        `json:"step" doc:"seconds from one to the next"`
	Spans    []Break        `json:"spans" doc:"list of {start, end} while the camera ran"`
	Lively   []Break        `json:"lively,omitempty" doc:"list of {start, end}: of these, while the pictures changed"`
	Compared bool           `json:"compared,omitempty" doc:"it is known how the pictures look"`
	Trust    reason.Trust   `json:"trust,omitempty" doc:"why the clock of its camera is believed; absent = nothing speaks for it"`
	Build    string         `json:"build,omitempty" doc:"id of the build most of its photos belong to"`
	Kit      int            `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Stage    string         `json:"stage,omitempty" doc:"id of the stage"`
	Guess    bool           `json:"guess,omitempty" doc:"build or stage is a guess"`
}

func seriesRow(s journal.Series) Series {
	row := Series{ID: s.ID, End: s.End, First: s.First, Last: s.Last, Camera: s.Camera, Frames: s.Frames,
		Step: s.Step.Seconds(), Compared: s.Compared, Trust: s.Trust, Build: s.Build, Kit: s.Kit, Stage: s.Stage,
		Guess: s.Guess}
	for _, one := range s.Spans {
		row.Spans = append(row.Spans, Break(one))
	}
	for _, one := range s.Lively {
		row.Lively = append(row.Lively, Break(one))
	}
	return row
}
