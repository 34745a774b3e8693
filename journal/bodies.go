// This file is what the record kinds hold. A field that is added later is
// optional for ever; a field never changes its meaning.

package journal

import (
	"time"

	"rakelight/journal/reason"
)

// PhotoBody ("photo") is a photo taken in. Its bytes lie durably in photos/
// before the record is written.
type PhotoBody struct {
	Hash    string            `json:"hash"`
	Path    string            `json:"path"`
	Name    string            `json:"name"`
	Folder  string            `json:"folder,omitempty"`
	Size    int64             `json:"size"`
	Format  string            `json:"format"`
	Width   int               `json:"width"`
	Height  int               `json:"height"`
	Turn    int               `json:"turn,omitempty"`
	Camera  Camera            `json:"camera"`
	Instant Instant           `json:"instant"`
	Tags    Tags              `json:"tags"`
	Why     reason.Whys       `json:"reasons,omitempty"`
	OldWhy  map[string]string `json:"why,omitempty"` // sentences of earlier versions, in place of Why
	Guess   bool              `json:"guess,omitempty"`
	Words   []string          `json:"words,omitempty"` // keywords, as written

	Fingerprint string     `json:"print,omitempty"`  // 64 comparisons of brightness, 16 hex digits
	Sharp       float64    `json:"sharp,omitempty"`  // share of fine detail, to compare within a burst
	Length      int64      `json:"length,omitempty"` // of a clip, milliseconds
	Codec       string     `json:"codec,omitempty"`  // of a clip, four letters
	Frame       [2]int     `json:"frame,omitzero"`   // of a clip: width and height upright, pixels
	Cards       []CardSeen `json:"cards,omitempty"`  // bench cards in the picture
}

// BesideBody ("beside") puts a kept file beside a photo: the raw picture of the
// same shot, or an XMP file that came after the photo. Its bytes lie durably in
// photos/ before the record is written. A raw picture that was a photo of its
// own until then is none any more: what was said of it counts for the photo.
type BesideBody struct {
	Photo  string      `json:"photo"` // hash of the photo that is shown
	Hash   string      `json:"hash"`
	Path   string      `json:"path"`
	Name   string      `json:"name"`
	Format string      `json:"format"` // a raw kind, "mov" or "mp4", or "xmp"
	Size   int64       `json:"size"`
	Why    reason.Link `json:"link,omitzero"`
	OldWhy string      `json:"why,omitempty"` // a sentence of earlier versions, in place of Why

	// What an XMP file told that the photo did not.
	Words    []string          `json:"words,omitempty"`   // keywords
	Instant  *Instant          `json:"instant,omitempty"` // where the photo's own claims are trusted less
	Tags     Tags              `json:"tags,omitzero"`     // by those keywords; only unset and guessed ones are taken
	TagsWhys reason.Whys       `json:"tags-reasons,omitempty"`
	OldWhys  map[string]string `json:"tags-why,omitempty"` // sentences of earlier versions, in place of TagsWhys
}

// TagBody ("tag") is what a person says of a photo. Set's empty fields stay as
// they are; Clear names tags to unset.
type TagBody struct {
	Photo   string   `json:"photo"`
	Set     Tags     `json:"set"`
	Clear   []string `json:"clear,omitempty"`
	Caption *string  `json:"caption,omitempty"`
	Alike   string   `json:"alike,omitempty"` // hash of the photo called alike, of which view and light were taken over
}

// BeginBody ("begin") starts a session; the record's id is the session's.
type BeginBody struct {
	Build string    `json:"build"`
	Kit   int       `json:"kit,omitempty"`
	Stage string    `json:"stage"`
	Kind  string    `json:"kind"`
	Class string    `json:"class,omitempty"`
	Start time.Time `json:"start"`
	Tools []string  `json:"tools,omitempty"` // free names: "flush cutter"
	For   string    `json:"for,omitempty"`   // of a repair: id of the stage, or of the record of the mistake, that it mends
}

// EndBody ("end") ends a session.
type EndBody struct {
	Session string    `json:"session"`
	End     time.Time `json:"end"`
}

// BreakBody ("break") is a break in a session. A zero End is a break that
// runs; a later record with the same Start ends it, or the session's end does.
type BreakBody struct {
	Session string    `json:"session"`
	Start   time.Time `json:"start"`
	End     time.Time `json:"end,omitzero"`
}

// DoneBody ("done") counts parts in a session.
type DoneBody struct {
	Session string    `json:"session"`
	Build   string    `json:"build,omitempty"`
	Stage   string    `json:"stage,omitempty"`
	Kit     int       `json:"kit,omitempty"`
	Class   string    `json:"class,omitempty"`
	Parts   []PartRef `json:"parts,omitempty"`
	Count   int       `json:"count,omitempty"`
	At      time.Time `json:"at"`
}

// ReopenBody ("reopen") says that parts done before must be done again. Named
// parts are taken off the latest session that did them; a bare Count is taken
// off Session.
type ReopenBody struct {
	Build   string    `json:"build"`
	Stage   string    `json:"stage,omitempty"` // "" = whichever stage did them last
	Parts   []PartRef `json:"parts,omitempty"`
	Count   int       `json:"count,omitempty"`
	Session string    `json:"session,omitempty"`
	Why     string    `json:"why,omitempty"`
	At      time.Time `json:"at"`
}

// WorkBody ("work") is a whole session in one record: typed afterwards, or
// brought in from elsewhere.
type WorkBody struct {
	Build   string    `json:"build"`
	Kit     int       `json:"kit,omitempty"`
	Stage   string    `json:"stage"`
	Kind    string    `json:"kind"`
	Class   string    `json:"class,omitempty"`
	Date    string    `json:"date"`           // YYYY-MM-DD, YYYY-MM or YYYY
	Start   time.Time `json:"start,omitzero"` // zero = not known
	Minutes float64   `json:"minutes"`
	Known   string    `json:"known"`
	Parts   []PartRef `json:"parts,omitempty"`
	Count   int       `json:"count,omitempty"`
	Counted bool      `json:"counted,omitempty"`
	Note    string    `json:"note,omitempty"`
	Tools   []string  `json:"tools,omitempty"`
	For     string    `json:"for,omitempty"` // as in BeginBody
}

// CorrectBody ("correct") corrects a session. Absent fields stay as they are.
type CorrectBody struct {
	Session string     `json:"session"`
	Start   *time.Time `json:"start,omitempty"`
	End     *time.Time `json:"end,omitempty"`
	Minutes *float64   `json:"minutes,omitempty"` // net, at the bench; makes the session a remembered one
	Count   *int       `json:"count,omitempty"`
	Build   *string    `json:"build,omitempty"`
	Stage   *string    `json:"stage,omitempty"`
	Class   *string    `json:"class,omitempty"`
	Note    *string    `json:"note,omitempty"`
	Accept  bool       `json:"accept,omitempty"`   // yes, it really ran so long
	Tools   *[]string  `json:"tools,omitempty"`    // the tools used, in place of those named before
	AddTool []string   `json:"add-tool,omitempty"` // tools used besides
	For     *string    `json:"for,omitempty"`
	Kit     *int       `json:"kit,omitempty"`
	Breaks  *[]Rest    `json:"breaks,omitempty"` // all breaks, in place of those noted before
	Parts   *[]PartRef `json:"parts,omitempty"`  // parts by name, in place of those counted before
	Add     []PartRef  `json:"add,omitempty"`    // parts by name besides
	Take    []PartRef  `json:"take,omitempty"`   // parts by name that were not done
}

// Rest is a break in a session.
type Rest struct {
	Start time.Time `json:"start"`
	End   time.Time `json:"end"`
}

// PauseBody ("pause") puts a build aside.
type PauseBody struct {
	Build   string    `json:"build"`
	From    time.Time `json:"from"`
	Why     string    `json:"why"`
	Next    string    `json:"next,omitempty"`
	Waiting string    `json:"waiting,omitempty"`
}

// ResumeBody ("resume") takes a build up again.
type ResumeBody struct {
	Build string    `json:"build"`
	At    time.Time `json:"at"`
}

// FinishBody ("finish") says on which day a build was finished. Without a day it
// is open again. The latest counts; a day in build.md comes above all.
type FinishBody struct {
	Build string    `json:"build"`
	Date  string    `json:"date,omitempty"` // YYYY-MM-DD, "" = it goes on
	At    time.Time `json:"at"`
	Past  bool      `json:"past,omitempty"` // its pictures of the years before said so as they were brought in
}

// NoteBody ("note") is a note made at once: on a session, on parts, or on a
// build.
type NoteBody struct {
	Build   string    `json:"build"`
	Session string    `json:"session,omitempty"`
	Stage   string    `json:"stage,omitempty"`
	Parts   []PartRef `json:"parts,omitempty"`
	Text    string    `json:"text"`
	At      time.Time `json:"at"`
}

// DatedBody ("dated") is when a photo was taken, as a person says it: at a
// moment, or between two days, both included. The latest counts; it comes above
// what the file and its camera say.
type DatedBody struct {
	Photo string    `json:"photo"`
	At    time.Time `json:"at,omitzero"`
	First string    `json:"first,omitempty"` // YYYY-MM-DD
	Last  string    `json:"last,omitempty"`  // YYYY-MM-DD
	Said  string    `json:"said,omitempty"`  // "spring 2019"
}

// ClockBody ("clock") says that a camera's clock was wrong over a range of
// days, as the camera showed them, both included. Of several that cover a day
// the latest record counts. Fast "0s" says that the clock was right.
type ClockBody struct {
	Camera Camera `json:"camera"`           // an empty serial is any of that make and model
	Fast   string `json:"fast"`             // "1h3m0s"; "-20m0s" is slow
	From   string `json:"from,omitempty"`   // YYYY-MM-DD, "" = always
	To     string `json:"to,omitempty"`     // YYYY-MM-DD, "" = for good
	Photo  string `json:"photo,omitempty"`  // hash of the photo it was reckoned from, "" = of none
	Really string `json:"really,omitempty"` // when that was taken, as the person said it
}

// AsideBody ("aside") is a file of the inbox that was moved to inbox/aside
// because it is a copy of a kept photo. It stays there; taken in by hand, it is
// a photo like any other, and this record counts no more.
type AsideBody struct {
	Hash   string      `json:"hash"`
	Path   string      `json:"path"`    // where it was moved to: inbox/aside/a.jpg
	CopyOf string      `json:"copy-of"` // hash of the kept photo
	Why    reason.Link `json:"link,omitzero"`
	OldWhy string      `json:"why,omitempty"` // a sentence of earlier versions, in place of Why
}

// RepairBody ("repair") says that a kept file was damaged or missing and was put
// right from a good copy. Its bytes lie durably in their place before the record
// is written; the damaged ones lie in Aside until the person deletes them.
type RepairBody struct {
	Hash  string `json:"hash"`            // of the good bytes
	Path  string `json:"path"`            // of the kept file
	Was   string `json:"was,omitempty"`   // hash of the damaged bytes, "" = missing, or not to be read
	Aside string `json:"aside,omitempty"` // inbox/aside/damaged/…; "" = it was missing
	From  string `json:"from,omitempty"`  // name of the good copy
}

// MarkBody ("mark") is a mark given to a photo on one criterion. It is frozen:
// a later opinion is a mark of its own, and what lies between them is drift.
type MarkBody struct {
	Photo     string `json:"photo"`
	Criterion int    `json:"criterion"`       // 1 to 12, see Criteria
	Score     *int   `json:"score,omitempty"` // 0 to 4; absent = not applicable
	Rubric    string `json:"rubric"`          // version of the rubric: "R1"
	Judge     string `json:"judge,omitempty"` // "" = the journal's owner
}

// VerdictBody ("verdict") is the outcome of one blind pair.
type VerdictBody struct {
	Left      string `json:"left"` // hashes of the photos, as they stood
	Right     string `json:"right"`
	Criterion int    `json:"criterion"`
	Outcome   string `json:"outcome"`         // one of Outcomes
	Judge     string `json:"judge,omitempty"` // "" = the journal's owner
}

// PackBody ("pack") is the key of a pack of blind pairs that was written for
// judges elsewhere. The pack itself holds only the random names; which photos
// they are stands here, so that every device of the journal can take answers.
type PackBody struct {
	Pack  string     `json:"pack"`  // random
	Pairs []PackPair `json:"pairs"` // as they are shown
}

// PackPair is one pair of a pack.
type PackPair struct {
	ID        string `json:"id"`   // random
	Left      string `json:"left"` // hashes of the photos, as they stand
	Right     string `json:"right"`
	Criterion int    `json:"criterion"`
}

// AnswersBody ("answers") is what a judge elsewhere said of pairs of a pack.
// An answer once taken stands: of several by one judge to one pair the first
// record's counts.
type AnswersBody struct {
	Pack    string       `json:"pack"`
	Sheet   string       `json:"sheet"`           // random, one a browser in which the pack was opened
	Judge   string       `json:"judge,omitempty"` // "" = the journal's owner
	Answers []PackAnswer `json:"answers"`         // as they were given
}

// PackAnswer is the outcome of one pair of a pack.
type PackAnswer struct {
	Pair    string `json:"pair"`    // its ID
	Outcome string `json:"outcome"` // one of Outcomes
}

// MistakeBody ("mistake") is what went wrong.
type MistakeBody struct {
	Build   string    `json:"build"`
	Stage   string    `json:"stage,omitempty"` // that caused it, not where it was found
	Kind    string    `json:"kind"`            // in a word or two, to find it again: "gouge"
	Parts   []PartRef `json:"parts,omitempty"`
	Cause   string    `json:"cause,omitempty"`
	Mended  string    `json:"mended,omitempty"`
	Minutes float64   `json:"minutes,omitempty"` // lost
	At      time.Time `json:"at"`
}

// TrialBody ("trial") begins the trial of a tool or a material; the record's
// id is the trial's.
type TrialBody struct {
	What     string    `json:"what"`
	Question string    `json:"question,omitempty"` // what it is to show
	Build    string    `json:"build,omitempty"`
	At       time.Time `json:"at"`
	Tool     string    `json:"tool,omitempty"` // as sessions name it; "" = as What
	Card     int       `json:"card,omitempty"` // number of its bench card, 0 = none
}

// ObserveBody ("observe") is something seen in a trial.
type ObserveBody struct {
	Trial string    `json:"trial"`
	Text  string    `json:"text"`
	Photo string    `json:"photo,omitempty"`
	At    time.Time `json:"at"`
}

// ReviewBody ("review") closes a trial. The latest counts.
type ReviewBody struct {
	Trial string    `json:"trial"`
	Text  string    `json:"text"` // Markdown
	At    time.Time `json:"at"`
}

// PointsBody ("points") is the same spots in two photos, by which one is laid
// over the other. Of several records of the same two photos the latest counts.
type PointsBody struct {
	A     string      `json:"a"` // hashes of the photos
	B     string      `json:"b"`
	Pairs []PointPair `json:"pairs"`
}

// AlikeBody ("alike") is what a person said of two photos: that they show a step from
// the same view and under the same light, so that they belong beside each other, or
// that they do not. Of several records of the same two photos the latest counts.
type AlikeBody struct {
	A   string `json:"a"` // hashes of the photos
	B   string `json:"b"`
	Not bool   `json:"not,omitempty"`
}

// SheetBody ("sheet") is what a ruler, or the paper they came out on, says of
// printed cards: how long the scale on them is that is 50 mm at 100 %. Of the records that fit a card the latest
// counts.
type SheetBody struct {
	Sheet    string  `json:"sheet,omitempty"` // mark of the sheet, "" = cards that bear none
	Measured float64 `json:"measured"`        // millimeters from 0 to 50
	From     string  `json:"from,omitempty"`  // YYYY-MM-DD, days of the photos, both included; "" = always
	To       string  `json:"to,omitempty"`    // YYYY-MM-DD, "" = for good

	// Of a sheet that was measured by the paper it came out on.
	Photo string  `json:"photo,omitempty"` // hash of the photo that shows all of it
	Paper string  `json:"paper,omitempty"` // what the person says the paper is: "A4"
	Error float64 `json:"error,omitempty"` // standard error of Measured, millimeters; 0 = that of a ruler
}

// PrivateBody ("private") keeps a photo, a build or a day from the pages for others,
// or shows it to them again. The latest of each counts.
type PrivateBody struct {
	Photo string    `json:"photo,omitempty"` // its hash
	Build string    `json:"build,omitempty"` // its id
	Date  string    `json:"date,omitempty"`  // YYYY-MM-DD; with Build, of that build alone
	Not   bool      `json:"not,omitempty"`   // it is shown again
	At    time.Time `json:"at"`
}

// PastBody ("past") is what a person says of pictures of the years before. Set and
// Clear count as in TagBody, for each of the photos that is kept, whenever it comes;
// the days as in DatedBody. A person who brings pictures in says it of many at once.
type PastBody struct {
	Photos []string `json:"photos"` // hashes, 64 hex digits each
	Set    Tags     `json:"set"`
	Clear  []string `json:"clear,omitempty"`
	Out    *bool    `json:"out,omitempty"`   // true: not of the bench; false: it is, and is brought in even if it is a copy
	First  string   `json:"first,omitempty"` // YYYY-MM-DD, "" = no date is said
	Last   string   `json:"last,omitempty"`  // YYYY-MM-DD
	Said   string   `json:"said,omitempty"`  // "spring 1998"
	Made   string   `json:"made,omitempty"`  // SHA-256 of the build.md that was written for Set.Build, "" = it was there
}

// RetractBody ("retract") takes a record back. Retracting a retraction brings
// the record back.
type RetractBody struct {
	Record string `json:"record"`        // its id
	Sum    string `json:"sum,omitempty"` // checksum of its line; "" = all of that id, as older versions wrote
	Why    string `json:"why,omitempty"`
}

// LostBody ("lost") says that records of a device, which are in no file any
// more, are lost for good: check is silent about them from then on.
type LostBody struct {
	Dev  string `json:"dev"`
	From int64  `json:"from"` // numbers, both included
	To   int64  `json:"to"`
}
