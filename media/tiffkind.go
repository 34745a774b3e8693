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
	4: "a transparency mask", 5: "ink colors", 6: "YCbCr colors", 8: "CIELAB colors", 9: "ICCLAB colors",
	10:    "ITULAB colors",
	32803: "the mosaic of a sensor", 32844: "LogL values", 32845: "LogLuv colors", 34892: "linear raw colors",
}

// tiffPackings are the ways of packing that are not read, as libtiff's tiff.h
// lists them.
var tiffPackings = map[int64]string{
	6: "old JPEG packing", 7: "JPEG packing", 9: "JBIG packing", 10: "JBIG packing", 32766: "NeXT packing",
	32809: "ThunderScan packing",
	34676: "LogLuv packing", 34677: "LogLuv packing", 34661: "JBIG packing", 34712: "JPEG 2000 packing",
	34887: "LERC packing",
	34925: "LZMA packing", 50000: "Zstandard packing", 50001: "WebP packing", 50002: "JPEG XL packing",
	52546: "JPEG XL packing",
}

// tiffTrait names what keeps a TIFF from being read, "" = nothing that is known,
// and says how it is packed.
func tiffTrait(f file) (what string, packing int64) {
	size, err := sizeOf(f)
	if err != nil {
		return "", 0
	}
	t, ok := openTIFF(f, size)
	if !ok {
		return "", 0
	}
	list := t.directories()
	if len(list) == 0 {
		return "", 0
	}
	d := list[0]
	packing = t.number(d, tagCompression)
	bits, values := t.number(d, tagBitsPerSample), t.number(d, tagSamplesPerPixel)
	photometric, format := t.number(d, tagPhotometric), t.number(d, tagSampleFormat)
	const signed, floating, complexInt, complexFloat, planes, palette = 2, 3, 5, 6, 2, 3
	switch {
	case tiffPackings[packing] != "":
		what = tiffPackings[packing]
	case tiffColors[photometric] != "":
		what = tiffColors[photometric]
	case format == signed:
		what = "signed values"
	case format == floating:
		what = "floating-point values"
	case format == complexInt, format == complexFloat:
		what = "complex values"
	case t.number(d, tagPlanar) == planes && values > 1:
		what = "colors in planes apart"
	case bits > 1 && bits != 8 && bits != 16:
		what = fmt.Sprintf("%d bits a value", bits)
	case bits == 16 && photometric == palette:
		what = "a palette of 16 bits"
	case values > 4:
		what = fmt.Sprintf("%d values a pixel", values)
	}
	return what, packing
}

// tiffRefusal is an error of the TIFF decoder as ours: of a kind that is not read,
// or nil where the file is to blame.
func tiffRefusal(f file, err error) error {
	var not tiff.UnsupportedError
	switch what, packing := tiffTrait(f); {
	case what != "":
		return &UnsupportedError{Sort: Picture, Kind: "TIFF", Trait: what}
	case errors.As(err, &not):
		return &UnsupportedError{Sort: Picture, Kind: "TIFF", Trait: string(not)}
	case packing >= 2 && packing <= 4 && !atEnd(err):
		// Of the ways of facsimile not all are read that others read.
		return &BrokenError{Fault: Undecodable, Kind: "tiff", Detail: err.Error()}
	}
	return nil
}
