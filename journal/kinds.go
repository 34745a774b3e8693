// This file says which kind of record each body is of.

package journal

// Body is what a record of one kind holds: one of the structs of bodies.go and
// bodies_book.go. Each knows its kind, so that none can be written under another's;
// Kind would be the name, if bodies of sessions had no field for the kind of their
// stage. The kinds are words of the files, and never change.
type Body interface{ RecordKind() string }

func (PhotoBody) RecordKind() string   { return "photo" }
func (BesideBody) RecordKind() string  { return "beside" }
func (TagBody) RecordKind() string     { return "tag" }
func (BeginBody) RecordKind() string   { return "begin" }
func (EndBody) RecordKind() string     { return "end" }
func (BreakBody) RecordKind() string   { return "break" }
func (DoneBody) RecordKind() string    { return "done" }
func (ReopenBody) RecordKind() string  { return "reopen" }
func (WorkBody) RecordKind() string    { return "work" }
func (CorrectBody) RecordKind() string { return "correct" }
func (PauseBody) RecordKind() string   { return "pause" }
func (ResumeBody) RecordKind() string  { return "resume" }
func (FinishBody) RecordKind() string  { return "finish" }
func (NoteBody) RecordKind() string    { return "note" }
func (DatedBody) RecordKind() string   { return "dated" }
func (ClockBody) RecordKind() string   { return "clock" }
func (AsideBody) RecordKind() string   { return "aside" }
func (RepairBody) RecordKind() string  { return "repair" }
func (MarkBody) RecordKind() string    { return "mark" }
func (VerdictBody) RecordKind() string { return "verdict" }
func (PackBody) RecordKind() string    { return "pack" }
func (AnswersBody) RecordKind() string { return "answers" }
func (MistakeBody) RecordKind() string { return "mistake" }
func (TrialBody) RecordKind() string   { return "trial" }
func (ObserveBody) RecordKind() string { return "observe" }
func (ReviewBody) RecordKind() string  { return "review" }
func (PointsBody) RecordKind() string  { return "points" }
func (AlikeBody) RecordKind() string   { return "alike" }
func (SheetBody) RecordKind() string   { return "sheet" }
func (CardBody) RecordKind() string    { return "card" }
func (RetractBody) RecordKind() string { return "retract" }
func (LostBody) RecordKind() string    { return "lost" }
func (CheckedBody) RecordKind() string { return "checked" }
func (SubBody) RecordKind() string     { return "sub" }
func (HoldBody) RecordKind() string    { return "hold" }
func (ReleaseBody) RecordKind() string { return "release" }
func (PrepBody) RecordKind() string    { return "prep" }
func (HandsBody) RecordKind() string   { return "hands" }

func (MixBody) RecordKind() string      { return "mix" }
func (AdditionBody) RecordKind() string { return "addition" }
func (SandingBody) RecordKind() string  { return "sanding" }

func (PrivateBody) RecordKind() string { return "private" }
func (PastBody) RecordKind() string    { return "past" }

// is reports whether a record is of the kind of such bodies.
func is[B Body](r Record) bool {
	var body B
	return r.Kind == body.RecordKind()
}
