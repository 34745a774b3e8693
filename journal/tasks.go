// This file ticks what stands on the task lists of a build.

package journal

import "rakelight/journal/plan"

// ErrNoTask says that an item is on no list by now.
var ErrNoTask = plan.ErrNoTask

// Tick ticks an item of a task list in build.md, or takes its tick away, as plan.Tick
// does, and reads it again.
func (j *Journal) Tick(build string, item CheckItem, done bool) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := plan.Tick(j.Dir, build, item, done); err != nil {
		return err
	}
	return j.replan()
}
