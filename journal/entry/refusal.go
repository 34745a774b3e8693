// This file is why something may not be said.

package entry

import (
	"time"

	"rakelight/journal"
)

// Reason is why something was refused. Nothing was written then.
type Reason string

// The reasons, and the fields of the Refusal that tell more.
const (
	// At the bench.
	NoSession       Reason = "no session"        // Wish; of a break, Session that ended last, nil = none
	SeveralSessions Reason = "several sessions"  // Wish, Count
	FellSilent      Reason = "fell silent"       // Session: it ended with its last photo
	Forgotten       Reason = "forgotten"         // Session, At: it has run too long by then; Sign, the last known of it
	OrTheLast       Reason = "or the last"       // Session that ended last, Name: the parts; none runs
	RunsAlready     Reason = "runs already"      // Session
	BeganLater      Reason = "began later"       // Session, At, Photo of the card that began it
	LongerThanSince Reason = "longer than since" // Session, Length, Ran: it cannot have lasted so long
	NotYet          Reason = "not yet"           // At has not come
	NoDay           Reason = "no day"            // Name
	Overlaps        Reason = "overlaps"          // Session, Other in the way
	BreakTaken      Reason = "break taken"       // Session, Break that lies there already
	BreakBackward   Reason = "break backward"    // Session, Break that runs, At
	BreakOutside    Reason = "break outside"     // Session, Break
	EndsBefore      Reason = "ends before"       // Session as it would be
	CountedTwice    Reason = "counted twice"     // Part: all of them, Count, Stage (its kind), Build
	UnknownKit      Reason = "unknown kit"       // Build, Count of kits, Number
	UnknownClass    Reason = "unknown class"     // Name, Known
	NoRepair        Reason = "no repair"         // only a repair names what it mends
	MendsElsewhere  Reason = "mends elsewhere"   // Name of the mistake, Other build, Build
	MendsRepair     Reason = "mends repair"      // Name of the stage
	NoTool          Reason = "no tool"

	// Sessions and records named by their ids.
	NoSuchSession  Reason = "no such session" // Name, Build ("" = of all)
	ShownBySeries  Reason = "shown by series" // Session: nobody said it, photos show it
	NoSuchRecord   Reason = "no such record"  // Name
	SeveralRecords Reason = "several records" // Name, Records that bear it
	NothingSaid    Reason = "nothing said"    // nothing to correct
	TakenBack      Reason = "taken back"      // Name, Record that took it back
	RestsOn        Reason = "rests on"        // Name, Record that rests on it
	NoLength       Reason = "no length"       // Length
	HourUnknown    Reason = "hour unknown"    // Session: only its day is known

	// Parts opened again.
	NotDone      Reason = "not done"      // Part, Build
	WhichStage   Reason = "which stage"   // Part, Known stages
	WhichSession Reason = "which session" // a bare count names none
	FewerDone    Reason = "fewer done"    // Session, Count
	NoReferences Reason = "no references" // a bare count where parts are named
	NoBuild      Reason = "no build"      // parts or a kit of no build

	// Builds.
	PausedBuild     Reason = "paused build"     // Pause
	PausedAlready   Reason = "paused already"   // Pause
	NotPaused       Reason = "not paused"       // Build
	StillRunning    Reason = "still running"    // Session
	NoWhy           Reason = "no why"           // Build
	FinishedAlready Reason = "finished already" // Build, Name: the day
	FinishedByHand  Reason = "finished by hand" // Build, Name: the day, in build.md
	NotFinished     Reason = "not finished"     // Build
	WorkedAfter     Reason = "worked after"     // Session after the day, Name: the day
	LongSinceWork   Reason = "long since work"  // Build, Name: the day of its last sign of work, or as much of it as is sure
	WhichBuild      Reason = "which build"      // Known: those that are open
	NoBuildNamed    Reason = "no build named"   // what takes it first; Known: those that may be meant

	// Photos and cards.
	NoSuchPhoto     Reason = "no such photo"  // Name
	SeveralPhotos   Reason = "several photos" // Name, Known
	SamePhoto       Reason = "same photo"     // both are one
	OfCards         Reason = "of cards"       // Photo shows no work
	AClip           Reason = "a clip"         // Photo moves, and is not held against others
	NoCards         Reason = "no cards"       // Photo shows none
	NotKnown        Reason = "not known"      // Field, Name, Known
	NothingToSet    Reason = "nothing to set"
	NoMeasure       Reason = "no measure"       // Err
	SpotsFar        Reason = "spots far"        // Spots: hardly the same
	SpotsTurned     Reason = "spots turned"     // Spots: turned too far
	SpotsNothing    Reason = "spots nothing"    // Err: they fix nothing
	AlikeAlready    Reason = "alike already"    // Known: both photos, Record that says so
	UnlikeAlready   Reason = "unlike already"   // Known: both photos, Record that says so
	TaggedUnlike    Reason = "tagged unlike"    // Field in which they differ, Known: both photos
	BeforePhotos    Reason = "before photos"    // At is before any was taken
	ClockImpossible Reason = "clock impossible" // Err

	// Pictures of the years before.
	NoHash Reason = "no hash" // Name is no hash of a picture

	// What is private.
	NothingPrivate Reason = "nothing private" // nothing was named
	PrivateAlready Reason = "private already" // Name
	NotPrivate     Reason = "not private"     // Name
	PrivateByHand  Reason = "private by hand" // Name, File that says so

	// Judging.
	NoCriterion  Reason = "no criterion"   // Number
	NoScore      Reason = "no score"       // Number
	NoOutcome    Reason = "no outcome"     // Name
	OwnersName   Reason = "owner's name"   // Name
	SheetOwner   Reason = "sheet's owner"  // File, Name: the judge is called as the owner is
	UnknownPack  Reason = "unknown pack"   // File, Name
	OtherPack    Reason = "other pack"     // File, Name, Count, There: it speaks of so many pairs
	UnknownPair  Reason = "unknown pair"   // File, Name of the pack, Part
	OtherSheet   Reason = "other sheet"    // File, Judge, Name of the pack, Record
	SheetOfOther Reason = "sheet of other" // File, Judge, Record

	// Mistakes and trials.
	NoKind        Reason = "no kind"
	NoLoss        Reason = "no loss"        // Length
	NoCard        Reason = "no card"        // Number
	TrialRuns     Reason = "trial runs"     // Trial of that name
	CardRuns      Reason = "card runs"      // Number, Trial that has it
	CardBelonged  Reason = "card belonged"  // Number, Trial that had it then
	TrialReviewed Reason = "trial reviewed" // Trial
	NoWords       Reason = "no words"

	// The bench book.
	StaysAsFound     Reason = "stays as found"    // Build, Name: of a whole runner nothing else is to be said
	NoParts          Reason = "no parts"          // Build; it is about no part
	NoSuchRunner     Reason = "no such runner"    // Build, Name
	NoName           Reason = "no name"           // of a sub-assembly
	LikeAPart        Reason = "like a part"       // Name of a sub-assembly that reads as a part
	NoSuchSub        Reason = "no such sub"       // Build, Name, Known
	UnknownWord      Reason = "unknown word"      // Name, Known
	CuresNot         Reason = "cures not"         // Name: what is said of it belongs to what cures
	NoCuring         Reason = "no curing"         // Length
	HeldAlready      Reason = "held already"      // Hold, At
	NoSuchHold       Reason = "no such hold"      // Name, Build ("" = an id)
	SeveralHolds     Reason = "several holds"     // Name, Build, Known ids, Hold the first
	HoldsMore        Reason = "holds more"        // Name, Build, Known ids, Hold the first
	ReleasedAlready  Reason = "released already"  // Hold, At
	HeldLater        Reason = "held later"        // Hold, At
	NotOfKind        Reason = "not of kind"       // Name: no record of this kind to correct
	CorrectedAlready Reason = "corrected already" // Name, Record that stands in its place

	// What the work is done with.
	NoRecipe        Reason = "no recipe"        // Name, Err
	NoSuchEntry     Reason = "no such entry"    // Name, Field: what it would be
	NothingNamed    Reason = "nothing named"    // Build: neither parts nor a sub-assembly
	SayWhich        Reason = "say which"        // Field, Known
	NoSteps         Reason = "no steps"         // Name, Err
	NoSuchSupply    Reason = "no such supply"   // Name, Build, Known
	SeveralSupplies Reason = "several supplies" // Name, Build, Known
	SuppliesAlike   Reason = "supplies alike"   // Name, Build, Count of that name
	NoChange        Reason = "no change"        // Err
	NoSuchTask      Reason = "no such task"     // Name, Build, Known
	SeveralTasks    Reason = "several tasks"    // Name, Build, Known
)

// Wish is what a person wanted to say of the session that runs.
type Wish string

// The wishes.
const (
	ToEnd   Wish = "end"
	ToRest  Wish = "break"
	ToCount Wish = "count"
	ToTool  Wish = "tool"
)

// Refusal is something that may not be said, and what tells why. Which fields are
// set stands beside the reasons. Times are in the journal's zone.
type Refusal struct {
	Reason Reason
	Wish   Wish

	Session, Other *journal.Session
	Photo          *journal.Photo
	Pause          *journal.Pause
	Trial          *journal.Trial
	Hold           *journal.Hold
	Break          journal.Span
	Spots          *Spots
	Sign           journal.Sign

	Build, Stage, Part string
	Name, Field, File  string // Name as it was typed
	Judge              string // "" = the journal's owner
	Record             string // id
	Known              []string
	Records            []journal.Record
	Number             int
	Count, There       int
	At                 time.Time
	Length, Ran        time.Duration
	Err                error
}

// Error is the reason; package wording has the words for it.
func (r *Refusal) Error() string { return "refused: " + string(r.Reason) }

func (r *Refusal) Unwrap() error { return r.Err }
