// Likely builds: evenings that belong together by long gaps around them and by the
// folders their pictures lie in. Each is a guess, with its why.

package past

import (
	"fmt"
	"slices"
	"time"
)

// Likely is a likely build.
type Likely struct {
	ID          string     // "G1" is the first by time
	Pictures    []*Picture // by At
	Evenings    []*Evening // by time, each with the pictures of this likely build alone
	First, Last time.Time
	Why         Why
}

// Why is what a likely build rests on.
type Why struct {
	Folder   string // the words its folders share, as the first of them writes them; "" = it goes by gaps alone
	InFolder int    // pictures that lie in such folders
	ByTime   int    // pictures that are here because they were taken meanwhile
	Before   int    // days without a picture before it; 0 = it is the first, or others go on meanwhile
	After    int    // and after it
	Doubtful int    // pictures whose time is a guess
}

// LikelyGap is how long nothing was taken between two likely builds where no folder
// tells them apart.
const LikelyGap = 30 * 24 * time.Hour

// Likely are the likely builds of the survey, by time.
func (s *Survey) Likely() []*Likely {
	var all []*Likely
	var last time.Time
	for _, e := range s.Evenings() {
		if len(all) == 0 || e.First.Sub(last) > LikelyGap {
			all = append(all, &Likely{})
		}
		l := all[len(all)-1]
		l.Pictures = append(l.Pictures, e.Pictures...)
		if e.Last.After(last) {
			last = e.Last
		}
	}
	for i, l := range all {
		l.ID = fmt.Sprintf("G%d", i+1)
		l.settle()
	}
	return all
}

// settle finds what follows from the pictures.
func (l *Likely) settle() {
	slices.SortStableFunc(l.Pictures, func(a, b *Picture) int { return a.At.Compare(b.At) })
	l.Evenings = eveningsOf(l.Pictures)
	l.First, l.Last = l.Evenings[0].First, l.Evenings[len(l.Evenings)-1].Last
	for _, e := range l.Evenings {
		l.Why.Doubtful += e.Doubtful
	}
}
