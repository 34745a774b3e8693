// This file takes the names of private photos out of what readers see.

package journal

import (
	"regexp"
	"strings"
)

// privateNames are what private photos are called by.
type privateNames struct {
	digits []string        // hashes
	short  map[string]bool // first eight digits of each
	files  map[string]bool // names of their files in small letters, that no shown photo has
}

// namesOf are the names of the photos that are not shown.
func namesOf(all []*Photo, shows func(*Photo) bool) privateNames {
	n := privateNames{short: map[string]bool{}, files: map[string]bool{}}
	public, publicShort := map[string]bool{}, map[string]bool{}
	var hidden []*Photo
	for _, p := range all {
		if shows(p) {
			public[strings.ToLower(p.Name)], publicShort[p.Short()] = true, true
		} else {
			hidden = append(hidden, p)
		}
	}
	add := func(hash, name string) {
		short := hash[:min(8, len(hash))]
		if !publicShort[short] {
			n.short[short] = true
		}
		n.digits = append(n.digits, hash)
		if name = strings.ToLower(name); name != "" && !public[name] {
			n.files[name] = true
		}
	}
	for _, p := range hidden {
		add(p.Hash, p.Name)
		for _, o := range p.Beside {
			add(o.Hash, o.Name)
		}
	}
	return n
}

// Words that may name a photo: eight or more digits of its hash, or the name of a file.
var (
	hashWord = regexp.MustCompile(`(?i)\b[0-9a-f]{8,64}\b`)
	fileWord = regexp.MustCompile(`[^\s()<>"'|/\\\[\]]+\.[\pL\pN]{2,5}`)
)

// without is a text without these names.
func (n privateNames) without(text string) string {
	if len(n.digits) == 0 || text == "" {
		return text
	}
	text = hashWord.ReplaceAllStringFunc(text, func(word string) string {
		if n.short[strings.ToLower(word[:8])] {
			return "…"
		}
		return word
	})
	return fileWord.ReplaceAllStringFunc(text, func(word string) string {
		if n.files[strings.ToLower(word)] {
			return "…"
		}
		return word
	})
}
