// The feed: what RFC 4287 asks of it, and what never changes in it.

package render

import (
	"bytes"
	"encoding/xml"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/mmcdole/gofeed/atom"
)

func feedOf(t *testing.T, v *view) []byte {
	t.Helper()
	data, err := v.feed(v.texts())
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// What RFC 4287 says must be there (4.1.1, 4.1.2), read by encoding/xml, and the dates
// as RFC 3339 has them (3.3).
func TestFeedHasWhatItMust(t *testing.T) {
	var f struct {
		XMLName xml.Name
		IDs     []string `xml:"id"`
		Titles  []string `xml:"title"`
		Updated []string `xml:"updated"`
		Authors []string `xml:"author>name"`
		Links   []struct {
			Rel  string `xml:"rel,attr"`
			Href string `xml:"href,attr"`
		} `xml:"link"`
		Entries []struct {
			IDs     []string `xml:"id"`
			Titles  []string `xml:"title"`
			Updated []string `xml:"updated"`
			Content struct {
				Type string `xml:"type,attr"`
				Text string `xml:",chardata"`
			} `xml:"content"`
		} `xml:"entry"`
	}
	if err := xml.Unmarshal(feedOf(t, smallView()), &f); err != nil {
		t.Fatal(err)
	}
	if f.XMLName.Space != atomSpace || f.XMLName.Local != "feed" || len(f.IDs) != 1 || len(f.Titles) != 1 || len(f.Updated) != 1 ||
		len(f.Authors) != 1 || f.Authors[0] == "" || len(f.Links) == 0 {
		t.Errorf("%+v", f)
	}
	if !slices.ContainsFunc(f.Links, func(l struct {
		Rel  string `xml:"rel,attr"`
		Href string `xml:"href,attr"`
	}) bool {
		return l.Rel == "self"
	}) {
		t.Error("no link to itself (4.1.1)")
	}
	if len(f.Entries) != min(feedWeeks, len(smallView().calendar().weeks)) {
		t.Errorf("%d entries", len(f.Entries))
	}
	seen := map[string]bool{f.IDs[0]: true}
	for _, e := range f.Entries {
		if len(e.IDs) != 1 || len(e.Titles) != 1 || e.Titles[0] == "" || len(e.Updated) != 1 || seen[e.IDs[0]] {
			t.Errorf("%+v", e)
			continue
		}
		seen[e.IDs[0]] = true
		if u, err := url.Parse(e.IDs[0]); err != nil || !u.IsAbs() {
			t.Errorf("the id %q is no absolute address (4.2.6)", e.IDs[0])
		}
		if _, err := time.Parse(time.RFC3339, e.Updated[0]); err != nil || e.Updated[0] > f.Updated[0] {
			t.Errorf("updated %q (%v), the feed %q", e.Updated[0], err, f.Updated[0])
		}
		if e.Content.Type != "html" || strings.TrimSpace(e.Content.Text) == "" {
			t.Errorf("%+v", e.Content)
		}
	}
}

// addressIn finds the addresses in the content of an entry.
var addressIn = regexp.MustCompile(`(?:href|src)="([^"]*)"`)

// An independent reader of Atom finds the weeks, with their whole text, and every
// address in it leads to a page or a picture that is written.
func TestFeedIsReadByOthers(t *testing.T) {
	v := smallView()
	feed, err := (&atom.Parser{}).Parse(bytes.NewReader(feedOf(t, v)))
	if err != nil {
		t.Fatal(err)
	}
	written := map[string]bool{}
	for _, m := range pagesOf(v) {
		written[m.path] = true
	}
	for _, name := range v.sizeFiles() {
		written[name] = true
	}
	all := ""
	for _, e := range feed.Entries {
		all += e.Content.Value
		if e.UpdatedParsed == nil || e.PublishedParsed == nil || len(e.Links) != 1 || !written[e.Links[0].Href] {
			t.Errorf("%+v", e)
		}
		for _, m := range addressIn.FindAllStringSubmatch(e.Content.Value, -1) {
			name, _, _ := strings.Cut(m[1], "#")
			if name != "" && !strings.HasPrefix(name, "https://example.com/") && !written[path.Clean(name)] {
				t.Errorf("%s leads to %s, which is not written", e.Title, m[1])
			}
		}
	}
	if !strings.Contains(all, "Quiet day.") || !strings.Contains(all, "<img ") || strings.Contains(all, `class="digits"`) {
		t.Errorf("%.2000s", all)
	}
}

// The names of entries stay while titles, words, edition and the journal's name
// change, and are others in another journal.
func TestFeedNamesStay(t *testing.T) {
	ids := func(change func(v *view)) string {
		v := smallView()
		change(v)
		return strings.Join(regexp.MustCompile(`<id>[^<]*</id>`).FindAllString(string(feedOf(t, v)), -1), "\n")
	}
	want := ids(func(*view) {})
	for name, change := range map[string]func(v *view){
		"other words": func(v *view) {
			for i := range v.Diary {
				v.Diary[i].Title, v.Diary[i].Body = "Other", "words"
			}
		},
		"other name":     func(v *view) { v.Config.Name = "Another name" },
		"other edition":  func(v *view) { v.edition = ForReaders },
		"renamed builds": func(v *view) { v.order[0].Title = "Renamed" },
	} {
		if got := ids(change); got != want {
			t.Errorf("%s:\n%s\nwas\n%s", name, got, want)
		}
	}
	if ids(func(v *view) { v.identity = "bench-00000000" }) == want {
		t.Error("another journal has the same names")
	}
}

// Before the first record nothing is known that could name the entries for good, so
// there is no feed, and no page leads to one.
func TestNoFeedBeforeTheFirstRecord(t *testing.T) {
	v := readersView()
	if feeds(t, v) == 0 {
		t.Fatal("no feed with records")
	}
	v = readersView()
	v.identity = ""
	if n := feeds(t, v); n > 0 {
		t.Errorf("%d files are a feed or lead to one", n)
	}
}

// feeds counts the files that are a feed, and those that lead to one.
func feeds(t *testing.T, v *view) (n int) {
	for _, f := range render(t, v) {
		if f.path == feedPage || bytes.Contains(f.data, []byte(feedPage)) {
			n++
		}
	}
	return n
}

// Where the address of the pages is said, everything in the feed resolves to it; and
// without times of day no entry tells one.
func TestFeedAddressAndTimes(t *testing.T) {
	v := readersView()
	v.Config.Public.Address = "https://example.org/bench/"
	data := string(feedOf(t, v))
	feed, err := (&atom.Parser{}).Parse(strings.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(data, `xml:base="https://example.org/bench/"`) || !strings.Contains(data, `rel="self" type="application/atom+xml" href="https://example.org/bench/feed.xml"`) {
		t.Errorf("%.600s", data)
	}
	for _, e := range feed.Entries {
		if !strings.HasPrefix(e.Links[0].Href, "https://example.org/bench/weeks/") {
			t.Errorf("the parser resolves the way to the week to %q", e.Links[0].Href)
		}
	}
	clock := regexp.MustCompile(`T([0-9:]+)Z`)
	for _, m := range clock.FindAllStringSubmatch(data, -1) {
		if m[1] != "00:00:00" {
			t.Errorf("a time of day for readers: %s", m[0])
		}
	}
	v.Config.Public.Times = true
	if data := string(feedOf(t, v)); !regexp.MustCompile(`<updated>[0-9-]+T(2[0-3]|1[0-9]):`).MatchString(data) {
		t.Errorf("%.600s", data)
	}
}

// The version 5 example of RFC 9562, A.4: the name "www.example.com" in the namespace
// of domain names.
func TestUUID5(t *testing.T) {
	dns := [16]byte{0x6b, 0xa7, 0xb8, 0x10, 0x9d, 0xad, 0x11, 0xd1, 0x80, 0xb4, 0x00, 0xc0, 0x4f, 0xd4, 0x30, 0xc8}
	if got := uuid5(dns, "www.example.com"); got != "2ed6657d-e927-568b-95e1-2665a8aea6a2" {
		t.Error(got)
	}
}

func TestXMLText(t *testing.T) {
	if got := xmlText("a\x00b\x0bc\td\n\ufffe"); got != "abc\td\n" {
		t.Errorf("%q", got)
	}
}
