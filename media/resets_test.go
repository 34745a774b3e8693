// Dates that are none, dates of clocks never set, and the zones of a journey.

package media

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

func TestDatesThatAreNone(t *testing.T) {
	read := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	file := time.Date(2025, 4, 3, 10, 0, 0, 0, time.UTC)
	for _, text := range []string{
		"0000:00:00 00:00:00", "    :  :     :  :  ", "1904:01:01 00:00:00", "1970:01:01 00:00:00", "1970:01:01 09:00:00",
		"1980:01:01 00:00:00", "1980:01:06 00:00:00", "2000:01:01 00:00:00", "2001:01:01 00:00:00", "1899:12:30 00:00:00", "2031:01:01 10:00:00",
	} {
		c := Claims{List: []Claim{{Tag: "DateTimeOriginal", Text: text}}, FileTime: file, Read: read}
		if in := Choose(c, journal.Camera{}, nil, time.UTC); in.Source != "file time" {
			t.Errorf("%q counts as a date: %+v", text, in)
		}
		c.List = append(c.List, Claim{Tag: "DateTime", Text: "2026:03:14 19:32:05"})
		if in := Choose(c, journal.Camera{}, nil, time.UTC); in.Source != "DateTime" {
			t.Errorf("%q hides a later claim: %+v", text, in)
		}
	}
	late := Claims{List: []Claim{{Tag: "DateTimeOriginal", Text: "2000:01:01 03:12:09"}}, FileTime: file, Read: read}
	if in := Choose(late, journal.Camera{}, nil, time.UTC); in.Source != "DateTimeOriginal" || !in.Doubts.Has(reason.NeverSet) {
		t.Errorf("hours after a reset: %+v", in)
	}
	for _, epoch := range []time.Time{{}, time.Unix(0, 0), time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)} {
		in := Choose(Claims{FileTime: epoch, Read: read}, journal.Camera{}, nil, time.UTC)
		if in.Source != "taking in" || !in.At.Equal(read) || !in.Doubts.Has(reason.TakingIn) {
			t.Errorf("file time %v: %+v", epoch, in)
		}
	}
}

// TestJourney: the zone is that of the wall time; what a file states wins.
func TestJourney(t *testing.T) {
	tokyo, err := time.LoadLocation("Asia/Tokyo")
	if err != nil {
		t.Fatal(err)
	}
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	zoneAt := func(wall time.Time) *time.Location {
		if wall.Year() == 2025 && wall.Month() == time.July {
			return tokyo
		}
		return lisbon
	}
	for _, c := range []struct{ text, offset, want string }{
		{"2025:06:30 23:59:59", "", "2025-06-30 22:59:59"},
		{"2025:07:01 00:00:01", "", "2025-06-30 15:00:01"},
		{"2025:07:31 23:59:59", "", "2025-07-31 14:59:59"},
		{"2025:08:01 00:00:01", "", "2025-07-31 23:00:01"},
		{"2025:07:10 12:00:00", "+01:00", "2025-07-10 11:00:00"},
	} {
		claims := Claims{List: []Claim{{Tag: "DateTimeOriginal", Text: c.text, Offset: c.offset}}}
		in := ChooseIn(claims, journal.Camera{}, nil, zoneAt)
		if got := in.At.UTC().Format("2006-01-02 15:04:05"); got != c.want {
			t.Errorf("%s %s: %s, want %s", c.text, c.offset, got, c.want)
		}
	}
	gps := Claims{List: []Claim{{Tag: "GPS", Text: "2025:07:10 03:00:00"}}, GPS: time.Date(2025, 7, 10, 3, 0, 0, 0, time.UTC)}
	if in := ChooseIn(gps, journal.Camera{}, nil, zoneAt); in.At.Format("15:04") != "12:00" {
		t.Errorf("satellite time is shown as %s", in.At)
	}
}

// TestXMPForms reads what programs write: attributes, elements, lists, any
// precision; and what they do not.
func TestXMPForms(t *testing.T) {
	const open, end = `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:p="http://ns.adobe.com/photoshop/1.0/" xmlns:e="http://ns.adobe.com/exif/1.0/" xmlns:dc="http://purl.org/dc/elements/1.1/" `, `</rdf:Description></rdf:RDF></x:xmpmeta>`
	found, words, err := parseXMP(strings.NewReader(open + `p:DateCreated="2026-03"><e:DateTimeOriginal> 2026-03-14T19:32:05.25Z </e:DateTimeOriginal>` +
		`<dc:subject><rdf:Bag><rdf:li>hull</rdf:li><rdf:li></rdf:li><rdf:li>seam &amp; filler</rdf:li></rdf:Bag></dc:subject><dc:creator><rdf:Seq><rdf:li>nobody</rdf:li></rdf:Seq></dc:creator>` + end))
	if err != nil || found["photoshop:DateCreated"] != "2026-03" || found["exif:DateTimeOriginal"] != "2026-03-14T19:32:05.25Z" || strings.Join(words, "|") != "hull|seam & filler" {
		t.Errorf("%v, %q, %v", found, words, err)
	}
	if found, _, err := parseXMP(strings.NewReader(open + `p:DateCreated="2026-03-14"><broken`)); err == nil || found["photoshop:DateCreated"] != "2026-03-14" {
		t.Errorf("what came before the damage: %v, %v", found, err)
	}
	if _, _, err := parseXMP(strings.NewReader(strings.Repeat("<a>", 200))); err == nil {
		t.Error("any depth is read")
	}
}
