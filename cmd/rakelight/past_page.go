// Where old pictures are shown as a contact sheet.

package main

import (
	"strings"

	"rakelight/journal"
	old "rakelight/media/past"
	"rakelight/render/past"
)

// oldPictures is how many old pictures were looked through and wait to be sorted, of a
// journal that has no photos yet: of others the pages tell what is in them.
func oldPictures(j *journal.Journal) int {
	if len(j.State.Photos) > 0 {
		return 0
	}
	s, err := old.Open(j)
	if err != nil {
		return 0 // past tells what is wrong
	}
	n := 0
	for _, p := range s.Pictures {
		n += oneIf(!p.Out() && !s.IsCopy(p))
	}
	return n
}

// tellSheet says where old pictures that were looked through are shown.
func (a *app) tellSheet(j *journal.Journal) {
	at, err := j.ServedAt()
	if err != nil || at == "" {
		a.printf("rakelight watch, or rakelight start, shows them as a contact sheet: the years before\n")
		return
	}
	a.printf("as a contact sheet: %s\n", strings.TrimSuffix(at, "/")+past.Root)
}
