// What a walk passes over, told in one line for each reason: nobody should have
// to wonder why a file is never taken in.

package inbox

import (
	"fmt"
	"path/filepath"
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
	case "jpg", "jpeg", "png", "tif", "tiff", "gif", "webp", "heic", "heif", "avif", "xmp":
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

// outcomes tells of each reason once. A name that begins with a dot or is being
// written is no fault; a folder that is closed or too deep hides photos, and
// counts as left.
func (p passed) outcomes(top string) []Outcome {
	var list []Outcome
	for _, one := range []struct{ reason, one, many, why string }{
		{closed, "1 file or folder", "files and folders", "passed over: it may not be read (permission denied); give yourself the right to"},
		{deep, "1 folder", "folders", fmt.Sprintf("passed over: more than %d folders deep; move the photos further up", maxDepth)},
		{odd, "1 link to a folder, pipe or device", "links to folders, pipes or devices", "passed over"},
		{hidden, "1 picture", "pictures", "passed over: a name that begins with . or ~ is a hidden file or another program's own; rename it to have it taken in"},
		{unfinished, "1 file", "files", "passed over: by its name another program is still writing it"},
	} {
		names := p[one.reason]
		if len(names) == 0 {
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
		list = append(list, Outcome{Path: top, Status: status, Why: fmt.Sprintf("%s (%s) %s", what, few3(names), one.why)})
	}
	return list
}

// few3 names the first three of some names.
func few3(names []string) string {
	said := strings.Join(names[:min(3, len(names))], ", ")
	if more := len(names) - 3; more > 0 {
		said += fmt.Sprintf(" and %d more", more)
	}
	return said
}
