// Colors against published values: the matrices and examples of
// testdata/reference, and profiles made from them.

package media

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rakelight/journal/reason"
)

// reference reads a table of testdata/reference.
func reference(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment, r.LazyQuotes, r.FieldsPerRecord = '#', true, -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// published is a matrix of the reference.
func published(t *testing.T, name string) (m matrix) {
	t.Helper()
	found := 0
	for _, row := range reference(t, "11_colour_matrices.csv") {
		if row[0] == name {
			i, _ := strconv.Atoi(row[1])
			for j := range 3 {
				m[i-1][j] = number(t, row[2+j])
			}
			found++
		}
	}
	if found != 3 {
		t.Fatalf("the reference has no matrix %s", name)
	}
	return m
}

func differ(a, b matrix) (most float64) {
	for i := range 3 {
		for j := range 3 {
			most = max(most, math.Abs(a[i][j]-b[i][j]))
		}
	}
	return most
}

func TestMatricesAreThePublishedOnes(t *testing.T) {
	for name, m := range map[string]matrix{
		"xyz_d65_to_srgb_linear": xyzToSRGB, "bradford_d50_to_d65": d50ToD65, "p3_linear_to_srgb_linear": p3ToSRGB,
	} {
		if d := differ(m, published(t, name)); d > 1e-12 {
			t.Errorf("%s is off by %g", name, d)
		}
	}
	for _, row := range reference(t, "11_srgb_curve.csv") {
		v, l := number(t, row[1]), number(t, row[2])
		if math.Abs(decodeSRGB(v)-l) > 1e-9 || math.Abs(encodeSRGB(l)-v) > 1e-7 {
			t.Errorf("curve at %s: %g and %g", row[0], decodeSRGB(v), encodeSRGB(l))
		}
	}
}

// iccProfile writes a profile: colorants under D50, one curve for all.
func iccProfile(space string, colorants matrix, curve []byte) []byte {
	tags := map[string][]byte{"kTRC": curve}
	if space == "RGB " {
		tags = map[string][]byte{"rTRC": curve, "gTRC": curve, "bTRC": curve}
		for i, name := range []string{"rXYZ", "gXYZ", "bXYZ"} {
			b := []byte("XYZ \x00\x00\x00\x00")
			for j := range 3 {
				b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(colorants[j][i]*65536))))
			}
			tags[name] = b
		}
	}
	out := make([]byte, 128)
	copy(out[16:], space+"XYZ ")
	copy(out[36:], "acsp")
	out = binary.BigEndian.AppendUint32(out, uint32(len(tags)))
	at := len(out) + 12*len(tags)
	var data []byte
	for name, b := range tags {
		out = append(out, name...)
		out = binary.BigEndian.AppendUint32(out, uint32(at+len(data)))
		out = binary.BigEndian.AppendUint32(out, uint32(len(b)))
		data = append(data, b...)
	}
	return append(out, data...)
}

func gamma(g float64) []byte {
	b := []byte("curv\x00\x00\x00\x00\x00\x00\x00\x01")
	return binary.BigEndian.AppendUint16(b, uint16(math.Round(g*256)))
}

// srgbCurve is the curve as a formula with five numbers.
func srgbCurve() []byte {
	b := []byte("para\x00\x00\x00\x00\x00\x03\x00\x00")
	for _, v := range []float64{2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045} {
		b = binary.BigEndian.AppendUint32(b, uint32(int32(math.Round(v*65536))))
	}
	return b
}

// adobeColorants are those of Adobe RGB (1998) under D50: the published ones
// of the profile (0.60974 0.20528 0.14919 / 0.31111 0.62567 0.06322 / 0.01947
// 0.06087 0.74457; Adobe RGB (1998) Color Image Encoding, annex C).
var adobeColorants = matrix{{0.60974, 0.20528, 0.14919}, {0.31111, 0.62567, 0.06322}, {0.01947, 0.06087, 0.74457}}

func p3Profile(t *testing.T) []byte {
	return iccProfile("RGB ", published(t, "bradford_d65_to_d50").times(published(t, "p3_linear_to_xyz_d65")), srgbCurve())
}

func TestProfilesAreKnownByTheirColorants(t *testing.T) {
	toD50 := published(t, "bradford_d65_to_d50")
	for name, icc := range map[string][]byte{
		"Display P3": p3Profile(t),
		"sRGB":       iccProfile("RGB ", toD50.times(published(t, "srgb_linear_to_xyz_d65")), srgbCurve()),
		"Adobe RGB":  iccProfile("RGB ", adobeColorants, gamma(2.19921875)),
		// Rec. 2020 has wider primaries than all of these.
		"a profile of its own": iccProfile("RGB ", matrix{{0.6734, 0.1656, 0.1251}, {0.2790, 0.6753, 0.0457}, {-0.0019, 0.0300, 0.7969}}, gamma(2.4)),
		"a gray profile":       iccProfile("GRAY", matrix{}, gamma(2.2)),
	} {
		c, err := readProfile(icc)
		if err != nil || c.name != name {
			t.Errorf("%s: %+v, %v", name, c, err)
		}
	}
	good := p3Profile(t)
	for n := 0; n < len(good); n += 5 {
		if c, err := readProfile(good[:n]); err == nil {
			t.Fatalf("cut at %d: %+v", n, c)
		}
	}
	odd := iccProfile("RGB ", matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, gamma(2.2))
	if _, err := readProfile(odd); err != errBroken {
		t.Errorf("colorants that make no white: %v", err)
	}
	if _, err := readProfile(iccProfile("CMYK", matrix{}, gamma(2.2))); err != errTables {
		t.Errorf("inks: %v", err)
	}
}

// TestDisplayP3Examples converts the published examples.
func TestDisplayP3Examples(t *testing.T) {
	c, err := readProfile(p3Profile(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range reference(t, "11_display_p3_examples.csv") {
		img := image.NewNRGBA(image.Rect(0, 0, 1, 1))
		var in [3]float64
		for i := range 3 {
			in[i] = number(t, row[1+i])
			img.Pix[i] = uint8(math.Round(255 * in[i]))
		}
		img.Pix[3] = 255
		c.convert(img)
		for i := range 3 {
			want := 255 * max(0, min(1, number(t, row[4+i])))
			// The input is rounded to 8 bits, which the matrix may enlarge to
			// one and a half values, and half a value more in the result.
			if math.Abs(float64(img.Pix[i])-want) > 2 {
				t.Errorf("%s channel %d: %d, want %.1f", row[0], i, img.Pix[i], want)
			}
		}
	}
}

func TestAdobeRGB(t *testing.T) {
	c, err := readProfile(iccProfile("RGB ", adobeColorants, gamma(2.19921875)))
	if err != nil {
		t.Fatal(err)
	}
	// sRGB green is (144, 255, 60) in Adobe RGB, sRGB red (219, 0, 0): from
	// the primaries of both standards.
	for in, want := range map[[3]uint8][3]uint8{{144, 255, 60}: {0, 255, 0}, {219, 0, 0}: {255, 0, 0}, {128, 128, 128}: {127, 127, 127}} {
		img := image.NewNRGBA(image.Rect(0, 0, 1, 1))
		copy(img.Pix, in[:])
		img.Pix[3] = 77
		c.convert(img)
		for i := range 3 {
			if d := int(img.Pix[i]) - int(want[i]); d > 4 || d < -4 {
				t.Errorf("%v is %v, want %v", in, img.Pix[:3], want)
			}
		}
		if img.Pix[3] != 77 {
			t.Error("transparency was converted")
		}
	}
}

// iccSegments cuts a profile into JPEG segments, the last first.
func iccSegments(icc []byte, piece int) (segments [][]byte) {
	n := (len(icc) + piece - 1) / piece
	for i := range n {
		body := append([]byte("ICC_PROFILE\x00"), byte(i+1), byte(n))
		body = append(body, icc[i*piece:min(len(icc), (i+1)*piece)]...)
		segments = append([][]byte{append([]byte{0xff, 0xe2, byte((len(body) + 2) >> 8), byte(len(body) + 2)}, body...)}, segments...)
	}
	return segments
}

func TestPagesGetSRGB(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 64, 64))
	for i := range 64 * 64 {
		img.SetNRGBA(i%64, i/64, color.NRGBA{67, 151, 42, 255}) // sRGB 0 153 0
	}
	src := write(t, "a.jpg", jpegWith(t, img, iccSegments(p3Profile(t), 100)...))
	f, err := Read(src)
	if err != nil || f.Color != (reason.Why{By: reason.Converted, Name: "Display P3"}) {
		t.Fatalf("%v, %v", f.Color, err)
	}
	out := filepath.Join(t.TempDir(), "a.jpg")
	if _, err := Sizes(src, 1, func(w int) string { return strings.Replace(out, "a.jpg", strconv.Itoa(w)+".jpg", 1) }, []int{16, 32}); err != nil {
		t.Fatal(err)
	}
	for _, w := range []string{"16", "32"} {
		data, err := os.ReadFile(filepath.Join(filepath.Dir(out), w+".jpg"))
		if err != nil {
			t.Fatal(err)
		}
		got, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		r, g, b, _ := got.At(5, 5).RGBA()
		if r>>8 > 8 || b>>8 > 8 || g>>8 < 150 || g>>8 > 156 {
			t.Errorf("%s wide: %d %d %d, want 0 153 0", w, r>>8, g>>8, b>>8)
		}
		if bytes.Contains(data, []byte("ICC_PROFILE")) {
			t.Error("the old profile was published with the new colors")
		}
	}
	// One piece is missing: a broken profile is as none, and that is told.
	f, err = Read(write(t, "b.jpg", jpegWith(t, img, iccSegments(p3Profile(t), 100)[1:]...)))
	if err != nil || f.Color.By != reason.BadProfile {
		t.Errorf("%v, %v", f.Color, err)
	}
}

// TestAdobeRGBByExif: cameras that name the colors in their EXIF only.
func TestAdobeRGBByExif(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 32, 32))
	for i := range 32 * 32 {
		img.SetNRGBA(i%32, i/32, color.NRGBA{144, 255, 60, 255}) // sRGB green
	}
	marked := func(space uint16, rule string) []byte {
		build := func(exif, interop uint32) []byte {
			out := append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 0, long(0x8769, exif))...)
			exif = uint32(len(out))
			out = append(out, ifd(exif, 0, ushort(0xa001, space), long(0xa005, interop))...)
			interop = uint32(len(out))
			out = append(out, ifd(interop, 0, ascii(0x0001, rule))...)
			return binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(out, exif), interop)
		}
		first := build(0, 0)
		at := first[len(first)-8:]
		block := build(binary.LittleEndian.Uint32(at), binary.LittleEndian.Uint32(at[4:]))
		return jpegWith(t, img, exifSegment(block[:len(block)-8]))
	}
	for _, c := range []struct {
		space uint16
		rule  string
		adobe bool
	}{{0xffff, "R03", true}, {2, "R98", true}, {0xffff, "R98", false}, {1, "R03", false}} {
		src := write(t, "a.jpg", marked(c.space, c.rule))
		f, err := Read(src)
		if err != nil || (f.Color.By == reason.AdobeByEXIF) != c.adobe {
			t.Errorf("space %d, rule %s: %v, %v", c.space, c.rule, f.Color, err)
			continue
		}
		dst := filepath.Join(t.TempDir(), "out.jpg")
		if _, err := Sizes(src, 1, func(int) string { return dst }, []int{16}); err != nil {
			t.Fatal(err)
		}
		small, err := Decode(dst, DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		if r, _, _, _ := small.At(5, 5).RGBA(); (r>>8 < 20) != c.adobe {
			t.Errorf("space %d, rule %s: red is %d", c.space, c.rule, r>>8)
		}
	}
}

// TestWideColorsAreTold: colors of high dynamic range are not converted, and
// that is said.
func TestWideColorsAreTold(t *testing.T) {
	var p pictureBox
	p.property("colr", []byte("nclx\x00\x09\x00\x10\x00\x09\x80"))
	data := append(boxed("ftyp", []byte("heic\x00\x00\x00\x00mif1heic")), boxed("meta", make([]byte, 4), boxed("iprp", boxed("ipco", boxed("colr", []byte("nclx\x00\x09\x00\x10\x00\x09\x80")))))...)
	c, said := colorsOf(bytes.NewReader(data), "heic")
	if p.primaries != 9 || c != nil || said.By != reason.HighRange {
		t.Errorf("%d, %v, %v", p.primaries, c, said)
	}
}

func FuzzProfile(f *testing.F) {
	f.Add(iccProfile("RGB ", adobeColorants, gamma(2.2)))
	f.Add(iccProfile("RGB ", adobeColorants, srgbCurve()))
	f.Add(iccProfile("GRAY", matrix{}, gamma(1)))
	f.Fuzz(func(t *testing.T, icc []byte) {
		c, err := readProfile(icc)
		if err != nil {
			return
		}
		img := image.NewNRGBA(image.Rect(0, 0, 4, 4))
		for i := range img.Pix {
			img.Pix[i] = uint8(17 * i)
		}
		c.convert(img)
	})
}
