// What folders tell: the words in their names, as far as they speak of one thing and
// not of where pictures come from, and folders that share such words.

package past

import (
	"path"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"rakelight/journal"
)

// plainWords say of a folder where its pictures come from, or when, or that nobody
// sorted them (common practice, no source).
var plainWords = wordSet(`dcim camera cam picture pictures photo photos image images pics pic jpg jpeg raw old new
	backup backups phone phones mobile tablet card cards stick usb disk drive desktop download downloads document
	documents export exports sent received messenger messages chat mail archive copy copies unsorted sorted stuff temp
	tmp media album albums all misc various other folder the and von und
	bild bilder foto fotos kamera handy telefon alt neu karte sicherung eigene dateien
	january february march april may june july august september october november december
	januar februar märz mai juni juli oktober dezember spring summer autumn winter`)

// stepWords say of a folder how far the work had come, which folders of several builds
// share.
var stepWords = wordSet("paint painted painting finished done start begin final wip model models kit kits build builds " +
	"workbench bench hobby " + strings.Join(journal.Kinds, " ") + " " + strings.Join(journal.Roles, " "))

func wordSet(text string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(text) {
		set[w] = true
	}
	return set
}

// cameraFolder is the name of a folder that cameras make: three digits and five signs
// (DCF, JEITA CP-3461: 100 to 999, then five of A–Z, 0–9 and _).
var cameraFolder = regexp.MustCompile(`^[1-9][0-9]{2}[A-Za-z0-9_]{5}$`)

// folder is a folder with pictures that speaks of something.
type folder struct {
	name        string          // its path as it is written
	words       map[string]bool // that may be shared
	number      string          // "2" of "boat 2": another one of the kind
	pictures    []*Picture
	first, last time.Time // of nearly all of its pictures
	group       int
}

// wordsOf are the words of a path that speak of something, and the number that tells
// it from another of its kind.
func wordsOf(name string, holds func(dir string) bool) (words map[string]bool, number string) {
	words = map[string]bool{}
	parts := strings.Split(name, "/")
	for i, part := range parts {
		if cameraFolder.MatchString(part) || i < len(parts)-1 && !holds(path.Join(parts[:i+1]...)) {
			continue // what only holds other folders is a shelf
		}
		for _, w := range strings.FieldsFunc(strings.ToLower(part),
			func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
			letters := strings.IndexFunc(w, unicode.IsLetter) >= 0
			switch {
			case !letters && len(w) <= 2 && len(words) > 0:
				number = strings.TrimLeft(w, "0")
			case !letters, len(w) < 3, plainWords[w], stepWords[w]:
			default:
				words[w] = true
			}
		}
	}
	return words, number
}

// tooMuch is the share of all pictures above which a folder, or a word, holds
// everything and tells nothing.
const tooMuch = 0.8

// foldersOf are the folders that tell something. A picture that lies in several counts
// for the first of them that does.
func foldersOf(pictures []*Picture) []*folder {
	holding := map[string]bool{}
	for _, p := range pictures {
		for _, f := range p.folders {
			holding[f] = true
		}
	}
	byName, told := map[string]*folder{}, map[string]bool{}
	for _, p := range pictures {
		names := slices.Clone(p.folders)
		slices.Sort(names)
		for _, name := range names {
			f := byName[name]
			if f == nil && !told[name] {
				told[name] = true
				if words, number := wordsOf(name, func(dir string) bool { return holding[dir] }); len(words) > 0 {
					f = &folder{name: name, words: words, number: number}
					byName[name] = f
				}
			}
			if f != nil {
				f.pictures = append(f.pictures, p)
				break
			}
		}
	}
	var all []*folder
	for _, f := range byName {
		if float64(len(f.pictures)) <= tooMuch*float64(len(pictures)) {
			f.span()
			all = append(all, f)
		}
	}
	slices.SortFunc(all, func(a, b *folder) int { return strings.Compare(a.name, b.name) })
	return all
}

// span finds when nearly all of the pictures were taken: one put there by mistake
// tells nothing.
func (f *folder) span() {
	var sure []*Picture
	for _, p := range f.pictures {
		if p.Placed.hourKnown() {
			sure = append(sure, p)
		}
	}
	if len(sure) == 0 {
		sure = f.pictures
	}
	cut := len(sure) / 20
	f.first, f.last = sure[cut].At, sure[len(sure)-1-cut].At
}

// Folders of one build follow each other within this: it may rest for a while.
const folderGap = 90 * 24 * time.Hour

// joins reports whether two folders speak of one build: they share a word, bear the same
// number, and are of one time.
func (f *folder) joins(g *folder) bool {
	if f.number != g.number || f.first.Sub(g.last) > folderGap || g.first.Sub(f.last) > folderGap {
		return false
	}
	for w := range f.words {
		if g.words[w] {
			return true
		}
	}
	return false
}

// groupFolders gives folders that speak of one build one group, from 1, and returns how
// many there are.
func groupFolders(all []*folder) (groups int) {
	for _, f := range all {
		if f.group > 0 {
			continue
		}
		groups++
		f.group = groups
		for todo := []*folder{f}; len(todo) > 0; {
			one := todo[0]
			todo = todo[1:]
			for _, g := range all {
				if g.group == 0 && one.joins(g) {
					g.group = groups
					todo = append(todo, g)
				}
			}
		}
	}
	return groups
}
