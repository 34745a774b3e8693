// Rows of what is compared: trials, marks, blind pairs, photos alike.

package export

import (
	"time"

	"rakelight/journal"
)

// Trial is a row of trials.
type Trial struct {
	ID           string        `json:"id" doc:"the record that began it"`
	What         string        `json:"what" doc:"the tool or material"`
	Question     string        `json:"question,omitempty" doc:"what it is to show"`
	Build        string        `json:"build,omitempty" doc:"id of the build"`
	Tool         string        `json:"tool,omitempty" doc:"as sessions name it"`
	Card         int           `json:"card,omitempty" doc:"number of its bench card"`
	At           time.Time     `json:"at" doc:"when it began"`
	Observations []Observation `json:"observations,omitempty" doc:"list of {text, photo, at, record}"`
	Review       string        `json:"review,omitempty" doc:"Markdown; absent while it runs"`
	Closed       time.Time     `json:"closed,omitzero" doc:"when it was reviewed"`
}

// Observation is something seen in a trial.
type Observation struct {
	Text   string    `json:"text"`
	Photo  string    `json:"photo,omitempty"`
	Record string    `json:"record"`
	At     time.Time `json:"at"`
}

func trialRow(t *journal.Trial) Trial {
	row := Trial{ID: t.ID, What: t.What, Question: t.Question, Build: t.Build, Tool: t.Tool, Card: t.Card, At: t.At,
		Review: t.Review, Closed: t.Closed}
	for _, o := range t.Observations {
		row.Observations = append(row.Observations, Observation(o))
	}
	return row
}

// Mark is a row of marks.
type Mark struct {
	Photo     string    `json:"photo" doc:"hash of the photo"`
	Criterion int       `json:"criterion" doc:"number of the criterion, 1 to 12"`
	Score     *int      `json:"score,omitempty" doc:"0 to 4; absent = not applicable"`
	Rubric    string    `json:"rubric,omitempty" doc:"version of the rubric"`
	Judge     string    `json:"judge,omitempty" doc:"who gave it; absent = you"`
	At        time.Time `json:"at" doc:"when"`
	Record    string    `json:"record" doc:"its record"`
}

func markRow(m journal.Mark) Mark {
	row := Mark{m.Photo, m.Criterion, &m.Score, m.Rubric, m.Judge, m.At, m.Record}
	if m.NA {
		row.Score = nil
	}
	return row
}

// Verdict is a row of verdicts.
type Verdict struct {
	Left      string    `json:"left" doc:"hash of the photo on the left"`
	Right     string    `json:"right" doc:"hash of the photo on the right"`
	Criterion int       `json:"criterion" doc:"number of the criterion, 1 to 12"`
	Outcome   string    `json:"outcome" doc:"left, right, no difference, cannot tell"`
	Judge     string    `json:"judge,omitempty" doc:"who said it; absent = you"`
	At        time.Time `json:"at" doc:"when"`
	Record    string    `json:"record" doc:"its record"`
	Pack      string    `json:"pack,omitempty" doc:"id of the pack it answers"`
	Pair      string    `json:"pair,omitempty" doc:"id of the pair in it"`
	Sheet     string    `json:"sheet,omitempty" doc:"id of the filled-in copy of the pack"`
}

func verdictRow(v journal.Verdict) Verdict { return Verdict(v) }

// Pack is a row of packs.
type Pack struct {
	ID     string             `json:"id" doc:"random"`
	Pairs  []journal.PackPair `json:"pairs,omitempty" doc:"list of {id, left, right, criterion}"`
	At     time.Time          `json:"at" doc:"when it was written"`
	Record string             `json:"record" doc:"its record"`
}

func packRow(p journal.Pack) Pack { return Pack(p) }

// Points is a row of points.
type Points struct {
	A      string              `json:"a" doc:"hash of the one photo"`
	B      string              `json:"b" doc:"hash of the other"`
	Pairs  []journal.PointPair `json:"pairs" doc:"list of [x in a, y in a, x in b, y in b], as shares of the upright pictures"`
	Record string              `json:"record" doc:"its record"`
}

func pointsRow(p journal.Points) Points { return Points(p) }

// Alike is a row of alikes.
type Alike struct {
	A      string `json:"a" doc:"hash of the one photo"`
	B      string `json:"b" doc:"hash of the other"`
	Not    bool   `json:"not,omitempty" doc:"true = they are not alike"`
	Record string `json:"record" doc:"its record"`
}

func alikeRow(a journal.Alike) Alike { return Alike(a) }
