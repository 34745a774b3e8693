// Pages for readers in another language than English.

package render

import (
	"bytes"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"golang.org/x/net/html"

	"rakelight/journal"
	"rakelight/journal/sanding"
	"rakelight/journal/say"
)

// bracketed is a language that says each key in brackets, and what is put into it in
// brackets of another kind.
func bracketed(t *testing.T) *say.Speaker {
	t.Helper()
	keys, err := allKeys()
	if err != nil {
		t.Fatal(err)
	}
	var file strings.Builder
	file.WriteString("language = \"qaa\"\ncapitals = true\n[words]\n")
	for key := range keys {
		words := stringHere.ReplaceAllString(key.English(), "⟨$0⟩")
		fmt.Fprintf(&file, "%s = %s\n", strconv.Quote(string(key)), strconv.Quote("⟦"+words+"⟧"))
	}
	f, err := say.Read([]byte(file.String()))
	if err != nil {
		t.Fatal(err)
	}
	return f.Speaker()
}

var stringHere = regexp.MustCompile(`%(?:\[\d+\])?[sv]`)

// outside are the pieces of words of a page that no brackets of a key hold: what was
// written in no language, or by a person.
func outside(t *testing.T, page []byte) (pieces []string) {
	t.Helper()
	doc, err := html.ParseWithOptions(bytes.NewReader(page), html.ParseOptionEnableScripting(false))
	if err != nil {
		t.Fatal(err)
	}
	var open []rune
	piece := strings.Builder{}
	end := func() {
		if words := strings.TrimSpace(piece.String()); strings.ContainsFunc(words, unicode.IsLetter) {
			pieces = append(pieces, words)
		}
		piece.Reset()
	}
	read := func(text string) {
		for _, r := range text {
			switch r {
			case '⟦', '⟨':
				end()
				open = append(open, r)
			case '⟧', '⟩':
				end()
				if len(open) == 0 {
					t.Errorf("a bracket is closed that was not opened: %q", text)
					return
				}
				open = open[:len(open)-1]
			default:
				if len(open) == 0 || open[len(open)-1] == '⟨' {
					piece.WriteRune(r)
				}
			}
		}
		end()
	}
	var walk func(n *html.Node)
	walk = func(n *html.Node) {
		switch {
		case n.Type == html.TextNode:
			read(n.Data)
		case n.Type == html.ElementNode && slices.Contains([]string{"script", "style", "code"}, n.Data):
			return
		case n.Type == html.ElementNode && slices.ContainsFunc(n.Attr, func(a html.Attribute) bool {
			return a.Key == "class" && slices.Contains(strings.Fields(a.Val), "prose")
		}):
			return
		}
		for _, a := range n.Attr {
			if slices.Contains([]string{"alt", "aria-label", "title", "placeholder"}, a.Key) ||
				a.Key == "content" && n.Data == "meta" && slices.Contains(n.Attr, html.Attribute{Key: "name", Val: "description"}) {
				was := open
				open = nil
				read(a.Val)
				open = was
			}
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			walk(c)
		}
	}
	walk(doc)
	return pieces
}

// ownWritten are all strings of a journal but those that are words of the program.
func ownWritten(s *journal.State) (all []string) {
	ours := slices.Concat(journal.Roles, journal.Views, journal.Lights, journal.Kinds,
		[]string{journal.Measured, journal.Estimated, journal.Remembered})
	seen := map[any]bool{}
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.String:
			if words := v.String(); words != "" && !slices.Contains(ours, words) {
				all = append(all, linkWritten.ReplaceAllString(ownMarks.ReplaceAllString(words, ""), "$1"))
			}
		case reflect.Pointer:
			if !v.IsNil() && !seen[v.Interface()] {
				seen[v.Interface()] = true
				walk(v.Elem())
			}
		case reflect.Struct:
			if step, is := v.Interface().(sanding.Step); is {
				all = append(all, step.How(), step.String()) // as it is typed
			}
			for i := range v.NumField() {
				if v.Type().Field(i).IsExported() {
					walk(v.Field(i))
				}
			}
		case reflect.Map:
			for _, key := range v.MapKeys() {
				walk(v.MapIndex(key))
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i))
			}
		}
	}
	walk(reflect.ValueOf(s))
	return all
}

// notSaidYet are the templates whose pages still hold words that are English in every
// language.
var notSaidYet = []string{"showsheet", "runnersheet", "benchsheet", "takeapart", "sandingsheet", ""}

// Whatever stands on a page for readers was said in its language, or written by the
// person.
func TestNothingIsSaidInOneLanguageAlone(t *testing.T) {
	speaker := bracketed(t)
	for _, s := range []*journal.State{smallState(), judgedBuilds(12)} {
		v := readersOf(s)
		v.voice = voice{speaker}
		own := ownWritten(v.State)
		seen := map[string]bool{}
		for _, m := range pagesOf(v) {
			if path.Ext(m.path) != ".html" || slices.Contains(notSaidYet, m.template) {
				continue
			}
			f, err := m.file(v.texts())
			if err != nil {
				t.Fatal(err)
			}
			for _, words := range outside(t, f.data) {
				if !seen[words] && !wroteThat(own, words) {
					t.Errorf("%s says %q in no language", f.path, words)
				}
				seen[words] = true
			}
		}
	}
}

var (
	betweenWritten = regexp.MustCompile(` · |[.,:;()!?–]+(?:\s|$)|\s\(|^\(`)
	amountWritten  = regexp.MustCompile(`^[\d.]+ `)
	partWritten    = regexp.MustCompile(`^\d*/?[A-Z]+\d*(?:-[A-Z]*\d+)?(?:x\d+)?$`)
	linkWritten    = regexp.MustCompile(`\[([^\]]*)\]\([^)]*\)|[*_\x60]`)
)

// wroteThat reports whether words are put together of whole strings of the journal, of
// pieces of its prose and of parts.
func wroteThat(own []string, words string) bool {
	words = strings.Trim(words, "· ,")
	if slices.ContainsFunc(own, func(whole string) bool { return strings.Contains(whole, words) }) &&
		strings.Contains(words, " ") {
		return true
	}
	for _, one := range betweenWritten.Split(words, -1) {
		if one = amountWritten.ReplaceAllString(strings.TrimSpace(one), ""); strings.ContainsFunc(one, unicode.IsLetter) && !partWritten.MatchString(one) &&
			!slices.ContainsFunc(own, func(whole string) bool {
				return strings.EqualFold(strings.TrimRight(whole, ".!?"), one) ||
					strings.Contains(one, " ") && strings.Contains(whole, one)
			}) {
			return false
		}
	}
	return true
}

// Publishing in a language lists what has no words in it, each once with its first
// page, also where no page is made again; the pages say so in English, without a mark.
func TestUnsaidIsListed(t *testing.T) {
	f, err := say.Read([]byte("language = \"de\"\n[words]\n\"page¦Diary\" = \"Tagebuch\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	j, dir := onDisk(t), t.TempDir()
	for range 2 {
		report, err := Publish(t.Context(), j, dir, Options{speaker: f.Speaker()})
		if err != nil {
			t.Fatal(err)
		}
		for key, page := range map[say.Key]string{"Then and now": "archive.html", "The years": "index.html"} {
			n := 0
			for _, one := range report.Unsaid {
				if one.Key == key {
					n++
					if one.Page != page {
						t.Errorf("%q is first on %s, not on %s", key, one.Page, page)
					}
				}
			}
			if n != 1 {
				t.Errorf("%q is listed %d times", key, n)
			}
		}
		if slices.ContainsFunc(report.Unsaid, func(one Unsaid) bool { return one.Key == "page¦Diary" }) {
			t.Error("what has words is listed")
		}
	}
	page, err := os.ReadFile(filepath.Join(dir, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`<html lang="de"`, ">Tagebuch<", ">Then and now<"} {
		if !strings.Contains(string(page), want) {
			t.Errorf("no %s", want)
		}
	}
	if strings.ContainsFunc(string(page), func(r rune) bool { return r > 0xf0000 }) {
		t.Error("a mark is left on the page")
	}
}

// Nobody speaks a language that there are no words for, and nothing is written then.
func TestUnknownLanguage(t *testing.T) {
	dir := t.TempDir()
	if _, err := Publish(t.Context(), onDisk(t), dir, Options{Language: "tlh"}); err == nil || !strings.Contains(err.Error(), "tlh") {
		t.Errorf("error %v", err)
	}
	if entries, _ := os.ReadDir(dir); len(entries) > 0 {
		t.Error("something was written")
	}
}
