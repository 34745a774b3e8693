// This file is one step of a plan, and how a person writes it.

package sanding

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Step is one grit of a plan, and how to see that it has done its work.
type Step struct {
	Grit    int    `json:"grit,omitempty"`    // the number on the paper, of Scale; 0 = a polish without a number
	Scale   string `json:"scale,omitempty"`   // whose number it is, one of Scales; "" of a polish
	Backing string `json:"backing,omitempty"` // what holds the paper: "hard block", "sponge"; "" = not said
	Wet     bool   `json:"wet,omitempty"`
	Check   string `json:"check,omitempty"` // ends the step: "no scratch of the grit before is left"; "" = not said
}

// Grade is the grit with its scale, or the polish: "P400", "CAMI 600", "polish".
func (s Step) Grade() string {
	switch {
	case s.Grit == 0:
		return polish
	case s.Scale == "P":
		return "P" + strconv.Itoa(s.Grit)
	}
	return s.Scale + " " + strconv.Itoa(s.Grit)
}

// polish is how a step without a number is written.
const polish = "polish"

// How is the step without its check, as ParseStep reads it: "P400 on hard block, wet".
func (s Step) How() string {
	text := s.Grade()
	if s.Backing != "" {
		text += " on " + s.Backing
	}
	if s.Wet {
		text += ", wet"
	}
	return text
}

// String is the step as ParseStep reads it: "P400 on hard block, wet: no step is felt".
func (s Step) String() string {
	if s.Check == "" {
		return s.How()
	}
	return s.How() + ": " + s.Check
}

// maxGrit bounds what a typing error can ask for: no paper has a higher number
// (polishing cloths of makers end at 12000; from memory).
const maxGrit = 20000

var (
	graded  = regexp.MustCompile(`(?i)^(P|CAMI|JIS|maker)\s*([0-9]+)$`)
	bare    = regexp.MustCompile(`^#?[0-9]+$`)
	wetness = regexp.MustCompile(`(?i)(?:,\s*|\s)wet$`)
)

// ParseStep reads a step: a grit with its scale, what holds the paper, whether it is
// wet, and behind a colon the check that ends it. A number without a scale is an
// error, because it could be of several.
//
//	P400 on hard block, wet: no step is felt
//	CAMI 600 on sponge
//	polish on soft cloth: the reflection runs on unbroken
func ParseStep(text string) (Step, error) {
	head, check, _ := strings.Cut(text, ":")
	head = strings.Join(strings.Fields(head), " ")
	s := Step{Check: strings.Join(strings.Fields(check), " ")}
	if cut := wetness.FindString(head); cut != "" {
		s.Wet, head = true, strings.TrimSuffix(head, cut)
	}
	grade, backing, _ := strings.Cut(head, " on ")
	s.Backing = strings.TrimSpace(backing)
	m := graded.FindStringSubmatch(strings.TrimSpace(grade))
	switch {
	case strings.EqualFold(grade, polish):
		return s, nil
	case bare.MatchString(grade):
		n := strings.TrimPrefix(grade, "#")
		return Step{}, fmt.Errorf("%q could be of several scales: write P%s, CAMI %s, JIS %s or maker %s", grade, n, n, n, n)
	case m == nil:
		return Step{}, fmt.Errorf(
			"%q is not a step: write it like \"P400 on hard block, wet: no step is felt\"", strings.TrimSpace(text))
	}
	for _, scale := range Scales {
		if strings.EqualFold(scale, m[1]) {
			s.Scale = scale
		}
	}
	var err error
	if s.Grit, err = strconv.Atoi(m[2]); err != nil || s.Grit < 1 || s.Grit > maxGrit {
		return Step{}, fmt.Errorf("%s is no grit that paper has", m[2])
	}
	return s, nil
}

// ParseSteps reads steps that are separated by semicolons.
func ParseSteps(text string) ([]Step, error) {
	var steps []Step
	for _, one := range strings.Split(text, ";") {
		if strings.TrimSpace(one) == "" {
			continue
		}
		s, err := ParseStep(one)
		if err != nil {
			return nil, err
		}
		steps = append(steps, s)
	}
	return steps, nil
}
