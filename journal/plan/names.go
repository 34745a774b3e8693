// This file makes names: titles of ids, and ids of what a person types.

package plan

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Title makes a readable title of an id: "pilot-boat" becomes "Pilot boat".
func Title(id string) string { return Capital(strings.ReplaceAll(id, "-", " ")) }

// Capital is the words with their first letter as a capital.
func Capital(words string) string {
	first, size := utf8.DecodeRuneInString(words)
	if size == 0 || first == utf8.RuneError {
		return words
	}
	return string(unicode.ToUpper(first)) + words[size:]
}

// BuildName is a name for the folder of a build of that title, of small letters, digits
// and hyphens; "" when none of its letters has one. Accents are left off.
func BuildName(title string) string {
	words := strings.FieldsFunc(strings.ToLower(norm.NFD.String(title)), func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && !unicode.Is(unicode.Mn, r)
	})
	for i, word := range words {
		words[i] = strings.Map(func(r rune) rune {
			if r > unicode.MaxASCII {
				return -1
			}
			return r
		}, word)
	}
	name := strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), "-")
	return strings.TrimRight(name[:min(len(name), 60)], "-")
}

// Slug is a name as folders spell it: lower case, dashes for everything else. Letters
// are composed (Unicode's NFC, UAX #15): the file manager of macOS writes é in a name
// as e and an accent, its keyboard as one letter.
func Slug(name string) string {
	words := strings.FieldsFunc(strings.ToLower(norm.NFC.String(name)), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '.'
	})
	return strings.Join(words, "-")
}
