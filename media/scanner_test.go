// Tests of telling scans from pictures a camera took.

package media

import (
	"testing"
	"time"

	"rakelight/journal/reason"
)

func undefined(tag uint16, b byte) field { return field{tag, 7, 1, []byte{b}} }

// FileSource and the exposure tags are those of Exif 2.3 (CIPA DC-008, 4.6.5).
func TestScansAreTold(t *testing.T) {
	const day = "2012:11:03 20:15:00"
	first := func(more ...field) []field {
		return append([]field{ascii(0x010f, "Ormond"), ascii(0x0110, "A4")}, more...)
	}
	for _, one := range []struct {
		name        string
		first, exif []field
		scanned     bool // the picture
		doubt       bool // of the date
	}{
		{"a camera", first(), []field{ascii(0x9003, day), ascii(0x9004, day), ushort(0x8827, 200)}, false, false},
		{"a camera that tells no exposure", first(), []field{ascii(0x9003, day), ascii(0x9004, day)}, false, false},
		{"a film scanner says so", first(), []field{ascii(0x9003, day), ascii(0x9004, day), undefined(0xa300, 1)}, true, true},
		{"a print scanner says so", first(), []field{ascii(0x9004, day), undefined(0xa300, 2)}, true, true},
		{"a still camera says so", first(ascii(0x0131, "Scan 3")), []field{ascii(0x9004, day), undefined(0xa300, 3)}, false, false},
		{"digitized, not taken", first(), []field{ascii(0x9004, day)}, true, true},
		{"digitized, with an exposure", first(), []field{ascii(0x9004, day), ushort(0x8827, 200)}, false, false},
		{"its program scans", first(ascii(0x0131, "PaperScan 3"), ascii(0x0132, day)), nil, true, true},
		{"somebody put the date in", first(), []field{ascii(0x9003, "1998:05:12 12:00:00"), ascii(0x9004, day), undefined(0xa300, 2)}, true, false},
	} {
		facts, err := Read(write(t, "a.jpg", jpegWith(t, picture(40, 30), exifSegment(block(one.first, one.exif)))))
		if err != nil {
			t.Fatal(err)
		}
		if facts.Claims.Scanned != one.scanned {
			t.Errorf("%s: scanned %v", one.name, facts.Claims.Scanned)
		}
		in := chosen(facts.Claims, facts.Camera, nil, time.UTC)
		if in.Doubts.Has(reason.Scanned) != one.doubt {
			t.Errorf("%s: %+v", one.name, in)
		}
	}
}
