// This file reads what is for nobody else, and what of a journal others may see.

package plan

import (
	"maps"
	"net/url"
	"regexp"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// privateLine is the line of front matter that keeps a build or a day private.
var privateLine = regexp.MustCompile(`(?mi)^[ \t]*["']?private["']?[ \t]*:[ \t]*["']?([^\s"'#]*)`)

// saysPrivate reports whether front matter keeps what it heads private, and whether
// it says anything of that. It looks at the line alone, so that a mistake elsewhere in
// the front matter publishes nothing; whatever is no plain no keeps it private.
func saysPrivate(matter string) (private, said bool) {
	m := privateLine.FindStringSubmatch(matter)
	if m == nil {
		return false, false
	}
	return !slices.Contains([]string{"false", "no", "off"}, strings.ToLower(m[1])), true
}

// frontPrivate is saysPrivate for a build.md, of which the front matter may never be
// closed: then all of it is looked through.
func frontPrivate(text, matter string, closed bool) bool {
	if !closed && strings.HasPrefix(text, "---\n") {
		matter = text
	}
	private, _ := saysPrivate(matter)
	return private
}

var matterWord = regexp.MustCompile(`(?m)^["']?([\w-]+)["']?[ \t]*:`)

// otherWords are the words of a day's front matter that mean nothing.
func otherWords(matter string) []string {
	var words []string
	for _, m := range matterWord.FindAllStringSubmatch(matter, -1) {
		if !strings.EqualFold(m[1], "private") {
			words = append(words, m[1])
		}
	}
	return words
}

// PublicConfig is the table [public] of journal.toml: what of the journal others may
// see.
type PublicConfig struct {
	Times    bool     `toml:"times"`         // times of day are shown
	Judges   []string `toml:"judges"`        // judges who said that they may be named
	Finished bool     `toml:"finished-only"` // builds that are not finished are private
	Address  string   `toml:"address"`       // where the pages are read, ending in a slash: "https://…/bench/"; "" = not said
	Language string   `toml:"language"`      // of the pages for readers: "de"; "" = English
}

// publicFields are the settings of the table.
var publicFields = []string{"times", "judges", "finished-only", "address", "language"}

// public reads the table, each setting by itself. One that is not understood shows
// less, never more.
func (r *reading) public(raw map[string]toml.Primitive) PublicConfig {
	var p PublicConfig
	value, said := raw["public"]
	if !said {
		return p
	}
	var table map[string]toml.Primitive
	if r.meta.PrimitiveDecode(value, &table) != nil || table == nil { // a plain value leaves it nil
		r.remark(r.line("public"), "public is a table: a line [public], and its settings below it; "+
			"no build is published before it is finished")
		p.Finished = true
		return p
	}
	for _, key := range slices.Sorted(maps.Keys(table)) {
		if !slices.Contains(publicFields, key) {
			r.remark(r.line(key), "the setting public.%s is not known, and may have been meant to hide something; "+
				"no build is published before it is finished", key)
			p.Finished = true
		}
	}
	one := func(key, wants string, into any) bool {
		value, said := table[key]
		if !said || r.meta.PrimitiveDecode(value, into) == nil {
			return true
		}
		r.remark(r.line(key), "public: %s takes %s", key, wants)
		return false
	}
	if !one("times", "true or false; no times of day are shown", &p.Times) {
		p.Times = false
	}
	if !one("judges", "a list of names in quotes; no judge is named", &p.Judges) {
		p.Judges = nil
	}
	hidden := p.Finished
	if !one("finished-only", "true or false; no build is published before it is finished", &p.Finished) || hidden {
		p.Finished = true
	}
	p.Address = r.publicAddress(table, one)
	if !one("language", "a language in quotes, such as \"de\"; the pages are in English", &p.Language) {
		p.Language = ""
	}
	return p
}

// publicAddress is the address of the public pages, as a base that relative
// addresses are resolved against (RFC 3986, 5.2.3): up to its last slash.
func (r *reading) publicAddress(table map[string]toml.Primitive, one func(key, wants string, into any) bool) string {
	var address string
	if !one("address", "an address in quotes; the feed goes without", &address) || address == "" {
		return ""
	}
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.User != nil ||
		u.RawQuery != "" || u.Fragment != "" {
		r.remark(r.line("address"), "public: address is where the pages are read, such as https://example.org/bench/; "+
			"%q is not, and the feed goes without", address)
		return ""
	}
	return strings.TrimSuffix(address, "/") + "/"
}

// WithoutSupplies is a Markdown text without the parts below the headings of
// supplies: what is missing at home is nobody else's. The items of its task lists come
// beside it.
func WithoutSupplies(body string, headings []string) (string, []CheckItem) {
	var kept []string
	fence, below := "", 0 // level of the heading of supplies we are below, 0 = of none
	for _, line := range strings.Split(body, "\n") {
		if m := fenceLine.FindStringSubmatch(line); m != nil && (fence == "" || strings.HasPrefix(m[1], fence)) {
			if fence == "" {
				fence = m[1]
			} else {
				fence = ""
			}
		} else if m := headingLine.FindStringSubmatch(line); m != nil && fence == "" &&
			(below == 0 || len(m[1]) <= below) {
			if below = 0; (task{headings: m[2:3]}).below(headings) {
				below = len(m[1])
			}
		}
		if below == 0 {
			kept = append(kept, line)
		}
	}
	body = strings.TrimSpace(strings.Join(kept, "\n"))
	return body, checklist(body)
}
