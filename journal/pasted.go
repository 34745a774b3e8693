// This file has the names of journal/prompt under which all of the program shows
// text of other hands and proposes commands.

package journal

import "rakelight/journal/prompt"

// Typed is a command line to paste; see prompt.Typed.
func Typed(format string, values ...string) string { return prompt.Typed(format, values...) }

// Quoted is a word as it is typed at a prompt; see prompt.Quoted.
func Quoted(word string) string { return prompt.Quoted(word) }

// Shown is text as it may stand on a terminal, whoever wrote it; see prompt.Shown.
func Shown(text string) string { return prompt.Shown(text) }
