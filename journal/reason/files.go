package reason

// Kin is why one kept file belongs to another, or was set aside for it.
type Kin string

// The ways of files to belong together.
const (
	RawOfShot   Kin = "raw"       // the raw picture of the shot: same name, camera and second
	XMPAlong    Kin = "xmp"       // an XMP file that came along with its picture
	XMPLater    Kin = "xmp-later" // one that came later
	Beginning   Kin = "beginning" // the beginning of the photo, taken in while its file still grew
	Whole       Kin = "whole"     // the whole of what the photo is the beginning of
	SmallerCopy Kin = "copy"      // of a file set aside: smaller, and without camera data
	MovingShot  Kin = "moving"    // what moves of the shot: same name and moment, or the name that both state
	KinWords    Kin = "words"     // as somebody wrote it: Text
)

// Link is why a file belongs to another. The zero value is no reason.
type Link struct {
	By   Kin    `json:"by"`
	Text string `json:"text,omitempty"`

	// Of a copy: its measures, and the photo it is a copy of.
	Width  int    `json:"width,omitempty"` // pixels
	Height int    `json:"height,omitempty"`
	Of     string `json:"of,omitempty"` // hash of the photo, or the first digits of it
	Name   string `json:"name,omitempty"`
	OfWide int    `json:"of-width,omitempty"` // pixels
	OfHigh int    `json:"of-height,omitempty"`
}

// Any reports whether there is a reason.
func (l Link) Any() bool { return l.By != "" }
