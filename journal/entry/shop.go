// What is said of what the work is done with: mixes, additions beyond the box, and
// sanding plans. Said in the place of an earlier one, what is left out stays as it
// was there.

package entry

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/sanding"
)

// Mix is a paint as it was mixed.
type Mix struct {
	Build   string // "" = the one in hand
	Kit     int    // 0 = not said
	Name    string // "hull red"
	Recipe  string // "3 red, 1 white, 2 thinner": parts by volume
	Thinner string // "2 water": the thinner, where its name does not say so
	Coats   int    // 0 = not said
	Batch   string
	Parts   string // painted with it: "A12,B3"
	Sub     string // name of the sub-assembly that was
	Photo   string // of the swatch
	Text    string
	Instead string    // id of the mix in whose place this one stands
	At      time.Time // zero = now
}

// Plan reads the recipe and finds what was painted.
func (r Mix) Plan(l journal.Look) (Plan, error) {
	var body journal.MixBody
	if r.Instead != "" {
		was, ok := standing(l.Mixes, r.Instead, func(m journal.Mix) (string, string) { return m.Record, m.By })
		if !ok {
			return Plan{}, &Refusal{Reason: NoSuchEntry, Name: r.Instead, Field: "mix"}
		}
		body = journal.MixBody{Build: was.Build, Kit: was.Kit, Name: was.Name, Recipe: was.Recipe, Coats: was.Coats,
			Batch: was.Batch, Parts: was.Parts, Sub: was.Sub, Photo: was.Photo, Text: was.Text, Instead: was.Record}
	}
	on, err := noted(l, about{r.Build, r.Kit, r.Parts, r.Sub, r.Photo, r.At},
		about{body.Build, body.Kit, "", body.Sub, body.Photo, time.Time{}}, body.Parts)
	if err != nil {
		return Plan{}, err
	}
	body.Build, body.Kit, body.Parts = on.build.ID, on.kit, on.parts
	body.Sub, body.Photo, body.At = on.sub, on.photo, on.at
	body.Name, body.Batch = cmp.Or(plain(r.Name), body.Name), cmp.Or(plain(r.Batch), body.Batch)
	body.Text, body.Coats = cmp.Or(strings.TrimSpace(r.Text), body.Text), cmp.Or(r.Coats, body.Coats)
	if body.Name == "" {
		return Plan{}, &Refusal{Reason: NoWords}
	}
	if r.Recipe != "" || r.Thinner != "" {
		if body.Recipe, err = recipe(r.Recipe, r.Thinner); err != nil {
			return Plan{}, err
		}
	}
	if err := body.Check(); err != nil {
		return Plan{}, &Refusal{Reason: NoRecipe, Name: r.Recipe, Err: err}
	}
	return just(body)
}

// recipe reads what a mix is made of, in parts. What is called a thinner is one.
func recipe(paints, thinner string) ([]journal.MixPart, error) {
	var out []journal.MixPart
	for i, text := range []string{paints, thinner} {
		for _, one := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '+' }) {
			if one = plain(one); one == "" {
				continue
			}
			number, what, _ := strings.Cut(one, " ")
			n, err := strconv.ParseFloat(strings.TrimSuffix(number, "x"), 64)
			for _, word := range []string{"parts ", "part ", "of "} {
				what = strings.TrimPrefix(what, word)
			}
			if err != nil || what == "" {
				return nil, &Refusal{Reason: NoRecipe, Name: one}
			}
			what, called := strings.CutSuffix(what, " (thinner)")
			thins := i == 1 || called || slices.Contains(strings.Fields(strings.ToLower(what)), "thinner")
			out = append(out, journal.MixPart{What: what, Parts: n, Thins: thins})
		}
	}
	return out, nil
}

// Addition is something beyond the box, or a reference that was worked from.
type Addition struct {
	Build   string // "" = the one in hand
	Kit     int
	Kind    string // one of journal.AdditionKinds, "" = an addition
	Text    string
	Where   string // on the model, or where the reference is found
	Parts   string
	Sub     string
	Photo   string
	Instead string    // id of the one in whose place this one stands
	At      time.Time // zero = now
}

// Plan finds what it is on.
func (r Addition) Plan(l journal.Look) (Plan, error) {
	var body journal.AdditionBody
	if r.Instead != "" {
		was, ok := standing(l.Additions, r.Instead,
			func(a journal.Addition) (string, string) { return a.Record, a.By })
		if !ok {
			return Plan{}, &Refusal{Reason: NoSuchEntry, Name: r.Instead, Field: "addition"}
		}
		body = journal.AdditionBody{Build: was.Build, Kit: was.Kit, Kind: was.Kind, Text: was.Text, Where: was.Where,
			Parts: was.Parts, Sub: was.Sub, Photo: was.Photo, Instead: was.Record}
	}
	on, err := noted(l, about{r.Build, r.Kit, r.Parts, r.Sub, r.Photo, r.At},
		about{body.Build, body.Kit, "", body.Sub, body.Photo, time.Time{}}, body.Parts)
	if err != nil {
		return Plan{}, err
	}
	body.Build, body.Kit, body.Parts = on.build.ID, on.kit, on.parts
	body.Sub, body.Photo, body.At = on.sub, on.photo, on.at
	body.Kind = cmp.Or(r.Kind, body.Kind, journal.AdditionKinds[0])
	if err := oneOf("kind", body.Kind, journal.AdditionKinds); err != nil {
		return Plan{}, err
	}
	body.Text, body.Where = cmp.Or(plain(r.Text), body.Text), cmp.Or(plain(r.Where), body.Where)
	if body.Text == "" {
		return Plan{}, &Refusal{Reason: NoWords}
	}
	return just(body)
}

// SandingPlan gives parts, or a sub-assembly, the plan by which they are sanded.
type SandingPlan struct {
	Build   string // "" = the one in hand
	Kit     int
	Parts   string
	Sub     string
	Surface string // one of sanding.Surfaces, "" = the class of the parts
	Finish  string // one of sanding.Finishes, "" = primed on a painted build
	Remove  string // one of sanding.Removes
	Steps   string // own steps, as sanding.ParseSteps reads them; "" = those of the plan
	Photo   string
	Text    string
	Instead string    // id of the plan in whose place this one stands
	At      time.Time // zero = now
}

// Plan keeps the steps as they are now, so that defaults edited later leave the plan
// of these parts as it is.
func (r SandingPlan) Plan(l journal.Look) (Plan, error) {
	var body journal.SandingBody
	if r.Instead != "" {
		was, ok := standing(l.Sandings, r.Instead,
			func(p journal.SandingPlan) (string, string) { return p.Record, p.By })
		if !ok {
			return Plan{}, &Refusal{Reason: NoSuchEntry, Name: r.Instead, Field: "sanding plan"}
		}
		body = journal.SandingBody{Build: was.Build, Kit: was.Kit, Parts: was.Parts, Sub: was.Sub, Surface: was.Surface,
			Finish: was.Finish, Remove: was.Remove, Steps: was.Steps, Photo: was.Photo, Text: was.Text,
			Instead: was.Record}
	}
	on, err := noted(l, about{r.Build, r.Kit, r.Parts, r.Sub, r.Photo, r.At},
		about{body.Build, body.Kit, "", body.Sub, body.Photo, time.Time{}}, body.Parts)
	if err != nil {
		return Plan{}, err
	}
	if len(on.parts) == 0 && on.sub == "" {
		return Plan{}, &Refusal{Reason: NothingNamed, Build: on.build.ID}
	}
	body.Build, body.Kit, body.Parts = on.build.ID, on.kit, on.parts
	body.Sub, body.Photo, body.At = on.sub, on.photo, on.at
	body.Text = cmp.Or(strings.TrimSpace(r.Text), body.Text)
	again := r.Surface+r.Finish+r.Remove != "" // other steps than before
	body.Surface = cmp.Or(r.Surface, body.Surface, surfaceOf(on.build, on.parts))
	body.Finish = cmp.Or(r.Finish, body.Finish, finishOf(on.build))
	body.Remove = cmp.Or(r.Remove, body.Remove)
	if err := says(body); err != nil {
		return Plan{}, err
	}
	switch {
	case r.Steps != "":
		if body.Steps, err = sanding.ParseSteps(r.Steps); err != nil || len(body.Steps) == 0 {
			return Plan{}, &Refusal{Reason: NoSteps, Name: r.Steps, Err: err}
		}
	case again || len(body.Steps) == 0:
		body.Steps = sanding.For(l.Config.SandingPlans(), body.Surface, body.Finish, body.Remove).Steps
	}
	plan, _ := just(body)
	for _, leap := range sanding.Leaps(body.Steps) {
		plan.Remarks = append(plan.Remarks, Remark{Matter: GritLeaps, Leap: leap})
	}
	return plan, nil
}

// says looks that a plan says what it is for.
func says(b journal.SandingBody) error {
	for _, one := range []struct {
		field, said string
		known       []string
	}{{"surface", b.Surface, sanding.Surfaces}, {"finish", b.Finish, sanding.Finishes},
		{"remove", b.Remove, sanding.Removes}} {
		if one.said == "" {
			return &Refusal{Reason: SayWhich, Field: one.field, Known: one.known}
		}
		if err := oneOf(one.field, one.said, one.known); err != nil {
			return err
		}
	}
	return nil
}

// surfaceOf is the surface that all parts have by their class, "" = that does not tell.
func surfaceOf(b *journal.Build, parts []journal.PartRef) string {
	surface := ""
	for i, p := range parts {
		class := b.ClassOf(p)
		if !slices.Contains(sanding.Surfaces, class) || i > 0 && class != surface {
			return ""
		}
		surface = class
	}
	return surface
}

// finishOf is what the plastic of a painted build ends as; bare plastic is matte or
// gloss, which no plan tells.
func finishOf(b *journal.Build) string {
	if b.Finish == "painted" {
		return sanding.Finishes[0]
	}
	return ""
}

// about is what a person says an entry is about.
type about struct {
	build             string
	kit               int
	parts, sub, photo string
	at                time.Time
}

// found is what an entry is about.
type found struct {
	build      *journal.Build
	kit        int
	parts      []journal.PartRef
	sub, photo string
	at         time.Time
}

// noted finds what an entry is about: as said, else as it was said before. Parts of
// one build are none of another. A name in the place of the parts is that of a
// sub-assembly, if the build has one.
func noted(l journal.Look, said, was about, parts []journal.PartRef) (found, error) {
	b, err := inHand(l, cmp.Or(said.build, was.build))
	if err != nil {
		return found{}, err
	}
	if _, there := l.FindSub(b.ID, said.parts); there && said.sub == "" {
		said.sub, said.parts = said.parts, ""
	}
	if one, there := l.FindSub(b.ID, said.sub); there {
		said.sub = one.Sub
	}
	on := found{build: b, kit: cmp.Or(said.kit, was.kit), sub: cmp.Or(plain(said.sub), was.sub), photo: was.photo}
	if on.at, err = moment(l, said.at); err != nil {
		return found{}, err
	}
	if err := kitOf(b, on.kit); err != nil {
		return found{}, err
	}
	switch {
	case said.parts != "":
		on.parts, err = named(b, said.parts)
	case was.build == b.ID:
		on.parts = parts
	}
	if err != nil {
		return found{}, err
	}
	if said.photo != "" {
		p, err := Photo(l.State, said.photo)
		if err != nil {
			return found{}, err
		}
		on.photo = p.Hash
	}
	return on, nil
}

// standing is the entry of an id that counts: it, or what stands in its place.
func standing[T any](all []T, id string, of func(T) (record, by string)) (one T, ok bool) {
	for range all {
		i := slices.IndexFunc(all, func(one T) bool { record, _ := of(one); return record == id })
		if i < 0 {
			break
		}
		_, by := of(all[i])
		if by == "" {
			return all[i], true
		}
		id = by
	}
	return one, false
}
