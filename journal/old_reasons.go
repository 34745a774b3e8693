// This file reads the reasons that bodies of earlier versions hold in sentences.

package journal

import (
	"encoding/json"
	"maps"

	"rakelight/journal/reason"
)

// whys are the reasons of a body, as a map of its own.
func whys(codes map[string]reason.Why, sentences map[string]string) map[string]reason.Why {
	if len(codes) > 0 {
		return maps.Clone(codes)
	}
	if len(sentences) > 0 {
		return reason.Whys(sentences)
	}
	return map[string]reason.Why{}
}

// link is why a body says that a file belongs to another.
func link(code reason.Link, sentence string) reason.Link {
	if code.Any() {
		return code
	}
	return reason.LinkOf(sentence)
}

// UnmarshalJSON reads an instant, also as records of earlier versions hold it.
func (in *Instant) UnmarshalJSON(data []byte) error {
	type plain Instant
	var both struct {
		plain
		Corrected string `json:"corrected"` // "1h3m fast"
		Doubt     string `json:"doubt"`     // what Doubts are, in sentences
		Note      string `json:"note"`      // what Passed are, in sentences
	}
	if err := json.Unmarshal(data, &both); err != nil {
		return err
	}
	*in = Instant(both.plain)
	if both.Corrected != "" {
		in.Corrected = reason.FaultOf(both.Corrected)
	}
	if both.Doubt != "" {
		in.Doubts = reason.DoubtsOf(both.Doubt)
	}
	if both.Note != "" {
		in.Passed = reason.DoubtsOf(both.Note)
	}
	return nil
}
