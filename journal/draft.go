// This file writes the plan of a new build. It never touches one that is there.

package journal

import (
	"errors"
	"io/fs"
	"os"
	"strings"

	"rakelight/journal/plan"
	"rakelight/journal/record"
)

// WriteDraft writes builds/ID/build.md durably. It returns an *AskError, with
// nothing written, when there is such a build already or the draft is none that
// can be read. The path is below the journal, with slashes.
func (j *Journal) WriteDraft(d plan.Draft) (file string, err error) {
	text, err := d.Text()
	if err != nil {
		return "", err
	}
	entries, err := os.ReadDir(j.Path("builds"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	file = "builds/" + d.ID + "/build.md"
	for _, e := range entries {
		// A folder made by hand and still without a plan gets one; another spelling of
		// the name is the same folder on some systems.
		there, err := lies(j.Path("builds/" + e.Name() + "/build.md"))
		if err != nil && e.Name() == d.ID {
			return "", err
		}
		if same := e.Name() == d.ID; strings.EqualFold(e.Name(), d.ID) && (there || !same) {
			return "", &AskError{What: "there is a build " + e.Name() + " already: nothing written",
				Hint: "choose another name, or edit builds/" + e.Name() + "/build.md"}
		}
	}
	if err := record.MakeDirs(j.Path("builds/" + d.ID)); err != nil {
		return "", err
	}
	return file, handOut(j.Path(file), text, record.RenameNew)
}
