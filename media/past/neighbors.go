// Pictures that lost their time, placed among the files that are numbered around them.

package past

import (
	"cmp"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// numberedName is a file name with a number in it, as cameras count their pictures:
// what stands before, the number.
var numberedName = regexp.MustCompile(`^(.*?[^0-9])([0-9]{3,6})(?:[^0-9].*)?$`)

// strip is the files that one camera, or one folder, numbered.
type strip struct {
	camera journal.Camera
	folder string // of pictures that name no camera
	prefix string
}

// numberOf is the strip and the number of a picture; ok is false where its name has
// none.
func numberOf(p *Picture) (in strip, n int, ok bool) {
	m := numberedName.FindStringSubmatch(strings.TrimSuffix(p.Name, filepath.Ext(p.Name)))
	if m == nil {
		return in, 0, false
	}
	in = strip{camera: p.Camera, prefix: strings.ToLower(m[1])}
	if p.Camera == (journal.Camera{}) {
		in.folder = p.Root + "\x00" + p.Folder
	}
	n, err := strconv.Atoi(m[2])
	return in, n, err == nil
}

// lostTime reports whether the picture's own instant says little: that of its file, or
// that of an editor's change.
func (p *Picture) lostTime() bool {
	return p.Placed == ByFileTime || p.Placed == ByNothing || p.Placed == AsTaken && p.Instant.Source == "DateTime"
}

// Numbers are near that differ by no more than this; the pictures of an evening follow
// each other.
const nearNumber = 12

// placeAmongNeighbors gives pictures that lost their time the place of the picture
// whose number is nearest, or the date in their name.
func (s *Survey) placeAmongNeighbors() {
	type numbered struct {
		n int
		p *Picture
	}
	strips := map[strip][]numbered{}
	for _, p := range s.Pictures {
		if in, n, ok := numberOf(p); ok && (p.Placed == AsTaken || p.Placed == ByClock) && !p.lostTime() {
			strips[in] = append(strips[in], numbered{n, p})
		}
	}
	for _, list := range strips {
		slices.SortFunc(list, func(a, b numbered) int { return cmp.Or(cmp.Compare(a.n, b.n), a.p.At.Compare(b.p.At)) })
	}
	for _, p := range s.Pictures {
		if !p.lostTime() {
			continue
		}
		if named, ok := s.named(p); ok && (p.Placed != AsTaken || named.Before(p.At)) {
			p.At, p.Placed = named, ByName
			continue
		}
		in, n, ok := numberOf(p)
		if !ok {
			continue
		}
		list := strips[in]
		i, _ := slices.BinarySearchFunc(list, n, func(a numbered, n int) int { return cmp.Compare(a.n, n) })
		var best *numbered
		for _, k := range []int{i - 1, i} {
			if k < 0 || k >= len(list) {
				continue
			}
			if away := abs(list[k].n - n); away <= nearNumber && (best == nil || away < abs(best.n-n)) {
				best = &list[k]
			}
		}
		if best != nil {
			p.At, p.Placed = best.p.At, ByNeighbors
		}
	}
}

func abs(n int) int { return max(n, -n) }

// named is the moment that a picture's name states; ok is false where that has no hour.
func (s *Survey) named(p *Picture) (at time.Time, ok bool) {
	in := media.Choose(media.Claims{FileName: p.Name, Read: p.claims.Read}, journal.Camera{}, nil, s.zone)
	return in.At, in.Source == journal.FromName && placed(in) == AsTaken
}
