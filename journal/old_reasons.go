// This file reads the reasons that bodies of earlier versions hold in sentences.

package journal

import (
	"rakelight/journal/reason"
)

// inCodes puts codes in place of the sentences of a body.
func (b *PhotoBody) inCodes() {
	b.Instant, b.Why, b.OldWhy = b.Instant.inCodes(), whys(b.Why, b.OldWhy), nil
}

// whys are the reasons of a body, each tag with its own.
func whys(codes reason.Whys, sentences map[string]string) reason.Whys {
	if len(codes) == 0 {
		codes = reason.WhysOf(sentences)
	}
	if codes == nil {
		return reason.Whys{}
	}
	return codes.Each()
}

// link is why a body says that a file belongs to another.
func link(code reason.Link, sentence string) reason.Link {
	if code.Any() {
		return code
	}
	return reason.LinkOf(sentence)
}

// oldInstant is what records of earlier versions say of an instant, in sentences.
// It stands in no state.
type oldInstant struct {
	OldCorrected string `json:"corrected,omitempty"` // "1h3m fast"
	OldDoubt     string `json:"doubt,omitempty"`     // what Doubts are
	OldNote      string `json:"note,omitempty"`      // what Passed are
}

// inCodes is the instant of a record with codes in place of sentences.
func (in Instant) inCodes() Instant {
	if in.OldCorrected != "" {
		in.Corrected = reason.FaultOf(in.OldCorrected)
	}
	if in.OldDoubt != "" {
		in.Doubts = reason.DoubtsOf(in.OldDoubt)
	}
	if in.OldNote != "" {
		in.Passed = reason.DoubtsOf(in.OldNote)
	}
	in.oldInstant = oldInstant{}
	return in
}
