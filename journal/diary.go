// This file adds to the words of a day.

package journal

import "rakelight/journal/plan"

// ErrChanged says that the file was changed by somebody else meanwhile.
var ErrChanged = plan.ErrChanged

// AddToDiary adds a paragraph to the words of a day of a build, as plan.AddToDiary
// does, and reads them again.
func (j *Journal) AddToDiary(build, date, text string) (file string, err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if file, err = plan.AddToDiary(j.Dir, build, date, text); err != nil {
		return "", err
	}
	return file, j.replan()
}
