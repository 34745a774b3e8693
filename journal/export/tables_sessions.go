// Rows of sessions, with the parts counted and what was noted in them.

package export

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// Session is a row of sessions.
type Session struct {
	ID       string            `json:"id" doc:"the record, or the card, that began it; other tables name it so"`
	Build    string            `json:"build" doc:"id of the build"`
	Kit      int               `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Stage    string            `json:"stage" doc:"id of the stage"`
	Kind     string            `json:"kind,omitempty" doc:"kind of the stage"`
	Class    string            `json:"class,omitempty" doc:"of its parts, where all have one"`
	Classes  []Class           `json:"classes,omitempty" doc:"its named parts by class: list of {class, parts}"`
	Start    time.Time         `json:"start,omitzero" doc:"of a remembered one of which only the day is known, the beginning of that day"`
	End      time.Time         `json:"end,omitzero" doc:"absent while it runs"`
	Breaks   []Break           `json:"breaks,omitempty" doc:"list of {start, end}"`
	Open     bool              `json:"open,omitempty" doc:"it runs"`
	Net      float64           `json:"net,omitempty" doc:"seconds at the bench, without breaks"`
	Date     string            `json:"date,omitempty" doc:"day in the journal's zone; for remembered ones possibly a month or a year"`
	Known    string            `json:"known,omitempty" doc:"how its time is known: measured, estimated, remembered"`
	How      reason.How        `json:"how,omitempty" doc:"how its end is known where it is only estimated"`
	Done     int               `json:"done,omitempty" doc:"parts that count: by name and by number, less those opened again"`
	Parts    []journal.PartRef `json:"parts,omitempty" doc:"list of parts done by name"`
	Bare     int               `json:"bare,omitempty" doc:"parts done by number, besides"`
	Reopened int               `json:"reopened,omitempty" doc:"of all those, opened again later"`
	Again    []journal.PartRef `json:"again,omitempty" doc:"list of the parts by name among them"`
	Counted  bool              `json:"counted,omitempty" doc:"a count was given, even if 0"`
	Note     string            `json:"note,omitempty" doc:"as typed"`
	Cards    bool              `json:"cards,omitempty" doc:"bench cards began it"`
	Series   string            `json:"series,omitempty" doc:"hash of the first frame of the series that shows it"`
	Unseen   *Break            `json:"unseen,omitempty" doc:"of one by card: the longest stretch without a photo, if it is remarked on: {start, end}"`
	Trials   []int             `json:"trials,omitempty" doc:"list of the numbers of trial cards shown in it"`
	Tools    []string          `json:"tools,omitempty" doc:"list of the tools used"`
	For      string            `json:"for,omitempty" doc:"of a repair: the stage, or the record of the mistake, that it mends"`
	Charged  []Charge          `json:"charged,omitempty" doc:"of a repair: list of {stage, kind, share, why}, whose work it mends"`
	Doubt    *Doubt            `json:"doubt,omitempty" doc:"{is, ran, overnight, cards}: why it is not counted; absent = it counts"`
}

// Class is how many parts of a class were done.
type Class struct {
	Class string `json:"class,omitempty"`
	Parts int    `json:"parts"`
}

// Break is a stretch of time.
type Break struct {
	Start time.Time `json:"start,omitzero"`
	End   time.Time `json:"end,omitzero"`
}

// Charge is a share of a repair.
type Charge struct {
	Stage string  `json:"stage,omitempty"`
	Kind  string  `json:"kind,omitempty"`
	Share float64 `json:"share"`
	Why   string  `json:"why,omitempty"`
}

// Doubt is why a session is not counted.
type Doubt struct {
	Is        reason.LengthIs `json:"is"`
	Ran       float64         `json:"ran,omitempty"` // seconds
	Overnight bool            `json:"overnight,omitempty"`
	Cards     bool            `json:"cards,omitempty"`
}

func sessionRow(s *journal.Session) Session {
	row := Session{ID: s.ID, Build: s.Build, Kit: s.Kit, Stage: s.Stage, Kind: s.Kind, Class: s.Class, Start: s.Start,
		End: s.End, Open: s.Open, Net: s.Net.Seconds(), Date: s.Date, Known: s.Known, How: s.How, Done: s.Done(),
		Parts: s.Parts, Bare: s.Bare, Reopened: s.Reopened, Again: s.Again, Counted: s.Counted, Note: s.Note,
		Cards: s.Cards, Series: s.Series, Trials: s.Trials, Tools: s.Tools, For: s.For}
	for _, c := range s.Classes {
		row.Classes = append(row.Classes, Class(c))
	}
	for _, b := range s.Breaks {
		row.Breaks = append(row.Breaks, Break(b))
	}
	if s.Unseen != (journal.Span{}) {
		unseen := Break(s.Unseen)
		row.Unseen = &unseen
	}
	for _, c := range s.Charged {
		row.Charged = append(row.Charged, Charge(c))
	}
	if d := s.Doubt; d != (reason.LengthDoubt{}) {
		row.Doubt = &Doubt{d.Is, d.Ran.Seconds(), d.Overnight, d.Cards}
	}
	return row
}

// Part is a row of parts.
type Part struct {
	Session string    `json:"session" doc:"id of the session"`
	Tally   int       `json:"tally" doc:"which count of the session it belongs to, from 1"`
	Build   string    `json:"build" doc:"id of the build"`
	Stage   string    `json:"stage" doc:"id of the stage"`
	Kit     int       `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Runner  string    `json:"runner,omitempty" doc:"letter; absent = a bare count"`
	Number  string    `json:"number,omitempty" doc:"of the part on the runner"`
	Count   int       `json:"count" doc:"how many of it, or how many of the bare count"`
	Back    bool      `json:"back,omitempty" doc:"opened again: no longer done"`
	Why     string    `json:"why,omitempty" doc:"of one opened again, as typed"`
	At      time.Time `json:"at,omitzero" doc:"absent where only the day of the session is known"`
	Record  string    `json:"record,omitempty" doc:"record that says so; absent = a bench card does"`
	Photo   string    `json:"photo,omitempty" doc:"hash of the photo of that card"`
}

func eachPart(s *journal.State, yield func(Part) error) error {
	for _, one := range s.Sessions {
		for i, t := range one.Tallies {
			row := Part{Session: one.ID, Tally: i + 1, Build: one.Build, Stage: one.Stage, Back: t.Back, Why: t.Why,
				At: t.At, Record: t.Record, Photo: t.Photo}
			for _, p := range t.Parts {
				named := row
				named.Kit, named.Runner, named.Number, named.Count = p.Kit, p.Runner, p.Number, p.Count
				if err := yield(named); err != nil {
					return err
				}
			}
			if t.Bare == 0 && len(t.Parts) > 0 {
				continue
			}
			row.Count = t.Bare
			if err := yield(row); err != nil {
				return err
			}
		}
	}
	return nil
}

// Note is a row of notes.
type Note struct {
	At      time.Time         `json:"at" doc:"when it was made"`
	Build   string            `json:"build,omitempty" doc:"id of the build"`
	Session string            `json:"session,omitempty" doc:"id of the session it was made in"`
	Stage   string            `json:"stage,omitempty" doc:"id of the stage"`
	Parts   []journal.PartRef `json:"parts,omitempty" doc:"list of the parts it is about"`
	Text    string            `json:"text" doc:"as typed"`
	Record  string            `json:"record" doc:"its record"`
}

func noteRow(n journal.Note) Note { return Note(n) }

// Mistake is a row of mistakes.
type Mistake struct {
	Build  string            `json:"build" doc:"id of the build"`
	Stage  string            `json:"stage,omitempty" doc:"id of the stage that caused it"`
	Kind   string            `json:"kind" doc:"what went wrong, in a word or two"`
	Parts  []journal.PartRef `json:"parts,omitempty" doc:"list of the parts it was made on"`
	Cause  string            `json:"cause,omitempty" doc:"as typed"`
	Mended string            `json:"mended,omitempty" doc:"what mended it, as typed"`
	Lost   float64           `json:"lost,omitempty" doc:"seconds"`
	At     time.Time         `json:"at" doc:"when"`
	Record string            `json:"record" doc:"its record"`
}

func mistakeRow(m journal.Mistake) Mistake {
	return Mistake{m.Build, m.Stage, m.Kind, m.Parts, m.Cause, m.Mended, m.Lost.Seconds(), m.At, m.Record}
}
