// This file is what could not be read as it should be.

package record

// Problem is something in the folder that could not be read as it should be.
type Problem struct {
	File string // below the journal folder, slashes
	Line int    // 0 = the whole file
	What string
	Text string // the bytes concerned, at most 200
}
