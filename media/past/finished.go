// What old pictures say of a build as they come in: that it was finished, long ago.

package past

import (
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// longPast is how many days the last picture of a build lies back at least, so that it is
// taken as one of the years before. Common practice, no source.
const longPast = 60

// Finish says of the builds of some kept pictures that they were finished, where all that
// is known says so: the last picture is marked as of the finished model, its day is known,
// it lies 60 days back or more, and there is no session, so that nobody builds on it. The
// pictures were sorted by the person, and a record of a day long past changes no number;
// Undo takes it back like whatever else was said of old pictures. Any other build is left
// to the person (State.Finishables). What was said is returned.
func Finish(j *journal.Journal, hashes []string, now time.Time) ([]journal.Finishable, error) {
	kept := j.Look().PhotosByHash()
	of := map[string]bool{}
	for _, hash := range hashes {
		if p := kept[hash]; p != nil {
			of[p.Tags.Build] = true
		}
	}
	cut := now.AddDate(0, 0, -longPast).Format(time.DateOnly)
	var said []journal.Finishable
	for _, f := range j.State.Finishables() {
		if !of[f.Build] || f.Photo == "" || len(j.State.SessionsOf(f.Build)) > 0 || f.Date > cut ||
			j.State.LastDay(j.State.Build(f.Build)) > f.Date {
			continue
		}
		if _, err := entry.Do(j, entry.Finish{Build: f.Build, Date: f.Date, Past: true}); err != nil {
			return said, err
		}
		said = append(said, f)
	}
	return said, nil
}
