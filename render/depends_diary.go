// What the pages of the diary are made from: see depends.go.

package render

import "slices"

// dayDigest is of the page of a day, and of what other pages show of it; several rest
// on it.
func (v *view) dayDigest(d *benchDay) digest {
	d.digestOnce.Do(func() { d.digested = v.digestOfDay(d) })
	return d.digested
}

func (v *view) digestOfDay(d *benchDay) digest {
	e := encoding{}
	e.text(d.date)
	photos := d.photos
	for _, one := range d.events {
		if p := v.byHash[one.photo]; p != nil {
			photos = append(slices.Clip(photos), p)
		}
		e.any([]string{one.build, one.words, one.href, one.to})
	}
	e.any(v.photosDigest(photos))
	e.any(v.seriesSum(d.series))
	e.any(d.sessions)
	for _, one := range d.words {
		e.any(*one)
	}
	e.any(d.mistakes)
	for _, b := range v.buildsOf(d) {
		e.any(v.digest().heads[b])
	}
	return e.sum()
}

// buildsOf are the builds that a day is about.
func (v *view) buildsOf(d *benchDay) (builds []*build) {
	add := func(id string) {
		if b := v.builds[id]; b != nil && !slices.Contains(builds, b) {
			builds = append(builds, b)
		}
	}
	for _, p := range d.photos {
		add(p.Tags.Build)
	}
	for _, s := range d.series {
		add(s.b.ID)
	}
	for _, s := range d.sessions {
		add(s.Build)
	}
	for _, one := range d.words {
		add(one.Build)
	}
	for _, m := range d.mistakes {
		add(m.Build)
	}
	for _, one := range d.events {
		add(one.build)
	}
	return builds
}

// dayPageDigest adds the ways on, and before and after: a before may be of an earlier
// day of the week.
func (v *view) dayPageDigest(d *benchDay) digest {
	e := encoding{}
	e.any(v.dayDigest(d))
	e.any(v.onwardOfDay(d))
	for _, pair := range d.pairs(nil) {
		e.any(v.photosDigest(pair[:]))
	}
	return e.sum()
}

// weekDigest is of a week without the ways on.
func (v *view) weekDigest(w *benchWeek) digest {
	e := encoding{}
	e.text(w.id)
	for _, d := range w.days {
		e.any(v.dayDigest(d))
	}
	if v.calendar().compared == w {
		e.any(v.numbersDigest())
	}
	return e.sum()
}

func (v *view) weekPageDigest(w *benchWeek) digest {
	return digestOf(v.weekDigest(w), v.onwardOfWeek(w))
}

// yearDigest is of the page of a year.
func (v *view) yearDigest(y *benchYear) digest {
	e := encoding{}
	for _, w := range y.weeks {
		e.any(v.weekDigest(w))
	}
	for _, d := range y.days {
		e.any(v.dayDigest(d))
	}
	e.any(v.bandDigest(v.buildsOfYear(y)))
	var near []string
	e.any(v.reviewed(y.id))
	for _, one := range v.calendar().years {
		near = append(near, one.id)
	}
	e.any(near)
	return e.sum()
}

// bandDigest is of builds on the band of the years.
func (v *view) bandDigest(builds []*build) digest {
	e := encoding{}
	for _, b := range builds {
		e.any(v.digest().heads[b])
		e.text(b.last)
		e.text(v.buildSpan(b))
		e.any(b.photosOnly())
	}
	for _, p := range v.Pauses {
		if slices.Contains(builds, v.builds[p.Build]) {
			e.any(p.Build)
			e.any(p.From)
			e.any(p.Until)
		}
	}
	return e.sum()
}

// archiveDigest is of the archive: the days there are.
func (v *view) archiveDigest() digest {
	e := encoding{}
	for _, d := range v.calendar().days {
		e.text(d.date)
	}
	return e.sum()
}
