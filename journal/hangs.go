// This file tells what hangs on a record: it goes along when that is taken back,
// and comes back with it.

package journal

import "bytes"

// Hanging is how many records hang on another one.
type Hanging struct {
	Ends, Breaks, Counts, Opened, Corrections, Notes int // of a session
	Others                                           int // what was said of a photo, a pack or a trial, or in the place of another
}

// HangsOn counts the records that hang on one and stand. On a photo's record
// hangs what was said of the photo, and of the session that a card in it begins.
func (l Look) HangsOn(r Record) Hanging {
	names := map[string]bool{r.ID(): true}
	switch r.Kind {
	case "retract":
		return Hanging{} // what comes back has it still
	case "photo":
		if b, err := l.bodies.read(r); err == nil {
			names[b.Hash], names[cardSession(b.Hash)] = true, true
		}
	case "pack":
		if b, err := read[PackBody](r); err == nil {
			names[b.Pack] = true
		}
	}
	records := l.records()
	away := retracted(records)
	var n Hanging
	for _, one := range records {
		if one.Kind == "photo" || one.Kind == "retract" || !mentions(one, names) || away.has(one) {
			continue
		}
		b, err := read[struct{ Session, Photo, Trial, Pack, Left, Right, A, B, Hold, Instead string }](one)
		if err != nil {
			continue
		}
		if ofBook(one) || sayShop[one.Kind] != nil || is[PrivateBody](one) {
			b.Photo = "" // it is shown beside the entry, which stands without it; private is what may come yet
		}
		for _, name := range []string{b.Session, b.Photo, b.Trial, b.Pack, b.Left, b.Right, b.A, b.B, b.Hold,
			b.Instead} {
			if name != "" && names[name] && one.ID() != r.ID() {
				n.add(one.Kind)
				break
			}
		}
	}
	return n
}

// mentions reports whether any of the names stands in a record, which costs a
// hundredth of reading it. Names of ours hold nothing that JSON writes otherwise,
// but for the slash that some write with a backslash.
func mentions(r Record, names map[string]bool) bool {
	if bytes.IndexByte(r.Body, '\\') >= 0 {
		return true // perhaps
	}
	for name := range names {
		if bytes.Contains(r.Body, []byte(name)) {
			return true
		}
	}
	return false
}

func (n *Hanging) add(kind string) {
	switch kind {
	case "end":
		n.Ends++
	case "break":
		n.Breaks++
	case "done":
		n.Counts++
	case "reopen":
		n.Opened++
	case "correct":
		n.Corrections++
	case "note":
		n.Notes++
	default:
		n.Others++
	}
}
