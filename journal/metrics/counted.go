// What counts as one done, by stage kind.

package metrics

// CountedKind returns the unit in which work of a stage kind is counted:
// "part", "join", "coat", "item" or "decal". A coat is one color or coat on
// one sub-assembly.
//
// It returns "", false for kinds that have hours but no sensible count: plan,
// inspect, wash, line, weather and base are done by area or by evening, repair
// is charged to the step that caused it, wait is not bench time. Unknown kinds
// have no count either.
func CountedKind(kind string) (unit string, ok bool) {
	switch kind {
	case "cut", "clean", "dry-fit", "assemble":
		return "part", true
	case "seam":
		return "join", true
	case "prime", "paint", "gloss", "top-coat":
		return "coat", true
	case "detail":
		return "item", true
	case "decal":
		return "decal", true
	}
	return "", false
}
