// rakelight tag: says where photos belong.

package main

import (
	"flag"
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
)

var tagCmd = &command{
	name: "tag", line: "say where photos belong",
	usage: `Usage: rakelight tag PHOTO… BUILD [STAGE] [flags]
       rakelight tag PHOTO… [flags]

Sets the tags of one or many photos. A PHOTO is named by the first digits of
its hash (the pages show them), by its path, or by its file name. What you say
outweighs every other reason, and can be taken back with rakelight retract.

  --role ROLE     before, after, progress, problem or finished
  --view VIEW     front, left, right, rear, top or three-quarter
  --light LIGHT   diffuse or raking
  --kit N         which kit of the build
  --parts PARTS   A1-A12,B3
  --caption TEXT  plain words shown under the photo
  --clear NAMES   tags to unset, such as role,view

Example:
  rakelight tag 1f3a9c04 pilot-boat clean --role before
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("tag", flag.ContinueOnError)
		role := fs.String("role", "", "")
		view := fs.String("view", "", "")
		light := fs.String("light", "", "")
		kit := fs.Int("kit", 0, "")
		parts := fs.String("parts", "", "")
		caption := fs.String("caption", "", "")
		clear := fs.String("clear", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		for _, one := range []struct {
			name, value string
			known       []string
		}{{"role", *role, journal.Roles}, {"view", *view, journal.Views}, {"light", *light, journal.Lights}} {
			if one.value != "" && !slices.Contains(one.known, one.value) {
				return &usageError{fmt.Sprintf("--%s %s is not known; it is one of %s", one.name, one.value, strings.Join(one.known, ", "))}
			}
		}
		body := journal.TagBody{Set: journal.Tags{Role: *role, View: *view, Light: *light, Kit: *kit}}
		if *clear != "" {
			body.Clear = strings.Split(*clear, ",")
			for _, name := range body.Clear {
				if !slices.Contains([]string{"build", "stage", "kit", "role", "view", "light", "parts"}, name) {
					return &usageError{fmt.Sprintf("--clear %s: there is no such tag", name)}
				}
			}
		}
		fs.Visit(func(f *flag.Flag) {
			if f.Name == "caption" {
				body.Caption = caption
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
		var build *journal.Build
		if len(place) > 0 {
			if build, err = j.State.ResolveBuild(place[0]); err != nil {
				return err
			}
			body.Set.Build = build.ID
		}
		if len(place) > 1 {
			stage, err := j.State.ResolveStage(build, place[1])
			if err != nil {
				return err
			}
			body.Set.Stage = stage.ID
		}
		if build == nil {
			build = j.State.Build(photos[0].Tags.Build)
		}
		if *parts != "" {
			if build == nil {
				return &usageError{"--parts needs a build to read the runners from"}
			}
			refs, bare, err := journal.ParseParts(*parts, build)
			if err != nil {
				return err
			}
			if bare > 0 {
				return &usageError{"--parts takes references such as A12, not a bare count"}
			}
			body.Set.Parts = refs
		}
		if len(place) == 0 && len(body.Clear) == 0 && body.Caption == nil && *role+*view+*light+*parts == "" && *kit == 0 {
			return &usageError{"nothing to set: name a build, a stage or a flag"}
		}
		records := make([]journal.New, len(photos))
		for i, p := range photos {
			one := body
			one.Photo = p.Hash
			records[i] = journal.New{Kind: "tag", Body: one}
		}
		written, err := j.AppendAll(records)
		if err != nil {
			return err
		}
		a.printf("%s tagged", count(len(photos), "photo"))
		switch {
		case len(written) == 1:
			a.println(takeBack(written[0]))
		default:
			a.printf(" (records %s to %s; rakelight retract takes back one at a time)\n", written[0].ID(), written[len(written)-1].ID())
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
			return nil, nil, &journal.AskError{What: fmt.Sprintf("%s names %d photos", arg, len(found)), Hint: "write more digits of the one you mean: " + found[0].Short() + ", " + found[1].Short() + ", …"}
		case i == 0:
			return nil, nil, fmt.Errorf("there is no photo %q in this journal", arg)
		}
		place = args[i:]
		break
	}
	if len(photos) == 0 {
		return nil, nil, &usageError{"tag needs at least one photo"}
	}
	if len(place) > 2 {
		return nil, nil, &usageError{fmt.Sprintf("%q names no photo, and after the photos come only BUILD and STAGE", place[0])}
	}
	return photos, place, nil
}
