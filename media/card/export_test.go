// What tests of the outside see of the inside.

package card

// FindStep is Find, and the name of the step that found, "" = none.
func FindStep(p Plane) ([]Found, string) {
	for _, s := range ladder {
		if found := s.find(p); len(found) > 0 {
			return found, s.name
		}
	}
	return nil, ""
}
