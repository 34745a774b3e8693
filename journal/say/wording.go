// What can be said in any language, made before it is known in which.

package say

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Wording is something that can be said in any language.
type Wording interface{ In(*Speaker) string }

// Text is a sentence with its arguments, not said yet. The zero value says nothing.
type Text struct {
	Key  Key
	Args []any
}

// Of is the sentence of a key.
func Of(key Key, args ...any) Text { return Text{key, args} }

// In says it.
func (t Text) In(s *Speaker) string {
	if t.Key == "" {
		return ""
	}
	return s.Say(t.Key, t.Args...)
}

// String says it in English.
func (t Text) String() string { return t.In(English()) }

// In says a key that takes no arguments.
func (k Key) In(s *Speaker) string {
	if k == "" {
		return ""
	}
	return s.Say(k)
}

// Number is a number as English writes it, with a point: "1.41".
type Number string

// In writes it with the language's own point, and with a minus sign: a hyphen before a
// number is lost at the end of a line, and read as one.
func (n Number) In(s *Speaker) string {
	words := strings.ReplaceAll(string(n), ".", s.point)
	if below, is := strings.CutPrefix(words, "-"); is {
		return "−" + below
	}
	return words
}

// operands are what plural rules ask of a number (Unicode Technical Standard 35, part 3,
// "Plural Operand Meanings").
func (n Number) operands() (i, v, w, f, t int) {
	whole, broken, _ := strings.Cut(strings.TrimLeft(string(n), "+-−"), ".")
	short := strings.TrimRight(broken, "0")
	i, _ = strconv.Atoi(whole)
	f, _ = strconv.Atoi(broken)
	t, _ = strconv.Atoi(short)
	return i, len(broken), len(short), f, t
}

// Count is a number with its noun: "1 photo", "12 photos". Its key is "%d photo".
type Count struct {
	N    int
	Noun Noun
}

// Noun is what is counted, in English and by one: "photo". A context stands before it as
// before a Key.
type Noun string

// Key is the key of the noun with its number.
func (c Count) Key() Key {
	if context, noun, ok := strings.Cut(string(c.Noun), contextEnd); ok {
		return Key(context + contextEnd + "%d " + noun)
	}
	return Key("%d " + string(c.Noun))
}

// In says it.
func (c Count) In(s *Speaker) string {
	if _, ok := s.file.Words[c.Key()]; ok {
		return s.Say(c.Key(), c.N)
	}
	if s.IsEnglish() {
		return c.byRule()
	}
	return s.noteUnsaid(c.Key()) + c.byRule()
}

// byRule is the English of a noun without plural forms of its own.
func (c Count) byRule() string {
	noun := Key(c.Noun).English()
	if c.N != 1 {
		switch stem, y := strings.CutSuffix(noun, "y"); {
		case strings.HasSuffix(noun, "ch") || strings.HasSuffix(noun, "s"):
			noun += "e"
		case y && !strings.ContainsAny(stem[max(0, len(stem)-1):], "aeiou"):
			noun = stem + "ie"
		}
		noun += "s"
	}
	return strconv.Itoa(c.N) + " " + noun
}

// List is some words as one says them: "a, b and c".
type List []string

// In says it.
func (l List) In(s *Speaker) string {
	n := len(l)
	if n < 2 {
		return strings.Join(l, "")
	}
	return s.Say("list¦%s and %s", strings.Join(l[:n-1], s.Say("list¦, ")), l[n-1])
}

// Count says a number with its noun: "1 photo", "12 photos". The key is "%d photo".
func (s *Speaker) Count(n int, noun Noun) string { return Count{n, noun}.In(s) }

// List says words one after another: "a, b and c".
func (s *Speaker) List(words []string) string { return List(words).In(s) }

// Own is what a person wrote. It is said as it is in every language.
type Own string

// In is the words.
func (o Own) In(*Speaker) string { return string(o) }

// Inside says a title inside a sentence: its first letter small, unless it is an
// abbreviation, or the language writes its nouns with a capital.
func (s *Speaker) Inside(title string) string {
	if title == "" || s.file.Capitals {
		return title
	}
	r, n := utf8.DecodeRuneInString(title)
	next, _ := utf8.DecodeRuneInString(title[n:])
	if unicode.IsUpper(next) {
		return title
	}
	return string(unicode.ToLower(r)) + title[n:]
}

// Decimal is a number with so many digits behind its point.
func Decimal(x float64, digits int) Number { return Number(strconv.FormatFloat(x, 'f', digits, 64)) }
