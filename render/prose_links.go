// Where the links of a text lead: the web, a place in the text, and the pages of the
// journal by what stands in its folder, so that a text leads on elsewhere too: a
// build by its build.md, a day by its file in the diary, a part by its name.

package render

import (
	"net/url"
	"path"
	"regexp"
	"strings"
	"time"

	"rakelight/journal"
)

// weekName is a week as ISO 8601 writes it.
var weekName = regexp.MustCompile(`^[0-9]{4}-W[0-9]{2}$`)

// linkTarget resolves the address of a link of a build's text, or of nobody's: a
// page of the web or of mail as it is, a place in the text, a page of the journal.
// ok is false for everything else.
func (t *texts) linkTarget(dest, root string, b *build) (string, bool) {
	u, err := url.Parse(dest)
	if err != nil {
		return "", false
	}
	switch strings.ToLower(u.Scheme) {
	case "http", "https", "mailto":
		return dest, true
	case "part":
		return t.partTarget(strings.TrimPrefix(dest[len("part:"):], "//"), root, b)
	case "":
	default:
		return "", false
	}
	if u.Host != "" {
		return "", false
	}
	if u.Path == "" {
		return dest, strings.HasPrefix(dest, "#")
	}
	name := strings.TrimSuffix(strings.TrimSuffix(u.Path, "/build.md"), "/")
	if other := t.v.builds[path.Base(name)]; other != nil {
		if to, ok := t.partTarget(u.Fragment, root, other); ok {
			return to, true
		}
		return root + other.href, true
	}
	if to := t.dated(strings.TrimSuffix(path.Base(name), ".md")); to != "" {
		return root + to, true
	}
	if p := t.photo(u.Path); p != nil {
		return t.v.picture(root, p, asHalf).Large, true
	}
	return "", false
}

// dated is the page of a day or of a week by its name, from the top.
func (t *texts) dated(name string) string {
	if weekName.MatchString(name) {
		return t.v.weekNamedHref(name)
	}
	if _, err := time.Parse(time.DateOnly, name); err != nil {
		return ""
	}
	return t.v.dayHref(name)
}

// partTarget is the place of a part, or of the first of several, of a build.
func (t *texts) partTarget(name, root string, b *build) (string, bool) {
	if b == nil {
		return "", false
	}
	if plain, err := url.PathUnescape(name); err == nil {
		name = plain
	}
	refs, _, err := journal.ParseParts(name, b.Build)
	if err != nil || len(refs) == 0 {
		return "", false
	}
	to := t.v.partAt(b, refs[0])
	return root + to, to != ""
}
