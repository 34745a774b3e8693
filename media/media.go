// Package media reads one picture file: what the bytes say, when it was
// taken, and its pixels in the sizes a page needs.
//
// Start with Read, which opens a file and returns its Facts; Choose then picks
// the instant among the times the file claims. Sizes writes the pictures for
// pages. The package never changes an original, decides nothing about builds
// or stages (that is media/inbox), and publishes no metadata: what Sizes
// writes is re-encoded from pixels.
package media

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"image"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media/patience"
)

// Facts are what the bytes of a picture say, before anything is decided.
type Facts struct {
	Hash     string // SHA-256, 64 hex digits
	Size     int64  // bytes
	Kind     string // "jpeg", "png", "tiff", "gif", "webp", "heic", "avif", "mp4", "mov", or a raw kind as its ending is: "dng", "cr3", …
	Width    int    // pixels upright, orientation applied; of a raw picture those of its preview, of a clip its still's; 0 = cannot be shown
	Height   int
	Turn     int // EXIF orientation 1..8; 1 when not said, or when the pixels come upright
	Camera   journal.Camera
	Claims   Claims
	Keywords []string           // XMP dc:subject, as written
	Cards    []journal.CardSeen // bench cards in the picture
	Look     Look               // how the picture looks, to find copies and bursts
	Picture  reason.Why         // what is shown when it is not simply the file's own pixels
	Color    reason.Why         // what its colors are and how they are shown; none = sRGB as the file says
	Length   time.Duration      // of a clip, in milliseconds; 0 = none, or not said
	Codec    string             // of a clip's pictures, four letters: "avc1"
	Frame    [2]int             // width and height of a clip, upright
	Sidecar  string             // path of the XMP file beside it that was read, "" = none
	Warn     []string           // what could not be read or did not agree
}

// Claims are all the times a file states, as written.
type Claims struct {
	List     []Claim
	GPS      time.Time // UTC; zero = none
	FileName string    // base name, for a date in it
	FileTime time.Time // modification time
	Scanned  bool      // a scanner wrote it: its dates are those of the scanning, if nobody put others in
	Read     time.Time // when the claims were read: no picture is from a year after the next

	// Of clips: what helps to tell what the time of the movie header means.
	Length time.Duration
	Others journal.ClipKin // the other photos and clips of the camera
}

// Claim is one time stamp of a file. Tag is one of the names of claimOrder.
type Claim struct {
	Tag    string
	Text   string // as written, without NULs and outer spaces
	SubSec string // digits after the decimal point, as written
	Offset string // as written, "" = not said
}

// Read opens a picture file and returns its facts. The whole picture is
// decoded once, so that a cut-off or damaged file is found here and not on a
// page years later. A whole file that cannot be shown (a raw picture without a
// preview, HEIC in a build without its decoder) is no error: its facts have no
// width, and Picture says why. Errors are *BrokenError, *UnsupportedError,
// *BusyError, or those of the file system. Safe for concurrent use.
func Read(path string) (Facts, error) {
	return readWith(path, cardsOf, func(*Facts, image.Image, *colors) {})
}

// readWith reads a file and hands over its pixels, if there are any to show; cards
// finds the bench cards in their brightness.
func readWith(path string, cards func(image.Image) []journal.CardSeen,
	pixels func(f *Facts, img image.Image, own *colors)) (Facts, error) {
	f, err := os.Open(path)
	if err != nil {
		return Facts{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return Facts{}, err
	}
	if !info.Mode().IsRegular() {
		return Facts{}, &UnsupportedError{}
	}
	if info.Size() == 0 {
		return Facts{}, &BrokenError{Fault: Empty, Cut: true}
	}
	kind, err := sniff(f, path)
	if err != nil {
		return Facts{}, err
	}
	hash, size, err := sum(f)
	if err != nil {
		return Facts{}, err
	}
	facts, err := patientFacts(f, kind)
	if err != nil {
		return Facts{}, err
	}
	if err := checkWhole(f, info.Size(), kind); err != nil {
		return Facts{}, err
	}
	facts.Hash, facts.Size = hash, size
	facts.Claims.FileName, facts.Claims.FileTime = filepath.Base(path), info.ModTime()
	facts.Claims.Read = time.Now()
	if beside := Sidecar(path); beside != "" {
		facts.addSidecar(beside)
	}
	if facts.Width > 0 {
		if err := facts.pixels(f, cards, pixels); err != nil {
			return Facts{}, err
		}
	}
	return facts, nil
}

// ClaimsOf reads the times a kept picture states, and no pixels. Its own name
// and file time are those of the keeping and left out. Errors as Read's.
func ClaimsOf(path string) (Claims, error) {
	f, err := os.Open(path)
	if err != nil {
		return Claims{}, err
	}
	defer f.Close()
	kind, err := sniff(f, path)
	if err != nil {
		return Claims{}, err
	}
	facts, err := patientFacts(f, kind)
	facts.Claims.Read = time.Now()
	return facts.Claims, err
}

// pixels decodes the picture and hands it over.
func (f *Facts) pixels(from file, cards func(image.Image) []journal.CardSeen,
	each func(f *Facts, img image.Image, own *colors)) error {
	part, kind, err := shown(from, f.Kind)
	var img image.Image
	if err == nil {
		var leave func()
		img, leave, err = decodeHeld(part, kind, DefaultLimits, f.Turn)
		defer leave()
	}
	var none *NoPictureError
	if errors.As(err, &none) {
		f.Picture = none.reason()
		f.Width, f.Height = 0, 0
		return nil
	}
	if err != nil {
		return err
	}
	own, _ := colorsOf(part, kind)
	if journal.IsClip(f.Kind) { // its still is no photo of its own: nothing is found in it, nor like it
		each(f, img, own)
		return nil
	}
	gray := brightness(img)
	if f.Look, err = lookOf(gray, f.Turn); err != nil {
		return err
	}
	f.Cards = cards(gray)
	each(f, img, own)
	return nil
}

// file is what pictures are read from.
type file interface {
	io.ReadSeeker
	io.ReaderAt
}

func sizeOf(f file) (int64, error) { return f.Seek(0, io.SeekEnd) }

func sum(f io.ReadSeeker) (string, int64, error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return "", 0, err
	}
	h := sha256.New()
	n, err := io.Copy(h, f)
	return hex.EncodeToString(h.Sum(nil)), n, err
}

// The metadata of a JPEG sits before its picture data. Anything further in is
// a preview or a film clip, and not worth the memory.
const headBytes = 2 << 20

// patientFacts is readFacts with an end to the waiting.
func patientFacts(f file, kind string) (Facts, error) {
	facts, gone, err := waitFor(kind+" metadata", giveUp, nil,
		func(m *patience.Meter) (Facts, error) { return readFacts(metered{f, m}, kind) })
	return facts, cmp.Or(gone, err)
}

// readFacts reads all that needs no pixels. It trusts nothing: the bytes may
// be anything that begins like the kind.
func readFacts(f file, kind string) (Facts, error) {
	if journal.IsClip(kind) {
		return clipFacts(f, kind)
	}
	facts := Facts{Kind: kind, Turn: 1}
	size, err := sizeOf(f)
	if err != nil {
		return Facts{}, err
	}
	part, partKind, err := shown(f, kind)
	var none *NoPictureError
	switch {
	case errors.As(err, &none):
		facts.Picture = none.reason()
	case err != nil:
		return Facts{}, err
	default:
		c, err := config(part, partKind)
		if err != nil {
			return Facts{}, err
		}
		if err := DefaultLimits.check(c.Width, c.Height); err != nil {
			return Facts{}, err
		}
		facts.Width, facts.Height = c.Width, c.Height
		_, facts.Color = colorsOf(part, partKind)
	}
	meta := metadata{first: make(map[string]string), xmp: make(map[string]string), iptc: make(map[string]string)}
	if err := meta.readAll(f, size, kind); err != nil {
		return Facts{}, err
	}
	meta.fill(&facts)
	if IsRaw(kind) && !facts.Picture.Any() {
		facts.Picture = reason.Why{By: reason.Preview}
	}
	if facts.Turn >= 5 {
		facts.Width, facts.Height = facts.Height, facts.Width
	}
	return facts, nil
}

// Extension is the file name ending that originals of a kind are kept under.
func Extension(kind string) string {
	switch kind {
	case "jpeg":
		return ".jpg"
	case "tiff":
		return ".tif"
	}
	return "." + kind
}

// broken turns a decoder's error into ours.
func broken(err error) error {
	var own *BrokenError
	if errors.As(err, &own) {
		return own
	}
	var unsupported *UnsupportedError
	var none *NoPictureError
	if errors.As(err, &unsupported) || errors.As(err, &none) {
		return err
	}
	if atEnd(err) {
		return cutShort()
	}
	return damaged(err)
}

// atEnd reports whether a decoder came to the end of a file too early. That of
// JPEG words an end within picture data in its own way, and has no type for it.
func atEnd(err error) bool {
	text := err.Error()
	return errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) || strings.Contains(text, "unexpected EOF") ||
		strings.Contains(text, "short Huffman data")
}
