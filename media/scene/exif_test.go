// Tests of the EXIF block against an independent reader.

package scene

import (
	"bytes"
	"image"
	"testing"
	"time"

	"github.com/rwcarlsen/goexif/exif"
)

func TestExifReadsBack(t *testing.T) {
	at := time.Date(2026, 3, 14, 19, 32, 5, 0, time.UTC)
	for _, gps := range []bool{false, true} {
		var b bytes.Buffer
		e := Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817", At: at, Offset: "+01:00", SubSec: "025", Orientation: 6, HasGPS: gps, Lat: 38.7, Lon: -9.1}
		if err := WriteJPEG(&b, image.NewGray(image.Rect(0, 0, 8, 6)), e); err != nil {
			t.Fatal(err)
		}
		x, err := exif.Decode(bytes.NewReader(b.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		for name, want := range map[exif.FieldName]string{exif.Make: "Tarrow", exif.Model: "T-24", exif.DateTimeOriginal: "2026:03:14 19:32:05", exif.SubSecTimeOriginal: "025"} {
			tag, err := x.Get(name)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if got, err := tag.StringVal(); err != nil || got != want {
				t.Errorf("%s = %q, %v; want %q", name, got, err, want)
			}
		}
		lat, lon, err := x.LatLong()
		if gps != (err == nil) || gps && (lat < 38.69 || lat > 38.71 || lon > -9.09 || lon < -9.11) {
			t.Errorf("GPS %v: %v %v, %v", gps, lat, lon, err)
		}
		// Turned to the side, as the camera held upright stores it.
		c, _, err := image.DecodeConfig(bytes.NewReader(b.Bytes()))
		if err != nil || c.Width != 6 || c.Height != 8 {
			t.Errorf("stored %d × %d, %v; want 6 × 8", c.Width, c.Height, err)
		}
	}
}
