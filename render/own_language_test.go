// In which language a person's own words are said to be.

package render

import (
	"bytes"
	"path"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"rakelight/journal"
)

// langText is a text of a page, in the language that the page says it is of.
type langText struct{ lang, words string }

func textsByLang(t *testing.T, page []byte) (all []langText) {
	t.Helper()
	doc, err := html.ParseWithOptions(bytes.NewReader(page), html.ParseOptionEnableScripting(false))
	if err != nil {
		t.Fatal(err)
	}
	var walk func(n *html.Node, lang string)
	walk = func(n *html.Node, lang string) {
		for _, a := range n.Attr {
			if a.Key == "lang" {
				lang = a.Val
			}
		}
		if words := strings.Join(strings.Fields(n.Data), " "); n.Type == html.TextNode && words != "" {
			all = append(all, langText{lang, words})
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c, lang)
		}
	}
	walk(doc, "")
	return all
}

// Where the pages are in another language than their person writes, the person's words
// say so, and ours are never among them.
func TestOwnWordsTellTheirLanguage(t *testing.T) {
	s := smallState()
	s.Config.WrittenIn = "en-GB"
	v := readersOf(s)
	v.voice = voice{bracketed(t)}
	own := map[string]bool{}
	for _, m := range pagesOf(v) {
		if path.Ext(m.path) != ".html" {
			continue
		}
		f, err := m.file(v.texts())
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range textsByLang(t, f.data) {
			if one.lang == "en-GB" {
				own[one.words] = true
			}
			if one.lang == "en-GB" && strings.ContainsAny(one.words, "⟦⟧") {
				t.Errorf("%s: %q is said to be in the person's language", f.path, one.words)
			}
		}
	}
	tried := 0
	see := func(words string) {
		t.Helper()
		if words == "" {
			return
		}
		tried++
		if !own[words] {
			t.Errorf("%q is nowhere said to be in the person's language", words)
		}
	}
	for _, p := range s.Pauses {
		see(p.Why)
		see(p.Next)
		see(p.Waiting)
	}
	for _, m := range s.Mistakes {
		see(m.Cause)
		see(journal.Capital(m.Kind))
	}
	for _, one := range s.Trials {
		see(journal.Capital(one.What))
		for _, o := range one.Observations {
			see(o.Text)
		}
	}
	for _, d := range s.Diary {
		see(d.Title)
	}
	for _, one := range s.Notes {
		see(one.Text)
	}
	if tried < 10 {
		t.Errorf("only %d words of the person's were looked for", tried)
	}
}

// Where both are in one language, or nothing says in which the person writes, no page
// says anything of it.
func TestOwnWordsInTheLanguageOfThePage(t *testing.T) {
	for _, written := range []string{"", "en", "en-GB", "!"} {
		s := smallState()
		s.Config.WrittenIn = written
		if got := readersOf(s).ownLanguage(); got != "" {
			t.Errorf("written in %q: %q", written, got)
		}
	}
}
