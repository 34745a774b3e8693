// The feed of the diary, as Atom (RFC 4287).
//
// An entry is a week, not a day: a week reads as a whole, and who follows from afar
// is not called for each evening. The latest stand here in full, with their words
// and pictures; the pages have all.
//
//   - The id of an entry never changes: a name-based UUID (RFC 9562, version 5) of
//     the journal's own identity and the week, so that no title, folder, address or
//     edition is in it (RFC 4287, 4.2.6).
//   - "updated" is the latest moment that the week holds: of a photo, a session, a
//     note, or the day of its words. It is read from the journal and not from the
//     clock of writing, so that the same journal gives the same bytes; words that are
//     corrected later do not move it, which RFC 4287 (4.2.15) leaves to the publisher.
//   - Addresses are relative to the feed's own, which is what they are resolved
//     against where no xml:base stands (RFC 4287, 2; RFC 3986, 5.1.3): so the same file
//     is right on any host and in any folder. Where [public] says the address of the
//     pages, it is the xml:base, and the feed names itself by it.
//   - Without times of day an entry has its days alone, at midnight UTC: that of the
//     journal's zone would tell where it is kept.

package render

import (
	"bytes"
	"crypto/sha1" // as RFC 9562 builds version 5; no secret rests on it
	"encoding/hex"
	"encoding/xml"
	"slices"
	"time"
)

const (
	feedPage  = "feed.xml"
	feedWeeks = 12 // a quarter of a year
	atomSpace = "http://www.w3.org/2005/Atom"
)

// atomFeed and its parts are the elements of RFC 4287, in its names.
type atomFeed struct {
	XMLName xml.Name    `xml:"feed"`
	Space   string      `xml:"xmlns,attr"`
	Lang    string      `xml:"xml:lang,attr"`
	Base    string      `xml:"xml:base,attr,omitempty"`
	ID      string      `xml:"id"`
	Title   string      `xml:"title"`
	Updated string      `xml:"updated"`
	Author  atomPerson  `xml:"author"`
	Links   []atomLink  `xml:"link"`
	Entries []atomEntry `xml:"entry"`
}

type atomPerson struct {
	Name string `xml:"name"`
}

type atomLink struct {
	Rel  string `xml:"rel,attr"`
	Type string `xml:"type,attr"`
	Href string `xml:"href,attr"`
}

type atomEntry struct {
	ID        string      `xml:"id"`
	Title     string      `xml:"title"`
	Published string      `xml:"published"`
	Updated   string      `xml:"updated"`
	Link      atomLink    `xml:"link"`
	Content   atomContent `xml:"content"`
}

type atomContent struct {
	Type string `xml:"type,attr"`
	Text string `xml:",chardata"`
}

// feed is feed.xml.
func (v *view) feed(t *texts) ([]byte, error) {
	base := v.Config.Public.Address
	f := atomFeed{Space: atomSpace, Lang: v.Language(), Base: base, ID: v.urn("feed"), Title: v.name(),
		Author: atomPerson{v.name()}, Links: []atomLink{{"self", "application/atom+xml", base + feedPage},
			{"alternate", "text/html", base + "index.html"}}}
	t.bare = true
	var latest time.Time
	for _, w := range slices.Backward(v.feedWeeks()) {
		e, at, err := v.feedEntry(w, t)
		if err != nil {
			return nil, err
		}
		f.Entries = append(f.Entries, e)
		if at.After(latest) {
			latest = at
		}
	}
	f.Updated = atomTime(latest)
	var out bytes.Buffer
	out.WriteString(xml.Header)
	e := xml.NewEncoder(&out)
	e.Indent("", " ")
	if err := e.Encode(f); err != nil {
		return nil, err
	}
	out.WriteByte('\n')
	return out.Bytes(), nil
}

// hasFeed reports whether there is a feed: of words without a single record there is
// none, since nothing is known yet by which its entries are named for good.
func (v *view) hasFeed() bool { return v.identity != "" && v.newestWeek() != nil }

// feedWeeks are the weeks of the feed, in order.
func (v *view) feedWeeks() []*benchWeek {
	weeks := v.calendar().weeks
	return weeks[max(0, len(weeks)-feedWeeks):]
}

func (v *view) feedEntry(w *benchWeek, t *texts) (e atomEntry, updated time.Time, err error) {
	page := v.weekEntry(w, t, "")
	var body bytes.Buffer
	if err := v.templates().ExecuteTemplate(&body, "feedweek", page); err != nil {
		return e, updated, err
	}
	updated = v.touched(w)
	e = atomEntry{ID: v.urn(w.id), Title: page.Heading, Updated: atomTime(updated),
		Published: atomTime(dayMoment(w.days[0].date)),
		Link:      atomLink{"alternate", "text/html", v.weekNamedHref(w.id)},
		Content:   atomContent{"html", xmlText(string(tidy(v.inVoice(body.Bytes()))))}}
	e.Title = string(v.inVoice([]byte(e.Title)))
	return e, updated, nil
}

// dayMoment is a day as a moment.
func dayMoment(date string) time.Time {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic(err) // the calendar holds nothing else
	}
	return t
}

// touched is the latest moment that a week holds, or its latest day where no time of
// day is shown.
func (v *view) touched(w *benchWeek) (latest time.Time) {
	if !v.times() {
		return dayMoment(w.days[len(w.days)-1].date)
	}
	see := func(at time.Time) {
		if at.After(latest) {
			latest = at
		}
	}
	for _, d := range w.days {
		see(dayMoment(d.date))
		for _, p := range d.photos {
			see(p.Instant.At)
		}
		for _, s := range d.sessions {
			see(s.Start)
			see(s.End)
		}
		for _, m := range d.mistakes {
			see(m.At)
		}
	}
	return latest
}

// atomTime is a moment as RFC 3339 writes it.
func atomTime(t time.Time) string { return t.UTC().Format(time.RFC3339) }

// xmlText leaves out what no XML may hold, not even escaped (XML 1.0, 2.2).
func xmlText(s string) string {
	return string(bytes.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, []byte(s)))
}

// feedSpace is the namespace of our ids: a UUID drawn once for this purpose.
var feedSpace = [16]byte{0x5c, 0x1d, 0x9e, 0x34, 0x7b, 0x02, 0x4f, 0x6a, 0x9d, 0x11, 0x3e, 0xa8, 0x60, 0xc4, 0x2f, 0x97}

// urn is the name of a thing of this journal, for good. In another language it is
// another thing.
func (v *view) urn(name string) string {
	if !v.IsEnglish() {
		name += "\n" + v.Language()
	}
	return "urn:uuid:" + uuid5(feedSpace, v.identity+"\n"+name)
}

// uuid5 is the name-based UUID of RFC 9562, 5.5.
func uuid5(space [16]byte, name string) string {
	sum := sha1.Sum(append(space[:], name...))
	u := sum[:16]
	u[6] = u[6]&0x0f | 0x50
	u[8] = u[8]&0x3f | 0x80
	s := hex.EncodeToString(u)
	return s[:8] + "-" + s[8:12] + "-" + s[12:16] + "-" + s[16:20] + "-" + s[20:]
}

// feedDigest is of the feed.
func (v *view) feedDigest() digest {
	var e encoding
	e.text(v.identity)
	for _, w := range v.feedWeeks() {
		e.any(v.weekDigest(w))
	}
	return e.sum()
}
