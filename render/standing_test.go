// Tests of which photo stands for a step beside other builds.

package render

import (
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// ofStep has three builds with finished photos of their joins, two of each from other
// sides, and no tag tells from which. a1 is build a's first, a2 its latest.
func ofStep() *journal.State {
	s := manyBuilds(3)
	var photos []*journal.Photo
	for i, b := range s.Builds {
		var like *journal.Photo
		for _, p := range s.Photos {
			if p.Tags.Build == b.ID && p.Kind == "clean" {
				like = p
			}
		}
		for n, name := range []string{"1", "2"} {
			p := *like
			p.Hash = strings.Repeat(string(rune('a'+i))+name, 32)
			p.Tags.Role, p.Tags.View, p.Tags.Light = "finished", "", ""
			p.Burst, p.Series = "", ""
			p.Instant.At = like.Instant.At.Add(time.Duration(n) * time.Minute)
			photos = append(photos, &p)
		}
	}
	s.Photos = photos
	return s
}

// says are what was said of photos, by the first two digits of their hashes, in order.
func says(s *journal.State, said ...string) {
	s.Alikes = nil
	for i, one := range said {
		a, b := one[:2], one[2:4]
		s.Alikes = append(s.Alikes, journal.Alike{A: strings.Repeat(a, 32), B: strings.Repeat(b, 32),
			Not: strings.HasSuffix(one, "-"), Record: "d/" + string(rune('1'+i))})
	}
	slices.SortFunc(s.Alikes, func(a, b journal.Alike) int { return strings.Compare(a.A+a.B, b.A+b.B) })
}

func TestAlikePhotosStandInTheSheet(t *testing.T) {
	for name, one := range map[string]struct {
		said []string
		want string
	}{
		"nothing said":              {nil, "a2 b2 c2"},
		"a yes":                     {[]string{"a1b2"}, "a1 b2 c2"},
		"the newest yes":            {[]string{"a1b1", "a2b1"}, "a2 b1 c2"},
		"a chain":                   {[]string{"b1c1", "a1b1"}, "a1 b1 c1"},
		"a chain before others":     {[]string{"b1c1", "a2c2", "a1b1"}, "a1 b1 c1"},
		"a no":                      {[]string{"a2b2-"}, "a2 b1 c2"},
		"a no to all of the later":  {[]string{"a2b1-", "a2b2-"}, "a1 b2 c2"},
		"a no to all there is":      {[]string{"a1b1-", "a1b2-", "a2b1-", "a2b2-"}, "a2 b2 c2"},
		"a no beside a yes":         {[]string{"a1b1", "b1c2-"}, "a1 b1 c1"},
		"a no before a yes in line": {[]string{"b2c2", "a2b2-"}, "a1 b2 c2"},
	} {
		s := ofStep()
		says(s, one.said...)
		v := viewOf(s, time.Time{}, nil)
		var got, first []string
		for _, c := range v.sheetRow("clean", v.order, v.order).Cells {
			got = append(got, c.Photo[:2])
			b := v.builds[c.Build]
			first = append(first, v.cellData(b, "clean", c).Photos[0].Digits[:2])
		}
		if strings.Join(got, " ") != one.want || !slices.Equal(got, first) {
			t.Errorf("%s: %s, in the files %s, want %s", name, got, first, one.want)
		}
	}
}

// What was said makes the sheet, its files and the comparison stale, and no build's
// step that it does not touch.
func TestAYesMakesItsPagesStale(t *testing.T) {
	s := ofStep()
	said := *s
	says(&said, "a1b1")
	old, v := viewOf(s, time.Time{}, nil), viewOf(&said, time.Time{}, nil)
	a, b, c := v.order[0], v.order[1], v.order[2]
	for name, two := range map[string][2]digest{
		"sheet": {old.sheetDigest(), v.sheetDigest()},
		"step":  {old.stepDigest("clean"), v.stepDigest("clean")},
		"year":  {old.sheetYearDigest(old.order), v.sheetYearDigest(v.order)},
		"pair": {old.compareDigest(old.pairOf("clean", old.order[0], old.order[1])),
			v.compareDigest(v.pairOf("clean", a, b))},
	} {
		if two[0] == two[1] {
			t.Errorf("%s stays as it was", name)
		}
	}
	if old.sheetYearDigest(old.order[2:]) != v.sheetYearDigest([]*build{c}) || old.stepDigest("paint") != v.stepDigest("paint") {
		t.Error("what has no part in it is made again")
	}
}

// Photos that were called alike are those of the comparison of their builds, and of
// then and now on the page of the build, though another stage's marks lie further apart.
func TestAlikePhotosAreSideBySide(t *testing.T) {
	s := ofStep()
	last := s.Builds[2].ID
	for _, p := range slices.Clone(s.Photos) {
		q := *p
		q.Kind, q.Hash = "paint", strings.ToUpper(p.Hash)
		s.Photos = append(s.Photos, &q)
	}
	v := viewOf(s, time.Time{}, nil)
	if p, _ := v.changedMost(v.builds[last]); p.kind != "paint" || p.comparable() {
		t.Fatalf("without a word it is %s", p.kind)
	}
	says(s, "a1c1")
	v = viewOf(s, time.Time{}, nil)
	p, _ := v.changedMost(v.builds[last])
	if p.kind != "clean" || !p.alike || p.a.photo.Hash[:2] != "a1" || p.b.photo.Hash[:2] != "c1" {
		t.Errorf("%s, %s and %s", p.kind, p.a.photo.Hash[:2], p.b.photo.Hash[:2])
	}
	if page := v.compare(p, v.texts()); !strings.Contains(page.Chosen, "Called alike by hand") {
		t.Errorf("the page says %q", page.Chosen)
	}
}
