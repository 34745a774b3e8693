// The manual page, made from the commands' own help.

package main

import (
	"strings"
)

// manPage is rakelight(1) in the man macros of roff. The help of each command
// stands in it as it is: its columns are set by hand.
func manPage() string {
	var b strings.Builder
	b.WriteString(`.TH RAKELIGHT 1
.SH NAME
rakelight \- a photo journal of scale-model builds
.SH SYNOPSIS
.B rakelight
[\-\-journal DIR] COMMAND [ARGUMENTS]
.SH DESCRIPTION
`)
	asItIs(&b, overview())
	b.WriteString(".SH COMMANDS\n")
	for _, c := range commands {
		b.WriteString(".SS " + roff(c.name) + "\n" + roff(strings.ToUpper(c.line[:1])+c.line[1:]) + ".\n.PP\n")
		asItIs(&b, c.usage)
	}
	b.WriteString(".SH ENVIRONMENT\n.TP\n.B RAKELIGHT_JOURNAL\nthe journal folder, unless \\-\\-journal names one\n" +
		".TP\n.B RAKELIGHT_MARKS\nthe folder in which this computer notes how many records it wrote\n")
	return b.String()
}

func asItIs(b *strings.Builder, text string) {
	b.WriteString(".nf\n")
	for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		b.WriteString(roff(line) + "\n")
	}
	b.WriteString(".fi\n")
}

// roff writes a line so that nothing in it is a macro or an escape.
func roff(line string) string {
	line = strings.NewReplacer(`\`, `\e`, "-", `\-`, "’", "'", "–", `\(en`, "…", "...", "×", `\(mu`).Replace(line)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		line = `\&` + line
	}
	return line
}
