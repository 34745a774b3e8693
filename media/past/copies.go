// Messengers' copies among old pictures: the same picture with fewer pixels, and all
// that a camera writes taken out, as the inbox tells them.

package past

import (
	"strconv"

	"rakelight/journal"
	"rakelight/media"
)

// bare reports whether the picture lost all that a camera writes.
func (p *Picture) bare() bool {
	return p.Camera == (journal.Camera{}) && len(p.claims.List) == 0 && p.claims.GPS.IsZero()
}

// Fingerprints of copies differ in at most media.CopyFingerprint comparisons: of one
// band more than that, at least one is the same in both. So only pictures that share a
// band are compared, and not each with each.
const bands = media.CopyFingerprint + 1

// band is one part of a fingerprint.
type band struct {
	nth  int
	bits uint64
}

// bandsOf are the parts of a fingerprint; none where it is none.
func bandsOf(fingerprint string) []band {
	n, err := strconv.ParseUint(fingerprint, 16, 64)
	if err != nil || len(fingerprint) != 16 {
		return nil
	}
	list := make([]band, bands)
	for i := range list {
		from, to := i*64/bands, (i+1)*64/bands
		list[i] = band{i, n >> from & (1<<(to-from) - 1)}
	}
	return list
}

// findCopies finds of which larger picture each bare one is a copy.
func (s *Survey) findCopies() {
	in := map[band][]int{}                // places in Pictures
	tried := make([]int, len(s.Pictures)) // against which it was held last, from 1
	for i, p := range s.Pictures {
		for _, b := range bandsOf(p.Fingerprint) {
			in[b] = append(in[b], i)
		}
	}
	for i, p := range s.Pictures {
		if !p.bare() {
			continue
		}
		var best *Picture
		tried[i] = i + 1
		for _, b := range bandsOf(p.Fingerprint) {
			for _, k := range in[b] {
				if tried[k] == i+1 {
					continue
				}
				tried[k] = i + 1
				if of := s.Pictures[k]; p.isCopyOf(of) && (best == nil || of.betterOriginal(best, p)) {
					best = of
				}
			}
		}
		if best != nil {
			p.CopyOf = best.Hash
		}
	}
}

// IsCopy reports whether a picture goes along with the one it is a copy of: that one is
// there, this one is not kept, and nobody said that it is wanted all the same.
func (s *Survey) IsCopy(p *Picture) bool {
	return s.byHash[p.CopyOf] != nil && !p.Kept && (p.Said == nil || !p.Said.Wanted)
}

// isCopyOf reports whether the picture is the other with fewer pixels. One of a few
// pixels fewer is a crop; and a copy is of the same shape, up to rounding.
func (p *Picture) isCopyOf(of *Picture) bool {
	shape := of.Width*p.Height - of.Height*p.Width
	return of.Width >= p.Width*11/10 && max(shape, -shape) <= max(of.Width, of.Height)*2 && of.look.Copies(p.look)
}

// betterOriginal reports whether a picture is rather the original of a copy than
// another: one that tells its camera, of the day in the copy's name, larger.
func (p *Picture) betterOriginal(than, copied *Picture) bool {
	if p.bare() != than.bare() {
		return than.bare()
	}
	day := func(one *Picture) bool {
		return copied.Instant.Source == journal.FromName && sameDay(one.Instant.At, copied.Instant.At)
	}
	switch {
	case day(p) != day(than):
		return day(p)
	case p.Width != than.Width:
		return p.Width > than.Width
	}
	return p.Hash < than.Hash
}
