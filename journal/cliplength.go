// How long a clip is, in words.

package journal

import "fmt"

// SpellLength is the length of a clip: "7.5 s", "1:05 min", "1:02:03 h"; "" = not
// known.
func SpellLength(milliseconds int64) string {
	seconds := (milliseconds + 500) / 1000
	switch {
	case milliseconds <= 0:
		return ""
	case milliseconds < 9950:
		return fmt.Sprintf("%.1f s", float64(milliseconds)/1000)
	case seconds < 60:
		return fmt.Sprintf("%d s", seconds)
	case seconds < 3600:
		return fmt.Sprintf("%d:%02d min", seconds/60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d:%02d h", seconds/3600, seconds/60%60, seconds%60)
}
