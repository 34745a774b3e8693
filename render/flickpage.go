// The page of a flick-through: a build from its first picture to its last, moved by
// hand alone. Without scripts it is a strip of the same pictures.

package render

// FlickPage is builds/<id>/flick.html.
type FlickPage struct {
	Frame
	Build   Tag
	Heading string
	Says    string // "24 pictures, 7 March to 21 November 2026"
	How     string // heads Words
	Words   []string
	First   FlickPicture
	Frames  []FlickPicture
	Width   int
	Height  int
}

// FlickPicture is one picture of it.
type FlickPicture struct {
	ID       string // anchor, where this is its own place
	Src, Alt string
	Day      string
	Stamp    string
	Stage    string // "Cleanup, after"
	Note     string // why it is as taken though it shows a card, "" = nothing to say
	Home     string // its own place
}

// flickLink leads to the page from the build's, "" = there is none.
func (v *view) flickLink(b *build) Link {
	f := v.flick(b)
	if f == nil {
		return Link{}
	}
	return Link{Words: v.Say("from the first picture to the last, %d of them to flick through", len(f.frames)),
		Href: top + b.flickHref()}
}

func (b *build) flickHref() string { return b.folder() + "flick.html" }

func (v *view) flickPage(b *build, f *flick) FlickPage {
	root := "../../"
	title := v.Say("%s, from the first picture to the last", b.Title)
	p := FlickPage{Frame: v.frameIn(root, "flick", title, b), Build: b.tag(root), Heading: title,
		How: v.Say("How the pictures were made alike"), Words: v.flickWords(f), Width: f.width, Height: f.height}
	p.Script = "flick.js"
	for _, one := range f.frames {
		pic := v.picture(root, one.photo, asPrint)
		frame := FlickPicture{Src: root + sizeName(one.stem, f.width), Alt: pic.Alt, Day: pic.Day, Stamp: pic.Stamp,
			Home: pic.Home}
		if v.unflicked[one.stem] {
			frame.Src = pic.Src
		}
		if st := b.Stage(one.photo.Tags.Stage); st != nil {
			frame.Stage = v.stageTitle(st)
		}
		frame.Stage = joinWords(", ", frame.Stage, pic.Role)
		if one.unsteady.Key != "" {
			frame.Note = v.Say("as taken: %s", one.unsteady)
		}
		p.Frames = append(p.Frames, frame)
	}
	p.First = p.Frames[0]
	last := p.Frames[len(p.Frames)-1].Day
	p.Says = v.Say("%d pictures, %s to %s.", len(p.Frames), p.First.Day, last)
	return p
}

// flickDigest is of the page.
func (v *view) flickDigest(b *build, f *flick) digest {
	var e encoding
	e.any(v.digest().heads[b])
	e.any(v.flickWords(f))
	e.any([]int{f.width, f.height})
	for _, one := range f.frames {
		e.any(v.digest().photo(one.photo))
		e.any(one.stem)
		e.any(one.unsteady)
		e.any(v.unflicked[one.stem])
	}
	return e.sum()
}
