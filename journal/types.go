// Package journal holds what happened at the bench: the journal folder, its
// records, and the state folded from them.
//
// Start with Open, which reads a journal folder, and State, which is what is
// true now. Prose (build.md, the diary) is Markdown a person edits; facts are
// records, appended and never rewritten; photos are files that never change.
// The package reads no picture and writes no page. The format of every file is
// told in DEVELOPERS.md.
package journal

import (
	"time"

	"rakelight/journal/metrics"
	"rakelight/journal/reason"
)

// Roles a photo may have.
var Roles = []string{"before", "after", "progress", "problem", "finished"}

// Views and Lights say from where and under which light a photo was taken.
// Only like views under like lights are paired.
var (
	Views  = []string{"front", "left", "right", "rear", "top", "three-quarter"}
	Lights = []string{"diffuse", "raking"}
)

// How the time of a session was known. The three are kept apart wherever
// hours are shown.
const (
	Measured   = "measured"   // a timer or a bench card
	Estimated  = "estimated"  // from photos
	Remembered = "remembered" // typed afterwards
)

// Span is a stretch of time.
type Span struct{ Start, End time.Time }

// Session is a stretch of time at the bench on one stage.
type Session struct {
	ID         string // the id of the record that began it
	Build      string
	Kit        int          // 1-based, 0 = the only kit, or not said
	Stage      string       // stage id of the build
	Kind       string       // the stage's kind
	Class      string       // of its parts: as said, else what all named ones are; "" = not known, or several
	Classes    []ClassCount // its named parts that stand done, by class
	Start, End time.Time
	Breaks     []Span
	Open       bool          // running: no end yet
	Net        time.Duration // End-Start less breaks; 0 while Open
	Date       string        // YYYY-MM-DD in the journal's zone; for remembered ones possibly only "1998-04" or "1998"
	Known      string        // Measured, Estimated or Remembered
	Parts      []PartRef     // parts done by name
	Bare       int           // parts done by bare count, on top of Parts
	Reopened   int           // of those, reopened later: no longer done
	Again      []PartRef     // the parts by name among Reopened
	Counted    bool          // a count was given, even if 0
	Tallies    []Tally       // what Parts, Bare, Reopened and Again are made of, one by one
	Note       string
	Cards      bool               // bench cards began it
	Series     string             // the series that shows it, "" = it is of a timer, a card, or said
	Unseen     Span               // of one by card: the longest stretch in it without a photo, if it is remarked on
	How        reason.How         // how its end is known where it is only estimated
	Trials     []int              // numbers of the trial cards shown in it
	Tools      []string           // tools used, as typed; ToolKey compares them
	For        string             // of a repair: the stage it mends, or the record of the mistake; "" = not said
	Charged    []Charge           // of a repair: the stages whose work it mends; empty = nobody knows
	Doubt      reason.LengthDoubt // why it is not counted; none = counted
}

// Done is the number of parts that count: named and bare, less reopened.
func (s *Session) Done() int {
	n := s.Bare - s.Reopened
	for _, p := range s.Parts {
		n += p.Count
	}
	return n
}

// Hours is Net in hours.
func (s *Session) Hours() float64 { return s.Net.Hours() }

// Pause is a build put aside. Until is zero while it still is.
type Pause struct {
	Build              string
	From, Until        time.Time
	Why, Next, Waiting string
	Photo              string // hash of the photo of the card that says it; what is written on the card tells why
}

// Camera tells one camera from another. Serial never leaves the journal.
type Camera struct {
	Make   string `json:"make,omitempty"`
	Model  string `json:"model,omitempty"`
	Serial string `json:"serial,omitempty"`
}

// Instant is when a photo was taken, and how that is known.
type Instant struct {
	At        time.Time     `json:"at"`               // corrected, in the zone it was taken in
	Wall      string        `json:"wall,omitempty"`   // as the file states it, before any correction
	Source    string        `json:"source"`           // "DateTimeOriginal", "GPS", "file name", "file time", …; SaidSo
	Offset    string        `json:"offset,omitempty"` // where the offset came from: "stated", "GPS", "journal zone", "UTC"
	Meant     reason.Meant  `json:"meant,omitempty"`  // of a clip's header: what told whether it is UTC
	Corrected reason.Fault  `json:"fast,omitzero"`    // the clock fault that was taken off
	Said      string        `json:"said,omitempty"`   // as a person dated it where no day is known: "spring 2019"; At is then its middle
	Doubts    reason.Doubts `json:"doubts,omitempty"` // what speaks against it
	Passed    reason.Doubts `json:"passed,omitempty"` // dates the file states that are none, and were passed over

	oldInstant // of records alone
}

// Tags say where a photo belongs. An empty field is an unset tag.
type Tags struct {
	Build string    `json:"build,omitempty"`
	Kit   int       `json:"kit,omitempty"`
	Stage string    `json:"stage,omitempty"`
	Role  string    `json:"role,omitempty"`
	View  string    `json:"view,omitempty"`
	Light string    `json:"light,omitempty"`
	Parts []PartRef `json:"parts,omitempty"`
}

// Photo is an original picture file and all that is known of it.
type Photo struct {
	Hash    string   // SHA-256 of the bytes, 64 hex digits
	Path    string   // below the journal folder, slashes: photos/2026/03/….jpg
	Name    string   // file name in the inbox
	Folder  string   // inbox sub-folder it lay in, slashes, "" = top
	Words   []string // its keywords, as written
	Size    int64
	Format  string // "jpeg", "png", "tiff", "gif", "webp", "heic", "avif", "mp4", "mov", or a raw kind: "dng", "nef", "cr3", …
	Width   int    // pixels upright, orientation applied; of a raw picture its preview's, of a clip its still's; 0 = cannot be shown
	Height  int
	Turn    int // EXIF orientation 1..8
	Camera  Camera
	Instant Instant // corrected by the clock that stands now
	Tags    Tags
	Why     map[string]reason.Why // tag name ("build", "stage", "role", …) → why it is what it is
	Guess   bool                  // build or stage is a guess from the nearest session
	Kind    string                // kind of the tagged stage, "" = unknown
	Caption string                // plain text

	Fingerprint string     // how it looks, "" = not known; see media.Look
	Sharp       float64    // compares within a burst only
	Length      int64      // of a clip, in milliseconds; 0 = no clip, or not known
	Codec       string     // of a clip: what its pictures are packed as, "avc1", "hvc1"
	Frame       [2]int     // of a clip: width and height upright, in pixels
	Cards       []CardSeen // bench cards in it
	Lapsed      Lapse      // a role by card that held no longer, and would have been this photo's
	CardsBy     string     // id of the record by which a person said what its cards say, "" = they say what was read
	DatedBy     string     // id of the record by which a person said when it was taken, "" = nobody did
	Trial       int        // number of the trial card that held, 0 = none
	Burst       string     // hash of the photo that stands for its burst, possibly its own; "" = it stands alone
	Series      string     // the series it is a frame of, "" = none
	Beside      []Original // its other files, by path: the raw picture of the same shot, XMP files that came later
	Record      string     // id of the record that took it in
}

// Lapse is a role by card that ended for want of photos.
type Lapse struct {
	Role string    // "" = none did
	Last time.Time // of the last photo it held for
}

// Original is a kept file that belongs to a photo but is not the one shown.
type Original struct {
	Hash   string      // SHA-256 of the bytes, 64 hex digits
	Path   string      // below the journal folder, slashes
	Name   string      // file name in the inbox
	Format string      // a raw kind, "mov" or "mp4" (what moves of the shot), or "xmp"
	Size   int64       // bytes
	Why    reason.Link // how it was known to belong
	Record string      // id of the record that put it there
}

// IsClip reports whether a format is that of a clip.
func IsClip(format string) bool { return format == "mp4" || format == "mov" }

// Clip reports whether it is a clip. What compares photos leaves clips out.
func (p *Photo) Clip() bool { return IsClip(p.Format) }

// ToSort reports whether the photo lacks a build or a stage, and wants them: a
// picture of bench cards alone does not.
func (p *Photo) ToSort() bool { return (p.Tags.Build == "" || p.Tags.Stage == "") && !p.OfCards() }

// Short is the name a person may type for the photo: the first eight digits
// of its hash.
func (p *Photo) Short() string { return p.Hash[:min(8, len(p.Hash))] }

// Aside is a file that was moved to inbox/aside because it is a copy.
type Aside struct {
	Path   string // below the journal folder, slashes: inbox/aside/a.jpg
	Hash   string
	CopyOf string // hash of the kept photo
	Why    reason.Link
	Record string
}

// State is what is true now. Fold and Open make it; nobody changes it after.
type State struct {
	Config   Config
	Zone     *time.Location
	Builds   []*Build     // by first day, then id
	Sessions []*Session   // by start, then id
	Photos   []*Photo     // by instant, then hash
	Series   []Series     // photos at a steady interval, by the first frame's instant, then id
	Pauses   []Pause      // by From
	Diary    []DiaryDay   // by date, then build
	Clocks   []ClockFault // that stand: clock records, the latest first, then journal.toml's
	Cards    []CardSaid   // all bench cards, by instant
	Asides   []Aside      // by path; those taken in since are left out
	Repairs  []Repair     // of kept files, by instant, then record
	Marks    []Mark       // by instant, then record
	Verdicts []Verdict    // by instant, then record
	Packs    []Pack       // blind pairs given out, by instant, then record
	Mistakes []Mistake    // by instant, then record
	Notes    []Note       // by instant, then record
	Trials   []*Trial     // by instant, then record
	Checks   []Checked    // of the bench book, as all of these by instant: what was found of parts
	Subs     []Sub        // sub-assemblies, each as it was said
	Holds    []Hold       // what has to be remembered until it ends
	Preps    []Prep       // what was done to parts
	Hands    []Hands      // how the hands were
	Points   []Points     // by the photos' hashes, one for each two
	Alikes   []Alike      // of which two photos a person said whether they are alike, by their hashes
	Privates []Private    // what a person keeps to themselves, by what it is
	Past     []PastSaid   // what was said of pictures of the years before, by hash, kept or not
	Sheets   []SheetSize  // what was measured of printed cards, the latest first
	Unknown  []Record     // kinds this version does not know: kept, ignored
	Problems []Problem

	// What the work is done with, each by instant, then record; also what another
	// stands in the place of: MixesOf, AdditionsOf and SandingsOf have what counts.
	Mixes     []Mix
	Additions []Addition
	Sandings  []SandingPlan

	reach    time.Duration   // length of the longest session
	scatter  metrics.Scatter // of the sessions, by measured time
	reckoned *reckoned       `freeze:"-"` // what rests on the whole; nil in a state that no fold made
	later    *laterPhotos    `freeze:"-"` // what Photos will be, of a state that is read for the bench; nil = Photos
}

// Build returns the build with the id, or nil.
func (s *State) Build(id string) *Build {
	for _, b := range s.Builds {
		if b.ID == id {
			return b
		}
	}
	return nil
}
