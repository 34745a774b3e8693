package render

import (
	"fmt"
	"strings"

	"rakelight/journal"
)

// BuildPath is where the page of a build lies below the pages folder, for whoever leads
// there; "" where no build has the id.
func BuildPath(s *journal.State, id string) string {
	taken := map[string]bool{}
	for _, b := range s.Builds {
		stem := "builds/" + fileName(b.ID)
		path := stem + ".html"
		for n := 2; taken[strings.ToLower(path)]; n++ {
			path = fmt.Sprintf("%s-%d.html", stem, n)
		}
		if b.ID == id {
			return path
		}
		taken[strings.ToLower(path)] = true
	}
	return ""
}
