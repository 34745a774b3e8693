// This file is what could not be read as it should be.

package record

// Kinds of problems of records files.
const (
	TornLine = "torn line"       // cut off by a crash, or no record at all
	BadSum   = "bad sum"         // the line was changed after it was written
	Copy     = "conflict copy"   // made by a sync program; read and merged
	Missing  = "missing records" // written once, and in no file any more
	OddClock = "odd clock"       // of a device, as its records tell
)

// Problem is something in the folder that could not be read as it should be.
type Problem struct {
	Kind string // "" = a remark of no kind of its own
	File string // below the journal folder, slashes
	Line int    // 0 = the whole file
	What string
	Text string // the bytes concerned, at most 200

	Record string // id of the record that has no effect, "" = it is of none
}
