// This file is the default plans. All of them are common practice, no source:
// published advice agrees in the order of steps and not in the numbers. A person
// puts own ones in their place.

package sanding

import "slices"

// ladder is the P grades the defaults are made of, coarse to fine. None is more than
// twice the one before.
var ladder = []int{320, 400, 600, 800, 1000, 1500, 2000, 3000}

// span is from which grit to which a plan goes.
type span struct{ from, to int }

// spans are the grits by finish and by what is removed. Primer hides the scratches
// of about P600; a matte coat over bare plastic hides those of P1000, and gloss none.
var spans = map[string]map[string]span{
	"primed": {"nub": {400, 800}, "line": {400, 800}, "seam": {320, 800}, "filler": {320, 800},
		"scratches": {600, 800}},
	"bare-matte": {"nub": {600, 1000}, "line": {600, 1000}, "seam": {400, 1000}, "filler": {400, 1000},
		"scratches": {800, 1000}},
	"bare-gloss": {"nub": {800, 2000}, "line": {800, 2000}, "seam": {600, 2000}, "filler": {600, 2000},
		"scratches": {1000, 2000}},
}

// defaults are the default steps; none for words that are not known.
func defaults(surface, finish, remove string) []Step {
	grits, known := spans[finish][remove]
	if !known || !slices.Contains(Surfaces, surface) {
		return nil
	}
	switch {
	case surface == "clear": // whatever it ends as: one looks through it
		grits = span{1500, 3000}
		if remove == "scratches" {
			grits.from = 2000
		}
	case surface == "resin" && remove != "scratches": // harder to shape: stumps and pour blocks
		grits.from = 320
		if remove == "line" && finish != "primed" {
			grits.from = 400
		}
	}
	var steps []Step
	for _, grit := range ladder {
		if grit < grits.from || grit > grits.to {
			continue
		}
		check := nextCheck
		if len(steps) == 0 {
			check = firstChecks[remove]
		}
		steps = append(steps, Step{Grit: grit, Scale: "P", Backing: backings[surface], Check: check,
			Wet: grit >= wetFrom || surface == "resin" || surface == "clear"})
	}
	if finish == "bare-gloss" || surface == "clear" {
		steps = append(steps, Step{Backing: "soft cloth"})
	}
	end := lastChecks[finish]
	if surface == "clear" {
		end = "hold it against the light and look through: no haze, no scratch"
	}
	steps[len(steps)-1].Check = end
	return steps
}

// wetFrom is the grit from which paper clogs when it is dry.
const wetFrom = 1000

// backings are what holds the paper: a hard block rounds no edge, and a soft one
// leaves no flat on a round part.
var backings = map[string]string{
	"flat": "hard block", "curved": "sponge", "small": "narrow stick", "clear": "sponge", "resin": "hard block",
}

// The checks that end a step: of the first one that what was to go has gone, of the
// next that the scratches before have, of the last how it ends.
var (
	firstChecks = map[string]string{
		"nub":       "drag a thumbnail across: it meets no step",
		"line":      "lamp low from the side: no ridge is left, and round is still round",
		"seam":      "drag a thumbnail across, then the lamp low: no step, no gap",
		"filler":    "fingertip through a tissue: no bump, and the edge of the filler is not felt",
		"scratches": "lamp low: only the scratches of this grit are left",
	}
	nextCheck  = "stroke turned by 90°, lamp low: no scratch of the grit before is left"
	lastChecks = map[string]string{
		"primed":     "prime and look with the lamp low: what shows goes back one step",
		"bare-matte": "tilt it under the lamp: an even sheen, no pale spot",
		"bare-gloss": "tilt it under the lamp: the reflection runs on unbroken",
	}
)

// hints are what to mind all along.
func hints(surface, finish, remove string) []string {
	all := []string{"Clean the part between grits: one coarse grain spoils the next step."}
	switch surface {
	case "flat":
		all = append(all, "Lay the paper on the block, not on a finger: edges stay sharp.")
	case "curved":
		all = append(all, "Roll the stroke along the form, or the round part gets a flat.")
	case "small":
		all = append(all, "Few light strokes: a small part is out of shape sooner than it is smooth.")
	case "clear":
		all = append(all, "Only if needed. Keep tape on all the rest of the part.")
	case "resin":
		all = append(all, "Wet, and wipe the slurry up wet. On a curve take a sponge in place of the block.")
	}
	if remove == "seam" || remove == "line" {
		all = append(all, "Tape over engraved lines beside it; where paper does not reach, scrape with the back of a blade.")
	}
	if surface == "clear" {
		return all
	}
	switch finish {
	case "primed":
		all = append(all, "Primer hides about P600; under gloss or metal colors go on to P1000 and finer.")
	case "bare-matte":
		all = append(all, "White stress marks must be gone before the matte coat.")
	case "bare-gloss":
		all = append(all, "Dark plastic shows most.")
	}
	return all
}
