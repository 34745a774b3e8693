// The clock on the wall, for where no other can be asked.

package patience

import "time"

func wallClock() func() time.Duration {
	begun := time.Now()
	return func() time.Duration { return time.Since(begun) }
}
