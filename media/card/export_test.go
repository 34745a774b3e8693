// What tests of the outside see of the inside.

package card

// FindStep is Find, and the name of the step that found, "" = none.
func FindStep(p Plane) ([]Found, string) {
	sizes := smaller{1: p}
	for _, s := range ladder {
		if found := s.find(sizes); len(found) > 0 {
			return found, s.name
		}
	}
	return nil, ""
}
