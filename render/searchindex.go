// The index of the search: words folded and stemmed, in a file for each year.

package render

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/kljensen/snowball/english"
	"golang.org/x/text/unicode/norm"
)

// yearIndex is the file of a year. search.js reads it by these names.
type yearIndex struct {
	Docs []found `json:"docs"`
	// Words are the stems with the numbers of the docs they stand in, Forms the words
	// that have another stem than themselves. So the browser stems nothing: it folds
	// what is asked for, and looks here.
	Words map[string][]int  `json:"words"`
	Forms map[string]string `json:"forms"`
}

// found is what a result shows, and the text that its excerpt is cut from.
type found struct {
	Group string `json:"g"`
	Title string `json:"t"`
	Where string `json:"w,omitempty"`
	Href  string `json:"h"`
	Text  string `json:"x,omitempty"`
}

// indexOf makes the index of some things. Their words are a person's, and stemmed as
// English whatever the language of the pages: snowball has no German stemmer, and that a
// word is found by its beginning and without its dots leads from Rümpfe to Rumpf too.
func (in voice) indexOf(things []findable) yearIndex {
	index := yearIndex{Docs: []found{}, Words: map[string][]int{}, Forms: map[string]string{}}
	for i, one := range things {
		text := ""
		switch {
		case !one.Prose:
			text = strings.Join(strings.Fields(one.Words), " ")
		case len(one.Words) <= maxText: // no page shows a longer one
			text = plainBlocks(one.Words)
		}
		index.Docs = append(index.Docs, found{in.Say(one.Group), one.Title, one.Where, one.Href, text})
		for _, word := range searchWords(strings.ReplaceAll(one.Title+" "+text, ownMark, "")) {
			if stopWords[word] {
				continue
			}
			stem := english.Stem(word, true)
			if stem != word {
				index.Forms[word] = stem
			}
			if at := index.Words[stem]; len(at) == 0 || at[len(at)-1] != i {
				index.Words[stem] = append(at, i)
			}
		}
	}
	return index
}

func (in voice) searchScript(year string, things []findable) ([]byte, error) {
	data, err := json.Marshal(in.indexOf(things)) // it escapes what HTML would take for markup
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "rakelightSearch(%q,%s);\n", year, data), nil
}

// searchWords are the folded words of a text, in their order. search.js finds the
// same ones (TestSearchInBrowser).
func searchWords(text string) []string {
	var out []string
	for _, run := range strings.FieldsFunc(text, func(r rune) bool { return !inWord(r) && !unicode.Is(unicode.M, r) }) {
		// A sign may fold into several words: "½" is 1 and 2.
		for _, word := range strings.FieldsFunc(foldWord(run), func(r rune) bool { return !inWord(r) }) {
			if len(word) > 1 {
				out = append(out, word)
			}
		}
	}
	return out
}

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.Is(unicode.N, r) }

// foldWord is a word without capitals, accents and the shapes of letters that mean
// the same: "Möwe" is "mowe", "Straße" "strasse".
func foldWord(word string) string {
	plain := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.M, r) {
			return -1
		}
		return r
	}, norm.NFKD.String(word))
	return foldedLetters.Replace(strings.ToLower(plain))
}

// foldedLetters are those that Unicode does not take apart; as in search.js.
var foldedLetters = strings.NewReplacer("ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "đ", "d", "ð", "d", "þ", "th",
	"ł", "l", "ı", "i", "ς", "σ")

// stopWords are in every text and so find nothing. The page has them for its script.
var stopWords = func() map[string]bool {
	out := map[string]bool{}
	for _, word := range strings.Fields(stopList) {
		out[word] = true
	}
	return out
}()

const stopList = `about after again all also am an and any are as at be because been before being both but by can
could did do does down each few for from had has have he her here him his how if in into is it its just me more most my
no nor not now of off on once only or other our out over own same she should so some such than that the their them then
there these they this those through to too under until up very was we were what when where which while who why will
with would you your`

// yearsOf shares things out to the files of their years.
func yearsOf(things []findable) map[string][]findable {
	out := map[string][]findable{}
	for _, one := range things {
		out[one.year] = append(out[one.year], one)
	}
	return out
}

// searchScripts are the files of the years.
func (in voice) searchScripts(things []findable) []making {
	var out []making
	years := yearsOf(things)
	for _, year := range slices.Backward(sortedKeys(years)) {
		of := years[year]
		out = append(out, making{path: "data/search-" + fileName(year) + ".js",
			of:    func() digest { return digestOf(of) },
			bytes: func(*texts) ([]byte, error) { return in.searchScript(year, of) }})
	}
	return out
}
