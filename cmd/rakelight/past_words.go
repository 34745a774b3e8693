// What is told of old pictures: how many there are, what they are, how their dates are
// known, and the guesses.

package main

import (
	"cmp"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"text/tabwriter"

	"rakelight/journal"
	"rakelight/media/past"
	sheet "rakelight/render/past"
)

// tellPast says what was found in the folders.
func (a *app) tellPast(s *past.Survey) {
	same, copies, kept, out := 0, 0, 0, 0
	for _, p := range s.Pictures {
		same += len(p.Same)
		copies += oneIf(p.CopyOf != "")
		kept += oneIf(p.Kept)
		out += oneIf(p.Out())
	}
	a.printf("%s in %s, read where they lie; nothing was moved or copied", count(len(s.Pictures), "picture"),
		count(len(s.Roots), "folder"))
	if n := len(s.Pictures); n > 0 {
		a.printf("; %s, on %s", span(s.Pictures[0].At, s.Pictures[n-1].At), count(len(s.Evenings()), "evening"))
	}
	a.printf("\n")
	for _, one := range []struct {
		n    int
		what string
	}{
		{same, "lie there once more, byte for byte, and count once"},
		{copies, "are smaller copies of others, as messengers make them, and are not brought in"},
		{kept, "are in the journal already"}, {out, "are left out, as you said"},
	} {
		if one.n > 0 {
			a.printf("  %d %s\n", one.n, one.what)
		}
	}
	a.tellPlaces(s)
	a.tellLeft(s.Left)
}

// shownLeft is how many files of other kinds are named.
const shownLeft = 5

// tellLeft says which files were not read. What is no picture is counted alone: a
// backup is full of it.
func (a *app) tellLeft(all []past.Left) {
	n := map[past.LeftAs]int{}
	for _, l := range all {
		if n[l.Is]++; l.Is != past.NoPicture && (l.Is != past.OtherKind || n[l.Is] <= shownLeft) {
			fprintf(a.err, "rakelight: %s: %s\n", l.Path, l.Why)
		}
	}
	if k := n[past.NoPicture]; k > 0 {
		a.printf("  besides them lies what is no picture: %s\n", count(k, "file"))
	}
	if k := n[past.OtherKind]; k > shownLeft {
		a.printf("  %s of kinds that are not read, the first of which are named\n", count(k, "file"))
	}
}

func oneIf(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// tellPlaces says of how many pictures the date is in doubt, and by what they stand
// where they stand.
func (a *app) tellPlaces(s *past.Survey) {
	n := map[past.Placing]int{}
	for _, p := range s.Pictures {
		if p.Placed.Doubtful() {
			n[p.Placed]++
		}
	}
	for _, placed := range slices.SortedFunc(maps.Keys(n), func(a, b past.Placing) int {
		return cmp.Or(n[b]-n[a], strings.Compare(string(a), string(b)))
	}) {
		a.printf("  %d are placed %s\n", n[placed], sheet.PlacedBy(placed))
	}
}

// tellClocks says which clocks seem wrong, and on what evidence.
func (a *app) tellClocks(s *past.Survey) {
	for _, c := range s.Clocks {
		others := "the camera used most"
		if c.Phones {
			others = "the phones"
		}
		name := journal.CameraSlug(c.Camera)
		a.printf("a guess: the clock of %s was %s; then %d of %d of its evenings are evenings of %s too, as it is %d; %s makes it so\n",
			name, journal.SpellFault(c.Fast), c.Would, c.Evenings, others, c.Does,
			journal.Typed("rakelight past --clock %s", name))
	}
}

// listPast lists the guesses at clocks, the likely builds, and what was said of them.
func (a *app) listPast(j *journal.Journal, s *past.Survey) {
	a.tellClocks(s)
	all := s.Likely()
	in := 0
	if len(all) > 0 {
		a.println("likely builds, each a guess:")
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	for _, l := range all {
		in += len(l.Pictures)
		fprintf(t, "  %s\t%s\t%s\t%s\t%s%s\n", l.ID, span(l.First, l.Last), picturesOf(l),
			count(len(l.Evenings), "evening"), whyLikely(l.Why), saidOf(s, l.Pictures))
	}
	_ = t.Flush()
	if n := len(s.Pictures) - in; n > 0 {
		where := "are of no likely build"
		if n == 1 {
			where = "is of no likely build"
		}
		a.printf("%s %s; rakelight past DAY..DAY lists the evenings of some days\n", count(n, "picture"), where)
	}
	if n := len(s.Wanted()); n > 0 {
		a.printf("%s with a build %s still where they lie: rakelight past --in brings them in\n", count(n, "picture"),
			isAre(n))
	} else if len(all) > 0 {
		largest := slices.MaxFunc(all, func(a, b *past.Likely) int { return len(a.Pictures) - len(b.Pictures) })
		a.printf("next: %s lists its evenings, %s says which build it is\n",
			journal.Typed("rakelight past %s", largest.ID),
			journal.Typed("rakelight past %s --build NAME --title TEXT", largest.ID))
	}
}

// picturesOf is how many pictures a likely build has: copies go along with theirs.
func picturesOf(l *past.Likely) string {
	words := count(len(l.Pictures)-l.Copies, "picture")
	if l.Copies > 0 {
		words += " and " + count(l.Copies, "copy")
	}
	return words
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// whyLikely says what a likely build rests on.
func whyLikely(w past.Why) string {
	var all []string
	if n := len(w.Folders); n > 0 {
		said := "in " + strings.Join(w.Folders[:min(2, n)], ", ")
		if n > 2 {
			said += ", …"
		}
		if w.ByTime > 0 {
			said += ", and " + count(w.ByTime, "other") + " of these weeks"
		}
		all = append(all, said)
	} else {
		gap := "by time alone"
		if w.Before > 0 {
			gap += ", " + count(w.Before, "day") + " after what is before"
		}
		all = append(all, gap)
	}
	if w.Rested > 0 {
		all = append(all, "goes on after "+count(w.Rested, "day")+", as it looks alike")
	}
	if w.Doubtful > 0 {
		all = append(all, count(w.Doubtful, "date")+" in doubt")
	}
	return strings.Join(all, "; ")
}

// saidOf is what was said of pictures, the most often first; "" = nothing. Copies go
// along with others, whatever was said of them.
func saidOf(s *past.Survey, pictures []*past.Picture) string {
	n := map[string]int{}
	of := 0
	for _, p := range pictures {
		of += oneIf(!s.IsCopy(p))
		switch {
		case s.IsCopy(p):
		case p.Out():
			n["left out"]++
		case p.Said != nil && p.Said.Tags.Build != "" && p.Kept:
			n[p.Said.Tags.Build+", in the journal"]++
		case p.Said != nil && p.Said.Tags.Build != "":
			n[p.Said.Tags.Build]++
		case p.Kept:
			n["in the journal"]++
		}
	}
	var all []string
	most := func(a, b string) int { return cmp.Or(n[b]-n[a], strings.Compare(a, b)) }
	for _, what := range slices.SortedFunc(maps.Keys(n), most) {
		if n[what] == of {
			return " → " + what
		}
		all = append(all, what+" "+count(n[what], "picture"))
	}
	if len(all) == 0 {
		return ""
	}
	return " → " + strings.Join(all, "; ")
}

// listEvenings lists the evenings of some pictures, and the pictures where they are of
// one evening.
func (a *app) listEvenings(s *past.Survey, chosen []*past.Picture) {
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	evenings := s.EveningsOf(chosen)
	if len(evenings) == 1 {
		a.listPictures(s, evenings[0])
		return
	}
	for _, e := range evenings {
		hours := e.First.Format("15:04") + " to " + e.Last.Format("15:04")
		if e.Said != "" {
			hours = e.Said
		}
		p := e.Pictures[0]
		more := ""
		if len(e.Pictures) > 1 {
			more = " …"
		}
		fprintf(t, "%s\t%s\t%s\t%s\t%s%s%s\n", e.ID, hours, count(len(e.Pictures), "picture"), p.Short(), inFolder(p),
			more, saidOf(s, e.Pictures))
	}
	_ = t.Flush()
	if len(evenings) > 1 {
		a.printf("%s lists the pictures of one evening\n", journal.Typed("rakelight past %s", evenings[0].ID))
	}
}

// listPictures lists the pictures of an evening: when each was taken, the name to type
// for it, where it lies, and what is known of it.
func (a *app) listPictures(s *past.Survey, e *past.Evening) {
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	for _, p := range e.Pictures {
		when := p.At.Format("2006-01-02 15:04")
		if p.Placed == past.BySaid && p.Said.Said != "" {
			when = p.Said.Said
		}
		fprintf(t, "%s\t%s\t%s%s%s\n", when, p.Short(), inFolder(p), knownOf(s, p), saidOf(s, []*past.Picture{p}))
	}
	_ = t.Flush()
}

// inFolder is where a picture lies, below the parent of the folder that was looked
// through.
func inFolder(p *past.Picture) string {
	return path.Join(filepath.ToSlash(filepath.Base(p.Root)), p.Folder, p.Name)
}

// knownOf is that a picture is a copy, or that its date is in doubt, and why.
func knownOf(s *past.Survey, p *past.Picture) string {
	switch {
	case s.IsCopy(p):
		return ", a copy of " + inFolder(s.Picture(p.CopyOf))
	case p.Placed.Doubtful():
		return ", placed " + sheet.PlacedBy(p.Placed)
	}
	return ""
}
