// A photo as a page shows it: addresses of its web sizes, measures, words.

package render

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
)

// widths are the web sizes, in pixels: a contact print, a column, a full page.
var widths = []int{480, 960, 1600}

// Picture is a photo on a page. The zero value shows nothing.
type Picture struct {
	ID       string // anchor of the photo's own place on its build page
	Src      string // address of the middle size
	SrcSet   string // all sizes with their widths
	Sizes    string // how wide the page shows it
	Tone     string // class of what stands in its place until it is loaded, "" = nothing of its own
	Large    string // address of the largest size, which a click opens
	Width    int    // pixels of the largest size
	Height   int
	Alt      string    // the tags in words: "Mail seaplane, clean, left view, 3 May 2024"
	Caption  string    // the person's words, "" = none
	Role     string    // "before", "after", …
	Day      string    // "3 May 2024"
	Clock    string    // "19:32", "" when the time is doubtful
	Stamp    string    // the same for machines
	Doubt    string    // why the time is doubtful
	Guess    bool      // where it belongs is a guess
	Eager    bool      // seen at once: not loaded lazily
	Second   bool      // seen at once beside another, which is asked for first
	Short    string    // the digits a person types for it, "" for readers
	Detail   string    // view and light: "left view, raking light"
	Home     string    // address of its place on its build page, "" = none
	Unshown  string    // why there is no picture, "" = there is one
	Format   string    // its kind, "NEF", where it is kept and no picture can be shown
	Fixed    string    // "clock 58 min fast, corrected", "" = its clock was right
	More     []Picture // others of the same moment, not shown in their own right
	Where    string    // "Mail seaplane, clean"
	Clip     *Moving   // it is a clip, nil = a photo; Src and what belongs to it are then its still's
	Earliest bool      // first photo of its day in a strip: the day is shown
}

// How wide a page shows a picture, for the browser's choice among the sizes.
const (
	asPrint   = "(max-width: 40rem) 46vw, 15rem"
	asOpening = "(max-width: 60rem) 94vw, 62rem"
	asHalf    = "(max-width: 40rem) 94vw, 34rem"
	asDetail  = "(max-width: 40rem) 94vw, 42rem"
	asThird   = "(max-width: 40rem) 94vw, 22rem"
	asSmall   = "5rem"
)

// noShow is why there is no picture of a photo; the zero value says there is one.
type noShow struct {
	words string
	never bool // it is kept, and nothing of it can be shown
}

func (n noShow) any() bool { return n != noShow{} }

// noPicture is said of a photo that is kept, though nothing of it can be shown:
// a raw picture without a preview, a kind this program has no decoder for.
var noPicture = noShow{"kept; no picture can be shown", true}

// unshownWords say why there is no picture. What is wrong with a file is told in English,
// to who can mend it.
func (in voice) unshownWords(n noShow) string {
	switch {
	case n.words == noPicture.words:
		return in.Say("kept; no picture can be shown")
	case !n.any() || n.never || in.IsEnglish():
		return n.words
	}
	return in.Say("its file cannot be shown")
}

// fileWidths are the sizes that exist of a photo so many pixels wide: none
// wider than the first that holds all of it.
func fileWidths(own int) []int {
	for i, w := range widths {
		if w >= own {
			return widths[:i+1]
		}
	}
	return widths
}

// sizeName is the file of a size below the pages folder.
func sizeName(stem string, width int) string {
	return "photos/" + stem + "-" + strconv.Itoa(width) + ".jpg"
}

// SmallPicture is the file of a photo's smallest size below the pages folder.
func SmallPicture(p *journal.Photo) string { return sizeName(stemOf(p, false), fileWidths(p.Width)[0]) }

// picture is the photo as a page shows it that lies where root leads back to
// the top.
func (v *view) picture(root string, p *journal.Photo, sizes string) Picture {
	if p == nil {
		return Picture{}
	}
	pic := Picture{
		ID: v.anchor(p), Sizes: sizes, Alt: v.alt(p), Caption: p.Caption, Role: v.roleWord(p.Tags.Role),
		Unshown: v.unshownWords(v.unshown[p.Hash]), Tone: v.tones[p.Hash],
		Detail: joinWords(", ", v.viewWord(p.Tags.View), v.lightWord(p.Tags.Light)), Where: v.where(p),
	}
	if v.mine() {
		pic.Doubt, pic.Guess = wording.Doubts(p.Instant.Doubts), p.Guess
		pic.Fixed, pic.Short = clockWords(p.Instant.Corrected), v.stem[p.Hash]
	}
	if at := p.Instant.At; !at.IsZero() {
		pic.Day, pic.Stamp = v.dayTold(p.Instant), at.Format(time.RFC3339)
		switch {
		case p.Instant.Said != "":
			pic.Stamp = at.Format("2006")
		case !p.Instant.Hour() || !v.times():
			pic.Stamp = at.Format(time.DateOnly)
		case !p.Instant.Doubts.Any():
			pic.Clock = at.Format("15:04")
		}
	}
	if b := v.builds[p.Tags.Build]; b != nil {
		pic.Home = root + v.place(b, p)
	}
	if p.Clip() {
		if sizes == asSmall {
			return v.smallClip(root, p, pic)
		}
		pic.Clip = v.clipOf(root, p, pic.Alt)
	}
	if v.unshown[p.Hash].never {
		pic.Format = cmp.Or(strings.ToUpper(p.Format), v.Say("Photo"))
	}
	if pic.Unshown != "" {
		return pic
	}
	files := sizesOf(root, v.stem[p.Hash], p.Width, p.Height)
	pic.Src, pic.SrcSet, pic.Large, pic.Width, pic.Height = files.Src, files.SrcSet, files.Large, files.Width,
		files.Height
	if sizes == asSmall { // the smallest does for any screen
		pic.Src, pic.SrcSet = root+sizeName(v.stem[p.Hash], widths[0]), ""
	}
	return pic
}

// dayTold is the day of a photo, or what a person said of it where no day is known.
func (in voice) dayTold(at journal.Instant) string {
	if at.Said != "" {
		return at.Said
	}
	return in.day(at.At)
}

// sizesOf is a picture so many pixels wide and high by the addresses and
// measures of its files alone.
func sizesOf(root, stem string, width, height int) (pic Picture) {
	var set []string
	for _, w := range fileWidths(width) {
		have := min(w, width)
		pic.Large = root + sizeName(stem, w)
		set = append(set, fmt.Sprintf("%s %dw", pic.Large, have))
		pic.Width = have
		if w <= 960 {
			pic.Src = pic.Large
		}
	}
	pic.SrcSet = strings.Join(set, ", ")
	pic.Height = max(1, int(math.Round(float64(pic.Width)*float64(height)/float64(width))))
	return pic
}

// where says where the photo belongs, in words.
func (v *view) where(p *journal.Photo) string {
	b := v.builds[p.Tags.Build]
	if b == nil {
		return v.Say("No build yet")
	}
	stage := ""
	if st := b.Stage(p.Tags.Stage); st != nil {
		stage = v.low(v.stageTitle(st))
	}
	return joinWords(", ", b.Title, stage)
}

// alt words the tags of a photo for those who do not see it.
func (v *view) alt(p *journal.Photo) string {
	at := ""
	if !p.Instant.At.IsZero() {
		at = v.dayTold(p.Instant)
	}
	return joinWords(", ", v.where(p), v.roleWord(p.Tags.Role), v.viewWord(p.Tags.View), v.lightWord(p.Tags.Light), at)
}

// strip turns photos in time order into a contact strip: the day stands at
// the first print of each day. Of a burst one is shown, with the others under
// it.
func (v *view) strip(root string, photos []*journal.Photo) []Picture {
	var out []Picture
	last := ""
	for _, p := range keepPhotos(photos, stands) {
		pic := v.picture(root, p, asPrint)
		pic.More = v.smalls(root, v.bursts[p.Hash])
		for i, q := range v.bursts[p.Hash] {
			pic.More[i].ID = v.anchor(q) // a strip is where a photo has its own place
		}
		pic.Earliest = pic.Day != last
		last = pic.Day
		out = append(out, pic)
	}
	return out
}

// place is the address of a photo's own place, from the top.
func (v *view) place(b *build, p *journal.Photo) string {
	if s := v.series[p.Series]; s != nil {
		return v.frameHref(s, p)
	}
	return cmp.Or(v.folded[p], b.href) + "#" + v.anchor(p)
}

// anchor is the name of a photo's own place on its page.
func (v *view) anchor(p *journal.Photo) string { return "photo-" + v.stem[p.Hash] }

// smalls are photos as small prints, without a place of their own.
func (v *view) smalls(root string, photos []*journal.Photo) []Picture {
	var out []Picture
	for _, p := range photos {
		pic := v.picture(root, p, asSmall)
		pic.ID = ""
		out = append(out, pic)
	}
	return out
}

// clockWords says which fault of a camera's clock was taken off: "clock 58 min
// fast, corrected". It is "" when none was.
func clockWords(corrected reason.Fault) string {
	if !corrected.Any() {
		return ""
	}
	return "clock " + wording.Fault(corrected) + ", corrected"
}

// best is the photo that stands for a step: the latest of finished work, else
// of an after, else of work in progress, else one whose role nobody said; a
// before only where there is nothing else. Photos come in time order.
func best(photos []*journal.Photo) *journal.Photo {
	var found *journal.Photo
	for _, p := range photos {
		if found == nil || rank(p) >= rank(found) {
			found = p
		}
	}
	return found
}

// rank says how far a photo shows what came out of a step.
func rank(p *journal.Photo) int {
	switch p.Tags.Role {
	case "finished":
		return 4
	case "after":
		return 3
	case "progress":
		return 2
	case "before":
		return 0
	}
	return 1
}

// isResult tells a photo of done work from one of work still to do.
func isResult(p *journal.Photo) bool { return rank(p) >= 3 }
