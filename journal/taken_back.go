// This file knows what went with records that were taken back: what hung on them
// has no effect either, and nothing is to be told of it.

package journal

import (
	"cmp"
	"fmt"
	"slices"
)

// absentError is a reference to something that is not here. If it was taken
// back, what hung on it went with it, and there is nothing to tell.
type absentError struct{ what, id string }

func (e *absentError) Error() string {
	switch e.what {
	case "trial":
		return "there is no trial " + e.id
	case "pack":
		return fmt.Sprintf("it answers a pack %q that is not here (perhaps another device's records are still to come)",
			e.id)
	case "photo":
		return "it names a photo that is not here (perhaps another device's records are still to come)"
	}
	return fmt.Sprintf("it names the %s %q, which is not here (perhaps another device's records are still to come)",
		e.what, e.id)
}

// tookBack remembers that parts counted in a session went with it, if it was
// taken back.
func (f *folding) tookBack(session, build string, parts []PartRef) {
	if !f.isTakenBack(session) {
		return
	}
	for _, p := range parts {
		f.lostParts[build+" "+p.Key()] = true
	}
}

// wasTakenBack reports whether what is to be opened again is missing because a
// count of it was taken back.
func (f *folding) wasTakenBack(s *Session, build string, parts []PartRef) bool {
	if s != nil && f.lostCounts[s.ID] {
		return true
	}
	return slices.ContainsFunc(parts, func(p PartRef) bool { return f.lostParts[build+" "+p.Key()] })
}

// noteTakenBack gathers what was taken back and others may hang on.
func (f *folding) noteTakenBack(records []Record, gone gone) {
	f.gone = gone
	standing := map[string]bool{}
	for _, r := range records {
		switch {
		case is[PhotoBody](r):
			if b, err := f.bodies.read(r); err == nil {
				if !gone.has(r) {
					standing[b.Hash] = true
				} else {
					f.goneHashes[b.Hash] = true
				}
			}
		case !gone.has(r):
		case is[BesideBody](r):
			if b, err := read[BesideBody](r); err == nil {
				f.goneHashes[b.Hash] = true
			}
		case is[PackBody](r):
			if b, err := read[PackBody](r); err == nil {
				f.gonePacks[b.Pack] = true
			}
		case is[DoneBody](r):
			if b, err := read[DoneBody](r); err == nil {
				f.lostCounts[b.Session] = true
				for _, p := range b.Parts {
					f.lostParts[b.Build+" "+p.Key()] = true
				}
			}
		case is[WorkBody](r):
			if b, err := read[WorkBody](r); err == nil {
				for _, p := range b.Parts {
					f.lostParts[b.Build+" "+p.Key()] = true
				}
			}
		}
	}
	for hash := range f.goneHashes {
		if standing[hash] {
			delete(f.goneHashes, hash)
		} else {
			f.gone[cardSession(hash)] = true
		}
	}
}

// isTakenBack reports whether the id names something that was taken back.
func (f *folding) isTakenBack(id string) bool {
	return f.gone[cmp.Or(f.alias[id], id)] || f.goneHashes[id] || f.gonePacks[id]
}
