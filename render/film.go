// The film of a build: its flick-through as pictures for a screen, with a title before
// and a card after.

package render

import (
	"fmt"
	"image"
	"time"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/card"
	"rakelight/render/still"
)

// Film is a build from its first picture to its last, for a screen.
type Film struct {
	v     *view
	b     *build
	f     *flick
	look  still.Look
	edges map[string]float64 // photo hash → how light its edge is, in stops
	told  *seriesShown       // of a series: what it is of
}

// Title is that of the build.
func (f *Film) Title() string { return f.b.Title }

// Took is how long the series went on that the film is of, as far as others see it; 0 of
// a build.
func (f *Film) Took() time.Duration {
	if f.told == nil {
		return 0
	}
	return f.told.Length()
}

// FilmOf is the film of a build. It holds what others may see, and no picture until
// one is drawn. It returns an AskError where there are too few pictures, or the build is
// private.
func FilmOf(j *journal.Journal, build *journal.Build, now time.Time, look still.Look) (*Film, error) {
	v := viewForOthers(j.State, now)
	b := v.builds[build.ID]
	if b == nil {
		return nil, &journal.AskError{What: build.ID + " is private, and a film is made to be shown: nothing written",
			Hint: "rakelight help private tells how that is changed"}
	}
	if err := v.readGrays(j, v.flickPhotos(b)); err != nil {
		return nil, err
	}
	f := v.flick(b)
	if f == nil {
		what := fmt.Sprintf("%s has too few pictures of the work for a film: nothing written", build.ID)
		return nil, &journal.AskError{What: what,
			Hint: fmt.Sprintf("it takes %d, of different days or stages", fewFrames)}
	}
	return &Film{v: v, b: b, f: f, look: look, edges: map[string]float64{}}, nil
}

// SeriesFilmOf is the film of a series, with all of its frames as they were taken. It
// holds what others may see. It returns an AskError where that is nothing.
func SeriesFilmOf(j *journal.Journal, series *journal.Series, now time.Time, look still.Look) (*Film, error) {
	v := viewForOthers(j.State, now)
	for _, p := range j.State.FramesOf(series.ID) {
		seen := v.byHash[p.Hash]
		if seen == nil || v.series[seen.Series] == nil {
			continue
		}
		s := v.series[seen.Series]
		f := &flick{width: frameWide, height: s.high()}
		for _, one := range s.frames {
			f.frames = append(f.frames, flickFrame{photo: one, laid: asTaken(one, f.width, f.height)})
		}
		return &Film{v: v, b: s.b, f: f, look: look, told: s}, nil
	}
	return nil, &journal.AskError{What: "this series is private, or belongs to no build: nothing written",
		Hint: "rakelight series lists what there is; rakelight help private tells how that is changed"}
}

// readGrays measures the cards' gray steps of photos of which they are not known yet.
func (v *view) readGrays(j *journal.Journal, photos []*journal.Photo) error {
	known := knownGrays(j)
	for _, p := range photos {
		if r := card.Best(v.State, p); r != nil {
			g, ok := known[grayKey(p, r)]
			if !ok {
				var err error
				if g, err = measuredGray(j, p, r); err != nil {
					return err
				}
			}
			v.grays[p.Hash] = g
		}
	}
	return nil
}

// Len is how many pictures the film has, both cards included.
func (f *Film) Len() int { return len(f.f.frames) + 2 }

// IsCard reports whether the picture in that place, from 0, is the title or the card at
// the end, which want more time.
func (f *Film) IsCard(i int) bool { return i == 0 || i == f.Len()-1 }

// Draw draws the picture in that place. Errors are those of media.Sizes and of the file
// system.
func (f *Film) Draw(j *journal.Journal, i int) (*image.RGBA, error) {
	switch i {
	case 0:
		return still.Draw(f.title(), f.look), nil
	case f.Len() - 1:
		return f.end(j)
	}
	one := f.f.frames[i-1]
	file, err := j.Original(one.photo.Path)
	if err != nil {
		return nil, err
	}
	width, height := still.FrameSize(f.look, f.f.width, f.f.height)
	laid := scaled(one.laid, width, height)
	if one.like != nil {
		if laid.Gain, err = f.even(j, one); err != nil {
			return nil, err
		}
	}
	picture, err := laid.Picture(file, one.photo.Turn)
	if err != nil {
		return nil, err
	}
	n := len(f.f.frames)
	under := f.v.dayTold(one.photo.Instant)
	if f.told != nil { // all of one day: how long it went on
		under = journal.SpellShort(one.photo.Instant.At.Sub(f.told.First))
	}
	frame := still.Frame{Picture: picture, Over: unmarked(f.b.Title), Under: under,
		Count: fmt.Sprintf("%d of %d", i, n), Along: float64(i) / float64(n), Shade: f.b.drawn()}
	if st := f.b.Stage(one.photo.Tags.Stage); st != nil {
		frame.Heading = unmarked(f.v.stageTitle(st))
	}
	return still.Draw(frame, f.look), nil
}

func (f *Film) title() still.Title {
	t := still.Title{Over: unmarked(f.v.name()), Heading: unmarked(f.b.Title), Under: f.v.buildSpan(f.b)}
	if f.b.Scale != "" {
		t.Under = joinWords(", ", unmarked(f.b.Scale), t.Under)
	}
	t.Lines = []string{"From the first picture to the last"}
	if s := f.told; s != nil {
		t.Under = joinWords(", ", unmarked(f.v.stageTold(s.b, s.Stage)), f.v.day(s.First))
		t.Lines = []string{fmt.Sprintf("%d photos over %s", len(f.f.frames), journal.Spell(s.Length()))}
	}
	return t
}

// end is the card after the last picture: the model as it stands, and what went into
// it.
func (f *Film) end(j *journal.Journal) (*image.RGBA, error) {
	t := still.Title{Over: unmarked(f.v.name()), Heading: "To be continued", Under: unmarked(f.b.Title)}
	if f.b.Finished != "" {
		t.Heading, t.Under = unmarked(f.b.Title), "Finished "+f.v.dayOf(f.b.Finished)
	}
	if words := f.v.hoursWords(f.b); words != "" {
		t.Lines = append(t.Lines, "At the bench: "+said(words))
	}
	if p := f.v.portrait(f.b.prints); p != nil {
		file, err := j.Original(p.Path)
		if err != nil {
			return nil, err
		}
		width, height := still.TitleSize(f.look, p.Width, p.Height)
		picture, err := asTaken(p, width, height).Picture(file, p.Turn)
		if err != nil {
			return nil, err
		}
		t.Picture = picture
	}
	return still.Draw(t, f.look), nil
}

// even is the correction of a frame whose light no card told, as on the page.
func (f *Film) even(j *journal.Journal, one flickFrame) (card.Correction, error) {
	var lights [2]float64
	for i, p := range [2]*journal.Photo{one.photo, one.like} {
		light, known := f.edges[p.Hash]
		if !known {
			file, err := j.Original(p.Path)
			if err != nil {
				return card.Correction{}, err
			}
			img, err := smallOf(p).Picture(file, p.Turn)
			if err != nil {
				return card.Correction{}, err
			}
			light = edgeLight(img)
			f.edges[p.Hash] = light
		}
		lights[i] = light
	}
	if g := f.v.gray(one.like); g.Why == "" {
		lights[1] += g.Gain.Stops()
	}
	return evenBy(lights[0], lights[1]), nil
}

// smallOf is a photo as small as its light is looked at.
func smallOf(p *journal.Photo) media.Laid {
	const wide = 240
	return asTaken(p, wide, max(1, wide*p.Height/p.Width))
}
