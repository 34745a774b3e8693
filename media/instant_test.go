// When a photo was taken: the order of trust, zones, clock changes, faults.

package media

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the same zones on every computer

	"rakelight/journal"
	"rakelight/journal/reason"
)

// saysAhead is a doubt in the words in which records held it.
const saysAhead = "it lies after the moment it was taken in: a clock is wrong, the camera's or this computer's"

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	z, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func TestChoose(t *testing.T) {
	var (
		original = Claim{Tag: "DateTimeOriginal", Text: "2026:03:14 19:32:05"}
		edit     = Claim{Tag: "DateTime", Text: "2026:05:01 10:00:00"}
		xmp      = Claim{Tag: "XMP photoshop:DateCreated", Text: "2026-03-14T20:00:00+02:00"}
		gps      = Claim{Tag: "GPS", Text: "2026:03:14 18:30:00"}
		file     = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)
		read     = time.Date(2026, 11, 1, 0, 0, 0, 0, time.UTC)
		gpsTime  = time.Date(2026, 3, 14, 18, 30, 0, 0, time.UTC)
	)
	with := func(c Claim, sub, offset string) Claim { c.SubSec, c.Offset = sub, offset; return c }
	faults := []journal.ClockFault{
		{Make: "Tarrow", Model: "T-24", Serial: "9", Fast: "2h"},
		{Make: "tarrow", Model: "T-24", Fast: "58m", From: "2026-03-01", To: "2026-03-14"},
		{Make: "Pellory", Fast: "-5m30s"},
	}
	bench := journal.Camera{Make: "Tarrow", Model: "T-24", Serial: "1"}
	for _, c := range []struct {
		name   string
		claims []Claim
		gps    time.Time
		file   string
		camera journal.Camera
		zone   string
		want   string // RFC 3339
		source string
		offset string
		doubt  string
		fixed  string
	}{
		{name: "original", claims: []Claim{edit, gps, xmp, original}, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "sub-seconds", claims: []Claim{with(original, "025", "")}, want: "2026-03-14T19:32:05.025+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "stated offset", claims: []Claim{with(original, "", "-03:30")}, want: "2026-03-14T19:32:05-03:30", source: "DateTimeOriginal", offset: "stated"},
		{name: "blank offset", claims: []Claim{with(original, "", "   :  ")}, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "offset beyond the earth", claims: []Claim{with(original, "", "+15:00")}, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "digitized", claims: []Claim{edit, {Tag: "DateTimeDigitized", Text: "2026:03:14 19:00:00"}}, want: "2026-03-14T19:00:00+01:00", source: "DateTimeDigitized", offset: "journal zone"},
		{name: "xmp before edit", claims: []Claim{edit, xmp}, want: "2026-03-14T20:00:00+02:00", source: "XMP photoshop:DateCreated", offset: "stated"},
		{name: "gps before edit", claims: []Claim{edit, gps}, gps: gpsTime, want: "2026-03-14T19:30:00+01:00", source: "GPS", offset: "GPS"},
		{name: "edit alone", claims: []Claim{edit}, want: "2026-05-01T10:00:00+02:00", source: "DateTime", offset: "journal zone"},
		{name: "blank original", claims: []Claim{{Tag: "DateTimeOriginal", Text: ":  :     :  :"}, edit}, want: "2026-05-01T10:00:00+02:00", source: "DateTime", offset: "journal zone"},
		{name: "zero original", claims: []Claim{{Tag: "DateTimeOriginal", Text: "0000:00:00 00:00:00"}, edit}, want: "2026-05-01T10:00:00+02:00", source: "DateTime", offset: "journal zone"},
		{name: "clock never set", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2000:01:01 00:00:00"}, edit}, want: "2026-05-01T10:00:00+02:00", source: "DateTime", offset: "journal zone"},
		{name: "epoch", claims: []Claim{{Tag: "DateTimeOriginal", Text: "1970:01:01 00:00:00"}}, want: "2026-06-01T14:00:00+02:00", source: "file time", doubt: "file time, uncertain"},
		{name: "year 2216", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2216:11:15 11:46:51"}}, want: "2026-06-01T14:00:00+02:00", source: "file time", doubt: "file time, uncertain; DateTimeOriginal says 2216:11:15 11:46:51, which cannot be"},
		{name: "next year is possible", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2027:01:01 00:00:00"}}, want: "2027-01-01T00:00:00+01:00", source: "DateTimeOriginal", offset: "journal zone", doubt: saysAhead},
		{name: "an hour from now is possible", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:11:01 00:59:00", Offset: "+00:00"}}, want: "2026-11-01T00:59:00Z", source: "DateTimeOriginal", offset: "stated"},
		{name: "two hours are not", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:11:01 02:00:00", Offset: "+00:00"}}, want: "2026-11-01T02:00:00Z", source: "DateTimeOriginal", offset: "stated", doubt: saysAhead},
		{name: "a file from tomorrow", file: "2026-11-02.jpg", want: "2026-11-02T12:00:00+01:00", source: "file name", offset: "journal zone", doubt: "only the day is known" + "; " + saysAhead},
		{name: "31 April", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:04:31 10:00:00"}, edit}, want: "2026-05-01T10:00:00+02:00", source: "DateTime", offset: "journal zone"},
		{name: "day only", claims: []Claim{{Tag: "XMP xmp:CreateDate", Text: "2026-03-14"}, edit}, want: "2026-03-14T12:00:00+01:00", source: "XMP xmp:CreateDate", offset: "journal zone", doubt: "only the day is known"},
		{name: "day, then its hour", claims: []Claim{{Tag: "XMP xmp:CreateDate", Text: "2026-05-01"}, edit}, want: "2026-05-01T10:00:00+02:00", source: "DateTime", offset: "journal zone"},
		{name: "file name", file: "IMG_20260314_193205.jpg", want: "2026-03-14T19:32:05+01:00", source: "file name", offset: "journal zone"},
		{name: "file time", want: "2026-06-01T14:00:00+02:00", source: "file time", doubt: "file time, uncertain"},

		{name: "the offset stands in the XMP", claims: []Claim{original, {Tag: "XMP photoshop:DateCreated", Text: "2026-03-14T19:32:05-03:30"}}, want: "2026-03-14T19:32:05-03:30", source: "DateTimeOriginal", offset: "stated"},
		{name: "the XMP speaks of another time", claims: []Claim{original, xmp}, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "Z in the XMP is no offset to lend", claims: []Claim{original, {Tag: "XMP photoshop:DateCreated", Text: "2026-03-14T19:32:05Z"}}, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "one offset for all times", claims: []Claim{original, {Tag: "DateTime", Text: "2026:03:14 19:32:05", Offset: "-03:30"}}, want: "2026-03-14T19:32:05-03:30", source: "DateTimeOriginal", offset: "stated"},
		{name: "the offset of an edit", claims: []Claim{original, with(edit, "", "-03:30")}, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "gps before a lent offset", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:03:14 19:30:00"}, {Tag: "DateTime", Text: "2026:03:14 19:30:00", Offset: "-03:30"}, gps}, gps: gpsTime, want: "2026-03-14T19:30:00+01:00", source: "DateTimeOriginal", offset: "GPS"},
		{name: "creation time of a PNG", claims: []Claim{edit, {Tag: "PNG Creation Time", Text: "Sat, 14 Mar 2026 19:32:05 -0330"}}, want: "2026-03-14T19:32:05-03:30", source: "PNG Creation Time", offset: "stated"},

		{name: "gps gives the zone's offset", claims: []Claim{original, gps}, gps: gpsTime, want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "GPS"},
		{name: "gps gives a far offset", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:03:15 00:17:00"}, gps}, gps: gpsTime, want: "2026-03-15T00:17:00+05:45", source: "DateTimeOriginal", offset: "GPS"},
		{name: "gps is days old", claims: []Claim{original}, gps: gpsTime.AddDate(0, 0, -3), want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "gps 11 minutes old", claims: []Claim{original}, gps: time.Date(2026, 3, 14, 18, 21, 0, 0, time.UTC), want: "2026-03-14T19:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone"},

		{name: "the hour that came twice", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:10:25 02:30:00"}}, want: "2026-10-25T02:30:00+02:00", source: "DateTimeOriginal", offset: "journal zone", doubt: "the hour came twice that night: 02:30 (+02:00) or 02:30 (+01:00)"},
		{name: "twice, but stated", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:10:25 02:30:00", Offset: "+01:00"}}, want: "2026-10-25T02:30:00+01:00", source: "DateTimeOriginal", offset: "stated"},
		{name: "twice, but gps", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:10:25 02:30:00"}}, gps: time.Date(2026, 10, 25, 1, 29, 0, 0, time.UTC), want: "2026-10-25T02:30:00+01:00", source: "DateTimeOriginal", offset: "GPS"},
		{name: "before the hour that came twice", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:10:25 01:59:59"}}, want: "2026-10-25T01:59:59+02:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "after it", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:10:25 03:00:00"}}, want: "2026-10-25T03:00:00+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "the skipped hour", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:03:29 02:30:00"}}, want: "2026-03-29T03:30:00+02:00", source: "DateTimeOriginal", offset: "journal zone", doubt: "02:30 was skipped that night: 03:30 (+02:00) or 01:30 (+01:00)"},
		{name: "half an hour twice", zone: "Australia/Lord_Howe", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:04:05 01:45:00"}}, want: "2026-04-05T01:45:00+11:00", source: "DateTimeOriginal", offset: "journal zone", doubt: "the hour came twice that night: 01:45 (+11:00) or 01:45 (+10:30)"},

		{name: "clock fast", claims: []Claim{original}, camera: bench, want: "2026-03-14T18:34:05+01:00", source: "DateTimeOriginal", offset: "journal zone", fixed: "58m fast"},
		{name: "the fault ended", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:03:15 00:00:00"}}, camera: bench, want: "2026-03-15T00:00:00+01:00", source: "DateTimeOriginal", offset: "journal zone"},
		{name: "fault of one serial", claims: []Claim{original}, camera: journal.Camera{Make: "Tarrow", Model: "T-24", Serial: "9"}, want: "2026-03-14T17:32:05+01:00", source: "DateTimeOriginal", offset: "journal zone", fixed: "2h fast"},
		{name: "clock slow, stated offset", claims: []Claim{with(original, "", "+01:00")}, camera: journal.Camera{Make: "Pellory"}, want: "2026-03-14T19:37:35+01:00", source: "DateTimeOriginal", offset: "stated", fixed: "5m30s slow"},
		{name: "clock fast, gps", claims: []Claim{{Tag: "DateTimeOriginal", Text: "2026:03:14 20:28:00"}}, gps: gpsTime, camera: bench, want: "2026-03-14T19:30:00+01:00", source: "DateTimeOriginal", offset: "GPS", fixed: "58m fast"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.zone == "" {
				c.zone = "Europe/Berlin"
			}
			if c.camera.Make == "" {
				c.camera.Make = "none"
			}
			got := Choose(Claims{List: c.claims, GPS: c.gps, FileName: c.file, FileTime: file, Read: read}, c.camera, faults, zone(t, c.zone))
			if at := got.At.Format(time.RFC3339Nano); at != c.want || got.Source != c.source || got.Offset != c.offset || !slices.Equal(got.Doubts, reason.DoubtsOf(c.doubt)) || got.Corrected != reason.FaultOf(c.fixed) {
				t.Errorf("got %s %+v", at, got)
			}
			if len(c.claims) == 1 && got.Source != "file time" && got.Wall != c.claims[0].Text {
				t.Errorf("wall %q, want it as written", got.Wall)
			}
		})
	}
}

// TestOddDatesAreNamed: a date that is none is passed over, but not in silence.
func TestOddDatesAreNamed(t *testing.T) {
	edit := Claim{Tag: "DateTime", Text: "2026:05:01 10:00:00"}
	for text, note := range map[string]string{
		"2026:02:30 10:00:00": "DateTimeOriginal says 2026:02:30 10:00:00, a date there is not",
		"0000:00:00 00:00:00": "DateTimeOriginal says 0000:00:00 00:00:00, which is no date",
		"1904:01:01 00:00:00": "DateTimeOriginal says 1904:01:01 00:00:00, the first moment of a clock that was never set",
		"2000:01:01 00:00:00": "DateTimeOriginal says 2000:01:01 00:00:00, the first moment of a clock that was never set",
		"last Saturday 19:32": "DateTimeOriginal says last Saturday 19:32, which is not written as a date",
		"    :  :     :  :  ": "",
		"2026-03":             "",
		"2026:03:14 19:32:05": "",
	} {
		got := Choose(Claims{List: []Claim{{Tag: "DateTimeOriginal", Text: text}, edit}}, journal.Camera{}, nil, nil)
		if !slices.Equal(got.Passed, reason.DoubtsOf(note)) || got.Doubts.Any() {
			t.Errorf("%q: passed %v, doubts %v", text, got.Passed, got.Doubts)
		}
	}
	got := Choose(Claims{List: []Claim{{Tag: "DateTimeOriginal", Text: "1904:01:01 11:22:33"}, edit}}, journal.Camera{}, nil, nil)
	if !got.Passed.Has(reason.Unset) || got.Passed[0].Text != "1904:01:01 11:22:33" || got.Source != "DateTime" {
		t.Errorf("1904: %+v", got)
	}
}

func TestParseDate(t *testing.T) {
	for text, want := range map[string]string{
		"2026:03:14 19:32:05\x00":         "2026-03-14T19:32:05",
		" 2026-03-14 19:32:05 ":           "2026-03-14T19:32:05",
		"2026-03-14T19:32:05.25Z":         "2026-03-14T19:32:05",
		"2026-03-14T19:32+01:00":          "2026-03-14T19:32:00",
		"2026:03:14":                      "2026-03-14T00:00:00",
		"2026:03:14  9:32: 5":             "2026-03-14T09:32:05",
		"2026":                            "",
		"2026-03":                         "",
		"    :  :     :  :  ":             "",
		"0000:00:00 00:00:00":             "",
		"2026:02:30 10:00:00":             "",
		"2026:03:14 24:00:00":             "",
		"2026:03:14 19:60:00":             "",
		"":                                "",
		"Sat, 14 Mar 2026 19:32:05 +0100": "2026-03-14T19:32:05", // RFC 1123
		"14 Mar 2026 19:32:05 GMT":        "2026-03-14T19:32:05",
		"Sat, 31 Feb 2026 19:32:05 +0100": "",
		"2026:03:14 19:32:05 and later":   "",
	} {
		d, ok := parseDate(text)
		if ok != (want != "") || ok && d.wall.Format("2006-01-02T15:04:05") != want {
			t.Errorf("%q: %v %v, want %q", text, d.wall, ok, want)
		}
	}
	for digits, want := range map[string]time.Duration{"025": 25 * time.Millisecond, "25": 250 * time.Millisecond, "": 0, "x": 0, "1234567891": 123456789} {
		if got := fraction(digits); got != want {
			t.Errorf("%q: %v, want %v", digits, got, want)
		}
	}
}

func TestNameDate(t *testing.T) {
	for name, want := range map[string]string{
		"IMG_20260314_193205.jpg":                   "2026-03-14 19:32:05 true",
		"PXL_20260314_193205123.jpg":                "2026-03-14 19:32:05 true",
		"20260314193205.png":                        "2026-03-14 19:32:05 true",
		"2026-03-14-19-32-05-sep-a.jpg":             "2026-03-14 19:32:05 true",
		"2026-03-14 19.32.05.jpg":                   "2026-03-14 19:32:05 true",
		"Screenshot 2026-03-14 at 19.32.05 2.jpeg":  "2026-03-14 19:32:05 true",
		"IMG-20260314-WA0003.jpg":                   "2026-03-14 00:00:00 false",
		"hull 2026-03-14.jpg":                       "2026-03-14 00:00:00 false",
		"DSC_0042.jpg":                              "",
		"Picture 2026-03-14 at 3.16.17 PM.jpeg":     "2026-03-14 15:16:17 true",
		"Picture 2026-03-14 at 3.16.17 AM (1).jpeg": "2026-03-14 03:16:17 true",
		"Picture 2026-03-14 at 12.16.17 AM.jpeg":    "2026-03-14 00:16:17 true",
		"Picture 2026-03-14 at 12.16.17 PM.jpeg":    "2026-03-14 12:16:17 true",
		"Picture 2026-03-14 at 15.16.17.jpeg":       "2026-03-14 15:16:17 true",
		"Shot 2026-03-14 at 3.16.17\u202fPM.png":    "2026-03-14 15:16:17 true", // a narrow space
		"Bild 2026-03-14 um 15.16.17.jpeg":          "2026-03-14 15:16:17 true",
		"Imagen 2026-03-14 a las 15.16.17.jpeg":     "2026-03-14 00:00:00 false", // two words: the day alone
		"Picture 2026-03-14 at 13.16.17 PM.jpeg":    "2026-03-14 00:00:00 false", // no such hour
		"Picture 2026-03-14 at 3.16.17.jpeg":        "2026-03-14 00:00:00 false", // morning or afternoon?
		"photo_2026-03-14_15-16-17.jpg":             "2026-03-14 15:16:17 true",
		"image-2026-03-14-151617.jpg":               "2026-03-14 15:16:17 true",
		"image-2026-03-14-15-16-17-123.jpg":         "2026-03-14 15:16:17 true",
		"20261399.jpg":                              "",
		"serial 120260314.jpg":                      "",
		"18260314.jpg":                              "",
	} {
		d, _, ok := nameDate(name)
		got := ""
		if ok {
			got = d.wall.Format("2006-01-02 15:04:05 ") + map[bool]string{true: "true", false: "false"}[d.clock]
		}
		if got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

func FuzzFileNameDate(f *testing.F) {
	for _, s := range []string{"IMG_20260314_193205.jpg", "2026-03-14 19.32.05.jpg", "2026-03-14.jpg", "at 2026-03-14 at 3.16.17 PM.jpg", "20260314193205999", "a"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, name string) {
		d, text, ok := nameDate(name)
		if !ok {
			return
		}
		form := "20060102"
		if d.clock {
			form = "20060102150405"
		}
		if m := regexp.MustCompile(`(?i)[ap]\.?m\b\.?$`); m.MatchString(text) {
			if h := d.wall.Hour(); (h >= 12) != strings.ContainsAny(m.FindString(text), "pP") {
				t.Fatalf("%q: hour %d", name, h)
			}
			return // the hour's digits are others
		}
		digits := strings.Map(func(r rune) rune {
			if r < '0' || r > '9' {
				return -1
			}
			return r
		}, text)
		if want := d.wall.Format(form); !strings.HasPrefix(digits, want) || !strings.Contains(name, text) {
			t.Fatalf("%q: read %s from %q", name, want, text)
		}
	})
}

func FuzzXMPDate(f *testing.F) {
	for _, s := range []string{"2026-03-14T19:32:05.25+01:00", "2026-03-14", "2026:03:14 19:32:05", "2026", "Z"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, ok := parseDate(text)
		if !ok {
			return
		}
		again := d.wall.Format(time.DateOnly)
		if d.clock {
			again = d.wall.Format("2006-01-02T15:04:05")
			if d.sub != "" {
				again += "." + d.sub
			}
			again += d.offset
		}
		if got, ok := parseDate(again); !ok || got != d {
			t.Fatalf("%q is %+v, written %q it is %+v", text, d, again, got)
		}
	})
}
