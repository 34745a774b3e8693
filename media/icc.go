// Color profiles: where files keep them, and what those of the plain kind
// say, a matrix and a curve for each channel. Profiles with tables of colors
// (printers', some scanners') are left alone and told of.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"sort"

	"rakelight/journal/reason"
	"rakelight/media/box"
)

// profileOf returns the ICC profile of a picture, or nil. primaries is the
// number of a HEIC or AVIF that names its colors by number (ITU-T H.273), 0 =
// it does not.
func profileOf(f file, kind string) (icc []byte, primaries int) {
	size, err := sizeOf(f)
	if err != nil {
		return nil, 0
	}
	switch kind {
	case "jpeg":
		if b, err := head(f); err == nil {
			return jpegProfile(b), 0
		}
	case "png":
		return pngProfile(f, size), 0
	case "webp":
		return webpChunk(f, size, "ICCP"), 0
	case "heic", "avif":
		if p, err := readPictureBox(f, size); err == nil {
			return p.profile, p.primaries
		}
	case "tiff":
		t, ok := openTIFF(f, size)
		if !ok {
			return nil, 0
		}
		for _, d := range t.directories() {
			if e, ok := d.entries[0x8773]; ok && d.where == "first" {
				return t.bytes(e, box.MaxBody), 0
			}
		}
	}
	return nil, 0
}

// jpegProfile puts the pieces of a profile together; a segment holds 64 KB.
func jpegProfile(head []byte) []byte {
	mark := []byte("ICC_PROFILE\x00")
	pieces := make(map[int][]byte)
	all := 0
	jpegSegments(head, func(marker byte, body []byte) bool {
		if rest, ok := bytes.CutPrefix(body, mark); ok && marker == 0xe2 && len(rest) > 2 {
			pieces[int(rest[0])], all = rest[2:], int(rest[1])
		}
		return true
	})
	if len(pieces) == 0 {
		return nil
	}
	if len(pieces) != all {
		return []byte{0} // one that cannot be read
	}
	order := make([]int, 0, all)
	for n := range pieces {
		order = append(order, n)
	}
	sort.Ints(order)
	var out []byte
	for _, n := range order {
		out = append(out, pieces[n]...)
	}
	return out
}

// matrix acts on a column of linear red, green and blue, or X, Y and Z.
type matrix [3][3]float64

func (a matrix) times(b matrix) (out matrix) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return out
}

// XYZ under the light of profiles (D50) to linear sRGB: Bradford's adaptation
// to D65, then the matrix of IEC 61966-2-1 from exact primaries.
var (
	d50ToD65 = matrix{
		{0.9554734214880751, -0.02309845494876466, 0.06325924320057066},
		{-0.0283697093338637, 1.009995398081304, 0.02104144119191732},
		{0.01231401486448199, -0.02050764929889897, 1.330365926242124},
	}
	xyzToSRGB = matrix{
		{3.240969941904521, -1.537383177570093, -0.4986107602930033},
		{-0.9692436362808798, 1.875967501507721, 0.04155505740717561},
		{0.05563007969699361, -0.2039769588889766, 1.056971514242879},
	}
	p3ToSRGB = matrix{
		{1.22494017628056, -0.22494017628056, 0},
		{-0.04205695470968816, 1.042056954709688, 0},
		{-0.01963755459033443, -0.07863604555063189, 1.098273600140966},
	}
	// From the primaries of Adobe RGB (1998), 4.3.1: .64 .33, .21 .71, .15 .06,
	// white D65.
	adobeToSRGB = matrix{{1.39836, -0.39836, 0}, {0, 1, 0}, {0, -0.04293, 1.04293}}
	identity    = matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
)

var (
	errTables = errors.New("a profile made of tables")
	errBroken = errors.New("a damaged profile")
)

// colors is how the numbers of a picture become sRGB.
type colors struct {
	name   string
	matrix matrix          // from linear own to linear sRGB
	linear [3][256]float64 // the curve of each channel, 0..1
}

// readProfile reads a profile of the matrix kind, or a gray one.
func readProfile(icc []byte) (*colors, error) {
	if len(icc) < 132 || string(icc[36:40]) != "acsp" {
		return nil, errBroken
	}
	tags := make(map[string][]byte)
	n := binary.BigEndian.Uint32(icc[128:])
	for i := range int(min(n, 100)) {
		at := 132 + 12*i
		if at+12 > len(icc) {
			return nil, errBroken
		}
		from, size := int64(binary.BigEndian.Uint32(icc[at+4:])), int64(binary.BigEndian.Uint32(icc[at+8:]))
		if from+size <= int64(len(icc)) {
			tags[string(icc[at:at+4])] = icc[from : from+size]
		}
	}
	c := &colors{matrix: identity}
	if string(icc[16:20]) == "GRAY" {
		curve, ok := readCurve(tags["kTRC"])
		if !ok {
			return nil, errBroken
		}
		c.name, c.linear = "a gray profile", [3][256]float64{curve, curve, curve}
		return c, nil
	}
	if string(icc[16:20]) != "RGB " {
		return nil, errTables
	}
	if tags["rXYZ"] == nil && (tags["A2B0"] != nil || tags["A2B1"] != nil) {
		return nil, errTables
	}
	var own matrix
	for i, name := range []string{"r", "g", "b"} {
		xyz := tags[name+"XYZ"]
		if len(xyz) < 20 || string(xyz[:4]) != "XYZ " {
			return nil, errBroken
		}
		for j := range 3 {
			own[j][i] = float64(int32(binary.BigEndian.Uint32(xyz[8+4*j:]))) / 65536
		}
		var ok bool
		if c.linear[i], ok = readCurve(tags[name+"TRC"]); !ok {
			return nil, errBroken
		}
	}
	// Red, green and blue together are the white of profiles; else these are
	// no colors.
	for j, want := range []float64{0.9642, 1, 0.8249} {
		if math.Abs(own[j][0]+own[j][1]+own[j][2]-want) > 0.03 {
			return nil, errBroken
		}
	}
	c.matrix = xyzToSRGB.times(d50ToD65).times(own)
	c.name = c.known()
	return c, nil
}

// known names the colors by what they are, since profiles name themselves as
// they like.
func (c *colors) known() string {
	near := func(m matrix) bool {
		for i := range 3 {
			for j := range 3 {
				if math.Abs(c.matrix[i][j]-m[i][j]) > 0.01 {
					return false
				}
			}
		}
		return true
	}
	switch {
	case near(identity) && c.curveNear(decodeSRGB):
		return "sRGB"
	case near(p3ToSRGB) && c.curveNear(decodeSRGB):
		return "Display P3"
	case near(adobeToSRGB) && c.curveNear(func(v float64) float64 { return math.Pow(v, 2.2) }):
		return "Adobe RGB"
	}
	return "a profile of its own"
}

func (c *colors) curveNear(f func(float64) float64) bool {
	for i := range 256 {
		if math.Abs(c.linear[0][i]-f(float64(i)/255)) > 0.01 {
			return false
		}
	}
	return true
}

// readCurve reads a tone curve at the 256 values of 8 bits.
func readCurve(b []byte) (curve [256]float64, ok bool) {
	if len(b) < 12 {
		return curve, false
	}
	var f func(v float64) float64
	switch string(b[:4]) {
	case "curv":
		n := int64(binary.BigEndian.Uint32(b[8:]))
		if n > 65536 || int64(len(b)) < 12+2*n {
			return curve, false
		}
		at := func(i int64) float64 { return float64(binary.BigEndian.Uint16(b[12+2*i:])) }
		switch n {
		case 0:
			f = func(v float64) float64 { return v }
		case 1:
			gamma := at(0) / 256
			f = func(v float64) float64 { return math.Pow(v, gamma) }
		default:
			f = func(v float64) float64 {
				x := v * float64(n-1)
				i := min(int64(x), n-2)
				return (at(i) + (at(i+1)-at(i))*(x-float64(i))) / 65535
			}
		}
	case "para":
		kind := binary.BigEndian.Uint16(b[8:])
		counts := []int{1, 3, 4, 5, 7}
		if int(kind) >= len(counts) || len(b) < 12+4*counts[kind] {
			return curve, false
		}
		var p [7]float64
		for i := range counts[kind] {
			p[i] = float64(int32(binary.BigEndian.Uint32(b[12+4*i:]))) / 65536
		}
		f = parametric(kind, p)
	default:
		return curve, false
	}
	for i := range curve {
		v := f(float64(i) / 255)
		if math.IsNaN(v) {
			return curve, false
		}
		curve[i] = max(0, min(1, v))
	}
	return curve, true
}

// parametric is a curve by formula (ICC.1, parametricCurveType).
func parametric(kind uint16, p [7]float64) func(float64) float64 {
	g, a, b, c, d, e, f := p[0], p[1], p[2], p[3], p[4], p[5], p[6]
	power := func(v float64) float64 { return math.Pow(max(0, a*v+b), g) }
	return func(v float64) float64 {
		switch kind {
		case 0:
			return math.Pow(v, g)
		case 1:
			if a == 0 || v < -b/a {
				return 0
			}
			return power(v)
		case 2:
			if a == 0 || v < -b/a {
				return c
			}
			return power(v) + c
		case 3:
			if v < d {
				return c * v
			}
			return power(v)
		}
		if v < d {
			return c*v + f
		}
		return power(v) + e
	}
}

// colorsOf reads what the numbers of a picture mean. nil = they are sRGB, or
// treated so; said is what there is to tell the person.
func colorsOf(f file, kind string) (c *colors, said reason.Why) {
	icc, primaries := profileOf(f, kind)
	switch {
	case len(icc) > 0:
		c, err := readProfile(icc)
		if err != nil {
			return nil, reason.Why{By: profileFault(err)}
		}
		if c.name == "sRGB" {
			return nil, said
		}
		return c, reason.Why{By: reason.Converted, Name: c.name}
	case primaries == 12:
		return displayP3(), reason.Why{By: reason.Converted, Name: "Display P3"}
	case primaries == 9:
		return nil, reason.Why{By: reason.HighRange}
	case primaries == 1:
		return nil, said
	}
	if kind == "jpeg" && exifSaysAdobe(f) {
		return adobeRGB(), reason.Why{By: reason.AdobeByEXIF}
	}
	return nil, reason.Why{By: reason.NoProfile}
}

// profileFault is what is wrong with a profile that readProfile did not read.
func profileFault(err error) reason.By {
	if errors.Is(err, errTables) {
		return reason.TableProfile
	}
	return reason.BadProfile
}

// exifSaysAdobe reports whether a JPEG is in Adobe RGB by the words of the
// camera rule (DCF 2.0): colors that are not sRGB, and interoperability "R03".
// Some cameras write the color space 2 instead, which no standard has.
func exifSaysAdobe(f file) bool {
	b, err := head(f)
	if err != nil {
		return false
	}
	t, ok := openBlock(exifBlock(b))
	if !ok {
		return false
	}
	space, rule := int64(0), ""
	for _, d := range t.directories() {
		switch d.where {
		case "exif":
			space = t.number(d, 0xa001)
		case "interop":
			if e, ok := d.entries[0x0001]; ok && e.typ == 2 {
				rule = clean(string(t.bytes(e, 8)))
			}
		}
	}
	const uncalibrated, adobe = 0xffff, 2
	return space == adobe || space == uncalibrated && rule == "R03"
}

func adobeRGB() *colors {
	c := &colors{name: "Adobe RGB", matrix: adobeToSRGB}
	for i := range 256 {
		v := math.Pow(float64(i)/255, 563.0/256)
		c.linear[0][i], c.linear[1][i], c.linear[2][i] = v, v, v
	}
	return c
}

func displayP3() *colors {
	c := &colors{name: "Display P3", matrix: p3ToSRGB}
	for i := range 256 {
		v := decodeSRGB(float64(i) / 255)
		c.linear[0][i], c.linear[1][i], c.linear[2][i] = v, v, v
	}
	return c
}
