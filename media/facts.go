// Package media reads one photo: what its bytes say (Read), when it was taken
// (Choose), and the sizes the pages show (Sizes). It changes no original and
// decides nothing about where a photo belongs; that is media/inbox.
package media

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/image/tiff"

	"rakelight/journal"
)

// Facts are what the bytes of a photo say.
type Facts struct {
	Hash          string // SHA-256, 64 hex digits
	Size          int64
	Kind          string // "jpeg", "png" or "tiff"
	Width, Height int    // pixels upright
	Turn          int    // EXIF orientation, 1 to 8
	Camera        journal.Camera
	Claims        Claims
	Keywords      []string // XMP dc:subject
}

// BrokenError is a picture that cannot be read because its bytes are damaged.
// Cut means that they end too soon, as those of a file still being copied do.
type BrokenError struct {
	Why string
	Cut bool
}

func (e *BrokenError) Error() string { return e.Why }

// UnsupportedError is a file that is whole but of a kind not read.
type UnsupportedError struct{ Kind string }

func (e *UnsupportedError) Error() string { return e.Kind }

// Bounds on what is decoded. A small file can claim a picture of gigabytes;
// today's largest cameras make about 100 megapixels.
const (
	maxPixels = 120_000_000
	maxSide   = 30_000
	maxFile   = 1 << 30
)

// Read reads the file and decodes its picture once, so that a file that was
// cut off is found. Errors are *BrokenError, *UnsupportedError, or what the
// system says.
func Read(path string) (f Facts, err error) {
	// The decoders read bytes from anywhere; one that panics must cost this
	// file and no other.
	defer func() {
		if p := recover(); p != nil {
			f, err = Facts{}, &BrokenError{Why: fmt.Sprintf("a decoder stumbled over the picture (%v)", p)}
		}
	}()
	info, err := os.Stat(path)
	if err != nil {
		return Facts{}, err
	}
	if info.Size() == 0 {
		return Facts{}, &BrokenError{Why: "the file is empty", Cut: true}
	}
	if info.Size() > maxFile {
		return Facts{}, &UnsupportedError{"files of more than 1 GB are not taken"}
	}
	file, err := os.Open(path)
	if err != nil {
		return Facts{}, err
	}
	defer file.Close()
	head := make([]byte, 32)
	n, err := io.ReadFull(file, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return Facts{}, err
	}
	kind, err := sniff(head[:n], path)
	if err != nil {
		return Facts{}, err
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return Facts{}, err
	}
	data, err := io.ReadAll(io.LimitReader(file, maxFile))
	if err != nil {
		return Facts{}, err
	}
	sum := sha256.Sum256(data)
	f = Facts{Hash: hex.EncodeToString(sum[:]), Size: int64(len(data)), Kind: kind, Turn: 1}
	f.Claims.FileName, f.Claims.FileTime = filepath.Base(path), info.ModTime()
	img, err := decode(bytes.NewReader(data), kind)
	if err != nil {
		return Facts{}, err
	}
	f.Width, f.Height = img.Bounds().Dx(), img.Bounds().Dy()
	readTags(&f, data)
	if f.Turn >= 5 {
		f.Width, f.Height = f.Height, f.Width
	}
	return f, nil
}

// rawEndings are file endings of camera raw files, which share TIFF's first
// bytes: as TIFF they would show a thumbnail at best.
var rawEndings = map[string]bool{".dng": true, ".nef": true, ".arw": true, ".cr2": true, ".orf": true, ".pef": true, ".srw": true, ".rw2": true, ".raf": true, ".cr3": true}

// sniff tells the kind of a file by its first bytes; its name may lie.
func sniff(head []byte, path string) (string, error) {
	starts := func(s string) bool { return bytes.HasPrefix(head, []byte(s)) }
	at := func(i int, s string) bool { return len(head) >= i+len(s) && string(head[i:i+len(s)]) == s }
	switch {
	case starts("\xff\xd8\xff"):
		return "jpeg", nil
	case starts("\x89PNG\r\n\x1a\n"):
		return "png", nil
	case starts("II*\x00"), starts("MM\x00*"):
		if rawEndings[strings.ToLower(filepath.Ext(path))] || at(8, "CR") {
			return "", notYet("camera raw files")
		}
		return "tiff", nil
	case at(4, "ftyphei"), at(4, "ftyphev"), at(4, "ftypmif1"), at(4, "ftypmsf1"):
		return "", notYet("HEIC pictures")
	case at(4, "ftypavif"), at(4, "ftypavis"):
		return "", notYet("AVIF pictures")
	case at(4, "ftypcrx"), starts("FUJIFILMCCD-RAW"), starts("IIRO"), starts("IIU\x00"):
		return "", notYet("camera raw files")
	case at(4, "ftyp"):
		return "", &UnsupportedError{"clips are not taken"}
	case starts("RIFF") && at(8, "WEBP"):
		return "", notYet("WebP pictures")
	case starts("GIF8"):
		return "", notYet("GIF pictures")
	}
	return "", &UnsupportedError{"this is no photo that can be read (JPEG, PNG and TIFF can)"}
}

func notYet(what string) error {
	return &UnsupportedError{"not yet: " + what + " cannot be read so far"}
}

// decode decodes a picture after looking that its size is one a camera makes.
func decode(r io.ReadSeeker, kind string) (image.Image, error) {
	full, config := jpeg.Decode, jpeg.DecodeConfig
	switch kind {
	case "png":
		full, config = png.Decode, png.DecodeConfig
	case "tiff":
		full, config = tiff.Decode, tiff.DecodeConfig
	}
	c, err := config(r)
	if err != nil {
		return nil, broken(err)
	}
	if c.Width > maxSide || c.Height > maxSide || c.Width*c.Height > maxPixels || c.Width < 1 || c.Height < 1 {
		return nil, &BrokenError{Why: fmt.Sprintf("it claims %d × %d pixels, more than any camera makes", c.Width, c.Height)}
	}
	if _, err := r.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	decoding.take(c.Width * c.Height)
	defer decoding.give(c.Width * c.Height)
	img, err := full(r)
	if err != nil {
		return nil, broken(err)
	}
	return img, nil
}

// broken says in words why a picture was not decoded.
func broken(err error) error {
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) || strings.Contains(err.Error(), "short Huffman data") {
		return &BrokenError{Why: "the picture ends too soon", Cut: true}
	}
	return &BrokenError{Why: "the picture is damaged or of a rare make (" + err.Error() + ")"}
}
