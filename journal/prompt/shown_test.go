// Tests of text that hides nothing.

package prompt

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

func TestShown(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"plain", `C:\bench\IMG (2).jpg`, `C:\bench\IMG (2).jpg`},
		{"letters of all scripts", "Jägerhütte 日本 שלום سفينة", "Jägerhütte 日本 שלום سفينة"},
		{"joined signs", "👩\u200d🔧 نامه\u200cها", "👩\u200d🔧 نامه\u200cها"},
		{"a new line", "a.jpg\nrakelight: hint: rm", `a.jpg\nrakelight: hint: rm`},
		{"back over the line", "a\rb\x08\tc", `a\rb\x08\tc`},
		{"color and title", "\x1b[31mred\x1b]0;x\x07", `\x1b[31mred\x1b]0;x\x07`},
		{"control of eight bits", "\u009b31m\x7f", `\u009b31m\x7f`},
		{"the direction turned", "a\u202egpj.exe", `a\u202egpj.exe`},
		{"isolates and marks", "\u2066\u2069\u200e\u200f\u061c", `\u2066\u2069\u200e\u200f\u061c`},
		{"other ends of lines", "a\u2028b\u2029c\u0085d", `a\u2028b\u2029c\u0085d`},
		{"nothing to see", "a\ufeff\u200b\u00adb", `a\ufeff\u200b\u00adb`},
		{"tags beyond the first plane", "a\U000e0041", `a\U000e0041`},
		{"bytes that are no text", "a\xff\xc3", `a\xff\xc3`},
		{"the sign for such bytes is text", "a\ufffd", "a\ufffd"},
	} {
		if got := Shown(c.text); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// The marks that turn the direction of text, by UAX #9, tables 1 and 4, and the
// property Bidi_Control of the Unicode Character Database, which Go carries.
func TestShownKnowsEveryMarkOfDirection(t *testing.T) {
	for _, r := range unicode.Bidi_Control.R16 {
		for c := rune(r.Lo); c <= rune(r.Hi); c += rune(r.Stride) {
			if Shown(string(c)) == string(c) {
				t.Errorf("%U is let through", c)
			}
		}
	}
}

func FuzzShown(f *testing.F) {
	f.Add("a\nb\x1b\u202e\xff")
	f.Fuzz(func(t *testing.T, text string) {
		got := Shown(text)
		if !utf8.ValidString(got) || strings.ContainsFunc(got, hidden) {
			t.Errorf("%q hides something", got)
		}
		if Shown(got) != got {
			t.Errorf("%q is not shown as it is", got)
		}
	})
}
