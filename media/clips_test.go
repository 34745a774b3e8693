// Clips: what is read of them, what is refused, and when they were taken.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	clips "rakelight/media/clip/drawn"
)

func berlin(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Berlin")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

var clipTime = time.Date(2026, 3, 14, 18, 32, 5, 0, time.UTC)

func TestReadClip(t *testing.T) {
	still := jpegWith(t, picture(80, 60))
	f, err := Read(write(t, "a.mp4", clips.Clip{Brand: "qt  ", Turn: 6, Cover: still, Header: clipTime,
		Keys: [][2]string{{"com.apple.quicktime.model", "K 1"}}}.Bytes()))
	if err != nil || f.Kind != "mov" || f.Length != clips.Length || f.Frame != [2]int{clips.Height, clips.Width} ||
		f.Codec != "avc1" || f.Width != 80 || f.Height != 60 || f.Turn != 1 || f.Camera.Model != "K 1" ||
		f.Picture.By != reason.Still || f.Look.Fingerprint != "" {
		t.Errorf("%+v, %v", f, err)
	}
	bare, err := Read(write(t, "b.mov", clips.Clip{}.Bytes()))
	if err != nil || bare.Kind != "mp4" || bare.Width != 0 || bare.Picture.By != reason.NoStill {
		t.Errorf("%+v, %v", bare, err)
	}
	path := write(t, "c.mp4", clips.Clip{Cover: still}.Bytes())
	sizes, err := Sizes(path, 1, func(int) string { return filepath.Join(t.TempDir(), "s.jpg") }, []int{480})
	if err != nil || len(sizes) != 1 || sizes[0].Width != 80 {
		t.Errorf("%+v, %v", sizes, err)
	}
	// A still that is none does not cost the clip.
	odd, err := Read(write(t, "d.mp4", clips.Clip{Cover: []byte("\xff\xd8\xff rubbish")}.Bytes()))
	if err != nil || odd.Width != 0 {
		t.Errorf("%+v, %v", odd, err)
	}
}

func TestClipsNotRead(t *testing.T) {
	whole := clips.Clip{}.Bytes()
	first := clips.Clip{First: true}.Bytes()
	long := bytes.Replace(first, []byte("mdat"), []byte("mdat"), 1)
	at := bytes.Index(long, []byte("mdat")) - 4
	binary.BigEndian.PutUint32(long[at:], uint32(len(long)-at+40_000))
	preallocated := append(long, make([]byte, 40_000)...) // as those who copy do
	for _, c := range []struct {
		data []byte
		cut  bool
		says string
	}{
		{whole[:len(whole)-1], true, "the clip ends halfway"},
		{preallocated, true, "the clip ends halfway"},
		{bytes.Replace(whole, []byte("vide"), []byte("soun"), 1), false, "not yet: MP4 clips with no track of pictures are left in the inbox"},
	} {
		_, err := Read(write(t, "a.mp4", c.data))
		var broken *BrokenError
		if err == nil || errors.As(err, &broken) != c.cut || c.cut && !broken.Cut || err.Error() != c.says {
			t.Errorf("%v, want %s", err, c.says)
		}
	}
}

// What the time of a header means, by all that may tell it.
func TestHeaderMeans(t *testing.T) {
	zone := berlin(t) // one hour ahead of UTC then
	zoneAt := func(time.Time) *time.Location { return zone }
	at := func(clock string) time.Time {
		got, err := time.ParseInLocation("2006-01-02 15:04:05", "2026-03-14 "+clock, zone)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	later := at("23:00:00").AddDate(0, 2, 0)
	for _, c := range []struct {
		name   string
		claims Claims
		want   string // at the bench
		meant  reason.Meant
		doubt  bool
	}{
		{"nothing tells", Claims{}, "19:32:05", "", true},
		{"the name, local", Claims{FileName: "VID_20260314_193201.mp4"}, "19:32:05", reason.ByName, false},
		{"the name of a camera", Claims{FileName: "20260314_183205.mp4"}, "18:32:05", reason.ByName, false},
		{"the name at its begin, the header at its end", Claims{FileName: "20260314_192805.mp4", Length: 4 * time.Minute}, "19:32:05", reason.ByName, false},
		{"a name in UTC", Claims{FileName: "PXL_20260314_183205123.mp4"}, "19:32:05", reason.ByName, false},
		{"a name of another time", Claims{FileName: "20260314_120000.mp4"}, "19:32:05", "", true},
		{"a name with a day", Claims{FileName: "VID-20260314-WA0007.mp4"}, "19:32:05", "", true},
		{"satellites", Claims{GPS: at("18:32:00")}, "18:32:05", reason.BySatellite, false},
		{"photos of the same minute", Claims{Others: journal.ClipKin{Photos: []time.Time{at("18:33:01"), at("12:00:00")}}}, "18:32:05", reason.ByKin, false},
		{"photos of both", Claims{Others: journal.ClipKin{Photos: []time.Time{at("18:33:01"), at("19:33:00")}}}, "19:32:05", "", true},
		{"habit", Claims{Others: journal.ClipKin{Locals: 2}}, "18:32:05", reason.ByHabit, false},
		{"two habits", Claims{Others: journal.ClipKin{Locals: 2, UTCs: 1}}, "19:32:05", "", true},
		{"the file's time", Claims{FileTime: at("19:32:09")}, "19:32:05", reason.ByFileTime, false},
		{"the file's time, local", Claims{FileTime: at("18:32:09")}, "18:32:05", reason.ByFileTime, false},
		{"a file copied later", Claims{FileTime: later}, "19:32:05", "", true},
		{"before it was taken in", Claims{Read: at("18:50:00")}, "18:32:05", reason.ByPresent, false},
		{"long after", Claims{Read: later}, "19:32:05", "", true},
	} {
		c.claims.List = []Claim{{Tag: journal.MovieHeader, Text: "2026-03-14 18:32:05"}}
		got := Choose(c.claims, journal.Camera{}, nil, zoneAt)
		if !got.At.Equal(at(c.want)) || got.Meant != c.meant || got.Doubts.Has(reason.UTCOrNot) != c.doubt ||
			got.Doubts.Any() != c.doubt || got.Source != journal.MovieHeader {
			t.Errorf("%s: %+v", c.name, got)
		}
	}
	// Where the zone is UTC the two are one.
	got := Choose(Claims{List: []Claim{{Tag: journal.MovieHeader, Text: "2026-03-14 18:32:05"}}}, journal.Camera{}, nil,
		func(time.Time) *time.Location { return time.UTC })
	if got.Doubts.Any() || !got.At.Equal(clipTime) {
		t.Errorf("%+v", got)
	}
}

// What states its zone comes before the header; a day alone after it.
func TestClipTimesInOrder(t *testing.T) {
	zone := berlin(t)
	zoneAt := func(time.Time) *time.Location { return zone }
	for _, c := range []struct {
		clip clips.Clip
		at   string
		from string
	}{
		{clips.Clip{Header: clipTime, Keys: [][2]string{{"com.apple.quicktime.creationdate", "2026-03-14T21:00:01+0200"}}},
			"2026-03-14T20:00:01+01:00", "QuickTime creationdate"},
		{clips.Clip{Keys: [][2]string{{"com.apple.quicktime.creationdate", "2026-03-14T19:00:01Z"}}}, "2026-03-14T20:00:01+01:00", "QuickTime creationdate"},
		{clips.Clip{UserData: [][2]string{{"day", "2026-03-14T21:00:01+0200"}}}, "2026-03-14T20:00:01+01:00", "QuickTime day"},
		{clips.Clip{Header: clipTime, UserData: [][2]string{{"day", "2026"}}}, "2026-03-14T19:32:05+01:00", journal.MovieHeader},
		{clips.Clip{UserData: [][2]string{{"day", "2026-03-14"}}}, "2026-03-14T12:00:00+01:00", "QuickTime day"},
	} {
		f, err := Read(write(t, "a.mp4", c.clip.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		want, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		got := Choose(f.Claims, f.Camera, nil, zoneAt)
		if !got.At.Equal(want) || got.Source != c.from || strings.HasSuffix(got.Wall, "Z") && got.At.Format(time.RFC3339) != c.at {
			t.Errorf("%+v, want %s from %s", got, c.at, c.from)
		}
	}
}

// The still that a camera put beside its clip tells its time, its camera, and the clip.
func TestStillOfTheCamera(t *testing.T) {
	zone := berlin(t)
	still := jpegWith(t, picture(80, 60), exifSegment(block([]field{ascii(0x0110, "K 2")}, []field{ascii(0x9003, "2026:03:14 18:32:05")})))
	data := clips.Clip{Header: clipTime, Boxes: [][]byte{clips.Box("udta", clips.Box("CNTH", clips.Box("CNDA", still)))}}.Bytes()
	f, err := Read(write(t, "a.mov", data))
	if err != nil || f.Camera.Model != "K 2" || f.Width != 80 || f.Picture.By != reason.Still {
		t.Fatalf("%+v, %v", f, err)
	}
	if got := Choose(f.Claims, f.Camera, nil, func(time.Time) *time.Location { return zone }); got.Doubts.Any() ||
		got.Source != "DateTimeOriginal" || got.At.Format("15:04 -07:00") != "18:32 +01:00" {
		t.Errorf("%+v", got)
	}
}

// A camera's clock fault is off whichever reading counts.
func TestClipsHaveClockFaults(t *testing.T) {
	zone := berlin(t)
	zoneAt := func(time.Time) *time.Location { return zone }
	camera := journal.Camera{Model: "K 1"}
	clocks := []journal.ClockFault{{Model: "K 1", Fast: "10m"}}
	for want, name := range map[string]string{"19:22:05": "VID_20260314_193205.mp4", "18:22:05": "20260314_183205.mp4"} {
		c := Claims{FileName: name, List: []Claim{{Tag: journal.MovieHeader, Text: "2026-03-14 18:32:05"}}}
		if got := Choose(c, camera, clocks, zoneAt); got.At.In(zone).Format(time.TimeOnly) != want || !got.Corrected.Any() {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestOldMovies(t *testing.T) {
	data := clips.Clip{}.Bytes()
	old := data[binary.BigEndian.Uint32(data):]
	f, err := Read(write(t, "a.mov", old))
	if err != nil || f.Kind != "mov" {
		t.Errorf("%+v, %v", f, err)
	}
	if _, err := Read(write(t, "a.txt", []byte("wide open spaces, skip the rest"))); err == nil || !strings.Contains(err.Error(), "not a picture") {
		t.Error(err)
	}
}
