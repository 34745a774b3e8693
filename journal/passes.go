// This file is the order of the fold: its passes, and which of them must have run
// before which.

package journal

import "slices"

// A pass is one step of the fold: records of some kinds take effect, or something
// follows from all that was folded before. Later steps refer to what earlier ones
// made, so the kinds go in passes; within a pass the total order of the records
// holds. A clock that ran behind on one device then cannot put an end before its
// beginning.
type pass struct {
	name    string
	after   []string // the passes that must have run before it
	effects map[string]effect
	do      func(*folding, []Record, gone)
}

// effect is what a record of a kind does. An error says why it has none.
type effect func(*folding, Record) error

// passes are the passes of the fold. Each names those it must come after, and
// nothing else decides their order: every order that respects the names gives the
// same state, and every name is needed (TestPassesStandInTheirOrder).
var passes = []pass{
	records("beginnings", nil,
		on[BeginBody]((*folding).begin), on[WorkBody]((*folding).work), on[PhotoBody]((*folding).photo),
		on[PauseBody]((*folding).pause), on[ClockBody]((*folding).clock), on[AsideBody]((*folding).aside),
		on[CardBody]((*folding).card), on[PackBody]((*folding).pack), on[DatedBody]((*folding).dated),
		on[FinishBody]((*folding).finishBuild), on[SheetBody]((*folding).sheet), on[RepairBody]((*folding).repair),
		on[LostBody]((*folding).lost), on[PrivateBody]((*folding).private), on[PastBody]((*folding).past)),
	follows("clocks", []string{"beginnings"}, (*folding).setClocks),
	{name: "said of files beside", after: []string{"beginnings"}, do: (*folding).saidOfParts},
	// A date that a person gives owes nothing to any clock.
	follows("dates", []string{"clocks", "said of files beside"}, (*folding).setDates),
	// Cards count by the corrected instants of their photos, and the records to
	// come may name the sessions that cards begin.
	{name: "cards", after: []string{"dates"}, do: (*folding).runCards},
	records("files beside", []string{"cards"}, on[BesideBody]((*folding).beside)),
	records("ends and judgments", []string{"files beside"},
		on[EndBody]((*folding).end), on[BreakBody]((*folding).rest), on[ResumeBody]((*folding).resume),
		on[MarkBody]((*folding).mark), on[VerdictBody]((*folding).verdict), on[AnswersBody]((*folding).answers),
		on[MistakeBody]((*folding).mistake), on[TrialBody]((*folding).trial), on[PointsBody]((*folding).points),
		on[AlikeBody]((*folding).alike),
		on[NoteBody]((*folding).note), on[CheckedBody]((*folding).checked), on[SubBody]((*folding).sub),
		on[HoldBody]((*folding).hold), on[PrepBody]((*folding).prep), on[HandsBody]((*folding).hands),
		on[MixBody]((*folding).mix), on[AdditionBody]((*folding).addition), on[SandingBody]((*folding).sanding)),
	// What the runner check found is part of the plan for all that counts parts.
	follows("parts not for use", []string{"ends and judgments"}, (*folding).setNotUsed),
	records("trials", []string{"ends and judgments"}, on[ObserveBody]((*folding).observe),
		on[ReviewBody]((*folding).review), on[ReleaseBody]((*folding).release)),
	// A correction has the last word, also on an end.
	records("counts and corrections", []string{"ends and judgments"}, on[DoneBody]((*folding).done),
		on[CorrectBody]((*folding).correct)),
	follows("early ends", []string{"counts and corrections"}, (*folding).endEarly),
	// What names no session belongs to the one that ran, by its corrected times.
	records("counts without a session", []string{"early ends"}, on[DoneBody]((*folding).doneSomewhere)),
	// All other parts are known by then, and what is counted can be reopened.
	follows("whole runners", []string{"counts without a session", "parts not for use"}, (*folding).countRunners),
	records("reopened", []string{"whole runners"}, on[ReopenBody]((*folding).reopen)),
	// What was opened again is of no class any more.
	follows("sessions", []string{"reopened"}, (*folding).settleSessions),
	// Tags by session need the sessions as they were in the end, and the instants
	// as the clocks stand; what a person said comes above both.
	follows("photos that moved", []string{"sessions"}, (*folding).tagMoved),
	follows("tags by cards", []string{"photos that moved"}, (*folding).tagByCards),
	records("tags", []string{"tags by cards"}, on[TagBody]((*folding).tag), on[PastBody]((*folding).tagPast)),
	follows("finish", []string{"tags", "trials"}, (*folding).finish),
}

// on is the effect of the records whose bodies are of a type.
func on[B Body](apply effect) ofKind {
	var body B
	return ofKind{body.RecordKind(), apply}
}

type ofKind struct {
	kind  string
	apply effect
}

// records is a pass in which records take effect.
func records(name string, after []string, effects ...ofKind) pass {
	p := pass{name: name, after: after, effects: map[string]effect{}}
	for _, one := range effects {
		p.effects[one.kind] = one.apply
	}
	return p
}

// follows is a pass of what follows from all that was folded before.
func follows(name string, after []string, do func(*folding)) pass {
	return pass{name: name, after: after, do: func(f *folding, _ []Record, _ gone) { do(f) }}
}

// known reports whether this version knows the kind.
func known(kind string) bool {
	return kind == RetractBody{}.RecordKind() || slices.ContainsFunc(passes,
		func(p pass) bool { return p.effects[kind] != nil })
}
