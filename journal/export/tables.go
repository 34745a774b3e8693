// This file is what each table holds. A field, once it is here, keeps its name and its
// meaning.

package export

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// Tables are all tables, in the order they are told.
var Tables = []Table{
	list("builds", "a build with its plan, as build.md says it",
		func(s *journal.State) []*journal.Build { return s.Builds }, buildRow),
	list("photos", "a photo, by the moment it was taken",
		func(s *journal.State) []*journal.Photo { return s.Photos }, photoRow),
	list("sessions", "a stretch of time at the bench, by its beginning",
		func(s *journal.State) []*journal.Session { return s.Sessions }, sessionRow),
	list("series", "photos that one camera took at a steady interval, by the first of them",
		func(s *journal.State) []journal.Series { return s.Series }, seriesRow),
	of("photo-hours", "what photos alone tell of the time at the bench of a build, a lower bound that is in no other table",
		eachGlimpse),
	of("parts", "parts counted in a session, one row for each part by name and one for a bare count", eachPart),
	list("pauses", "a build put aside, by its beginning",
		func(s *journal.State) []journal.Pause { return s.Pauses }, pauseRow),
	list("diary", "the words of a day", func(s *journal.State) []journal.DiaryDay { return s.Diary }, dayRow),
	list("notes", "a note, by its moment", func(s *journal.State) []journal.Note { return s.Notes }, noteRow),
	list("checks", "what the runner check found of parts, by its moment; of each part the last that counts is so",
		func(s *journal.State) []journal.Checked { return s.Checks }, checkedRow),
	list("subs", "a sub-assembly as it was said, by its moment; of each name the last that counts is so",
		func(s *journal.State) []journal.Sub { return s.Subs }, subRow),
	list("holds", "what has to be remembered of parts until it ends, by its moment",
		func(s *journal.State) []journal.Hold { return s.Holds }, holdRow),
	list("preps", "what was done to parts, by its moment",
		func(s *journal.State) []journal.Prep { return s.Preps }, prepRow),
	list("hands", "how the hands were, by its moment",
		func(s *journal.State) []journal.Hands { return s.Hands }, handsRow),
	list("mistakes", "what went wrong, by its moment",
		func(s *journal.State) []journal.Mistake { return s.Mistakes }, mistakeRow),
	list("mixes", "a paint as it was mixed, by its moment",
		func(s *journal.State) []journal.Mix { return s.Mixes }, mixRow),
	list("additions", "something beyond the box, or a reference, by its moment",
		func(s *journal.State) []journal.Addition { return s.Additions }, additionRow),
	list("sanding", "the plan by which parts are sanded, by its moment",
		func(s *journal.State) []journal.SandingPlan { return s.Sandings }, sandingRow),
	of("supplies", "what a build needs, as the task lists of its build.md say", eachSupply),
	list("trials", "a tool or material under test",
		func(s *journal.State) []*journal.Trial { return s.Trials }, trialRow),
	list("marks", "a mark given to a photo, by its moment",
		func(s *journal.State) []journal.Mark { return s.Marks }, markRow),
	list("verdicts", "the outcome of a blind pair, by its moment",
		func(s *journal.State) []journal.Verdict { return s.Verdicts }, verdictRow),
	list("packs", "blind pairs that were given out", func(s *journal.State) []journal.Pack { return s.Packs }, packRow),
	list("points", "the same spots in two photos",
		func(s *journal.State) []journal.Points { return s.Points }, pointsRow),
	list("alikes", "whether two photos are alike in step, view and light, as a person said",
		func(s *journal.State) []journal.Alike { return s.Alikes }, alikeRow),
	list("privates", "a photo, a build or a day that a person keeps to themselves",
		func(s *journal.State) []journal.Private { return s.Privates }, privateRow),
	list("past", "what was said of pictures of the years before, whether they are kept or not, by their hashes",
		func(s *journal.State) []journal.PastSaid { return s.Past }, pastRow),
	list("clocks", "how far a camera's clock was off, as it stands",
		func(s *journal.State) []journal.ClockFault { return s.Clocks }, clockRow),
	list("sheets", "what was measured of printed cards",
		func(s *journal.State) []journal.SheetSize { return s.Sheets }, sheetRow),
	list("asides", "a file set aside because it is a copy",
		func(s *journal.State) []journal.Aside { return s.Asides }, asideRow),
	list("repairs", "a kept file that was damaged or missing and was put right",
		func(s *journal.State) []journal.Repair { return s.Repairs }, repairRow),
}

// Build is a row of builds.
type Build struct {
	ID        string                    `json:"id" doc:"name of its folder below builds; other tables name it so"`
	Title     string                    `json:"title,omitempty" doc:"as shown"`
	Scale     string                    `json:"scale,omitempty" doc:"1/48"`
	Started   string                    `json:"started,omitempty" doc:"day, where build.md says it"`
	Finished  string                    `json:"finished,omitempty" doc:"day; absent = open"`
	ReadyBy   string                    `json:"ready-by,omitempty" doc:"day of the show it must be ready by"`
	ShowClass string                    `json:"show-class,omitempty" doc:"the class it is shown in, in the words of the show"`
	Closed    string                    `json:"closed,omitempty" doc:"record that says so; absent = build.md does"`
	Resumed   time.Time                 `json:"resumed,omitzero" doc:"when it was said to go on after it was finished"`
	Finish    string                    `json:"finish,omitempty" doc:"what the plastic ends as: painted, bare"`
	Kits      []Kit                     `json:"kits,omitempty" doc:"list of {title, scale, totals, totals-by-class, runners: list of {letter, parts, class, classes, not-used, missing, spared}}; spared = those of not-used that the runner check found"`
	Stages    []Stage                   `json:"stages,omitempty" doc:"list of {id, title, kind}, in the order of work"`
	Totals    map[string]int            `json:"totals,omitempty" doc:"how many there are in all of what runners do not tell, by stage"`
	ByClass   map[string]map[string]int `json:"totals-by-class,omitempty" doc:"those of totals that name classes, by stage and class"`
	Checklist []Check                   `json:"checklist,omitempty" doc:"list of {section, text, done}"`
	Body      string                    `json:"body,omitempty" doc:"the words of build.md, Markdown"`
	Private   bool                      `json:"private,omitempty" doc:"build.md says that it is for nobody else"`
}

// Kit is a kit of a build.
type Kit struct {
	Title   string                    `json:"title,omitempty"`
	Scale   string                    `json:"scale,omitempty"`
	Runners []Runner                  `json:"runners,omitempty"`
	Totals  map[string]int            `json:"totals,omitempty"`
	ByClass map[string]map[string]int `json:"totals-by-class,omitempty"`
}

// Runner is a runner of a kit.
type Runner struct {
	Letter  string            `json:"letter"`
	Parts   []string          `json:"parts,omitempty"`
	Class   string            `json:"class,omitempty"`
	NotUsed []string          `json:"not-used,omitempty"`
	Missing []string          `json:"missing,omitempty"`
	Spared  []string          `json:"spared,omitempty"`
	Classes map[string]string `json:"classes,omitempty"`
}

// Stage is a stage of a build.
type Stage struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Kind  string `json:"kind"`
}

// Check is an item of a check list.
type Check struct {
	Section string `json:"section,omitempty"`
	Text    string `json:"text"`
	Done    bool   `json:"done,omitempty"`
}

func buildRow(b *journal.Build) Build {
	row := Build{ID: b.ID, Title: b.Title, Scale: b.Scale, Started: b.Started, Finished: b.Finished, Closed: b.Closed,
		Resumed: b.Resumed, ReadyBy: b.ReadyBy, ShowClass: b.ShowIn, Finish: b.Finish, Totals: b.Totals,
		ByClass: b.TotalsByClass, Body: b.Body, Private: b.Private}
	for _, k := range b.Kits {
		kit := Kit{Title: k.Title, Scale: k.Scale, Totals: k.Totals, ByClass: k.TotalsByClass}
		for _, r := range k.Runners {
			kit.Runners = append(kit.Runners, Runner(r))
		}
		row.Kits = append(row.Kits, kit)
	}
	for _, s := range b.Stages {
		row.Stages = append(row.Stages, Stage(s))
	}
	for _, c := range b.Checklist {
		row.Checklist = append(row.Checklist, Check(c))
	}
	return row
}

// Photo is a row of photos.
type Photo struct {
	Hash    string                `json:"hash" doc:"SHA-256 of the original; other tables name the photo so"`
	Path    string                `json:"path" doc:"of the original, below the journal folder"`
	Name    string                `json:"name,omitempty" doc:"file name in the inbox"`
	Folder  string                `json:"folder,omitempty" doc:"folder of the inbox it lay in"`
	Words   []string              `json:"words,omitempty" doc:"list of keywords in the file"`
	Size    int64                 `json:"size" doc:"bytes"`
	Format  string                `json:"format,omitempty" doc:"jpeg, png, tiff, … mp4 or mov, or the kind of raw file"`
	Width   int                   `json:"width,omitempty" doc:"pixels, upright"`
	Height  int                   `json:"height,omitempty" doc:"pixels, upright"`
	Turn    int                   `json:"turn,omitempty" doc:"orientation as EXIF counts it, 1 to 8"`
	Length  int64                 `json:"length,omitempty" doc:"of a clip, milliseconds"`
	Codec   string                `json:"codec,omitempty" doc:"of a clip, what its pictures are packed as: avc1, hvc1"`
	Frame   [2]int                `json:"frame,omitzero" doc:"of a clip: its width and height, upright, in pixels"`
	Camera  journal.Camera        `json:"camera,omitzero" doc:"{make, model, serial}"`
	Instant journal.Instant       `json:"instant" doc:"{at, wall, source, offset, meant, fast, said, doubts, passed}: when it was taken; what the file states; from where that is; where the offset is from; of a clip, what told whether its header is UTC; by how much its clock was fast; as a person dated it; what speaks against it; dates that are none"`
	Build   string                `json:"build,omitempty" doc:"id of the build it belongs to"`
	Kit     int                   `json:"kit,omitempty" doc:"number of the kit, from 1"`
	Stage   string                `json:"stage,omitempty" doc:"id of the stage"`
	Kind    string                `json:"kind,omitempty" doc:"kind of the stage"`
	Role    string                `json:"role,omitempty" doc:"before, after, progress, problem, finished"`
	View    string                `json:"view,omitempty" doc:"front, left, right, rear, top, three-quarter"`
	Light   string                `json:"light,omitempty" doc:"diffuse, raking"`
	Parts   []journal.PartRef     `json:"parts,omitempty" doc:"list of parts it shows"`
	Why     map[string]reason.Why `json:"why,omitempty" doc:"by tag, why it is so: {by, name, session, away, before, of}"`
	Guess   bool                  `json:"guess,omitempty" doc:"build or stage is a guess from the nearest session"`
	Caption string                `json:"caption,omitempty" doc:"as typed"`
	Print   string                `json:"print,omitempty" doc:"how it looks, 16 hex digits, to find those like it"`
	Sharp   float64               `json:"sharp,omitempty" doc:"share of fine detail; compares within a burst only"`
	Cards   []journal.CardSeen    `json:"cards,omitempty" doc:"list of bench cards in it: {text, corners, error}"`
	Lapsed  string                `json:"lapsed,omitempty" doc:"role by card that held no longer when it was taken"`
	Held    time.Time             `json:"held,omitzero" doc:"the last photo that role held for"`
	CardsBy string                `json:"cards-by,omitempty" doc:"record by which a person said what its cards say"`
	DatedBy string                `json:"dated-by,omitempty" doc:"record by which a person said when it was taken"`
	Trial   int                   `json:"trial,omitempty" doc:"number of the trial card that held"`
	Burst   string                `json:"burst,omitempty" doc:"hash of the photo that stands for its burst"`
	Series  string                `json:"series,omitempty" doc:"hash of the first frame of the series it is in"`
	Beside  []Beside              `json:"beside,omitempty" doc:"list of its other files: {hash, path, name, format, size, link, record}, link as in asides"`
	Record  string                `json:"record" doc:"record that took it in"`
}

// Beside is a file beside a photo.
type Beside struct {
	Hash   string      `json:"hash"`
	Path   string      `json:"path"`
	Name   string      `json:"name,omitempty"`
	Format string      `json:"format,omitempty"`
	Size   int64       `json:"size"`
	Why    reason.Link `json:"link,omitzero"`
	Record string      `json:"record"`
}

func photoRow(p *journal.Photo) Photo {
	row := Photo{Hash: p.Hash, Path: p.Path, Name: p.Name, Folder: p.Folder, Words: p.Words, Size: p.Size,
		Format: p.Format, Width: p.Width, Height: p.Height, Turn: p.Turn, Camera: p.Camera, Instant: p.Instant,
		Build: p.Tags.Build, Kit: p.Tags.Kit, Stage: p.Tags.Stage, Kind: p.Kind, Role: p.Tags.Role, View: p.Tags.View,
		Light: p.Tags.Light, Parts: p.Tags.Parts, Why: p.Why, Guess: p.Guess, Caption: p.Caption, Print: p.Fingerprint,
		Length: p.Length, Codec: p.Codec, Frame: p.Frame,
		Sharp: p.Sharp, Cards: p.Cards, Lapsed: p.Lapsed.Role, Held: p.Lapsed.Last, CardsBy: p.CardsBy,
		DatedBy: p.DatedBy, Trial: p.Trial, Burst: p.Burst, Series: p.Series, Record: p.Record}
	for _, o := range p.Beside {
		row.Beside = append(row.Beside, Beside(o))
	}
	return row
}

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

// Pause is a row of pauses.
type Pause struct {
	Build   string    `json:"build" doc:"id of the build"`
	From    time.Time `json:"from" doc:"when it was put aside"`
	Until   time.Time `json:"until,omitzero" doc:"when it was taken up again; absent while it is not"`
	Why     string    `json:"why,omitempty" doc:"as typed"`
	Next    string    `json:"next,omitempty" doc:"what is next, as typed"`
	Waiting string    `json:"waiting,omitempty" doc:"what it waits for, as typed"`
	Photo   string    `json:"photo,omitempty" doc:"hash of the photo of the card that says it"`
}

func pauseRow(p journal.Pause) Pause { return Pause(p) }

// Day is a row of diary.
type Day struct {
	Build string `json:"build" doc:"id of the build"`
	Date  string `json:"date" doc:"the day"`
	Title string `json:"title,omitempty" doc:"its first heading"`
	Body  string `json:"body,omitempty" doc:"the words below it, Markdown"`

	Private bool `json:"private,omitempty" doc:"its file says that it is for nobody else"`
}

func dayRow(d journal.DiaryDay) Day { return Day(d) }

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

// Private is a row of privates.
type Private struct {
	Photo  string `json:"photo,omitempty" doc:"hash; absent = it is a build or a day"`
	Build  string `json:"build,omitempty" doc:"id of the build; with a date, that day of the build alone"`
	Date   string `json:"date,omitempty" doc:"the day"`
	Record string `json:"record" doc:"the record that says so"`
}

func privateRow(p journal.Private) Private { return Private(p) }

// Past is a row of past.
type Past struct {
	Photo   string            `json:"photo" doc:"hash of its bytes; photos has those that are kept"`
	Build   string            `json:"build,omitempty" doc:"id of the build it belongs to"`
	Kit     int               `json:"kit,omitempty" doc:"its number, from 1"`
	Stage   string            `json:"stage,omitempty" doc:"id of the stage"`
	Role    string            `json:"role,omitempty" doc:"before, after, progress, problem, finished"`
	View    string            `json:"view,omitempty" doc:"front, left, right, rear, top, three-quarter"`
	Light   string            `json:"light,omitempty" doc:"diffuse, raking"`
	Parts   []journal.PartRef `json:"parts,omitempty" doc:"list of parts it shows"`
	Out     bool              `json:"out,omitempty" doc:"it is not of the bench"`
	Wanted  bool              `json:"wanted,omitempty" doc:"it was said to be of the bench after all"`
	First   string            `json:"first,omitempty" doc:"day; absent = no date was said"`
	Last    string            `json:"last,omitempty" doc:"day, included"`
	Said    string            `json:"said,omitempty" doc:"the days in the person's words"`
	Records []string          `json:"records" doc:"that say so"`
}

func pastRow(p journal.PastSaid) Past {
	return Past{Photo: p.Photo, Build: p.Tags.Build, Kit: p.Tags.Kit, Stage: p.Tags.Stage, Role: p.Tags.Role,
		View: p.Tags.View, Light: p.Tags.Light, Parts: p.Tags.Parts, Out: p.Out, Wanted: p.Wanted,
		First: p.First, Last: p.Last, Said: p.Said, Records: p.Records}
}

// Clock is a row of clocks.
type Clock struct {
	Make   string `json:"make,omitempty" doc:"of the camera"`
	Model  string `json:"model,omitempty" doc:"of the camera"`
	Serial string `json:"serial,omitempty" doc:"of the camera; absent = any of that model"`
	Fast   string `json:"fast" doc:"1h3m; below zero = slow"`
	From   string `json:"from,omitempty" doc:"day as the camera showed it; absent = always"`
	To     string `json:"to,omitempty" doc:"day, included; absent = for good"`
	Record string `json:"record,omitempty" doc:"its record; absent = journal.toml says it"`
}

func clockRow(c journal.ClockFault) Clock { return Clock(c) }

// Sheet is a row of sheets.
type Sheet struct {
	Sheet    string  `json:"sheet,omitempty" doc:"mark of the sheet; absent = cards that bear none"`
	Measured float64 `json:"measured" doc:"millimeters from 0 to 50 on its scale"`
	Error    float64 `json:"error,omitempty" doc:"standard error of that, millimeters; absent = that of a ruler"`
	Paper    string  `json:"paper,omitempty" doc:"by what paper; absent = by a ruler"`
	From     string  `json:"from,omitempty" doc:"first day of the photos it is said of; absent = always"`
	To       string  `json:"to,omitempty" doc:"last day; absent = for good"`
	Record   string  `json:"record" doc:"its record"`
}

func sheetRow(s journal.SheetSize) Sheet { return Sheet(s) }

// Aside is a row of asides.
type Aside struct {
	Path   string      `json:"path" doc:"below the journal folder"`
	Hash   string      `json:"hash" doc:"SHA-256 of the file"`
	CopyOf string      `json:"copy-of" doc:"hash of the photo it is a copy of"`
	Why    reason.Link `json:"link,omitzero" doc:"{by, text, width, height, of, name, of-width, of-height}: how that was known: the measures of both, and the photo"`
	Record string      `json:"record" doc:"its record"`
}

func asideRow(a journal.Aside) Aside { return Aside(a) }

// Repair is a row of repairs.
type Repair struct {
	Hash   string    `json:"hash" doc:"SHA-256 of the good bytes"`
	Path   string    `json:"path" doc:"of the kept file, below the journal folder"`
	Was    string    `json:"was,omitempty" doc:"SHA-256 of the damaged bytes; absent = it was missing, or could not be read"`
	Aside  string    `json:"aside,omitempty" doc:"where those were put; absent = it was missing"`
	From   string    `json:"from,omitempty" doc:"name of the good copy"`
	At     time.Time `json:"at" doc:"when"`
	Record string    `json:"record" doc:"its record"`
}

func repairRow(r journal.Repair) Repair {
	return Repair{r.Hash, r.Path, r.Was, r.Aside, r.From, r.At, r.Record}
}
