// This file takes the names of what is private out of the texts that readers see.

package journal

import (
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
)

// privateNames are what private photos and builds are called by.
type privateNames struct {
	short  map[string]bool // the first eight digits of each photo
	files  map[string]bool // names of their files in small letters, that no shown photo has
	spaced []string        // of these, those of several words
	builds map[string]bool // ids
}

// namesOf are the names of the photos that are not shown, and of private builds.
func namesOf(all []*Photo, shows func(*Photo) bool, builds map[string]bool) privateNames {
	n := privateNames{short: map[string]bool{}, files: map[string]bool{}, builds: builds}
	public := map[string]bool{}
	for _, p := range all {
		if shows(p) {
			public[strings.ToLower(p.Name)], public[p.Short()] = true, true
		}
	}
	add := func(hash, name string) {
		if short := hash[:min(8, len(hash))]; !public[short] {
			n.short[short] = true
		}
		if name = strings.ToLower(name); name != "" && !public[name] {
			n.files[name] = true
			if strings.Contains(name, " ") && !slices.Contains(n.spaced, name) {
				n.spaced = append(n.spaced, name)
			}
		}
	}
	for _, p := range all {
		if shows(p) {
			continue
		}
		add(p.Hash, p.Name)
		for _, o := range p.Beside {
			add(o.Hash, o.Name)
		}
	}
	return n
}

// What in a Markdown text may lead to a photo or a build, and words that may name a
// photo: eight or more digits of its hash, or the name of a file.
var (
	inlineLink = regexp.MustCompile(`!?\[([^\[\]]*)\]\(\s*(<[^<>\n]*>|[^\s()]+)(?:\s+(?:"[^"]*"|'[^']*'))?\s*\)`)
	linkTarget = regexp.MustCompile(`(?m)^([ ]{0,3}\[[^\[\]]+\]:\s*)(<[^<>\n]*>|\S+)(.*)$`)
	hashWord   = regexp.MustCompile(`(?i)\b[0-9a-f]{8,64}\b`)
	fileWord   = regexp.MustCompile(`[^\s()<>"'|/\\\[\]]+\.[\pL\pN]{2,5}`)
)

// unnamed stands where a name stood.
const unnamed = "…"

// without is a text without these names: of a picture or a link its words are left.
func (n privateNames) without(text string) string {
	if len(n.short)+len(n.builds) == 0 || text == "" {
		return text
	}
	text = inlineLink.ReplaceAllStringFunc(text, func(link string) string {
		if m := inlineLink.FindStringSubmatch(link); n.leads(m[2]) {
			return m[1]
		}
		return link
	})
	text = linkTarget.ReplaceAllStringFunc(text, func(line string) string {
		if m := linkTarget.FindStringSubmatch(line); n.leads(m[2]) {
			return m[1] + "#"
		}
		return line
	})
	text = hashWord.ReplaceAllStringFunc(text, func(word string) string {
		if n.short[strings.ToLower(word[:8])] {
			return unnamed
		}
		return word
	})
	for _, name := range n.spaced {
		text = regexp.MustCompile("(?i)"+regexp.QuoteMeta(name)).ReplaceAllLiteralString(text, unnamed)
	}
	return fileWord.ReplaceAllStringFunc(text, func(word string) string {
		if n.files[strings.ToLower(word)] {
			return unnamed
		}
		return word
	})
}

// leads reports whether an address in a text leads to a private photo or build.
func (n privateNames) leads(to string) bool {
	to = strings.Trim(to, "<>")
	if u, err := url.Parse(to); err != nil || u.Scheme != "" || u.Host != "" {
		return false // elsewhere: its own words
	} else if u.Path != "" {
		to = u.Path
	}
	to = strings.TrimSuffix(strings.TrimSuffix(to, "/build.md"), "/")
	for part := range strings.SplitSeq(to, "/") {
		if n.builds[part] {
			return true
		}
	}
	name := strings.ToLower(path.Base(to))
	return n.files[name] || len(name) >= 8 && n.short[name[:8]]
}
