// How a camera takes photos at an interval: a page of help for the bench.

package render

import (
	"time"

	"rakelight/journal"
)

// intervalAt is the address of the page.
const intervalAt = "interval.html"

// IntervalPage is interval.html.
type IntervalPage struct {
	Frame
	Build, Stage string // ids to type in commands
	Usual        string // an interval that suits most work
	Frames       int    // of a series, at least
	From, To     string // of its interval
	Least        string // how long it goes on at least
	Below, Short string // how long, where the interval is below so much
	Stop, Still  string // how long its camera may stop, and nothing may move
}

func (v *view) intervalPage() IntervalPage {
	bounds := journal.BoundsOfSeries()
	help := v.helpPage()
	return IntervalPage{
		Frame: v.frame("", "interval", "A camera over the bench"), Build: help.Build, Stage: help.Stage,
		Usual: v.seconds(20 * time.Second), Frames: bounds.Frames, From: v.seconds(bounds.From),
		To: v.seconds(bounds.To), Least: v.seconds(bounds.Least), Below: v.seconds(bounds.Below),
		Short: v.seconds(bounds.Short), Stop: v.seconds(bounds.Stop), Still: v.seconds(bounds.Still),
	}
}

// intervalDigest is of the page: its bounds are those of the program.
func (v *view) intervalDigest() digest {
	help := v.helpPage()
	return digestOf(help.Build, help.Stage)
}
