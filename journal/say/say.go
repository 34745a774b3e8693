// Package say says things in a language. What is said is named by its English sentence,
// whole and with its placeholders, so that code and templates read as the page does;
// the sentences of other languages stand in word files, one a language, in site/words.
// It knows no journal: what a person wrote is an argument and stays as it is.
//
// Start with Speaker.Say. A sentence that is made in one place and said in another is a
// Wording: a Text, a Number, a Count, a List.
package say

import (
	"fmt"
	"strings"
	"sync"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
)

// Key names what is said: its English, as a format of package fmt. What stands before a
// broken bar is not said: it tells two things apart that English has one word for, as
// in "verb¦open".
type Key string

// contextEnd stands behind what a key says only to who translates it.
const contextEnd = "¦"

// English is what the key says in English, where no number changes its form.
func (k Key) English() string {
	if _, words, ok := strings.Cut(string(k), contextEnd); ok {
		return words
	}
	return string(k)
}

// Speaker says things in one language. It may be used by several goroutines.
type Speaker struct {
	tag   language.Tag
	file  *File
	point string // between whole and broken: "." or ","
	turn  func(string) string

	lock   sync.Mutex
	number map[Key]int // of the keys that have no words in the language
	unsaid []Key       // the same in order
}

// Language is the language as HTML names it (BCP 47): "de".
func (s *Speaker) Language() string { return s.tag.String() }

// IsEnglish reports whether the words are those of the keys.
func (s *Speaker) IsEnglish() bool { return s == English() }

// Say says a sentence with its arguments. Arguments that are a Wording are said in the
// same language. Where the language has no words for it, it is said in English, behind
// a mark that Unmarked takes off.
func (s *Speaker) Say(key Key, args ...any) string {
	args = s.spoken(args)
	mark, words := s.format(key, args)
	if len(args) > 0 && strings.Contains(words, "%") { // "the session", of one, has no number
		words = fmt.Sprintf(words, args...)
	}
	if mark != "" && s.turn != nil {
		words = s.turn(words)
	}
	return mark + words
}

// format is the sentence for the arguments, and the mark of one without words.
func (s *Speaker) format(key Key, args []any) (mark, format string) {
	forms, ok := s.file.Words[key]
	if !ok && !s.IsEnglish() {
		mark, forms = s.noteUnsaid(key), English().file.Words[key]
	}
	if len(forms.text) == 0 {
		return mark, key.English()
	}
	return mark, forms.choose(s.tag, args)
}

// spoken are arguments with every Wording among them said.
func (s *Speaker) spoken(args []any) []any {
	var out []any
	for i, arg := range args {
		w, ok := arg.(Wording)
		if !ok {
			continue
		}
		if out == nil {
			out = append(out, args...)
		}
		if n, is := w.(Number); is {
			out[i] = localNumber{n, w.In(s)}
			continue
		}
		out[i] = w.In(s)
	}
	if out == nil {
		return args
	}
	return out
}

// localNumber is a number as it is written, which still tells its plural form.
type localNumber struct {
	Number
	written string
}

func (n localNumber) String() string { return n.written }

// forms are the words of a key: one text, or one for each plural form of an argument.
type forms struct {
	by   int // the argument that decides, from 1; 0 = the first number among them
	text map[plural.Form]string
}

// choose is the text for the arguments.
func (f forms) choose(tag language.Tag, args []any) string {
	if len(f.text) > 1 {
		for i, arg := range args {
			if f.by > 0 && f.by != i+1 {
				continue
			}
			if form, ok := formOf(tag, arg); ok {
				if text, ok := f.text[form]; ok {
					return text
				}
				break
			}
		}
	}
	return f.text[plural.Other]
}

// formOf is the plural form a number takes in a language.
func formOf(tag language.Tag, arg any) (plural.Form, bool) {
	switch n := arg.(type) {
	case int:
		if n < 0 {
			n = -n
		}
		return plural.Cardinal.MatchPlural(tag, n, 0, 0, 0, 0), true
	case localNumber:
		i, v, w, f, t := n.operands()
		return plural.Cardinal.MatchPlural(tag, i, v, w, f, t), true
	}
	return plural.Other, false
}

// SayEscaped is Say for markup: escape is done to the sentence, and not to its arguments.
func (s *Speaker) SayEscaped(key Key, escape func(string) string, args ...any) string {
	mark, format := s.format(key, args)
	return mark + fmt.Sprintf(escape(format), args...)
}

// SayRaw is the sentence of a key with its placeholders, for what fills them later.
func (s *Speaker) SayRaw(key Key) string {
	mark, words := s.format(key, nil)
	return mark + words
}

// Forms are the sentences of a key by the names of their plural forms; see formNames.
func (s *Speaker) Forms(key Key) map[string]string {
	out := map[string]string{}
	for name, form := range formNames {
		if text, ok := s.file.Words[key].text[form]; ok {
			out[name] = text
		}
	}
	return out
}
