// What tests of the outside see of the inside.

package card

// FindStep is Find, and how many cards each step found.
func FindStep(p Plane) ([]Found, map[string]int) { return p.find() }
