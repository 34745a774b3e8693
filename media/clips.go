// Clips: kept as they are, shown by the picture they bring along, if they do.
// Their boxes are read by media/clip; what their times mean is said in
// clip_time.go.

package media

import (
	"cmp"
	"errors"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media/box"
	"rakelight/media/clip"
)

// readClip reads the boxes of a clip; errors are ours.
func readClip(f file, size int64, kind string) (*clip.Clip, error) {
	c, err := clip.Read(f, size)
	var broken *clip.BrokenError
	var other *clip.OtherError
	switch {
	case errors.Is(err, clip.ErrCut):
		return nil, &BrokenError{Fault: EndsHalfway, Cut: true, Kind: kind}
	case errors.As(err, &broken):
		return nil, &BrokenError{Fault: Damaged, Kind: kind, Detail: broken.How}
	case errors.As(err, &other):
		return nil, &UnsupportedError{Sort: Film, Kind: kindNames[kind], Trait: other.Trait}
	}
	return c, err
}

var kindNames = map[string]string{"mp4": "MP4", "mov": "MOV"}

// clipFacts are the facts of a clip. Its width and height are those of its own
// still, as those of a raw picture are its preview's; it has none without.
func clipFacts(f file, kind string) (Facts, error) {
	size, err := sizeOf(f)
	if err != nil {
		return Facts{}, err
	}
	c, err := readClip(f, size, kind)
	if err != nil {
		return Facts{}, err
	}
	facts := Facts{Kind: kind, Turn: 1, Length: c.Length, Codec: printable(c.Codec), Frame: [2]int{c.Width, c.Height}}
	meta := metadata{first: map[string]string{}, second: map[string]string{}, xmp: map[string]string{}}
	for _, b := range c.EXIF {
		meta.block(b.Body(f), false)
	}
	for _, b := range c.Stills {
		meta.block(exifBlock(b.Body(f)), true)
	}
	for _, b := range c.XMP {
		if err := meta.packet(io.NewSectionReader(f, b.At, min(b.Size, box.MaxBody))); err != nil {
			return Facts{}, err
		}
	}
	meta.fill(&facts)
	facts.Turn = 1 // a still is upright as it is
	facts.Camera = journal.Camera{Make: cmp.Or(facts.Camera.Make, c.Make), Model: cmp.Or(facts.Camera.Model, c.Model),
		Serial: cmp.Or(facts.Camera.Serial, c.Serial)}
	for _, s := range c.Created {
		facts.Claims.List = append(facts.Claims.List, Claim{Tag: stampTags[s.Tag], Text: s.Text})
	}
	if !c.Header.IsZero() {
		facts.Claims.List = append(facts.Claims.List,
			Claim{Tag: journal.MovieHeader, Text: c.Header.Format(time.DateTime)})
	}
	facts.Claims.Length = c.Length
	facts.still(f, c)
	return facts, nil
}

// printable is a name of four letters, "" for bytes that are none.
func printable(name string) string {
	if strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r > '~' }) {
		return ""
	}
	return name
}

// stampTags is what the times that clips state as text are called.
var stampTags = map[string]string{clip.CreationDate: "QuickTime creationdate", clip.NonRealTime: "XML CreationDate",
	clip.UserDay: "QuickTime day"}

// ofClip reports whether a time is one that clips state as text.
func ofClip(source string) bool {
	for _, tag := range stampTags {
		if tag == source {
			return true
		}
	}
	return false
}

// still notes the measures of the picture that a clip brings along. A clip is
// whole, whatever its still is.
func (f *Facts) still(from file, c *clip.Clip) {
	f.Picture = (&NoPictureError{NoStill}).reason()
	part, kind := coverOf(from, c)
	if part == nil {
		return
	}
	size, err := config(part, kind)
	if err == nil && DefaultLimits.check(size.Width, size.Height) == nil {
		f.Width, f.Height, f.Picture = size.Width, size.Height, reason.Why{By: reason.Still}
	}
}

// coverOf is the picture that a clip brings along: the largest of several. It is
// nil where there is none.
func coverOf(f file, c *clip.Clip) (file, string) {
	var best box.Box
	for _, b := range c.Covers {
		if b.Size > best.Size {
			best = b
		}
	}
	if best.Size == 0 {
		return nil, ""
	}
	part := io.NewSectionReader(f, best.At, best.Size)
	kind, err := sniff(part, "")
	if err != nil || kind != "jpeg" && kind != "png" {
		return nil, ""
	}
	return part, kind
}

// clipStill is the part of a clip that holds its still, and its kind.
func clipStill(f file, size int64, kind string) (file, string, error) {
	c, err := readClip(f, size, kind)
	if err != nil {
		return nil, "", err
	}
	part, kind := coverOf(f, c)
	if part == nil {
		return nil, "", &NoPictureError{NoStill}
	}
	return part, kind, nil
}

// plainSound are the sample descriptions of sound that is not packed, whose
// silence is zeros.
var plainSound = []string{"sowt", "twos", "lpcm", "raw ", "in24", "in32", "fl32", "fl64", "ipcm", "fpcm", "NONE"}

// wholeClip looks at the end of the samples of a clip whose boxes are whole: a
// copy that broke off may have the full length.
func wholeClip(f io.ReaderAt, size int64) bool {
	c, err := clip.Read(f, size)
	if err != nil {
		return true // told already
	}
	silent := slices.ContainsFunc(c.Codecs, func(codec string) bool { return slices.Contains(plainSound, codec) })
	return silent || c.Samples.Size == 0 || c.Samples.End() < size || !endsBlank(f, c.Samples.End())
}

// MovingName is the name that a clip has in common with the photo whose moving part
// it is, "" if it has none or is no clip.
func MovingName(path string) string {
	f, err := os.Open(path)
	if err != nil {
		return ""
	}
	defer f.Close()
	size, err := sizeOf(f)
	if err != nil {
		return ""
	}
	c, err := clip.Read(f, size)
	if err != nil {
		return ""
	}
	return c.ContentID
}
