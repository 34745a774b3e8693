package reason

// Meant is what told that the time in a clip's header is UTC, or local. "" is a
// time that needed nothing to tell it, or that nothing told.
type Meant string

// What may tell it.
const (
	ByName      Meant = "name"      // the time in its file name
	BySatellite Meant = "gps"       // the time of the satellites
	ByKin       Meant = "kin"       // photos of the same camera at that time
	ByHabit     Meant = "habit"     // other clips of the same camera
	ByFileTime  Meant = "file-time" // when the file was last written
	ByPresent   Meant = "present"   // the other reading lies after the taking in
)
