// What a person types is on the pages: ids of sessions, digits of photos; and
// each photo that waits is counted and listed once.

package render

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

func TestBuildPageNamesWhatIsTyped(t *testing.T) {
	v := smallView()
	pages := map[string]string{}
	for _, f := range render(t, v) {
		pages[f.path] = string(f.data)
	}
	n := 0
	for _, b := range v.order {
		page := pages[b.href]
		for _, s := range b.sessions {
			n++
			if !strings.Contains(page, `<code class="digits">`+s.ID+"</code>") {
				t.Errorf("%s does not show the session %s", b.href, s.ID)
			}
		}
		for _, p := range b.photos {
			n++
			if !strings.Contains(page, `<code class="digits">`+p.Short()+"</code>") {
				t.Errorf("%s does not show the digits of the photo %s", b.href, p.Short())
			}
		}
	}
	if n < 40 {
		t.Errorf("only %d ids were looked for", n)
	}
}

func TestToSortCountsPhotos(t *testing.T) {
	v := smallView()
	page := v.sortPage()
	seen := map[string]int{}
	for _, part := range page.Parts {
		if part.Note != "" && len(part.Lines)+len(part.Rest) > 0 {
			t.Errorf("%s speaks of files and of photos", part.Title)
		}
		for _, line := range part.Lines {
			seen[line.Picture.Short]++
			if len(line.Reasons) == 0 {
				t.Errorf("%s waits for no reason", line.Picture.Short)
			}
		}
	}
	for short, n := range seen {
		if n != 1 {
			t.Errorf("%s is listed %d times", short, n)
		}
	}
	if len(seen) != page.Total || len(seen) != len(journal.Asked(v.ToDo())) || !strings.HasPrefix(page.Sum, inEnglish.count(len(seen), "photo")+": ") {
		t.Errorf("%d photos are listed, %d claimed: %q", len(seen), page.Total, page.Sum)
	}
	// The photo of 1 March 2024 has neither build nor time: it is listed once,
	// with both.
	if got := page.Parts[0].Lines[0].Reasons; len(got) != 2 || got[0].What != "time in doubt: file time, uncertain" || got[1].What != "no build, no stage" {
		t.Errorf("%+v", got)
	}
}

func TestRememberedOutsideTheLine(t *testing.T) {
	remembered := func(date string, h float64) *journal.Session {
		return &journal.Session{Date: date, Known: journal.Remembered, Net: time.Duration(h * float64(time.Hour))}
	}
	one := func(first, last string, sessions ...*journal.Session) *build {
		return &build{Build: &journal.Build{}, first: first, last: last, sessions: sessions}
	}
	for _, c := range []struct {
		b    *build
		want string
	}{
		{one("2021-03-06", "2021-11-20", remembered("1998", 6)), "March 2021 to November 2021; 6.0 h remembered, 1998"},
		{one("2021-03-06", "2021-11-20", remembered("2021", 6), remembered("2021-11", 1), remembered("2021-03", 1)), "March 2021 to November 2021"},
		{one("2021-03-06", "2021-11-20", remembered("2023-06", 2), remembered("1998", 6), remembered("2021", 9)), "March 2021 to November 2021; 8.0 h remembered, 1998 to June 2023"},
		{one("", "", remembered("1998", 6)), "6.0 h remembered, 1998"},
		{one("", ""), ""},
	} {
		if got := inEnglish.buildSpan(c.b); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
