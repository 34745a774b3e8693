// Pictures of bench cards: they say something and show no work, so they stand
// apart from the prints.

package render

import (
	"slices"

	"rakelight/journal"
)

// ofWork tells a photo of the work from one of bench cards alone.
func ofWork(p *journal.Photo) bool { return !p.OfCards() }

// cardsOf are those of some photos that show bench cards alone, as small
// prints. This is their own place.
func (v *view) cardsOf(root string, photos []*journal.Photo) []Picture {
	photos = keepPhotos(photos, func(p *journal.Photo) bool { return p.OfCards() })
	out := v.smalls(root, photos)
	for i, p := range photos {
		out[i].ID = v.anchor(p)
		out[i].Caption = joinWords(" ", out[i].Day, out[i].Clock)
	}
	return out
}

// pauseCard is the picture of the card that put a build aside: what is written
// on it tells why. Without such a card it shows nothing.
func (v *view) pauseCard(root string, p *journal.Pause) Picture {
	i := slices.IndexFunc(v.Photos, func(one *journal.Photo) bool { return one.Hash == p.Photo })
	if i < 0 {
		return Picture{}
	}
	pic := v.picture(root, v.Photos[i], asPrint)
	pic.ID = ""
	return pic
}
