// Package render writes a journal as web pages: plain files that open from
// disk, without a server, a script or a request to any other place.
//
// Start with Write. Its movements are calls: viewOf looks at the journal's state,
// pagesOf lists the pages, each with what it is made from and how its value is
// made, and output.pages makes, compares and lets go those that are not what they
// were made from last time, one after another. Everything is decided in the
// values; the templates of package site only say it. The same journal gives the
// same bytes: nothing here reads the clock.
//
// Published are the web sizes of the photos, their tags and times, the
// sessions, and the person's own words. Never published are locations, camera
// serial numbers, device names, original files, and the names of their files
// and folders. Of a clip the pictures and the sound are published, without all else
// that its file says.
package render

import (
	"cmp"
	"context"
	"time"

	"rakelight/journal"
	"rakelight/journal/say"
)

// Options of Write. The zero value is fine.
type Options struct {
	Edition Edition // for whom the pages are
	// Language is that of the pages for readers, as HTML names it: "de". "" = what the
	// journal says, or English.
	Language string
	speaker  *say.Speaker // who speaks instead of that of Language, nil = nobody
	// Progress hears of each photo and each page done; it is called from one
	// goroutine at a time.
	Progress func(done, total int, what string)
	// Today is the day the pages speak of; zero means the latest thing in the
	// journal, so that writing again changes nothing.
	Today time.Time
	// Stop, where it is given, is asked between two pages: once it says true, the
	// rest is left to the next writing, and Report.Stopped says so.
	Stop func() bool
	// InInbox is how many files lie in the inbox that are no photos of the
	// journal, those set aside left out; the pages say so.
	InInbox int
	// Old is how many pictures of the years before were looked through where they lie,
	// of a journal that has no photos yet; the builder's first page says so.
	Old int
	// Frame, where it is given, takes a still out of a clip and writes it as a JPEG.
	// It is asked once for each clip that brings none, and of which no photo was taken
	// at the time.
	Frame func(ctx context.Context, clip, jpeg string) error
}

// Report says what Write did.
type Report struct {
	Pages   int // files of the pages: HTML, style, scripts, fonts
	Made    int // of those, how many were made, since what they show may have changed
	Changed int // of those, how many came out another way and were written
	Photos  int // web sizes made, those of photos laid over each other and of flick-throughs included
	Removed int // files of earlier pages that were removed
	Stopped bool
	// Foreign are files of the pages that were not written, because somebody
	// else's lie in their place: below the journal folder, with slashes.
	Foreign []string
	// Withheld are the clips that readers do not get, because their files may say
	// where they were taken, or cannot be read.
	Withheld []NotPublished
	// Unsaid are the words that the language of the pages has none for, and that are
	// English on them, in order.
	Unsaid []Unsaid
}

// Unsaid is a word or a sentence without one in the language of the pages.
type Unsaid struct {
	Key  say.Key
	Page string // the first page it stands on, below the pages folder
}

// Write makes the journal's pages/ folder agree with j.State. It writes only
// files that differ, and removes only files that it wrote itself. A photo that
// cannot be read is told on the page "To sort" and does not stop the rest. On
// error pages already written stay; the next Write completes them.
func Write(ctx context.Context, j *journal.Journal, opts Options) (Report, error) {
	return NewWriter(j).Write(ctx, j.State, opts)
}

// Writer writes the pages of a journal whenever it changed. It remembers what it
// has looked at; only one goroutine may use it at a time.
type Writer struct {
	j      *journal.Journal
	public string // the folder of pages for readers, "" = it writes the builder's own
	made   sizesMade
	seen   map[string]bool // hashes of the photos of the last writing, nil = none yet
	coming coming
	list   knownList
	photos map[*journal.Photo]photoDigest
	tones  map[string]string // by hash, nil = not read yet
}

// NewWriter is a Writer of the journal's pages.
func NewWriter(j *journal.Journal) *Writer {
	return &Writer{j: j, made: sizesMade{}, photos: map[*journal.Photo]photoDigest{}}
}

// Write does what the function of that name does, for a state of the journal.
// The pages of photos that came since the last call are made first. Where ctx
// ends, or opts.Stop says so, what is made is kept and the next call goes on.
func (w *Writer) Write(ctx context.Context, s *journal.State, opts Options) (Report, error) {
	out := output{dir: w.j.Path("pages"), manifest: manifestFile, progress: opts.Progress, stop: opts.Stop,
		coming: &w.coming, known: w.list}
	if w.public != "" {
		opts.Edition = ForReaders
		out.into(w.public, s)
	}
	keeps := "" // what is private
	if opts.Edition == ForReaders {
		opts.Language = cmp.Or(opts.Language, s.Config.Public.Language)
		if err := CheckLanguage(opts.Language); err != nil {
			return Report{}, err
		}
		keeps = s.PrivacyDigest()
		s = s.ForReaders(ownWords)
	}
	defer func() { w.list = out.known }()
	all := originalsOf(s)
	var gone Report
	if w.public != "" {
		if err := w.withdraw(&out, s, opts, all, keeps, &gone); err != nil {
			return gone, err
		}
	}
	report, unshown, err := out.sizes(ctx, w.j, all, w.made)
	report.Removed += gone.Removed
	if err != nil {
		return report, err
	}
	v := viewWith(s, opts, all, unshown)
	v.knownPhotos = w.photos
	v.gone = goneAsides(w.j, s)
	v.identity = w.j.Identity()
	if err := v.readFrames(ctx, w.j, opts.Frame); err != nil {
		return report, err
	}
	if w.tones, err = out.tones(ctx, w.j, v, w.tones); err != nil {
		return report, err
	}
	if err := out.measureGrays(ctx, w.j, v); err != nil {
		return report, err
	}
	if err := out.publicClips(ctx, w.j, v, &report); err != nil {
		return report, err
	}
	if err := out.placeFrames(v); err != nil {
		return report, err
	}
	laid, err := out.lay(ctx, w.j, v)
	report.Photos += laid + int(out.copied.Load())
	if err != nil {
		return report, err
	}
	flicked, err := out.flick(ctx, w.j, v)
	report.Photos += flicked
	if err != nil {
		return report, err
	}
	pages := pagesOf(v)
	if v.mine() {
		moved, err := out.moved()
		if err != nil {
			return report, err
		}
		pages = append(pages, v.movedPages(moved)...)
	}
	return report, out.write(ctx, w.j, v, w.newsFirst(v, append(pages, assets()...)), v.sizeFiles(), &report)
}

// newsFirst puts the pages of builds with photos that came since the last writing
// before all others.
func (w *Writer) newsFirst(v *view, pages []making) []making {
	news, before := map[string]bool{}, w.seen
	w.seen = make(map[string]bool, len(v.Photos))
	for _, p := range v.Photos {
		w.seen[p.Hash] = true
		if b := v.builds[p.Tags.Build]; before != nil && !before[p.Hash] && b != nil {
			news[b.href] = true
		}
	}
	var first, rest []making
	for _, m := range pages {
		if news[m.path] {
			first = append(first, m)
		} else {
			rest = append(rest, m)
		}
	}
	return append(first, rest...)
}
