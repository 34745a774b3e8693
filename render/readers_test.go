// What readers' pages do not say.

package render

import (
	"html"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

var (
	clockTime   = regexp.MustCompile(`\b\d{1,2}:\d\d\b`)
	stampedHour = regexp.MustCompile(`datetime="[^"]*T\d`)
)

// readAloud is what a person gets of a page without its addresses: its text and the
// attributes that are read out.
func readAloud(f file) string {
	var said strings.Builder
	for _, part := range tagOrText.FindAll(f.data, -1) {
		if part[0] == '<' {
			for _, a := range readOut.FindAll(part, -1) {
				said.Write(a)
				said.WriteByte('\n')
			}
			continue
		}
		said.Write(part)
	}
	return html.UnescapeString(said.String())
}

// No page for readers says an id, digits to type, a command, a time of day or what is
// to be done about something; the builder's own pages have all of these.
func TestReadersPagesNameNothingToType(t *testing.T) {
	for _, s := range []*journal.State{smallState(), judgedBuilds(12)} {
		mine, readers := viewOf(s, time.Time{}, nil), readersOf(s)
		bad := map[string]bool{"rakelight ": true, device: true, "build.md": true, "to-sort": true, "Photos to sort": true, "inbox": true, "journal.toml": true, "stage is a guess": true, "in doubt:": true}
		for _, one := range s.Sessions {
			bad[one.ID] = true
		}
		for _, p := range s.Photos {
			bad[p.Short()] = true
		}
		found := map[string]bool{}
		for _, f := range htmlOf(render(t, mine)) {
			text := readAloud(f)
			for word := range bad {
				found[word] = found[word] || strings.Contains(text, word)
			}
		}
		n := 0
		for _, there := range found {
			if there {
				n++
			}
		}
		if n < len(bad)*3/4 {
			t.Errorf("only %d of %d are on the builder's own pages, so this proves little", n, len(bad))
		}
		for _, f := range htmlOf(render(t, readers)) {
			text := readAloud(f)
			for word := range bad {
				if strings.Contains(text, word) {
					i := strings.Index(text, word)
					t.Errorf("%s says %q: …%s…", f.path, word, text[max(0, i-60):min(len(text), i+60)])
				}
			}
			if m := clockTime.FindString(text); m != "" {
				t.Errorf("%s tells the time of day %s", f.path, m)
			}
			if m := stampedHour.Find(f.data); m != nil {
				t.Errorf("%s tells the time of day by %s", f.path, m)
			}
			head, inside, _ := strings.Cut(string(f.data), "<main")
			if m := youWord.FindString(strings.Join(inHead.FindAllString(head, -1), " ")); m != "" {
				t.Errorf("%s speaks to %q in its head", f.path, m)
			}
			inside, _, _ = strings.Cut(inside, "</main>")
			if m := youWord.FindString(readAloud(file{data: []byte("<main" + inside)})); m != "" {
				t.Errorf("%s speaks to %q", f.path, m)
			}
			if strings.Contains(string(f.data), ownMark) {
				t.Errorf("%s has a mark left in it", f.path)
			}
		}
	}
}

// Times of day are shown where the journal says so.
func TestTimesOfDayForReaders(t *testing.T) {
	s := smallState()
	s.Config.Public.Times = true
	times := 0
	for _, f := range htmlOf(render(t, readersOf(s))) {
		times += len(clockTime.FindAllString(readAloud(f), -1))
	}
	if times < 20 {
		t.Errorf("%d times of day", times)
	}
}
