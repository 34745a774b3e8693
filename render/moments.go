// Which pictures of a day or a week are shown, and how: the best moment large,
// before and after as a pair, the others in the order of the work.

package render

import (
	"slices"

	"rakelight/journal"
)

// Plate is pictures set into the text: one, a pair, or a strip of three or more.
type Plate struct {
	Kind  string // "single", "pair", "strip"
	Pics  []Picture
	Words string // what the person wrote of them, "" = nothing
}

// moment says how far a photo shows what came of the work: done work before what
// the person wrote words to, that before work under way, that before what was
// still to do.
func moment(p *journal.Photo) int {
	switch {
	case isResult(p):
		return 3
	case p.Caption != "":
		return 2
	case p.Tags.Role != "before" && p.Tags.Role != "problem":
		return 1
	}
	return 0
}

// bestMoment is the photo that opens a day or a week: of those that show most, the
// latest. One with a bench card in it comes after all that have none, and one that the
// words show themselves gives way to another that shows as much, and so does a result
// seen from one side to one seen from the corner. Photos come in time order.
func bestMoment(photos []*journal.Photo, inWords map[string]bool) *journal.Photo {
	var found *journal.Photo
	score := -1
	for _, p := range photos {
		if p.Clip() {
			continue
		}
		is := 4 * moment(p)
		if len(p.Cards) == 0 {
			is += 16
		}
		if !inWords[p.Hash] {
			is += 2
		}
		if !isResult(p) || p.Tags.View == "" || p.Tags.View == "three-quarter" {
			is++
		}
		if is >= score {
			found, score = p, is
		}
	}
	return found
}

// beforeAfters are the pairs among some photos in time order: an after of a stage
// with the latest before of the same work that is alike in view and light. A photo is
// in one pair.
func beforeAfters(photos []*journal.Photo) (pairs [][2]*journal.Photo) {
	used := map[*journal.Photo]bool{}
	for i, after := range photos {
		if after.Tags.Role != "after" || after.Clip() {
			continue
		}
		for _, before := range slices.Backward(photos[:i]) {
			if before.Tags.Role == "before" && !before.Clip() && !used[before] && sameWork(before, after) {
				used[before] = true
				pairs = append(pairs, [2]*journal.Photo{before, after})
				break
			}
		}
	}
	return pairs
}

// sameWork reports whether two photos show one stage of one build from one side
// under one light and, where both name parts, a part that both show.
func sameWork(a, b *journal.Photo) bool {
	if a.Tags.Build != b.Tags.Build || a.Tags.Kit != b.Tags.Kit || a.Tags.Stage != b.Tags.Stage ||
		a.Tags.View != b.Tags.View || a.Tags.Light != b.Tags.Light {
		return false
	}
	return len(a.Tags.Parts) == 0 || len(b.Tags.Parts) == 0 ||
		slices.ContainsFunc(a.Tags.Parts, func(p journal.PartRef) bool { return has(b.Tags.Parts, p) })
}

// fewOfDay is how many pictures of a day stand on the page of its week, beside
// pairs and those in its words.
const fewOfDay = 3

// telling are those photos of some that tell most, so many at most, in time order.
func telling(photos []*journal.Photo, most int) []*journal.Photo {
	if len(photos) <= most {
		return photos
	}
	ranked := slices.Clone(photos)
	slices.SortStableFunc(ranked, func(a, b *journal.Photo) int { return moment(b) - moment(a) })
	kept := map[*journal.Photo]bool{}
	for _, p := range ranked[:most] {
		kept[p] = true
	}
	return keepPhotos(photos, func(p *journal.Photo) bool { return kept[p] })
}

// plate is photos of a day as one plate: a single detail, or a strip. The day stands
// beside them already.
func (v *view) plate(root string, photos []*journal.Photo) Plate {
	p, sizes := Plate{Kind: "strip"}, asThird
	if len(photos) == 1 {
		p.Kind, sizes = "single", asDetail
	}
	for _, one := range photos {
		pic := v.shownAs(root, one, sizes)
		pic.Day = ""
		p.Pics = append(p.Pics, pic)
	}
	return p
}

// unlike are photos without those that show one thing again: alike in stage, kit, role,
// view, light and parts, and without words of their own; clips are like nothing else. The latest of these stays.
// Where nobody said the view or the light, nobody can say that two are alike.
func unlike(photos []*journal.Photo, shown ...*journal.Photo) []*journal.Photo {
	again := func(a, b *journal.Photo) bool {
		return sameWork(a, b) && a.Tags.View != "" && a.Tags.Light != "" && a.Tags.Role == b.Tags.Role &&
			a.Caption == "" && !a.Clip() && !b.Clip() && len(a.Tags.Parts) == len(b.Tags.Parts)
	}
	return keepPhotos(photos, func(p *journal.Photo) bool {
		i := slices.Index(photos, p)
		like := func(other *journal.Photo) bool { return again(p, other) }
		return !slices.ContainsFunc(photos[i+1:], like) && !slices.ContainsFunc(shown, like)
	})
}

// pairPlate is before and after beside each other.
func (v *view) pairPlate(root string, pair [2]*journal.Photo) Plate {
	return Plate{Kind: "pair", Pics: []Picture{v.shownAs(root, pair[0], asHalf), v.shownAs(root, pair[1], asHalf)}}
}

// shownAs is a picture as the diary shows it: without a place of its own, which is on
// its build's page.
func (v *view) shownAs(root string, p *journal.Photo, sizes string) Picture {
	pic := v.picture(root, p, sizes)
	pic.ID = ""
	return pic
}

// photoRun is photos of one build and stage that follow each other.
type photoRun struct {
	build, stage string
	photos       []*journal.Photo
}

// runsOf are photos in the order of the work.
func runsOf(photos []*journal.Photo) []photoRun {
	var out []photoRun
	for _, p := range photos {
		if n := len(out); n > 0 && out[n-1].build == p.Tags.Build && out[n-1].stage == p.Tags.Stage {
			out[n-1].photos = append(out[n-1].photos, p)
			continue
		}
		out = append(out, photoRun{p.Tags.Build, p.Tags.Stage, []*journal.Photo{p}})
	}
	return out
}
