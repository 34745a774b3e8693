// What then and now reads when it is narrowed: all cells, with a photo for each view
// and light, in a file for each year.

package render

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"

	"rakelight/journal"
)

// undated is the year of builds that have no first day.
const undated = "none"

// sheetYears are the builds of the sheet by the year in which they began.
func (v *view) sheetYears() map[string][]*build {
	out := map[string][]*build{}
	for _, b := range v.sheetBuilds() {
		year := cmp.Or(yearOf(b.first), undated)
		out[year] = append(out[year], b)
	}
	return out
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }

// The names are those that sheet.js reads.
type (
	// columnData is a build in the file of its year.
	columnData struct {
		First string              `json:"first"` // its first day, by which columns stand
		Title string              `json:"title"`
		Year  string              `json:"year"`
		Href  string              `json:"href"`
		Shade string              `json:"shade"`
		Cells map[string]cellData `json:"cells"` // by kind of step
	}
	// cellData is a cell with all that may be asked of it.
	cellData struct {
		Photos []photoData         `json:"photos,omitempty"` // the best first, and the best of each view and light
		Pace   string              `json:"pace,omitempty"`
		N      string              `json:"n,omitempty"`
		Known  string              `json:"known,omitempty"`
		Mark   string              `json:"mark,omitempty"`  // style class of how it was known
		Marks  map[string]markData `json:"marks,omitempty"` // by criterion, "" = all
	}
	photoData struct {
		Digits string `json:"digits"`
		Width  int    `json:"width"`
		Height int    `json:"height"`
		Alt    string `json:"alt"`
		Href   string `json:"href"`
		View   string `json:"view,omitempty"`
		Light  string `json:"light,omitempty"`
		Role   string `json:"role,omitempty"` // where it shows no result
		Detail string `json:"detail,omitempty"`
	}
	markData struct {
		Mean string `json:"mean"`
		N    string `json:"n"`
		Href string `json:"href"`
	}
)

// sheetScripts are these files. They are scripts, because a page that was opened from
// disk may read nothing else.
func (v *view) sheetScripts() []making {
	var out []making
	years := v.sheetYears()
	for _, year := range sortedKeys(years) {
		builds := years[year]
		out = append(out, making{path: "data/sheet-" + fileName(year) + ".js",
			of:    func() digest { return v.sheetYearDigest(builds) },
			bytes: func(*texts) ([]byte, error) { return v.sheetScript(year, builds) }})
	}
	return out
}

func (v *view) sheetScript(year string, builds []*build) ([]byte, error) {
	var columns []columnData
	for _, b := range builds {
		one := columnData{First: b.first, Title: b.Title, Year: yearOf(b.first), Href: b.href, Shade: b.shade,
			Cells: map[string]cellData{}}
		for _, kind := range journal.Kinds {
			if c := v.cell(b, kind); c.Filled {
				one.Cells[kind] = v.cellData(b, kind, c)
			}
		}
		columns = append(columns, one)
	}
	data, err := json.MarshalIndent(columns, "", "") // it escapes what HTML would take for markup
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "rakelightSheet(%q,%s);\n", year, data), nil
}

func (v *view) cellData(b *build, kind string, c Cell) cellData {
	out := cellData{Pace: c.Pace, N: c.N, Known: c.Known.Word, Mark: c.Known.Mark}
	for _, p := range bestOfEach(b.byKind[kind], v.standing(b, kind)) {
		pic := v.picture("", p, asSmall)
		one := photoData{Digits: v.stem[p.Hash], Width: pic.Width, Height: pic.Height, Alt: pic.Alt, Href: pic.Home,
			View: p.Tags.View, Light: p.Tags.Light, Role: v.noResult(p)}
		if one.Role != "" {
			one.Detail = joinWords(", ", pic.Detail, pic.Day)
		}
		out.Photos = append(out.Photos, one)
	}
	marks := v.judged.stepMarks()[journal.Step{Build: b.ID, Kind: kind}]
	for _, criterion := range append([]int{0}, marks.Criteria...) {
		s := v.stepSkillOn(marks, criterion)
		if s.Mark == "" {
			continue
		}
		name := ""
		if criterion > 0 {
			name = fmt.Sprint(criterion)
		}
		if out.Marks == nil {
			out.Marks = map[string]markData{}
		}
		out.Marks[name] = markData{s.Mark, s.N, s.Href}
	}
	return out
}

// bestOfEach is the photo that stands for a step, nil = none, and, of each other view and
// light, the one that would if there were no others; better ones come first. Photos come in time
// order.
func bestOfEach(photos []*journal.Photo, first *journal.Photo) []*journal.Photo {
	place := func(p *journal.Photo) int {
		if p == first {
			return math.MaxInt
		}
		return rank(p)
	}
	sorted := slices.Clone(photos)
	slices.Reverse(sorted)
	slices.SortStableFunc(sorted, func(a, b *journal.Photo) int { return cmp.Compare(place(b), place(a)) })
	seen := map[[2]string]bool{}
	return slices.DeleteFunc(sorted, func(p *journal.Photo) bool {
		like := [2]string{p.Tags.View, p.Tags.Light}
		had := seen[like]
		seen[like] = true
		return had
	})
}

// sheetDigest is of then and now.
func (v *view) sheetDigest() digest {
	e := encoding{}
	e.any(v.numbersDigest())
	e.any(v.sheetFilters(false))
	e.any(v.alikeHint(""))
	for _, b := range v.order {
		e.any(len(b.photos) > 0)
		for _, kind := range journal.Kinds {
			if p := v.standing(b, kind); p != nil {
				e.any(v.digest().photo(p))
			}
		}
	}
	return e.sum()
}

// sheetYearDigest is of the file of a year.
func (v *view) sheetYearDigest(builds []*build) digest {
	e := encoding{}
	for _, b := range builds {
		e.any(v.digest().heads[b])
		for _, kind := range journal.Kinds {
			e.any(v.digest().works[b][kind])
			e.any(v.judged.stepMarks()[journal.Step{Build: b.ID, Kind: kind}])
			for _, p := range bestOfEach(b.byKind[kind], v.standing(b, kind)) {
				e.any(v.digest().photo(p))
			}
		}
	}
	return e.sum()
}
