//go:build !linux

package scratch

// place is "": no other system has memory that looks like a folder without being asked.
func place() string { return "" }

func runs(int) bool { return true }
