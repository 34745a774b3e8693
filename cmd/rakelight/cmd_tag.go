// rakelight tag: says where photos belong.

package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

var tagCmd = &command{
	name: "tag", line: "say where photos belong",
	usage: `Usage: rakelight tag PHOTO… BUILD [STAGE] [flags]
       rakelight tag PHOTO… [flags]

Sets the tags of one or many photos. A PHOTO is named by the first characters
of its id (the pages show them), by its path, or by its file name. What you say
outweighs every other reason, and can be taken back with rakelight retract.

  --role ROLE     before, after, progress, problem or finished
  --view VIEW     front, left, right, rear, top or three-quarter
  --light LIGHT   diffuse or raking
  --kit N         which kit of the build
  --parts PARTS   A1-A12,B3
  --caption TEXT  plain words shown under the photo
  --clear NAMES   tags to unset, such as role,view
  --series        of a photo that is one of a series, all photos of it

Example:
  rakelight tag 1f3a9c04 pilot-boat clean --role before
`,
	run: func(a *app, args []string) error {
		var said entry.Tag
		fs := pflag.NewFlagSet("tag", pflag.ContinueOnError)
		fs.StringVar(&said.Role, "role", "", "")
		fs.StringVar(&said.View, "view", "", "")
		fs.StringVar(&said.Light, "light", "", "")
		fs.IntVar(&said.Kit, "kit", 0, "")
		fs.StringVar(&said.Parts, "parts", "", "")
		caption := fs.String("caption", "", "")
		clear := fs.String("clear", "", "")
		fs.BoolVar(&said.Series, "series", false, "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if *clear != "" {
			said.Clear = strings.Split(*clear, ",")
		}
		fs.Visit(func(f *pflag.Flag) {
			if f.Name == "caption" {
				said.Caption = caption
			}
		})
		j, err := a.open()
		if err != nil {
			return err
		}
		photos, place, err := splitPhotos(j.State, rest)
		if err != nil {
			return err
		}
		for _, p := range photos {
			said.Photos = append(said.Photos, p.Hash)
		}
		if len(place) > 0 {
			said.Build = place[0]
		}
		if len(place) > 1 {
			said.Stage = place[1]
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		a.printf("%s tagged", count(len(done.Records), "photo"))
		if written := done.Records; len(written) == 1 {
			a.println(takeBack(written[0]))
		} else {
			a.printf(" (%s takes all of it back)\n", journal.Typed("rakelight retract %s", nameOf(written)))
		}
		a.told(done.Remarks)
		if one := j.State.InSeries(photos[0]); one != nil && !said.Series {
			a.printf("%s is one of a series of %d photos; the same with --series tags all of them\n", photos[0].Short(), one.Frames)
		}
		return nil
	},
}

// splitPhotos reads photos off the front of the arguments as long as they name
// one, and returns the rest: a build and a stage, at most.
func splitPhotos(s *journal.State, args []string) (photos []*journal.Photo, place []string, err error) {
	for i, arg := range args {
		found := s.FindPhoto(arg)
		switch {
		case len(found) == 1:
			photos = append(photos, found[0])
			continue
		case len(found) > 1:
			return nil, nil, &journal.AskError{What: fmt.Sprintf("%s names %d photos", arg, len(found)),
				Hint: "write more digits of the one you mean: " + found[0].Short() + ", " + found[1].Short() + ", …"}
		case i == 0:
			return nil, nil, &entry.Refusal{Reason: entry.NoSuchPhoto, Name: arg}
		}
		place = args[i:]
		break
	}
	if len(photos) == 0 {
		return nil, nil, &usageError{"tag needs at least one photo"}
	}
	if len(place) > 0 && s.Build(place[0]) == nil && slices.Contains(journal.Roles, place[0]) {
		return nil, nil, &journal.AskError{
			What: fmt.Sprintf("%q is a role, not a build: nothing written", place[0]),
			Hint: journal.Typed("rakelight tag %s --role %s", photos[0].Short(), place[0]),
		}
	}
	if len(place) > 2 {
		return nil, nil, &usageError{fmt.Sprintf("%q names no photo, and after the photos come only BUILD and STAGE",
			place[0])}
	}
	return photos, place, nil
}
