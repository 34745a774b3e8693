// What is said of pictures of the years before, whether they are kept or not.

package entry

import (
	"regexp"

	"rakelight/journal"
)

// Past says of many pictures at once where they belong, by the hashes of their bytes:
// of those that are kept as of those that lie elsewhere and may be brought in. The
// empty ones of its fields stay as they are.
type Past struct {
	Photos            []string // SHA-256 of their bytes, 64 hex digits
	Build, Stage      string
	Kit               int
	Role, View, Light string
	Parts             string
	Clear             []string // names of tags to unset
	Out               *bool    // true: not of the bench; false: it is, and is brought in even if it is a copy
	First, Last       string   // YYYY-MM-DD, when they were taken; "" = as the files say
	Said              string   // of more than a day, in the person's words: "spring 1998"
	Made              string   // SHA-256 of the build.md that was written for Build just now, "" = it was there
}

// mostPast is how many pictures one record names: a line stays below 64 KB.
const mostPast = 500

var wholeHash = regexp.MustCompile(`^[0-9a-f]{64}$`)

// Plan looks that every word is one the journal knows. A stage is of the build that is
// named, else of the one that was said of each picture before.
func (r Past) Plan(l journal.Look) (Plan, error) {
	if err := r.check(); err != nil {
		return Plan{}, err
	}
	body := journal.PastBody{Clear: r.Clear, Out: r.Out, Made: r.Made}
	if err := r.date(l, &body); err != nil {
		return Plan{}, err
	}
	kept := l.PhotosByHash()
	var plan Plan
	builds, groups := r.byBuild(l, kept)
	for _, build := range builds {
		var err error
		if body.Set, err = r.set(l, build); err != nil {
			return Plan{}, err
		}
		for some := groups[build]; len(some) > 0; {
			n := min(mostPast, len(some))
			body.Photos, some = some[:n], some[n:]
			plan.Add = append(plan.Add, body)
		}
	}
	if out := r.outOf(kept); out != nil {
		plan.Remarks = append(plan.Remarks, *out)
	}
	if r.First != "" { // a moved photo of a card may move a session
		return plan, whole(l, plan, r.First)
	}
	return plan, nil
}

// check looks at the words alone.
func (r Past) check() error {
	for _, one := range r.Photos {
		if !wholeHash.MatchString(one) {
			return &Refusal{Reason: NoHash, Name: one}
		}
	}
	for _, name := range r.Clear {
		if err := oneOf("clear", name, tagNames); err != nil {
			return err
		}
	}
	if len(r.Photos) == 0 || r.Build+r.Stage+r.Role+r.View+r.Light+r.Parts+r.First == "" && r.Kit == 0 &&
		len(r.Clear) == 0 && r.Out == nil {
		return &Refusal{Reason: NothingToSet}
	}
	tag := Tag{Role: r.Role, View: r.View, Light: r.Light}
	return tag.known()
}

// date is when the pictures were taken, if it is said.
func (r Past) date(l journal.Look, body *journal.PastBody) error {
	if r.First == "" {
		return nil
	}
	dated, err := Dated{First: r.First, Last: r.Last, Said: r.Said}.body(l)
	body.First, body.Last, body.Said = dated.First, dated.Last, dated.Said
	return err
}

// byBuild are the pictures by the build their stage and parts are of, and these builds
// in the order in which they are met.
func (r Past) byBuild(l journal.Look, kept map[string]*journal.Photo) (builds []string, groups map[string][]string) {
	groups = map[string][]string{}
	for _, hash := range r.Photos {
		build := r.Build
		switch {
		case build != "" || r.Stage == "" && r.Parts == "" && r.Kit == 0:
		case kept[hash] != nil:
			build = kept[hash].Tags.Build
		default:
			if said := l.PastOf(hash); said != nil {
				build = said.Tags.Build
			}
		}
		if groups[build] == nil {
			builds = append(builds, build)
		}
		groups[build] = append(groups[build], hash)
	}
	return builds, groups
}

// set is what pictures of a build are tagged.
func (r Past) set(l journal.Look, build string) (journal.Tags, error) {
	tag := Tag{Build: r.Build, Stage: r.Stage, Kit: r.Kit, Role: r.Role, View: r.View, Light: r.Light, Parts: r.Parts}
	return tag.set(l, &journal.Photo{Tags: journal.Tags{Build: build}})
}

// outOf remarks on pictures that are left out and are kept already.
func (r Past) outOf(kept map[string]*journal.Photo) *Remark {
	if r.Out == nil || !*r.Out {
		return nil
	}
	var out *Remark
	for _, hash := range r.Photos {
		if p := kept[hash]; p != nil && out == nil {
			out = &Remark{Matter: KeptAnyway, Photo: p, Count: 1}
		} else if p != nil {
			out.Count++
		}
	}
	return out
}
