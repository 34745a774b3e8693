// Why a file is not taken: every reason is a value, and their words stand here
// and nowhere else. Nothing decides by the words.

package media

import (
	"fmt"
	"strings"
	"time"

	"rakelight/journal/reason"
)

// Fault is why a picture cannot be read.
type Fault int

// The faults of a BrokenError.
const (
	Damaged      Fault = iota // Detail says how
	EndsHalfway               // as a file still being copied does
	Empty                     // no bytes at all
	NoSize                    // it says that it is no pixel wide or high
	TooLarge                  // more pixels than DefaultLimits
	PartTooLarge              // a part of it claims a size out of proportion; Detail is that size
	TooMuch                   // its decoder would need more memory than may be given: Needs of Most bytes
	FileTooLarge              // more than Most bytes
	TooManyTiles              // put together from more than Most
	TooScattered              // it claims to lie in too many pieces
	TooManyScans              // packed in more than Most passes
	TooSlow                   // its reader took Took of the processor's time and was given up
	Undecodable               // it is whole as far as can be seen, but the decoder here cannot read it
	BadXMP                    // an XMP file that is no proper XML; Detail says how
)

// BrokenError says that a picture cannot be read. The fields a fault does not
// speak of are zero.
type BrokenError struct {
	Fault         Fault
	Cut           bool   // it ends too early, as a file still being copied does
	Detail        string // in the words of a reader
	Kind          string // as Facts.Kind
	Width, Height int    // pixels
	Needs, Most   int64
	Took          time.Duration
}

// export is the way out for a picture that cannot be read as it is.
const export = "export it as an ordinary JPEG where it was made, and drop that in"

func (e *BrokenError) Error() string {
	what := "the picture"
	if kindNames[e.Kind] != "" {
		what = "the clip"
	}
	size := fmt.Sprintf("the picture claims to be %d by %d pixels", e.Width, e.Height)
	switch e.Fault {
	case EndsHalfway:
		return what + " ends halfway"
	case Empty:
		return "the file is empty"
	case NoSize:
		return "the picture has no size"
	case TooLarge:
		return size + ", more than is safe to open; make it smaller where it was made, and drop that in"
	case PartTooLarge:
		return size + ", but a part of it " + e.Detail + ", more than is safe to open"
	case TooMuch:
		return fmt.Sprintf("reading its %d by %d pixels as %s takes %d MB of memory, more than the %d MB that are safe; %s",
			e.Width, e.Height, e.Detail, e.Needs>>20, e.Most>>20, export)
	case FileTooLarge:
		return fmt.Sprintf("the file is larger than %d MB, more than is safe to open", e.Most>>20)
	case TooManyTiles:
		return fmt.Sprintf("the picture claims to be put together from more than %d tiles", e.Most)
	case TooScattered:
		return "the picture claims to lie in too many pieces"
	case TooManyScans:
		return fmt.Sprintf("it is packed in more than %d passes, where cameras write about ten; reading it would take too long; %s",
			e.Most, export)
	case TooSlow:
		return fmt.Sprintf("reading it as %s took more than %d s of this computer's work and was given up; %s",
			strings.ToUpper(e.Kind), e.Took/time.Second, export)
	case Undecodable:
		return fmt.Sprintf("the reader of %s here cannot read it (%s): it is damaged, or written in a way this reader does not know; if another program shows it, export it as a JPEG there, and drop that in",
			strings.ToUpper(e.Kind), e.Detail)
	case BadXMP:
		return "the XMP file is damaged (" + e.Detail + ")"
	}
	return what + " is damaged (" + e.Detail + ")"
}

func damaged(how any) *BrokenError {
	return &BrokenError{Fault: Damaged, Detail: fmt.Sprint(how)}
}

func cutShort() *BrokenError { return &BrokenError{Fault: EndsHalfway, Cut: true} }

// Want is what a BusyError lacks.
type Want int

// The wants of a BusyError.
const (
	Reader Want = iota // readers of its kind that were given up still run
	Room               // they hold the memory it needs
	Disk               // the disk or share it lies on does not answer
)

// BusyError says that a picture could not be read just now, through no fault of
// its own: another time it may be.
type BusyError struct {
	Want Want
	Kind string // as Facts.Kind
}

func (e *BusyError) Error() string {
	switch e.Want {
	case Room:
		return "other pictures, slow to read, hold the memory it needs; try again later, or start rakelight again"
	case Disk:
		return "the disk or the share it lies on does not answer; try again later"
	}
	return fmt.Sprintf("the reader of %s is busy with pictures that take long; try again later, or start rakelight again",
		strings.ToUpper(e.Kind))
}

// Sort is what a file that is not read is.
type Sort int

// The sorts of an UnsupportedError.
const (
	NoPicture Sort = iota // none of the kinds that are known
	Picture               // a picture of a kind, or in a way, that is not read
	Raw                   // a raw picture of a kind that is not read
	Drawing               // lines and text, not pixels
	Film
	Document
	Archive
)

// UnsupportedError says that a file is whole as far as is known, but of a kind
// that is not read.
type UnsupportedError struct {
	Sort  Sort
	Kind  string // "BMP", "TIFF"; "" = NoPicture
	Trait string // what keeps a kind that is else read from it, "floating-point values"; "" = it is never read
}

func (e *UnsupportedError) Error() string { return e.Say("left in the inbox") }

// Say is the error for a file of which left tells where it stays.
func (e *UnsupportedError) Say(left string) string {
	as := func(what, hint string) string {
		if e.Trait != "" {
			what += " with " + e.Trait
		}
		return "not yet: " + e.Kind + what + " are " + left + hint
	}
	switch e.Sort {
	case Picture:
		return as(" pictures", "; "+export)
	case Raw:
		return as(" raw pictures", "; export a JPEG of it, and drop that in")
	case Drawing:
		return as(" drawings", "; export it as a PNG, and drop that in")
	case Film:
		return as(" clips", "")
	case Document:
		return as(" documents", "; export its pages as JPEG or PNG, and drop those in")
	case Archive:
		return as(" archives", "; unpack it, and drop in what it holds")
	}
	return "this is not a picture; " + left
}

// NoPictureError says that a file is kept but cannot be shown.
type NoPictureError struct{ Why NoShow }

// NoShow is why a file that is kept cannot be shown.
type NoShow int

// The reasons of a NoPictureError.
const (
	NoPreview NoShow = iota // a raw picture into which the camera put none
	NoDecoder               // HEIC in a build that left its decoder out
	NoStill                 // a clip that brings no picture along
)

// reason is why, as the photo's record holds it.
func (e *NoPictureError) reason() reason.Why {
	switch e.Why {
	case NoDecoder:
		return reason.Why{By: reason.NoDecoder}
	case NoStill:
		return reason.Why{By: reason.NoStill}
	}
	return reason.Why{By: reason.NoPreview}
}

func (e *NoPictureError) Error() string {
	switch e.Why {
	case NoStill:
		return "no still is in this clip"
	case NoDecoder:
		return "it cannot be shown: this rakelight was built without the decoder for HEIC"
	}
	return "it cannot be shown: the camera put no preview into this raw picture"
}
