// What a person means by a word: a likely build, an evening, some days, a picture.

package past

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// NotFound is a word that means nothing here, or too much.
type NotFound struct {
	Name  string
	Count int // pictures it may mean; 0 = none
}

func (e *NotFound) Error() string {
	if e.Count > 0 {
		return fmt.Sprintf("%s names %d old pictures", e.Name, e.Count)
	}
	return fmt.Sprintf("%q is no likely build, evening or picture of those that were looked at", e.Name)
}

var (
	likelyName = regexp.MustCompile(`^[Gg][1-9][0-9]*$`)
	dayName    = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}(-\d+)?$`)
	hashName   = regexp.MustCompile(`^[0-9a-f]{4,64}$`)
)

// Find is the pictures a person means, in the order of the survey: those of a likely
// build ("G3"), of the one evening of an id ("2021-03-14", "2021-03-14-2"), of the
// evenings of a stretch of days ("2021-03-14..2021-04-02", both included), or one
// picture by the first digits of its hash or by its file name. The error is a *NotFound.
func (s *Survey) Find(name string) ([]*Picture, error) {
	if likelyName.MatchString(name) {
		for _, l := range s.Likely() {
			if strings.EqualFold(l.ID, name) {
				return l.Pictures, nil
			}
		}
		return nil, &NotFound{Name: name}
	}
	first, last, stretch := strings.Cut(name, "..")
	if dayName.MatchString(first) && (!stretch || dayName.MatchString(last)) {
		return s.ofEvenings(name, first, last, stretch)
	}
	of := func(p *Picture) bool { return p.Name == name }
	if hashName.MatchString(name) {
		of = func(p *Picture) bool { return strings.HasPrefix(p.Hash, name) || p.Name == name }
	}
	var found []*Picture
	for _, p := range s.Pictures {
		if of(p) {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return nil, &NotFound{name, len(found)}
	}
	return found, nil
}

// ofEvenings is the pictures of the evenings from one to another, where a bare day is
// all of its evenings; without a stretch those of the evening first alone, as it is listed.
func (s *Survey) ofEvenings(name, first, last string, stretch bool) ([]*Picture, error) {
	var found []*Picture
	for _, e := range s.Evenings() {
		from, to := e.ID, e.ID
		if len(first) == len("2006-01-02") {
			from = e.Day
		}
		if len(last) == len("2006-01-02") {
			to = e.Day
		}
		if stretch && from >= first && to <= last || e.ID == name {
			found = append(found, e.Pictures...)
		}
	}
	if len(found) == 0 {
		return nil, &NotFound{Name: name}
	}
	slices.SortStableFunc(found, func(a, b *Picture) int { return a.At.Compare(b.At) })
	return found, nil
}
