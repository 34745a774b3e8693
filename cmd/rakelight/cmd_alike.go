// rakelight alike: photos of different builds that look alike, proposed and answered.

package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/wording"
	"rakelight/media/alike"
	"rakelight/render"
)

var alikeCmd = &command{
	name: "alike", line: "find photos of earlier builds that look like later ones",
	usage: `Usage: rakelight alike [BUILD [STAGE]]
       rakelight alike PHOTO PHOTO --yes [--tags]
       rakelight alike PHOTO PHOTO --no
       rakelight alike --said

Photos of the years before mostly have no view and no light as tags, so nothing can
be compared with them. This looks for those that seem to show the same step from the
same view and under the same light as a photo of another build, and proposes one pair
at most for each step and two builds, with why. It is a guess from how pictures are
built up, the better the more photos have view and light as tags. The surest come
first; what is framed and lit alike and no more says so. After a no the next best is
proposed. No photo is put beside another until you say yes.

  BUILD, STAGE   look in one build, or one stage of it
  --yes          they belong beside each other: the two get a comparison
  --tags         with --yes: the photo that lacks view or light takes them over
                 from the other, as tags of yours
  --no           they do not: never proposed again, from neither side
  --said         list what you said

Examples:
  rakelight alike lorry
  rakelight alike 1f3a9c04 77ab01c2 --yes --tags
`,
	run: func(a *app, args []string) error {
		var said entry.Alike
		fs := pflag.NewFlagSet("alike", pflag.ContinueOnError)
		yes := fs.Bool("yes", false, "")
		fs.BoolVar(&said.Not, "no", false, "")
		fs.BoolVar(&said.Tag, "tags", false, "")
		list := fs.Bool("said", false, "")
		j, rest, err := a.openWith(fs, args, takes(0, 2, "alike takes two photos, or a build and a stage"),
			func(rest []string) error {
				switch answer := *yes || said.Not; {
				case *yes && said.Not:
					return &usageError{"--yes and --no exclude each other"}
				case answer && len(rest) != 2:
					return &usageError{"name the two photos that --yes or --no is said of"}
				case said.Tag && !*yes:
					return &usageError{"--tags goes with --yes"}
				case *list && (answer || len(rest) > 0):
					return &usageError{"--said stands alone"}
				}
				return nil
			})
		switch {
		case err != nil:
			return err
		case *list:
			a.listAlikes(j.State)
			return nil
		case *yes || said.Not:
			said.A, said.B = rest[0], rest[1]
			return a.sayAlike(j, said)
		}
		return a.findAlike(j, rest)
	},
}

// sayAlike writes down a yes or a no.
func (a *app) sayAlike(j *journal.Journal, said entry.Alike) error {
	done, err := entry.Do(j, said)
	if err != nil {
		return err
	}
	for i, body := range done.Add {
		switch b := body.(type) {
		case journal.AlikeBody:
			a.printf("%s%s\n", alikeWords(done.State, b.A, b.B, b.Not), takeBack(done.Records[i]))
		case journal.TagBody:
			a.printf("%s: %s%s\n", b.Photo[:8], wording.AlikeTags(b.Set), takeBack(done.Records[i]))
		}
	}
	a.told(done.Remarks)
	return nil
}

// alikeWords says what was said of two photos.
func alikeWords(s *journal.State, one, other string, not bool) string {
	if not {
		return one[:8] + " and " + other[:8] + " are not alike: never proposed again"
	}
	words := one[:8] + " stands beside " + other[:8]
	photos := s.PhotosByHash()
	if p, q := photos[one], photos[other]; p != nil && q != nil && p.Kind == q.Kind {
		words += ", " + wording.KindName(p.Kind)
	}
	return words
}

// listAlikes lists what was said.
func (a *app) listAlikes(s *journal.State) {
	for _, one := range s.Alikes {
		a.printf("%s (%s takes it back)\n", alikeWords(s, one.A, one.B, one.Not),
			journal.Typed("rakelight retract %s", one.Record))
	}
	if len(s.Alikes) == 0 {
		a.println("no two photos were called alike, or not alike")
	}
}

// findAlike proposes pairs of one build, or of all.
func (a *app) findAlike(j *journal.Journal, rest []string) error {
	small := func(p *journal.Photo) string { return j.Path("pages/" + render.SmallPicture(p)) }
	f := alike.New(j.State, alike.OpenLooks(j, small))
	builds, kind := f.Builds(), ""
	if len(rest) > 0 {
		b, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		builds = []*journal.Build{b}
		if len(rest) > 1 {
			st, err := j.State.StageCalled(b, rest[1])
			if err != nil {
				return err
			}
			kind = st.Kind
		}
	}
	bar := newProgress(a.err)
	none := true
	for _, b := range builds {
		err := f.Look(a.ctx, b, kind, func(done, total int) { bar.at(done, total, "photos looked at") })
		bar.end()
		if err != nil {
			return err
		}
		found, err := f.Find(a.ctx, b, kind)
		if err != nil {
			return err
		}
		for _, p := range found {
			a.printAlike(j.State, p)
			none = false
		}
	}
	if none {
		a.println(wording.NoAlike(f.Lacks(builds, kind)))
	}
	return nil
}

// printAlike prints a proposal: what, why, and how to answer.
func (a *app) printAlike(s *journal.State, p journal.AlikePair) {
	of := func(p *journal.Photo) string {
		words := p.Short()
		if b := s.Build(p.Tags.Build); b != nil {
			words += " of " + b.Title
		}
		if told := p.Instant.Told("2006"); told != "" {
			words += fmt.Sprintf(" (%s)", told)
		}
		return words
	}
	a.printf("%s: %s beside %s\n", wording.KindName(p.Kind), of(p.Photo), of(p.Like))
	words := wording.AlikeBy(p)
	if gaps := wording.AlikeGaps(p); gaps != "" {
		words += " Not known: " + gaps + "."
	}
	yes := journal.Typed("rakelight alike %s %s --yes", p.Photo.Short(), p.Like.Short())
	if p.Tells() {
		yes += " --tags"
	}
	a.printf("  %s\n  %s (or --no)\n", words, yes)
}
