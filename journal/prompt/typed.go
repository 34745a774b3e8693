// This file writes the commands that hints propose, so that pasting one does
// what it says and nothing else, whatever stands in the names.

package prompt

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"unicode"
)

// Typed is a command line to paste. The format is words with one space between,
// of which each "%s" takes the next value, quoted:
//
//	Typed("rakelight clock --photo %s --really TIME", name)
//
// Words in capitals stand for what the person knows. A value in the place of an
// argument that begins with a dash would be read as a flag: then the flags go
// first, and "--" says that none follows. That takes each flag of the format for
// one with a value.
func Typed(format string, values ...string) string {
	var words, flags, plain []string // plain: the arguments behind the command's own words
	dash, wantsValue := false, false
	for word := range strings.SplitSeq(format, " ") {
		value := word == "%s"
		if value {
			word, values = values[0], values[1:]
			dash = dash || !wantsValue && strings.HasPrefix(word, "-")
			word = Quoted(word)
		}
		words = append(words, word)
		switch {
		case !value && strings.HasPrefix(word, "--"):
			flags, wantsValue = append(flags, word), true
			continue
		case wantsValue:
			flags = append(flags, word)
		default:
			plain = append(plain, word)
		}
		wantsValue = false
	}
	if !dash {
		return strings.Join(words, " ")
	}
	const name = 2 // "rakelight clock"
	return strings.Join(slices.Concat(plain[:name], flags, []string{"--"}, plain[name:]), " ")
}

// Quoted is a word as it is typed at a prompt, so that the program gets exactly
// this word and the shell does nothing else. Words that need no quotes get none.
//
// Elsewhere than on Windows, the shells meant are those of POSIX, zsh and fish.
// What no quotes can hold visibly (ends of lines, marks of direction; see Shown)
// is written as octal in $'…' (POSIX.1-2024, XCU 2.2.4), which an older shell
// takes for another name and runs nothing.
//
// On Windows a prompt is cmd or PowerShell, and nobody can tell which will be
// pasted into. Double quotes mean the same to both unless the word holds one of
// $ ` % or a quote; no way of writing those is safe in both, so that the word
// becomes NAME, which the person fills in.
func Quoted(word string) string { return quotedOn(runtime.GOOS, word) }

func quotedOn(system, word string) string {
	windows := system == "windows"
	switch {
	case word != "" && !strings.ContainsFunc(word, func(r rune) bool { return !bare(r) && !(windows && r == '\\') }):
		return word
	case windows && (hides(word) || strings.ContainsAny(word, "\"$`%!“”„") || strings.HasSuffix(word, `\`)):
		return "NAME"
	case windows:
		return `"` + word + `"`
	case hides(word):
		return octal(word)
	case !strings.ContainsAny(word, "\"$`\\!"):
		return `"` + word + `"`
	}
	// The backslash stands outside of the quotes, because fish knows it within.
	return `'` + strings.NewReplacer(`'`, `'\''`, `\`, `'\\'`).Replace(word) + `'`
}

// bare are the runes that mean themselves to every shell, also at the beginning
// of a word: = and ~ do not to zsh, nor @ and the comma to PowerShell.
func bare(r rune) bool {
	return unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("_./:+-", r)
}

// octal writes a word byte by byte in $'…'. Quotes, the backslash and the
// exclamation mark are octal too: shells look for history before they know
// what is quoted how.
func octal(word string) string {
	var b strings.Builder
	b.WriteString("$'")
	for _, c := range []byte(word) {
		if c < ' ' || c >= 0x7f || strings.IndexByte(`'\!`, c) >= 0 {
			fmt.Fprintf(&b, `\%03o`, c)
		} else {
			b.WriteByte(c)
		}
	}
	b.WriteString("'")
	return b.String()
}
