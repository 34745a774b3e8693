// To sort: photos that want a person's word, each once with all that there is
// to say about it and what to type next; files that were set aside or lie in
// the inbox; photos that cannot be shown.

package render

import (
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/wording"
)

// SortPage is to-sort.html. A photo stands in one part only, the first that
// fits.
type SortPage struct {
	Frame
	Parts []SortPart
	Sum   string // "3 photos: 2 without a build or a stage, 1 whose place is a guess"
	Total int    // photos that want a word
}

// SortPart is the photos that want the same thing first, or what is to say of
// some files.
type SortPart struct {
	Title  string
	Lines  []SortLine
	Rest   []Picture // those past the first lines, as small prints
	Note   string    // of files
	Types  []string  // commands that go with the note
	Smalls []Picture // photos that the note speaks of
}

// SortLine is one photo, or one burst, and the commands that would settle it.
type SortLine struct {
	Picture Picture
	Reasons []Reason
}

// Reason is what is wrong with a photo and what to type about it, "" = the next
// command settles it too.
type Reason struct{ What, Type string }

// shownLines is how many lines of a part are spelled out. A camera with a wrong
// clock concerns hundreds of photos with one and the same command.
const shownLines = 10

// sortTitles are the headings of the kinds that photos have, and how the sum
// names them.
var sortTitles = map[string][2]string{
	journal.NoDate:      {"Without a date", "without a date"},
	journal.ZoneGuessed: {"Their time zone is in doubt", "whose time zone is in doubt"},
	journal.ClockDoubt:  {"Their camera’s clock is in doubt", "with a clock in doubt"},
	journal.Guessed:     {"Sorted by a guess", "whose place is a guess"},
	journal.Unsorted:    {"Without a build or a stage", "without a build or a stage"},
	journal.CardWrong:   {"Their bench card does not fit", "with a bench card that does not fit"},
}

func (v *view) sortPage() SortPage {
	s := SortPage{Frame: v.frame("", "sort", "Photos to sort"), Total: len(v.asked)}
	rows := map[string][]journal.ToDo{}
	for _, row := range v.todo {
		if row.Photo != nil {
			rows[row.Photo.Hash] = append(rows[row.Photo.Hash], row)
		}
	}
	groups := v.groups()
	for _, kind := range journal.ToDoKinds {
		part := SortPart{Title: sortTitles[kind][0]}
		photos := 0
		for _, group := range groups {
			if rows[group[0].Hash][0].Kind != kind {
				continue
			}
			photos += len(group)
			if len(part.Lines) == shownLines {
				part.Rest = append(part.Rest, v.smalls("", group)...)
				continue
			}
			part.Lines = append(part.Lines, v.sortLine(group, rows[group[0].Hash]))
		}
		if photos > 0 {
			s.Parts = append(s.Parts, part)
			s.Sum = joinWords(", ", s.Sum, fmt.Sprintf("%d %s", photos, sortTitles[kind][1]))
		}
	}
	s.Sum = v.count(s.Total, "photo") + ": " + s.Sum
	for _, part := range []SortPart{v.setAside(), v.inboxPart(), v.broken()} {
		if part.Note != "" || len(part.Lines) > 0 {
			s.Parts = append(s.Parts, part)
		}
	}
	return s
}

// groups are the photos that want a word, those of one burst together: they go
// to one place. The one that stands for its burst comes first.
func (v *view) groups() [][]*journal.Photo {
	at := map[string]int{}
	var groups [][]*journal.Photo
	for _, p := range v.asked {
		i, found := at[p.Burst]
		if p.Burst == "" || !found {
			at[p.Burst] = len(groups)
			groups = append(groups, []*journal.Photo{p})
			continue
		}
		if p.Burst == p.Hash {
			groups[i] = slices.Insert(groups[i], 0, p)
		} else {
			groups[i] = append(groups[i], p)
		}
	}
	return groups
}

// sortLine words what there is to do about a group. The list's own reasons name
// files and folders, which are not published; here they are said without.
func (v *view) sortLine(group []*journal.Photo, rows []journal.ToDo) SortLine {
	p := group[0]
	line := SortLine{Picture: v.picture("", p, asPrint)}
	line.Picture.More = v.smalls("", group[1:])
	add := func(what, command string) {
		if s := v.InSeries(p); s != nil {
			what = fmt.Sprintf("a series of %d photos, %s", s.Frames, what)
		}
		line.Reasons = append(line.Reasons, Reason{what, command})
	}
	for _, row := range rows {
		command := row.Command
		if row.Kind == journal.NoDate && p.ToSort() {
			command = "" // what sorts it comes below
		}
		_, doubt := row.Why.(journal.DoubtCause)
		switch {
		case row.Kind == journal.Unsorted && p.Tags.Build == "":
			add("no build, no stage", v.tagCommand(group))
		case row.Kind == journal.Unsorted:
			add(line.Picture.Where+": no stage", v.tagCommand(group))
		case row.Kind == journal.Guessed:
			add(line.Picture.Where+": a guess from the nearest session", v.tagCommand(group))
		case doubt:
			add("time in doubt: "+wording.ToDo(row.Why), command)
		case row.Kind == journal.CardWrong:
			add(wording.ToDo(row.Why), command)
			if row.Else != "" {
				add("or the card is to say nothing", row.Else)
			}
		case row.Kind == journal.ClockDoubt:
			add(wording.ToDo(row.Why), command)
		default:
			add("its file states no time zone, and another photo of that day was taken in another zone", command)
		}
	}
	if why := v.unshown[p.Hash]; why.any() && !why.never {
		add("no picture: "+why.words, "rakelight check")
	}
	return line
}

// setAside tells of the copies in inbox/aside by the photos they are copies of.
func (v *view) setAside() SortPart {
	part := SortPart{Title: "Set aside", Types: []string{"rakelight check --photos",
		"rakelight take inbox/" + journal.AsideDir}}
	n := 0
	var of []*journal.Photo
	for _, a := range v.Asides {
		if v.gone[a.Path] {
			continue
		}
		n++
		of = append(of, keepPhotos(v.Photos, func(p *journal.Photo) bool {
			return p.Hash == a.CopyOf &&
				!slices.Contains(of, p)
		})...)
	}
	if n == 0 {
		return part
	}
	lie := "1 copy lies"
	if n > 1 {
		lie = fmt.Sprintf("%d copies lie", n)
	}
	part.Note = fmt.Sprintf("%s in inbox/%s: smaller and without camera data, of photos that are kept. The first line names each; the second takes in all as photos of their own.",
		lie, journal.AsideDir)
	part.Smalls = v.smalls("", of[:min(len(of), shownLines)])
	return part
}

// inboxPart tells of the files that lie in the inbox.
func (v *view) inboxPart() SortPart {
	part := SortPart{Title: "In the inbox", Types: []string{"rakelight take", "rakelight check --photos"}}
	if n := v.inInbox; n > 0 {
		lie := "1 file lies"
		if n > 1 {
			lie = fmt.Sprintf("%d files lie", n)
		}
		part.Note = lie +
			" in inbox/, not taken in. The first line takes in what can be read; the second says of each why it stays, and what to type."
	}
	return part
}

// broken lists the other photos whose original cannot be read.
func (v *view) broken() SortPart {
	part := SortPart{Title: "They cannot be shown"}
	for _, p := range v.Photos {
		if why := v.unshown[p.Hash]; why.any() && !why.never && !slices.Contains(v.asked, p) {
			part.Lines = append(part.Lines, SortLine{v.picture("", p, asPrint),
				[]Reason{{"no picture: " + why.words, "rakelight check"}}})
		}
	}
	return part
}

// tagCommand is what to type to say where photos of one moment belong: the tags
// of the first where it has them, else the build whose work lies around it, else the
// build and the stage last worked on.
func (v *view) tagCommand(group []*journal.Photo) string {
	p := group[0]
	words := make([]string, 0, len(group)+2)
	for _, one := range group {
		words = append(words, v.stem[one.Hash])
	}
	b, stage := v.builds[p.Tags.Build], p.Tags.Stage
	if b == nil {
		if likely := v.LikelyBuild(p); likely != nil {
			b, stage = v.builds[likely.ID], v.LikelyStageOf(likely.ID, p)
		}
	}
	if b == nil {
		// The session nearest before it is the likeliest place.
		for _, s := range v.Sessions {
			if s.Start.After(p.Instant.At) {
				break
			}
			if one := v.builds[s.Build]; one != nil && !s.Start.IsZero() {
				b, stage = one, s.Stage
			}
		}
	}
	if b == nil && len(v.order) > 0 {
		b = v.order[len(v.order)-1]
	}
	if b == nil {
		b, stage = &build{Build: &journal.Build{ID: "mail-seaplane"}}, "clean"
	}
	if stage == "" && p.Tags.Build != "" {
		stage = v.LikelyStage(p)
	}
	if stage == "" && len(b.Stages) > 0 {
		stage = b.Stages[0].ID
	}
	if words = append(words, b.ID); stage != "" {
		words = append(words, stage)
	}
	command := journal.Typed("rakelight tag"+strings.Repeat(" %s", len(words)), words...)
	if p.Series != "" {
		command += " --series"
	}
	return command
}
