// What a walk passes over, told in one line for each reason: nobody should have
// to wonder why a file is never taken in.

package inbox

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/media"
)

// Reasons to pass over a file or folder; quietly are those of which nothing is
// told.
const (
	quietly    = "quietly"
	hidden     = "hidden or put by"
	unfinished = "being written"
	closed     = "closed"
	deep       = "deep"
	odd        = "odd"
)

// passing is the reason to pass over a file by its name, "" = none: hidden ones,
// and those that programs write to before they rename. What systems and this
// program themselves put into folders is passed over quietly; so is a hidden file
// that does not look like a picture.
func passing(name string) string {
	low := strings.ToLower(name)
	switch {
	case strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~"):
		if !strings.HasPrefix(name, "._") && looksLikePicture(low) { // "._" holds what a file system could not
			return hidden
		}
		return quietly
	case low == "thumbs.db" || low == "desktop.ini":
		return quietly
	}
	for _, end := range []string{".tmp", ".part", ".crdownload", ".partial"} {
		if strings.HasSuffix(low, end) {
			return unfinished
		}
	}
	return ""
}

// looksLikePicture goes by the ending alone.
func looksLikePicture(low string) bool {
	ext := strings.TrimPrefix(filepath.Ext(low), ".")
	switch ext {
	case "jpg", "jpeg", "png", "tif", "tiff", "gif", "webp", "heic", "heif", "avif", "mp4", "m4v", "mov", "xmp":
		return true
	}
	return media.IsRaw(ext)
}

// passed is what was passed over, by reason.
type passed map[string][]string

func (p *passed) add(reason, rel string) {
	if reason == quietly {
		return
	}
	if *p == nil {
		*p = passed{}
	}
	(*p)[reason] = append((*p)[reason], filepath.ToSlash(rel))
}

// same reports whether there is as much to tell of a reason as there was.
func (p passed) same(was passed, reason string) bool {
	now, then := p[reason], was[reason]
	return len(now) == len(then) && slices.Equal(now[:min(shownNames, len(now))], then[:min(shownNames, len(then))])
}

// outcomes tells of each reason once, and not again what was told. A name that begins with a dot or is being
// written is no fault; a folder that is closed or too deep hides photos, and
// counts as left.
func (p passed) outcomes(top string, told passed) []Outcome {
	var list []Outcome
	for _, one := range []struct{ reason, one, many, why string }{
		{closed, "1 file or folder", "files and folders",
			"passed over: it may not be read (permission denied); give yourself the right to"},
		{deep, "1 folder", "folders", fmt.Sprintf("passed over: more than %d folders deep; move the photos further up",
			maxDepth)},
		{odd, "1 link to a folder, pipe or device", "links to folders, pipes or devices", "passed over"},
		{hidden, "1 picture", "pictures",
			"passed over: a name that begins with . or ~ is a hidden file or another program's own; rename it to have it taken in"},
		{unfinished, "1 file", "files", "passed over: by its name another program is still writing it"},
	} {
		names := p[one.reason]
		if len(names) == 0 || p.same(told, one.reason) {
			continue
		}
		what := one.one
		if len(names) > 1 {
			what = fmt.Sprintf("%d %s", len(names), one.many)
		}
		status := Waiting
		if one.reason == closed || one.reason == deep {
			status = SetAside
		}
		list = append(list, Outcome{Path: top, Status: status,
			Why: fmt.Sprintf("%s (%s) %s", what, few3(names), one.why)})
	}
	return list
}

// shownNames is how many names a line spells out.
const shownNames = 3

// few3 names the first three of some names.
func few3(names []string) string {
	said := strings.Join(names[:min(shownNames, len(names))], ", ")
	if more := len(names) - shownNames; more > 0 {
		said += fmt.Sprintf(" and %d more", more)
	}
	return said
}
