// Tests of what photos alone tell: a lower bound that enters nothing else, and from when
// to when a build goes.

package journal

import (
	"fmt"
	"regexp"
	"testing"
	"time"

	"rakelight/journal/reason"
)

// pastPhotos are photos of the lorry, each at "2019-03-14 19:00" or as change makes it.
func pastPhotos(t *testing.T, at []string, change func(i int, b *PhotoBody)) []Record {
	t.Helper()
	var records []Record
	for i, when := range at {
		moment, err := time.Parse("2006-01-02 15:04", when)
		if err != nil {
			t.Fatal(err)
		}
		hash := fmt.Sprintf("%064d", i+1)
		b := PhotoBody{Hash: hash, Path: "photos/" + hash, Width: 400, Height: 300, Camera: Camera{Model: "T-24"},
			Instant: Instant{At: moment, Wall: moment.Format(time.DateTime), Source: "DateTimeOriginal", Offset: HomeOffset},
			Tags:    Tags{Build: "lorry", Stage: "clean"}, Why: reason.Whys{"build": {By: reason.Folder, Name: "lorry"}}}
		if change != nil {
			change(i, &b)
		}
		r, err := suppose(b, records)
		if err != nil {
			t.Fatal(err)
		}
		records = append(records, r)
	}
	return records
}

var twoEvenings = []string{"2019-03-14 19:00", "2019-03-14 19:10", "2019-03-14 21:00", "2019-03-14 21:12", "2019-03-20 20:00", "2019-03-21 00:30", "2019-03-21 00:40"}

func TestGlimpse(t *testing.T) {
	at := func(when string) time.Time { moment, _ := time.Parse("2006-01-02 15:04", when); return moment }
	all := func(change func(b *PhotoBody)) func(int, *PhotoBody) { return func(_ int, b *PhotoBody) { change(b) } }
	for _, c := range []struct {
		name   string
		change func(i int, b *PhotoBody)
		more   []Body
		want   Glimpse
	}{
		// 19:00 to 19:10, 21:00 to 21:12; after midnight it is still that evening.
		{"two evenings", nil, nil, Glimpse{7, 2, 32 * time.Minute, true}},
		{"copies without a camera", all(func(b *PhotoBody) { b.Camera = Camera{} }), nil, Glimpse{7, 2, 0, true}},
		{"scans", all(func(b *PhotoBody) { b.Instant.Doubts = reason.Doubts{{Is: reason.Scanned}} }), nil, Glimpse{7, 0, 0, true}},
		{"times of files", all(func(b *PhotoBody) {
			b.Instant.Source, b.Instant.Doubts = FileTime, reason.Doubts{{Is: reason.FileTime}}
		}), nil, Glimpse{7, 0, 0, true}},
		{"days alone", all(func(b *PhotoBody) { b.Instant.Doubts = reason.Doubts{{Is: reason.DayOnly}} }), nil, Glimpse{7, 3, 0, true}},
		{"of the finished model", all(func(b *PhotoBody) { b.Tags.Role = "finished" }), nil, Glimpse{7, 2, 0, true}},
		{"a timer on one evening", nil, []Body{WorkBody{Build: "lorry", Stage: "clean", Start: at("2019-03-14 18:00"), Minutes: 30, Known: Measured}},
			Glimpse{3, 1, 10 * time.Minute, false}},
		{"remembered years later", nil, []Body{WorkBody{Build: "lorry", Stage: "clean", Date: "2019", Minutes: 300}}, Glimpse{7, 2, 32 * time.Minute, true}},
		{"at work on another build", nil, []Body{WorkBody{Build: "seaplane", Stage: "clean", Start: at("2019-03-14 19:05"), Minutes: 30, Known: Measured}},
			Glimpse{7, 2, 10 * time.Minute, true}},
	} {
		records := pastPhotos(t, twoEvenings, c.change)
		for _, body := range c.more {
			r, err := suppose(body, records)
			if err != nil {
				t.Fatal(err)
			}
			records = append(records, r)
		}
		s := Fold(testPlan, records)
		if got := s.Glimpse("lorry"); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

// TestGlimpseEntersNothing holds that what photos tell is in no hours, no pace, no
// forecast and no claim: the same journal with and without the photos gives the same.
func TestGlimpseEntersNothing(t *testing.T) {
	names := regexp.MustCompile(`supposed/\d+|0x[0-9a-f]+`) // numbers of records, places in memory
	start := time.Date(2019, 4, 1, 19, 0, 0, 0, time.UTC)
	work := []Body{WorkBody{Build: "seaplane", Stage: "clean", Start: start, Minutes: 60, Known: Measured, Count: 9}}
	of := func(records []Record) string {
		for _, body := range work {
			r, err := suppose(body, records)
			if err != nil {
				t.Fatal(err)
			}
			records = append(records, r)
		}
		s := Fold(testPlan, records)
		out := s.Outlook(s.Build("lorry"), start.AddDate(0, 1, 0), true)
		told := fmt.Sprintf("%+v\n%+v\n%+v %+v\n%v", s.Work(""), s.Claims(), out.Forecast, out.Tasks, s.Weeks("lorry", start.AddDate(0, 1, 0), true))
		return names.ReplaceAllString(told, "…")
	}
	if with, without := of(pastPhotos(t, twoEvenings, nil)), of(nil); with != without {
		t.Errorf("with photos\n%s\nwithout\n%s", with, without)
	}
}

func TestSpanOfBuilds(t *testing.T) {
	said := func(words, first, last string) func(b *PhotoBody) {
		return func(b *PhotoBody) {
			b.Instant = Instant{At: b.Instant.At, Source: SaidSo, Said: words, Doubts: reason.Doubts{{Is: reason.SomeDay, First: first, Last: last}}}
		}
	}
	is := func(doubt reason.Is) func(b *PhotoBody) {
		return func(b *PhotoBody) { b.Instant.Doubts = reason.Doubts{{Is: doubt}} }
	}
	for _, c := range []struct {
		name     string
		photos   []func(b *PhotoBody) // one a photo, of 2019-03-14, -15, …
		from, to string
		first    string // FirstDay
	}{
		{"no photo", nil, "", "", ""},
		{"known days", []func(*PhotoBody){nil, nil}, "2019-03-14", "2019-03-15", "2019-03-14"},
		{"as a person dated them", []func(*PhotoBody){said("spring 1998", "1998-03-01", "1998-05-31"), said("May 2001", "2001-05-01", "2001-05-31")},
			"spring 1998", "May 2001", "1998"},
		{"of one month", []func(*PhotoBody){said("May 2001", "2001-05-01", "2001-05-31")}, "May 2001", "May 2001", "2001-05"},
		{"begun long before", []func(*PhotoBody){said("spring 1998", "1998-03-01", "1998-05-31"), nil}, "spring 1998", "2019-03-15", "1998"},
		{"some day of a year that is known better", []func(*PhotoBody){said("2019", "2019-01-01", "2019-12-31"), nil, nil}, "2019-03-15", "2019-03-16", "2019-03-15"},
		{"scans and copies tell nothing", []func(*PhotoBody){is(reason.Scanned), is(reason.FileTime), is(reason.TakingIn), is(reason.NeverSet)}, "", "", ""},
		{"days without an hour", []func(*PhotoBody){is(reason.DayOnly)}, "2019-03-14", "2019-03-14", "2019-03-14"},
	} {
		var at []string
		for i := range c.photos {
			at = append(at, time.Date(2019, 3, 14+i, 19, 0, 0, 0, time.UTC).Format("2006-01-02 15:04"))
		}
		s := Fold(testPlan, pastPhotos(t, at, func(i int, b *PhotoBody) {
			if c.photos[i] != nil {
				c.photos[i](b)
			}
		}))
		b := s.Build("lorry")
		from, to := s.Span(b)
		if from.String() != c.from || to.String() != c.to || s.FirstDay(b) != c.first {
			t.Errorf("%s: from %q to %q, first day %q; want %q to %q, %q", c.name, from, to, s.FirstDay(b), c.from, c.to, c.first)
		}
	}
}

// Of evenings with one picture each a lower bound says nothing: a third of them need two.
func TestGlimpseOfSinglePhotos(t *testing.T) {
	for _, c := range []struct {
		single int // evenings of one photo, beside one of two
		want   time.Duration
	}{{2, 5 * time.Minute}, {3, 0}, {25, 0}} {
		at := []string{"2019-03-01 19:00", "2019-03-01 19:05"}
		for i := range c.single {
			at = append(at, fmt.Sprintf("2019-03-%02d 19:00", i+2))
		}
		got := Fold(testPlan, pastPhotos(t, at, nil)).Glimpse("lorry")
		if want := (Glimpse{c.single + 2, c.single + 1, c.want, true}); got != want {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}
