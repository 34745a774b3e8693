// What a TIFF is that its decoder does not read, by its own tags: it is whole,
// and calling it damaged would be wrong.

package media

import (
	"errors"
	"fmt"

	"golang.org/x/image/tiff"
)

// Tags of TIFF 6.0.
const (
	tagBitsPerSample   = 0x0102
	tagCompression     = 0x0103
	tagPhotometric     = 0x0106
	tagSamplesPerPixel = 0x0115
	tagRowsPerStrip    = 0x0116
	tagPlanar          = 0x011c
	tagTileWidth       = 0x0142
	tagTileHeight      = 0x0143
	tagSampleFormat    = 0x0153
)

// tiffColors are the color models that are not read: TIFF 6.0, part 2 and 3, and
// the registered values behind them.
var tiffColors = map[int64]string{
	4: "a transparency mask", 5: "ink colors", 6: "YCbCr colors", 8: "CIELAB colors", 9: "ICCLAB colors", 10: "ITULAB colors",
	32803: "the mosaic of a sensor", 32844: "LogL values", 32845: "LogLuv colors", 34892: "linear raw colors",
}

// tiffPackings are the ways of packing that are not read, as libtiff's tiff.h
// lists them.
var tiffPackings = map[int64]string{
	6: "old JPEG packing", 7: "JPEG packing", 9: "JBIG packing", 10: "JBIG packing", 32766: "NeXT packing", 32809: "ThunderScan packing",
	34676: "LogLuv packing", 34677: "LogLuv packing", 34661: "JBIG packing", 34712: "JPEG 2000 packing", 34887: "LERC packing",
	34925: "LZMA packing", 50000: "Zstandard packing", 50001: "WebP packing", 50002: "JPEG XL packing", 52546: "JPEG XL packing",
}

// tiffTrait names what keeps a TIFF from being read, "" = nothing that is known.
func tiffTrait(f file) string {
	size, err := sizeOf(f)
	if err != nil {
		return ""
	}
	t, ok := openTIFF(f, size)
	if !ok {
		return ""
	}
	list := t.directories()
	if len(list) == 0 {
		return ""
	}
	d := list[0]
	if what := tiffPackings[t.number(d, tagCompression)]; what != "" {
		return what
	}
	if what := tiffColors[t.number(d, tagPhotometric)]; what != "" {
		return what
	}
	switch t.number(d, tagSampleFormat) {
	case 2:
		return "signed values"
	case 3:
		return "floating-point values"
	case 5, 6:
		return "complex values"
	}
	if t.number(d, tagPlanar) == 2 && t.number(d, tagSamplesPerPixel) > 1 {
		return "its colors in planes apart"
	}
	switch bits := t.number(d, tagBitsPerSample); {
	case bits > 16, bits > 1 && bits != 8 && bits != 16:
		return fmt.Sprintf("%d bits a value", bits)
	case bits == 16 && t.number(d, tagPhotometric) == 3:
		return "a palette of 16 bits"
	}
	if n := t.number(d, tagSamplesPerPixel); n > 4 {
		return fmt.Sprintf("%d values a pixel", n)
	}
	return ""
}

// tiffRefusal is an error of the TIFF decoder as ours: of a kind that is not read,
// or nil where the file is to blame.
func tiffRefusal(f file, err error) error {
	what := tiffTrait(f)
	var not tiff.UnsupportedError
	switch {
	case what != "":
		return &UnsupportedError{Sort: Picture, Kind: "TIFF with " + what}
	case errors.As(err, &not):
		return &UnsupportedError{Sort: Picture, Kind: "TIFF with " + string(not)}
	}
	return nil
}
