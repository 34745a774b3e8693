// Where old pictures are shown as a contact sheet.

package main

import (
	"strings"

	"rakelight/journal"
	"rakelight/render/past"
)

// tellSheet says where old pictures that were looked through are shown.
func (a *app) tellSheet(j *journal.Journal) {
	at, err := j.ServedAt()
	if err != nil || at == "" {
		a.printf("rakelight watch, or rakelight start, shows them as a contact sheet: the years before\n")
		return
	}
	a.printf("as a contact sheet: %s\n", strings.TrimSuffix(at, "/")+past.Root)
}
