// The caution, as a session begins.

package bench

import "time"

// careFor is how long a caution stands on the mat, unless it is read before.
const careFor = 5 * time.Minute

// care is a caution that was not read yet.
type care struct{ Session, Text string }

// onMat makes the mat, with the caution of what has just begun.
func (b *Bench) onMat(a *asking) (any, error) {
	page, err := mat(a)
	if m, ok := page.(matPage); ok {
		m.Caution = b.caution(a)
		return m, err
	}
	return page, err
}

// caution is what is said as the session that runs began: once a session, whatever
// device it was read on. nil = nothing, or not now.
func (b *Bench) caution(a *asking) *care {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, s := range a.Running() {
		text := a.State.Caution(s)
		if text != "" && !b.cared[s.ID] && a.Now.Sub(s.Start) < careFor {
			return &care{s.ID, text}
		}
	}
	return nil
}

// careful notes that a caution was read. It is remembered while the page is served:
// longer than a caution stands.
func (b *Bench) careful(s said) (answer, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.cared == nil {
		b.cared = map[string]bool{}
	}
	b.cared[s.text("session")] = true
	return answer{Words: "read; it is not shown again in this session", At: b.now()}, nil
}
