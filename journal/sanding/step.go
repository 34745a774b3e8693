// This file is one step of a plan, and how a person writes it.

package sanding

// Step is one grit of a plan, and how to see that it has done its work.
type Step struct {
	Grit    int    `json:"grit,omitempty"`    // the number on the paper, of Scale; 0 = a polish without a number
	Scale   string `json:"scale,omitempty"`   // whose number it is, one of Scales; "" of a polish
	Backing string `json:"backing,omitempty"` // what holds the paper: "block", "sponge"; "" = not said
	Wet     bool   `json:"wet,omitempty"`
	Check   string `json:"check,omitempty"` // ends the step: "no scratch of the grit before is left"; "" = not said
}
