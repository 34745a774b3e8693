// What can be found: each thing with its words and its place on the pages.

package render

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/say"
)

// The groups in which what was found is shown, in their order.
var searchGroups = []say.Key{"Builds", "Days", "Parts", "Mistakes", "Tools", "Mixes", "Trials", "Notes", "Photos"}

// findable is one thing that can be found. Its values are those of the journal, so
// that they can be digested before anything is made of them.
type findable struct {
	Group say.Key // of searchGroups
	Title string  // as a list shows it
	Where string  // its build and its day, in words
	Href  string  // from the top
	Words string  // what is looked through, beside the title
	Prose bool    // the words are Markdown
	Named bool    // the title is a name, and so stands in the lists by letter
	year  string  // of whose file it is
	date  string  // by which things of a file stand
}

// placeOfDay is where the words of a day stand, from the top.
func (v *view) placeOfDay(date string, b *build) string { return cmp.Or(v.dayHref(date), b.href) }

// findables are all of them, by group, then by date.
func (v *view) findables() []findable {
	var out []findable
	for _, b := range v.order {
		f := &finder{v: v, b: b}
		f.build()
		f.days()
		f.parts()
		f.tools()
		f.mixes()
		f.notes()
		f.captions()
		out = append(out, f.out...)
	}
	out = append(out, v.findMistakes()...)
	out = append(out, v.findTrials()...)
	order := map[say.Key]int{}
	for i, group := range searchGroups {
		order[group] = i
	}
	slices.SortStableFunc(out, func(a, b findable) int {
		return cmp.Or(cmp.Compare(order[a.Group], order[b.Group]), cmp.Compare(a.date, b.date))
	})
	return out
}

// finder finds the things of a build.
type finder struct {
	v   *view
	b   *build
	out []findable
}

// add adds a thing of a day; date "" is the build's first one.
func (f *finder) add(one findable, date string) {
	if date == "" {
		date = f.b.first
	}
	one.date, one.year = date, cmp.Or(yearOf(date), undated)
	if one.Group != "Builds" {
		one.Where = joinWords(", ", f.b.Title, one.Where)
	}
	f.out = append(f.out, one)
}

// dated is the day of a moment, for add and in words.
func (f *finder) dated(at time.Time) (date, words string) {
	if at.IsZero() {
		return "", ""
	}
	at = at.In(f.v.zone())
	return at.Format(time.DateOnly), f.v.day(at)
}

func (f *finder) build() {
	f.add(findable{Group: "Builds", Title: f.b.Title, Where: joinWords(", ", f.v.monthOf(f.b.first), f.b.Scale),
		Href: f.b.href, Words: f.b.Body, Prose: true, Named: true}, "")
}

func (f *finder) days() {
	for _, d := range f.v.Diary {
		if d.Build == f.b.ID {
			f.add(findable{Group: "Days", Title: cmp.Or(d.Title, f.v.dayOf(d.Date)), Where: f.v.dayOf(d.Date),
				Href: f.v.placeOfDay(d.Date, f.b), Words: d.Body, Prose: true, Named: d.Title != ""}, d.Date)
		}
	}
}

// parts are the runners with the names of their parts, the sub-assemblies, and what
// was found of parts and done to them.
func (f *finder) parts() {
	for _, leaf := range f.v.leaves(f.b) {
		for _, r := range leaf.runners {
			var names []string
			for _, p := range r.Parts {
				names = append(names, p.Ref.String())
			}
			f.add(findable{Group: "Parts", Title: f.v.runnerTitle(r),
				Where: f.v.kitTitle(f.b, leaf.kit), Href: leaf.href + "#" + runnerID(r),
				Words: strings.Join(names, " ")}, "")
		}
	}
	for _, sub := range f.v.SubsOf(f.b.ID) {
		f.noted(sub.Noted, capital(sub.Sub), sub.Text, true)
	}
	for _, p := range f.v.PrepsOf(f.b.ID) {
		f.noted(p.Noted, f.v.prepTitle(p.Is), f.v.prepWords(p), false)
	}
	for _, h := range f.v.HoldsOf(f.b.ID) {
		f.noted(h.Noted, f.v.Say("To remember: %s", h.Said(f.v.Speaker)), h.Text, false)
	}
	for _, a := range f.v.AdditionsOf(f.b.ID) {
		date, words := f.dated(a.At)
		f.add(findable{Group: "Parts", Title: f.v.additionTitle(a.Kind), Where: words, Href: f.b.href + "#additions",
			Words: joinWords("; ", a.Text, a.Where, a.Sub, partNames(a.Parts))}, date)
	}
}

// noted adds what was noted of parts or of a sub-assembly.
func (f *finder) noted(n journal.Noted, title, words string, named bool) {
	href := f.b.href
	for _, ref := range n.Parts {
		if to := f.v.partAt(f.b, ref); to != "" {
			href = to
			break
		}
	}
	if named {
		n.Sub = ""
	}
	date, told := f.dated(n.At)
	f.add(findable{Group: "Parts", Title: title, Where: told, Href: href, Named: named,
		Words: joinWords("; ", words, n.Sub, partNames(n.Parts))}, date)
}

func partNames(parts []journal.PartRef) string {
	var names []string
	for _, ref := range parts {
		names = append(names, ref.String())
	}
	return strings.Join(names, " ")
}

// tools are those that sessions name, each once a build: where it was used last.
func (f *finder) tools() {
	last := map[string]*journal.Session{}
	kinds, used := map[string][]string{}, map[string]int{}
	for _, s := range f.b.sessions {
		for _, name := range s.Tools {
			key := journal.ToolKey(name)
			used[key]++
			if last[key] == nil || s.Date >= last[key].Date {
				last[key] = s
			}
			if kind := f.v.low(f.v.kindTitle(s.Kind)); !slices.Contains(kinds[key], kind) {
				kinds[key] = append(kinds[key], kind)
			}
		}
	}
	for _, key := range sortedKeys(last) {
		s := last[key]
		f.add(findable{Group: "Tools", Title: capital(f.v.ToolName(key)), Where: f.v.Say("last on %s",
			f.v.dayOf(s.Date)),
			Href: f.b.href + "#" + sessionID(s.ID), Named: true,
			Words: f.v.count(used[key], "session") + ": " + strings.Join(kinds[key], ", ")}, s.Date)
	}
}

func (f *finder) mixes() {
	for _, m := range f.v.MixesOf(f.b.ID) {
		date, words := f.dated(m.At)
		f.add(findable{Group: "Mixes", Title: capital(m.Name), Where: words, Href: f.b.href + "#mixes", Named: true,
			Words: joinWords("; ", m.Said(f.v.Speaker), m.Sub, m.Text, partNames(m.Parts))}, date)
	}
}

func (f *finder) notes() {
	for _, n := range f.v.State.Notes {
		if n.Build != f.b.ID {
			continue
		}
		href := ""
		if s := slices.IndexFunc(f.b.sessions, func(s *journal.Session) bool { return s.ID == n.Session }); s >= 0 {
			href = f.b.href + "#" + sessionID(n.Session)
		} else if len(n.Parts) > 0 {
			href = f.v.partAt(f.b, n.Parts[0])
		}
		date, words := f.dated(n.At)
		f.add(findable{Group: "Notes", Title: f.v.Say("Note"), Where: words, Href: cmp.Or(href, f.b.href),
			Words: joinWords("; ", n.Text, partNames(n.Parts))}, date)
	}
}

// captions are the photos of which somebody said something.
func (f *finder) captions() {
	for _, p := range f.b.photos {
		if p.Caption == "" {
			continue
		}
		date := ""
		if !p.Instant.At.IsZero() {
			date = p.Instant.At.Format(time.DateOnly)
		}
		pic := f.v.picture("", p, "")
		f.add(findable{Group: "Photos", Title: p.Caption, Where: joinWords(", ", pic.Role, pic.Detail, pic.Day),
			Href: f.v.place(f.b, p)}, date)
	}
}

// findMistakes are the mistakes, each on the list of its kind.
func (v *view) findMistakes() []findable {
	var out []findable
	ids := v.slipIDs()
	for _, m := range v.Mistakes {
		id, ok := ids[m.Kind]
		if !ok {
			continue
		}
		at := m.At.In(v.zone())
		where := v.day(at)
		if b := v.builds[m.Build]; b != nil {
			where = b.Title + ", " + where
		}
		out = append(out, findable{Group: "Mistakes", Title: capital(m.Kind), Where: where, Href: "mistakes.html#" + id,
			Words: joinWords("; ", m.Cause, m.Mended, partNames(m.Parts)), Named: true,
			year: at.Format("2006"), date: at.Format(time.DateOnly)})
	}
	return out
}

func (v *view) findTrials() []findable {
	var out []findable
	for _, one := range v.Trials {
		at := one.At.In(v.zone())
		words := []string{one.Question}
		for _, o := range one.Observations {
			words = append(words, o.Text)
		}
		where := v.day(at)
		if b := v.builds[one.Build]; b != nil {
			where = b.Title + ", " + where
		}
		out = append(out, findable{Group: "Trials", Title: capital(one.What), Where: where,
			Href: "trials.html#trial-" + fileName(one.ID), Prose: true, Named: true,
			Words: strings.Join(append(words, one.Review), "\n\n"),
			year:  at.Format("2006"), date: at.Format(time.DateOnly)})
	}
	return out
}
