// Cameras whose clocks were wrong, as far as their evenings tell.

package past

import (
	"time"

	"rakelight/journal"
)

// Clock is a guess at how far a camera's clock was off: moved by Fast, its evenings
// fall on evenings on which other cameras took pictures too. Only a person makes it a
// record (entry.Clock).
type Clock struct {
	Camera   journal.Camera
	Fast     time.Duration // how far it was ahead; below 0 = behind
	From, To string        // YYYY-MM-DD, the days it showed to which this applies, both included
	Evenings int           // its evenings
	Would    int           // of those, evenings of others when it is moved
	Does     int           // of those, evenings of others as it is
	Pictures int
}
