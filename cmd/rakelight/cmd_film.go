// rakelight film: a build from its first picture to its last, as a file for editors of
// films.

package main

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/entry"
	"rakelight/media/film"
	"rakelight/render"
	"rakelight/render/still"
)

var filmCmd = &command{
	name: "film", line: "write a build's pictures, first to last, as a film",
	usage: `Usage: rakelight film BUILD FILE [--each 500ms] [--cards 3s] [--rate N]
                      [--size 1920x1080] [--day]
       rakelight film --series PHOTO FILE [--each 100ms] [the same]

Writes the pictures of a build's flick-through, first to last, as a film: steadied
on bench cards, their light evened, each with its stage and day; a title before,
a card after. FILE ends in .avi (motion JPEG), which editors of films open and for
which nothing else is needed. Where it ends in .mp4 or .webm, the pictures go to
ffmpeg, if that is on the PATH.

With --series it is the series that a photo is one of (rakelight series lists them):
all of its photos as they were taken, with the time that had passed; how long the
film is and how many times as fast as the work is printed.

  --each DURATION   how long a picture is shown: 500ms, of a series 100ms
  --cards DURATION  how long the title and the card at the end are: 3s
  --rate N          so many pictures a second, each repeated as often as that takes;
                    left out, each is in the file once, which makes it small. 25 or
                    30 is for an editor that does not take slow films
  --size WxH        1920x1080 or another of that shape: 1280x720
  --day             ink on light paper instead of ivory on dark

Nothing is written over. Stopped half-way, it leaves no file. What is private is
left out.

Examples:
  rakelight film pilot-boat ../video/pilot-boat.avi
  rakelight film pilot-boat ../video/pilot-boat.avi --each 250ms --rate 25
  rakelight film --series 1f3a9c04 ../video/seam.avi --rate 30
`,
	run: func(a *app, args []string) error {
		var o filmOptions
		fs := pflag.NewFlagSet("film", pflag.ContinueOnError)
		fs.DurationVar(&o.each, "each", 0, "")
		fs.StringVar(&o.series, "series", "", "")
		fs.DurationVar(&o.cards, "cards", 3*time.Second, "")
		fs.IntVar(&o.rate, "rate", 0, "")
		fs.StringVar(&o.size, "size", "1920x1080", "")
		light := fs.Bool("day", false, "")
		j, rest, err := a.openWith(fs, args, o.takes, o.check)
		if err != nil {
			return err
		}
		o.look.Night = !*light
		if o.series != "" {
			return a.filmSeries(j, rest[0], o)
		}
		b, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		if err := j.CanHandOut(rest[1]); err != nil { // before the work, not after it
			return err
		}
		f, err := render.FilmOf(j, b, a.now(), o.look)
		if err != nil {
			return err
		}
		_, err = a.writeFilm(j, f, b.Title, rest[1], o)
		return err
	},
}

// filmSeries writes the film of the series that a photo is one of.
func (a *app) filmSeries(j *journal.Journal, path string, o filmOptions) error {
	p, err := entry.Photo(j.State, o.series)
	if err != nil {
		return err
	}
	s := j.State.InSeries(p)
	if s == nil {
		return &journal.AskError{What: p.Short() + " is in no series: nothing written",
			Hint: "rakelight series lists them"}
	}
	if err := j.CanHandOut(path); err != nil {
		return err
	}
	f, err := render.SeriesFilmOf(j, s, a.now(), o.look)
	if err != nil {
		return err
	}
	shown, err := a.writeFilm(j, f, f.Title(), path, o)
	if err == nil {
		a.printf("the series went on for %s: its pictures are shown %.0f times as fast\n", journal.Spell(f.Took()),
			f.Took().Seconds()/shown.Seconds())
	}
	return err
}

// filmOptions is how a film is made.
type filmOptions struct {
	each, cards time.Duration
	series      string // a photo of it, "" = the film is of a build
	rate        int
	size        string
	look        still.Look
	encoder     string // the program that makes a film of that ending, "" = none is needed
}

// Bounds of what makes sense, so that a typing error does not fill the disk.
const (
	leastEach, mostEach = 20 * time.Millisecond, time.Minute
	mostRate            = 120
	leastHigh, mostHigh = 180, 2160
)

// takes looks for what a film is of.
func (o *filmOptions) takes(rest []string) error {
	if o.series != "" {
		return takes(1, 1, "film --series takes a photo and a file: rakelight film --series 1f3a9c04 seam.avi")(rest)
	}
	return takes(2, 2, "film takes a build and a file: rakelight film lorry lorry.avi")(rest)
}

func (o *filmOptions) check(rest []string) error {
	if o.each == 0 {
		o.each = 500 * time.Millisecond
		if o.series != "" {
			o.each = 100 * time.Millisecond
		}
	}
	if o.each < leastEach || o.each > mostEach || o.cards < 0 || o.cards > mostEach {
		return &usageError{fmt.Sprintf("--each is between %s and %s, and --cards at most that", leastEach, mostEach)}
	}
	if o.rate < 0 || o.rate > mostRate {
		return &usageError{fmt.Sprintf("--rate is at most %d pictures a second", mostRate)}
	}
	w, h, ok := strings.Cut(o.size, "x")
	var err1, err2 error
	o.look.Width, err1 = strconv.Atoi(w)
	o.look.Height, err2 = strconv.Atoi(h)
	if !ok || err1 != nil || err2 != nil || o.look.Height < leastHigh || o.look.Height > mostHigh ||
		o.look.Width*still.High != o.look.Height*still.Wide || o.look.Width%2+o.look.Height%2 > 0 {
		return &usageError{"--size is 16 to 9 in even numbers, as 1920x1080, 1280x720 or 3840x2160"}
	}
	ending := strings.ToLower(filepath.Ext(rest[len(rest)-1]))
	if ending == ".avi" {
		return nil
	}
	if encoders[ending] == nil {
		return &usageError{"the file of a film ends in .avi; with ffmpeg on the PATH also in .mp4 or .webm"}
	}
	o.encoder, err1 = findEncoder()
	if err1 != nil {
		return &usageError{fmt.Sprintf("%s takes ffmpeg, which is not on the PATH; a film that ends in .avi takes nothing",
			ending)}
	}
	return nil
}

// speed is how many pictures a second the film has, and how often the pictures and the
// cards are in it.
func (o *filmOptions) speed() (rate film.Rate, each, cards int) {
	times := func(d, one time.Duration) int { return max(1, int((d+one/2)/one)) }
	if o.rate > 0 {
		one := time.Second / time.Duration(o.rate)
		return film.Rate{Frames: uint32(o.rate), Seconds: 1}, times(o.each, one), times(o.cards, one)
	}
	// One picture a frame: so many milliseconds as it is shown, in the smallest numbers.
	ms := uint32(o.each.Round(time.Millisecond).Milliseconds())
	by := divisor(1000, ms)
	return film.Rate{Frames: 1000 / by, Seconds: ms / by}, 1, times(o.cards, o.each)
}

// divisor is the largest that two numbers have in common.
func divisor(a, b uint32) uint32 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// filmQuality is that of single pictures which an editor compresses once more.
const filmQuality = 90

// writeFilm writes a film, and returns how long its pictures are shown.
func (a *app) writeFilm(j *journal.Journal, f *render.Film, of, path string, o filmOptions) (time.Duration, error) {
	rate, each, cards := o.speed()
	p := newProgress(a.err)
	defer p.end()
	var shown int
	err := j.HandOutThrough(path, func(tmp disk.File) error {
		to, err := o.writer(a.ctx, tmp, strings.ToLower(filepath.Ext(path)), rate)
		if err != nil {
			return err
		}
		for i := range f.Len() {
			if err := a.ctx.Err(); err != nil {
				return errorsOf(err, to)
			}
			img, err := f.Draw(j, i)
			if err != nil {
				return errorsOf(err, to)
			}
			times := each
			if f.IsCard(i) {
				times = cards
			}
			shown += times
			if err := to.AddImage(img, filmQuality, times); err != nil {
				return errorsOf(err, to)
			}
			p.at(i+1, f.Len(), "pictures")
		}
		return to.Close()
	})
	p.end()
	if err != nil {
		return 0, err
	}
	one := time.Second * time.Duration(rate.Seconds) / time.Duration(rate.Frames)
	a.printf("%s: %s of %s, %s long\n", path, count(f.Len()-2, "picture"), of,
		(time.Duration(shown) * one).Round(100*time.Millisecond))
	return time.Duration((f.Len()-2)*each) * one, nil
}
