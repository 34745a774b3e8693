// How long a clip is, in words.

package journal

import (
	"fmt"

	"rakelight/journal/say"
)

// LengthOf is the length of a clip as one says it: "7.5 s", "1:05 min", "1:02:03 h";
// it says nothing where it is not known.
func LengthOf(milliseconds int64) say.Text {
	seconds := (milliseconds + 500) / 1000
	switch {
	case milliseconds <= 0:
		return say.Text{}
	case milliseconds < 9950:
		return say.Of("%s s", say.Decimal(float64(milliseconds)/1000, 1))
	case seconds < 60:
		return say.Of("%s s", say.Decimal(float64(seconds), 0))
	case seconds < 3600:
		return say.Of("%s min", fmt.Sprintf("%d:%02d", seconds/60, seconds%60))
	}
	return say.Of("%s h", fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60))
}
