// What becomes of files, one by one and counted.

package inbox

import "rakelight/journal"

// What may become of a file.
const (
	Taken     = "taken"
	Duplicate = "duplicate" // kept already; the inbox copy went
	SetAside  = "set-aside" // stays where it is
	NotYet    = "not-yet"   // a kind that is not read yet; stays
	Waiting   = "waiting"   // not finished, or empty; stays
	Beside    = "beside"    // kept beside its photo: the raw picture of a shot, an XMP file
	Gone      = "gone"      // not there any more: another run took it in, or somebody moved it away
	Copy      = "copy"      // a smaller copy of a kept photo: moved to inbox/aside, or left where it is if it lies elsewhere
)

// Outcome is what became of one file.
type Outcome struct {
	Path   string         // below the journal folder with slashes, or as given for a file elsewhere
	Status string         // one of the above
	Why    string         // in plain words; "" when taken without ado
	Photo  *journal.Photo // the new photo, or the one it lies beside; nil unless Status is Taken or Beside
	Err    error          // the disk's, where it and not the file is the reason
	Stuck  string         // the file is kept, but its inbox copy could not be removed: why; "" = it went
	Notice bool           // all went well, and a person should read Why nevertheless
	Denied bool           // this user may not read the file

	alone string // an XMP file that stood beside it in the inbox and is none of the kept photo's yet
	cut   bool   // the file ends early, as one still being copied does
	retry retry  // the file is as good as before; what came between may pass
}

// retry is when a file that did not change is worth another try.
type retry int

const (
	never retry = iota
	held        // the whole run stopped, and says so itself
	later       // the disk was full, something was busy or closed, or what it waits for is still to come
)

// Summary counts a run.
type Summary struct {
	Taken, Duplicate int
	Left             []Outcome // files that stay where they are, in order
	Copies           []Outcome // smaller copies of kept photos, in order
	Beside           int       // files kept beside their photo: raw pictures of a shot, XMP files
	Gone             int       // files that were not there any more when their turn came
	Stuck            []Outcome // files that are kept, whose inbox copy could not be removed; they are counted above, too
	Notices          []Outcome // what went well and should be read: repairs, files that went on growing
	Passed           []Outcome // what was not looked at, one for each reason

	alone []string // XMP files whose photo left the inbox before them
}

func (s *Summary) add(o Outcome) {
	switch o.Status {
	case Taken:
		s.Taken++
	case Duplicate:
		s.Duplicate++
	case Beside:
		s.Beside++
	case Gone:
		s.Gone++
	case Copy:
		s.Copies = append(s.Copies, o)
	default:
		s.Left = append(s.Left, o)
	}
	if o.Stuck != "" {
		s.Stuck = append(s.Stuck, o)
	}
	if o.Notice {
		s.Notices = append(s.Notices, o)
	}
	if o.alone != "" {
		s.alone = append(s.alone, o.alone)
	}
}

// and adds another run's counts.
func (s *Summary) and(o Summary) {
	s.Taken, s.Duplicate, s.Beside = s.Taken+o.Taken, s.Duplicate+o.Duplicate, s.Beside+o.Beside
	s.Gone += o.Gone
	s.Left, s.Copies = append(s.Left, o.Left...), append(s.Copies, o.Copies...)
	s.Stuck, s.Notices = append(s.Stuck, o.Stuck...), append(s.Notices, o.Notices...)
}
