// All pages: what each is made from, and how.

package render

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/say"
)

// making is a file of the pages folder that can be made: a page by its template
// from its value, or bytes as they are.
type making struct {
	path     string        // below the pages folder, slashes
	of       func() digest // of what it is made from; nil = it is made each time
	template string        // "" = bytes
	value    func(t *texts) any
	bytes    func(t *texts) ([]byte, error)
}

// file is a file of the pages folder.
type file struct {
	path   string
	data   []byte
	unsaid []say.Key // what it has no words for in its language
}

// file makes one page; t is for its texts alone.
func (m making) file(t *texts) (file, error) {
	var data []byte
	var err error
	if m.bytes != nil {
		data, err = m.bytes(t)
	} else {
		var b bytes.Buffer
		err = t.v.templates().ExecuteTemplate(&b, m.template, m.value(t))
		data = tidy(b.Bytes())
	}
	if err != nil {
		return file{}, fmt.Errorf("pages/%s: %w", m.path, err)
	}
	if t == nil || t.v.mine() {
		return file{path: m.path, data: data}, nil
	}
	f := file{path: m.path, data: data}
	if !strings.HasPrefix(m.path, "assets/") { // of the program: in the bytes of a font anything can stand
		f.data, f.unsaid = t.v.toReaders(m.path, data)
	}
	return f, nil
}

// pagesOf lists all pages, those that a new photo changes first, those that draw
// intervals by lot last. Each is made from the view alone, which nothing changes
// any more once the pairs have their addresses.
func pagesOf(v *view) []making {
	pairs := v.pairs()
	var pages []making
	add := func(path, template string, of func() digest, value func(t *texts) any) {
		if !v.shows(template) {
			return
		}
		pages = append(pages, making{path: path, template: template, of: of, value: value})
	}
	for _, b := range slices.Backward(v.order) {
		add(b.href, "build", func() digest { return v.buildDigest(b) }, func(t *texts) any { return v.buildPage(b, t) })
	}
	for _, b := range v.order {
		for _, one := range b.folded {
			add(one.href, "folded", func() digest { return v.foldedDigest(b, one) },
				func(*texts) any { return v.foldedPage(b, one) })
		}
	}
	for _, b := range slices.Backward(v.order) {
		for _, leaf := range v.leaves(b) {
			add(leaf.href, "kit", func() digest { return v.partsDigest(b) },
				func(*texts) any { return v.kitPage(b, leaf) })
		}
		if f := v.flick(b); f != nil {
			add(b.flickHref(), "flick", func() digest { return v.flickDigest(b, f) },
				func(*texts) any { return v.flickPage(b, f) })
		}
		for _, s := range b.series {
			add(s.href, "flick", func() digest { return v.seriesDigest(s) },
				func(*texts) any { return v.seriesPage(s) })
		}
		pages = append(pages, v.sheetPages(b)...)
		if v.returns(b) {
			add(b.returnHref(), "return", func() digest { return v.returnDigest(b) },
				func(*texts) any { return v.returnPage(b) })
		}
	}
	for _, year := range v.yearsWorked() {
		add(yearSheetHref(year), "yearsheet", func() digest { return v.yearSheetDigest(year) },
			func(*texts) any { return v.yearSheet(year) })
	}
	add("index.html", "home", v.homeDigest, func(t *texts) any { return v.home(t) })
	pages = append(pages, v.diaryPages()...)
	add("to-sort.html", "sort", nil, func(*texts) any { return v.sortPage() })
	add(suppliesPage, "supplies", v.suppliesDigest, func(*texts) any { return v.supplies() })
	add("then-and-now.html", "sheet", v.sheetDigest, func(*texts) any { return v.sheet() })
	pages = append(pages, v.sheetScripts()...)
	if len(v.order) > fewBuilds {
		add(buildsPage, "builds", func() digest { return v.yearsDigest(v.order) },
			func(*texts) any { return v.buildsPage() })
	}
	for _, kind := range v.stepPages() {
		add(stepPage(kind), "step", func() digest { return v.stepDigest(kind) },
			func(*texts) any { return v.stepPage(kind) })
	}
	for _, p := range pairs {
		add(p.href, "compare", func() digest { return v.compareDigest(p) },
			func(t *texts) any { return v.compare(p, t) })
	}
	pages = append(pages, v.photoScripts()...)
	pages = append(pages, v.searchPages()...)
	add(anyTwoPage, "anytwo", sameAlways, func(*texts) any { return v.anyTwoPage() })
	add("using-cards.html", "help", nil, func(*texts) any { return v.helpPage() })
	add(intervalAt, "interval", v.intervalDigest, func(*texts) any { return v.intervalPage() })
	add("card-format.html", "format", sameAlways, func(*texts) any { return v.formatPage() })
	add("trials.html", "trials", v.trialsDigest, func(t *texts) any { return v.trials(t) })
	add("mistakes.html", "mistakes", v.numbersDigest, func(*texts) any { return v.mistakes() })
	add("pace.html", "pace", v.numbersDigest, func(*texts) any { return v.pace() })
	if v.LatestWorked() != nil {
		add(learningAt, "learning", v.numbersDigest, func(*texts) any { return v.learningPage() })
	}
	if v.namesTools() {
		add(toolsAt, "tools", v.numbersDigest, func(*texts) any { return v.toolsPage() })
	}
	add("skill.html", "skill", func() digest { return digestOf(v.numbersDigest(), v.toMark()) },
		func(*texts) any { return v.skill() })
	if v.skillBuild() != nil {
		add(eyeAt, "eye", v.numbersDigest, func(*texts) any { return v.eyePage() })
	}
	for _, c := range v.criterionPages() {
		add(criterionPage(c.Number), "criterion", v.numbersDigest, func(*texts) any { return v.criterionPage(c) })
		for n, builds := range v.judgedApart(c) {
			add(criterionPhotos(c.Number, n), "judged", v.numbersDigest,
				func(*texts) any { return v.judgedPage(c, builds) })
		}
	}
	add("forecast.html", "forecast", func() digest { return digestOf(v.numbersDigest(), v.today) },
		func(*texts) any { return v.forecast() })
	return pages
}

// diaryPages are the days, weeks and years, the newest first, with the feed.
func (v *view) diaryPages() []making {
	c := v.calendar()
	var pages []making
	for _, d := range slices.Backward(c.days) {
		pages = append(pages, making{path: v.dayHref(d.date), template: "day",
			of: func() digest { return v.dayPageDigest(d) }, value: func(t *texts) any { return v.dayPage(d, t) }})
	}
	for _, w := range slices.Backward(c.weeks) {
		pages = append(pages, making{path: v.weekNamedHref(w.id), template: "week",
			of: func() digest { return v.weekPageDigest(w) }, value: func(t *texts) any { return v.weekPage(w, t) }})
	}
	for _, y := range slices.Backward(c.years) {
		pages = append(pages, making{path: v.yearHref(y.id), template: "year",
			of: func() digest { return v.yearDigest(y) }, value: func(t *texts) any { return v.yearPage(y, t) }})
	}
	pages = append(pages, making{path: archivePage, template: "archive", of: v.archiveDigest,
		value: func(*texts) any { return v.archive() }})
	if v.hasFeed() {
		pages = append(pages, making{path: feedPage, of: v.feedDigest, bytes: v.feed})
	}
	return pages
}

// photoScripts are the files that the page for any two photos reads.
func (v *view) photoScripts() []making {
	var out []making
	data := v.photoData()
	for _, name := range slices.Sorted(maps.Keys(data)) {
		photos := data[name]
		out = append(out, making{path: name, of: func() digest { return v.homesDigest(photos) },
			bytes: func(*texts) ([]byte, error) { return v.photoScript(photos) }})
	}
	return out
}

// homesDigest is of photos with the builds that are their homes.
func (v *view) homesDigest(photos []*journal.Photo) digest {
	var e encoding
	for _, p := range photos {
		e.any(v.digest().photo(p))
		if b := v.builds[p.Tags.Build]; b != nil {
			e.any(b.href)
			e.any(b.Title)
		}
	}
	return e.sum()
}
