// Package render writes a journal as web pages: plain files that open from
// disk, without a server, a script or a request to any other place.
//
// Start with Write. Its three movements are three calls: viewOf looks at the
// journal's state, pagesOf lists the pages with how the value of each is made, and filesOf turns the
// values into bytes by the templates of package site. Everything is decided in the
// second movement; templates only say it. The same journal gives the same
// bytes: nothing here reads the clock.
//
// Published are the web sizes of the photos, their tags and times, the
// sessions, and the person's own words. Never published are locations, camera
// serial numbers, device names, original files, and the names of their files
// and folders.
package render

import (
	"context"
	"maps"
	"slices"
	"time"

	"rakelight/journal"
)

// Options of Write. The zero value is fine.
type Options struct {
	// Progress hears of each photo and each page done; it is called from one
	// goroutine at a time.
	Progress func(done, total int, what string)
	// Today is the day the pages speak of; zero means the latest thing in the
	// journal, so that writing again changes nothing.
	Today time.Time
	// InInbox is how many files lie in the inbox that are no photos of the
	// journal, those set aside left out; the pages say so.
	InInbox int
}

// Report says what Write did.
type Report struct {
	Pages   int // files of the pages: HTML, style, scripts, fonts
	Changed int // of those, how many were written
	Photos  int // web sizes made, those of photos laid over each other included
	Removed int // files of earlier pages that were removed
	// Foreign are files of the pages that were not written, because somebody
	// else's lie in their place: below the journal folder, with slashes.
	Foreign []string
}

// Write makes the journal's pages/ folder agree with j.State. It writes only
// files that differ, and removes only files that it wrote itself. A photo that
// cannot be read is told on the page "To sort" and does not stop the rest. On
// error pages already written stay; the next Write completes them.
func Write(ctx context.Context, j *journal.Journal, opts Options) (Report, error) {
	out := output{dir: j.Path("pages"), progress: opts.Progress}
	state := j.State
	report, unshown, err := out.sizes(ctx, j, originalsOf(state))
	if err != nil {
		return report, err
	}
	v := viewOf(state, opts.Today, unshown)
	v.inInbox, v.gone = opts.InInbox, goneAsides(j, state)
	if err := out.measureGrays(ctx, j, v); err != nil {
		return report, err
	}
	laid, err := out.lay(ctx, j, v)
	report.Photos += laid
	if err != nil {
		return report, err
	}
	moved, err := out.moved()
	if err != nil {
		return report, err
	}
	files, err := filesOf(append(pagesOf(v), v.movedPages(moved)...))
	if err != nil {
		return report, err
	}
	files = append(files, assets()...)
	return report, out.write(ctx, files, v.sizeFiles(), &report)
}

// making is a file of the pages folder that can be made: a page by its template
// from its value, or bytes as they are.
type making struct {
	path     string // below the pages folder, slashes
	template string // "" = bytes
	value    func() any
	bytes    func() ([]byte, error)
}

// file is a file of the pages folder.
type file struct {
	path string
	data []byte
}

// pagesOf lists all pages. Each is made from the view alone, which nothing
// changes any more once the pairs have their addresses.
func pagesOf(v *view) []making {
	t := &texts{v: v, embed: templates().Lookup("embed")}
	pairs := v.pairs()
	page := func(path, template string, value func() any) making {
		return making{path: path, template: template, value: value}
	}
	pages := []making{ // those that draw intervals by lot first: they take longest
		page("pace.html", "pace", func() any { return v.pace() }),
		page("skill.html", "skill", func() any { return v.skill() }),
		page("forecast.html", "forecast", func() any { return v.forecast() }),
		page("index.html", "home", func() any { return v.home() }),
		page("then-and-now.html", "sheet", func() any { return v.sheet() }),
		page("mistakes.html", "mistakes", func() any { return v.mistakes() }),
		page("trials.html", "trials", func() any { return v.trials(t) }),
		page("to-sort.html", "sort", func() any { return v.sortPage() }),
		page("using-cards.html", "help", func() any { return v.helpPage() }),
		page("card-format.html", "format", func() any { return v.formatPage() }),
		page(anyTwoPage, "anytwo", func() any { return v.anyTwoPage() }),
	}
	if len(v.order) > fewBuilds {
		pages = append(pages, page(buildsPage, "builds", func() any { return v.buildsPage() }))
	}
	for _, b := range v.order {
		pages = append(pages, page(b.href, "build", func() any { return v.buildPage(b, t) }))
	}
	for _, p := range pairs {
		pages = append(pages, page(p.href, "compare", func() any { return v.compare(p, t) }))
	}
	data := v.photoData()
	for _, name := range slices.Sorted(maps.Keys(data)) {
		pages = append(pages, making{path: name, bytes: func() ([]byte, error) { return v.photoScript(data[name]) }})
	}
	return pages
}
