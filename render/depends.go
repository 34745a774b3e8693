// What each page is made from, known before it is made. A page whose digest is
// the one it was made from last time is not made again.
//
// What holds for every digest here:
//   - It covers all that the page shows, or more: one that covers too little
//     leaves an old page standing (TestWritingAgainEqualsWritingAnew looks for
//     such), one that covers too much costs time.
//   - What is worked out from all sessions, marks and verdicts rests on all that
//     was said (said), not on a list of fields that somebody would forget to add
//     to. What shows a photo rests on what any page shows of it (seen).
//   - It does not cover the program: the manifest does, as a whole.

package render

import (
	"slices"
	"sync"

	"rakelight/journal"
)

// digests are those of the parts of a view, each worked out once.
type digests struct {
	common func() digest                // what stands on every page
	said   func() digest                // all that was said and reckoned with, photos and prose left out
	judged func() digest                // photos that were marked or judged
	photo  func(*journal.Photo) digest  // what any page shows of a photo
	heads  map[*build]digest            // what pages say of a build that is not their subject
	works  map[*build]map[string]digest // sessions of a build, by kind of step
}

func (v *view) digest() *digests {
	v.digestOnce.Do(func() {
		d := &digests{photo: v.photoDigests(), heads: map[*build]digest{}, works: map[*build]map[string]digest{}}
		for _, b := range v.order {
			d.heads[b] = b.headDigest()
			d.works[b] = map[string]digest{}
			for kind, ws := range b.workByKind {
				d.works[b][kind] = digestOf(ws)
			}
		}
		d.common = sync.OnceValue(v.commonDigest)
		d.said = sync.OnceValue(v.saidDigest)
		d.judged = sync.OnceValue(v.judgedDigest)
		v.digested = d
	})
	return v.digested
}

// photoDigests are what is known of the digests of photos. A photo that is the same
// value as in a state before is as it was, since nothing changes a state.
func (v *view) photoDigests() func(*journal.Photo) digest {
	known := v.knownPhotos
	if known == nil || len(known) > 2*len(v.Photos)+100 { // most are of states long gone
		clear(known)
	}
	if known == nil {
		known = make(map[*journal.Photo]photoDigest, len(v.Photos))
	}
	for _, p := range v.Photos {
		stem, where, unshown := v.stem[p.Hash], v.where(p), v.unshown[p.Hash]
		place, tone, moving := v.folded[p], v.tones[p.Hash], v.movingOf(p)
		had := known[p]
		if had.stem != stem || had.where != where || had.place != place || had.tone != tone || had.unshown != unshown ||
			had.moving != moving {
			known[p] = photoDigest{stem, where, place, tone, unshown, moving,
				digestOf(p, stem, where, place, tone, unshown, moving)}
		}
	}
	return func(p *journal.Photo) digest { return known[p].is }
}

// photoDigest is the digest of a photo, with what of it is not the photo's own.
type photoDigest struct {
	stem, where, place, tone string
	unshown                  noShow
	moving                   moving
	is                       digest
}

// sameAlways is of a page that shows nothing but what stands on all.
func sameAlways() digest { return digest{} }

func (v *view) commonDigest() digest {
	var rail []Tag
	for _, b := range v.rail() {
		rail = append(rail, b.tag(""))
	}
	f := v.frame("", "", "")
	return digestOf(v.edition, v.Language(), v.Config, v.zone(), v.name(), len(v.order), rail, f.Links, f.Feed,
		f.BySeries)
}

// headDigest leaves out what stands on the build's own page and on pages that are
// made each time: the person's prose, and the last day, which moves with each
// evening.
func (b *build) headDigest() digest {
	head := *b.Build
	head.Body, head.Checklist = "", nil
	return digestOf(head, b.href, b.first, b.shade, b.shape, b.untold, b.seen.String(), b.gone != nil)
}

// saidDigest is of the whole state but photos and what is about single files, the
// diary, and prose of builds; the builds' heads and their kinds of prints stand
// for these.
func (v *view) saidDigest() digest {
	s := *v.State
	s.Photos, s.Diary, s.Builds = nil, nil, nil
	s.Cards, s.Asides, s.Repairs, s.Problems, s.Unknown = nil, nil, nil, nil, nil
	s.Points, s.Alikes, s.Sheets = nil, nil, nil
	var e encoding
	e.any(s)
	for _, b := range v.order {
		e.any(v.digest().heads[b])
		for _, kind := range journal.Kinds {
			e.any(len(b.byKind[kind]) > 0)
		}
	}
	return e.sum()
}

func (v *view) judgedDigest() digest {
	hashes := map[string]bool{}
	for _, m := range v.Marks {
		hashes[m.Photo] = true
	}
	for _, one := range v.Verdicts {
		hashes[one.Left], hashes[one.Right] = true, true
	}
	var e encoding
	for _, p := range v.Photos {
		if hashes[p.Hash] {
			e.any(v.digest().photo(p))
		}
	}
	return e.sum()
}

// numbersDigest is of what the numbers of all builds rest on.
func (v *view) numbersDigest() digest { return digestOf(v.digest().said(), v.digest().judged()) }

// photosDigest is of photos with those of the same moment, which are shown under
// them.
func (v *view) photosDigest(photos []*journal.Photo) digest {
	var e encoding
	for _, p := range photos {
		e.any(v.digest().photo(p))
		for _, other := range v.bursts[p.Hash] {
			e.any(v.digest().photo(other))
		}
	}
	return e.sum()
}

// buildDigest is of a build's own page.
func (v *view) buildDigest(b *build) digest {
	e := encoding{}
	e.any(v.digest().heads[b])
	e.any(*b.Build)
	e.any(b.last)
	e.any(b.glimpse)
	e.any([]string{b.from.Said, b.to.Said})
	e.any(v.photosDigest(b.photos))
	e.any(v.bookDigest(b))
	e.any(v.flickLink(b))
	e.any(v.seriesSum(b.series))
	e.any(b.sessions)
	e.any(b.work)
	ids := map[string]bool{}
	for _, s := range b.sessions {
		ids[s.ID] = true
	}
	for _, n := range v.State.Notes {
		if n.Build == b.ID || ids[n.Session] {
			e.any(n)
		}
	}
	for _, p := range v.Pauses {
		if p.Build == b.ID {
			e.any(p)
			e.any(v.digest().photo(v.byHash[p.Photo]))
		}
	}
	for _, d := range v.Diary {
		if d.Build == b.ID {
			e.any(d)
		}
	}
	for _, st := range b.Stages {
		e.any(v.comparisons(b, st))
	}
	if b.Finished != "" {
		e.any(v.thenNowDigest(b))
	}
	if b.ReadyBy != "" && b.Finished == "" { // the chance rests on the pace and the weeks of all builds
		e.any(v.numbersDigest())
		e.any(v.today)
	}
	return e.sum()
}

// compareDigest is of the page of two photos.
func (v *view) compareDigest(p pair) digest {
	e := encoding{}
	e.any([]bool{p.within, p.byHand, p.alike, p.chosen})
	e.any([]string{p.kind, p.stage, p.href})
	for _, s := range []side{p.a, p.b} {
		e.any(v.digest().heads[s.b])
		e.any(v.digest().photo(s.photo))
		e.any(v.digest().works[s.b][p.kind])
		if d := v.diaryDay(s.b.ID, s.photo.Instant); d != nil {
			e.any(*d)
		}
	}
	if l, why := v.layOf(p); l != nil {
		e.any(l.done)
		e.any(l.stem)
		e.any(l.files())
		e.any(v.unlaid[l.stem[0]])
		e.any(v.scaleDoubts(p.a.photo, p.b.photo))
	} else if why != "" {
		e.any(why)
		e.any(v.scaleDoubts(p.a.photo, p.b.photo))
	}
	return e.sum()
}

// homeDigest is of the first page.
func (v *view) homeDigest() digest {
	var e encoding
	e.any(v.numbersDigest())
	e.any([]int{len(v.asked), len(v.Photos), len(v.Diary)})
	if w := v.newestWeek(); w != nil {
		e.any(v.weekDigest(w))
	}
	e.any(v.photosDigest(v.latestPhotos()))
	e.any(v.bandDigest(v.order))
	for _, b := range v.resting() {
		e.any([]string{b.ID, b.last})
	}
	for _, p := range v.Pauses {
		e.any(v.digest().photo(v.byHash[p.Photo]))
	}
	return e.sum()
}

// yearsDigest is of builds on the time axis, and in the list under it.
func (v *view) yearsDigest(builds []*build) digest {
	var e encoding
	e.any(v.digest().said())
	for _, b := range builds {
		e.any([]string{b.ID, b.last, v.buildSpan(b)})
		e.any(b.glimpse)
		if p := v.portrait(b.prints); p != nil {
			e.any(v.digest().photo(p))
		}
	}
	if slices.ContainsFunc(v.Pauses, func(p journal.Pause) bool { return p.Until.IsZero() }) {
		e.any(v.today)
	}
	return e.sum()
}

// movedDigest is of a page that leads on to two photos.
func (v *view) movedDigest(kind string, a, b *build) digest {
	p := v.pairOf(kind, a, b)
	e := encoding{}
	e.text(kind)
	for _, s := range []side{p.a, p.b} {
		e.any(v.digest().heads[s.b])
		e.any(v.digest().photo(s.photo))
	}
	return e.sum()
}

// stepDigest is of the page of a kind of step.
func (v *view) stepDigest(kind string) digest {
	e := encoding{}
	e.any(v.numbersDigest())
	e.any(v.alikeHint(kind))
	for _, b := range v.order {
		if p := v.standing(b, kind); p != nil {
			e.any(v.digest().photo(p))
		}
	}
	return e.sum()
}

// trialsDigest is of the page of trials.
func (v *view) trialsDigest() digest {
	e := encoding{}
	e.any(v.numbersDigest())
	for _, one := range v.Trials {
		for _, o := range one.Observations {
			e.any(v.digest().photo(v.byHash[o.Photo]))
		}
	}
	return e.sum()
}

// answersDigest is of what the links and pictures of a page's texts lead to.
func (v *view) answersDigest(asked []string, t *texts) digest {
	var e encoding
	for _, dest := range slices.Sorted(slices.Values(asked)) {
		e.text(dest)
		dest, b := t.askedOf(dest)
		to, ok := t.linkTarget(dest, top, b)
		e.text(to)
		e.any(ok)
		if p := t.photo(dest); p != nil {
			e.any(v.digest().photo(p))
		}
	}
	return e.sum()
}
