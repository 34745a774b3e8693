// This file answers questions about cameras and their clocks.

package journal

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
)

// Same reports whether two files may be of one camera. Some write their serial
// number into the raw picture only.
func (c Camera) Same(other Camera) bool {
	same := func(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }
	return same(c.Make, other.Make) && same(c.Model, other.Model) &&
		(c.Serial == "" || other.Serial == "" || same(c.Serial, other.Serial))
}

// CameraUse is one camera of the journal.
type CameraUse struct {
	Camera      Camera
	Name        string // as a person types it: "tarrow-t-24"; its own within the journal
	Photos      int
	Corrected   int       // of those, photos a clock correction moves
	First, Last time.Time // instants of its first and last photo whose time is not in doubt; zero = none
}

// Title is the camera's make and model as the files state them.
func (c CameraUse) Title() string { return strings.TrimSpace(c.Camera.Make + " " + c.Camera.Model) }

// Cameras are the cameras that took the photos, by name. Of several of one
// make and model each name ends in two digits made from the serial number,
// which itself is not shown.
func (s *State) Cameras() []CameraUse {
	used := map[Camera]*CameraUse{}
	same := map[string]int{}
	for _, p := range s.photos() {
		if p.Camera.Make == "" && p.Camera.Model == "" {
			continue
		}
		c := used[p.Camera]
		if c == nil {
			c = &CameraUse{Camera: p.Camera, Name: CameraSlug(p.Camera)}
			used[p.Camera] = c
			same[c.Name]++
		}
		c.Photos++
		if p.Instant.Corrected.Any() {
			c.Corrected++
		}
		if p.Instant.Doubts.Any() {
			continue
		}
		if c.First.IsZero() {
			c.First = p.Instant.At
		}
		c.Last = p.Instant.At
	}
	var all []CameraUse
	for _, c := range used {
		if same[c.Name] > 1 {
			sum := sha256.Sum256([]byte(c.Camera.Make + "\n" + c.Camera.Model + "\n" + c.Camera.Serial))
			c.Name += "-" + hex.EncodeToString(sum[:1])
		}
		all = append(all, *c)
	}
	slices.SortFunc(all, func(a, b CameraUse) int {
		return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Camera.Serial, b.Camera.Serial))
	})
	return all
}

// CameraSlug is make and model in lower case, dashes for all else. Many
// cameras repeat the make in the model.
func CameraSlug(c Camera) string {
	name := c.Model
	if !strings.HasPrefix(strings.ToLower(c.Model), strings.ToLower(c.Make)) {
		name = c.Make + " " + c.Model
	}
	words := strings.FieldsFunc(strings.ToLower(name),
		func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(words, "-")
}

// ResolveCamera finds the camera a person means by its name or by a part of it
// that no other has.
func (s *State) ResolveCamera(name string) (CameraUse, error) {
	all := s.Cameras()
	want := CameraSlug(Camera{Model: name})
	found := keep(all, func(c CameraUse) bool { return c.Name == want })
	if len(found) == 0 {
		found = keep(all, func(c CameraUse) bool { return want != "" && strings.Contains(c.Name, want) })
	}
	if len(found) == 1 {
		return found[0], nil
	}
	var names []string
	for _, c := range all {
		names = append(names, c.Name)
	}
	if len(names) == 0 {
		return CameraUse{}, &AskError{What: fmt.Sprintf("there is no camera %q: no photo names one yet", name)}
	}
	fits := make([]string, len(found))
	for i, c := range found {
		fits[i] = c.Name
	}
	return CameraUse{}, noneOrMany("camera", name, fits, "the cameras are "+strings.Join(names, ", "))
}

// Move is a photo whose instant or tags differ between two states.
type Move struct{ Before, After *Photo }

// Moves are the photos that both states have and that moved between them, in
// time or from one session to another, by the instant before.
func Moves(before, after *State) []Move {
	now := map[string]*Photo{}
	for _, p := range after.photos() {
		now[p.Hash] = p
	}
	var moves []Move
	for _, p := range before.photos() {
		q := now[p.Hash]
		if q != nil && (!p.Instant.At.Equal(q.Instant.At) || p.Tags.Build != q.Tags.Build ||
			p.Tags.Stage != q.Tags.Stage) {
			moves = append(moves, Move{p, q})
		}
	}
	return moves
}

// Gains counts, among moves, the photos that a session places only afterwards,
// those that go from one place to another, and those no session places any
// more.
func Gains(moves []Move) (gained, changed, lost int) {
	for _, m := range moves {
		before, after := m.Before.ToSort(), m.After.ToSort()
		switch {
		case before && !after:
			gained++
		case !before && after:
			lost++
		case m.Before.Tags.Build != m.After.Tags.Build || m.Before.Tags.Stage != m.After.Tags.Stage:
			changed++
		}
	}
	return gained, changed, lost
}
