// This file is what came of a photographed card, as values: rules compare
// these, and cards_words.go alone makes words of them.

package journal

import "time"

// CardOutcome is what came of a card.
type CardOutcome int

// What a card did. The zero CardOutcome is not decided yet.
const (
	Undecided    CardOutcome = iota
	Began                    // Stage of Build begins; Ended is what ended there
	WentOn                   // it runs already
	TimerWentOn              // a timer runs on it already
	EndedStage               // Stage of Build ends
	BreakBegan               // in Stage of Build
	BreakEnded               // the same, and it had begun at Since
	PutAside                 // Build is put aside
	Counted                  // N of Kind counted in Stage
	CountedAfter             // the same, and Stage had ended just before
	RunnerDone               // N parts of Runner, Bare counted by number beside them
	Holds                    // for this photo and those that follow
	HoldsNext                // for the photos that follow
	Once                     // seen at Since and still the same: it says nothing new
	Lies                     // in the picture since Since, and it would change nothing
	EndedBeside              // a begin that lies beside the card that ends the same stage
)

// Why a card did nothing although it may have been meant to: a person is asked.
const (
	NoCard       CardOutcome = iota + 100 // its text is none this version knows
	TimeInDoubt                           // the time of its photo is in doubt
	TwoBegins                             // two stages begin in one picture
	InView                                // in the picture since Since, and counts only when shown anew
	Retaken                               // shown at Since, too close to be told from a picture taken again
	TimerRan                              // a begin while a timer ran on Stage of Build
	NothingRan                            // no session to go to
	NothingAside                          // nothing ran, and it names no build
	OtherBuild                            // Build ran, and the card is of another
	EndByHand                             // the end of Stage of Build was said by hand
	NoStage                               // Build has none such; Among are its stages
	ManyStages                            // Build has N stages of that kind
	NoSuchBuild                           // it names a build that is not in the journal
	TwoBuilds                             // it may be of any of Among
	NoBuild                               // it names none, and none was worked on before
	NoRunners                             // Build lists none
	NoRunner                              // Build has no Runner; Among are its runners
	ManyRunners                           // it may be any of N runners of Build
	RunnerBefore                          // all of Runner was done in that stage before
	BuildUnknown                          // the runners of Build are not known
)

// CardCame is an outcome with what it is about; which fields are set, its
// outcome tells.
type CardCame struct {
	What         CardOutcome
	Build, Stage string    // ids
	Ended        string    // of Began: the stage, and the build if it is another
	Kind         string    // of the stage counted in
	N, Bare      int       // how many
	Runner       string    // its letters, or kit and letters
	Since        time.Time // of the picture that showed the card before
	Among        []string  // what it could have been instead
}

// Idle reports whether the card did nothing and a person is asked about it.
func (c CardCame) Idle() bool { return c.What >= NoCard }

// again reports whether the card did nothing for having been seen before, and a
// person may say that it was meant anew.
func (c CardCame) again() bool { return c.What == InView || c.What == Retaken }
