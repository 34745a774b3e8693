// This file reads what is had and what is missing from the task lists of build.md. A
// ticked item is had, an open one missing. More stands in brackets at its end, parted
// by semicolons, and may be typed by hand as well:
//
//   - [ ] clear gel for the water (ordered 2026-11-20; cost 4.50)
//   - [x] brass wire (ordered; come 2026-11-24)
//
// Brackets that hold anything else are the person's own words.

package plan

import (
	"regexp"
	"strings"
	"unicode"
)

// What is so of a supply.
const (
	SupplyMissing = "missing" // not there, and not on its way
	SupplyOrdered = "ordered" // on its way
	SupplyCome    = "come"    // was ordered, and is there
	SupplyHad     = "had"     // is there
)

// SupplyStates are the states a supply may have, in the order in which it gets them.
var SupplyStates = []string{SupplyMissing, SupplyOrdered, SupplyCome, SupplyHad}

// Supply is one thing that a build needs, as its build.md says.
type Supply struct {
	Section string // the heading right above it
	Text    string // as written, without what stands in brackets on its state
	State   string // one of SupplyStates
	Ordered string // YYYY-MM-DD, "" = not said
	Come    string // YYYY-MM-DD, "" = not said
	Cost    string // as written: "4.50", "4,50 EUR"; "" = not said
	Line    int    // of the text it was read from, from 1
}

// Open reports whether it is not there yet.
func (s Supply) Open() bool { return s.State == SupplyMissing || s.State == SupplyOrdered }

// defaultSupplies are the headings of lists of supplies where the settings name none.
var defaultSupplies = []string{"Supplies", "Shopping"}

// SupplyHeadings are the headings below which supplies stand: those the settings
// name, else Supplies and Shopping.
func (c Config) SupplyHeadings() []string {
	if len(c.Supplies) > 0 {
		return c.Supplies
	}
	return defaultSupplies
}

// SuppliesOf are the supplies of a Markdown text: the items of its task lists below
// one of the headings, and below the smaller headings there. A heading may go on:
// "Supplies for the hull" is one of Supplies.
func SuppliesOf(body string, headings []string) []Supply {
	var out []Supply
	lines := strings.Split(body, "\n")
	for _, t := range tasks(lines) {
		if !t.below(headings) {
			continue
		}
		if s, _ := t.supply(lines[t.line]); s.Text != "" {
			out = append(out, s)
		}
	}
	return out
}

// StepsOf are the items of the task lists of a Markdown text that are no supplies.
func StepsOf(body string, headings []string) []CheckItem {
	var out []CheckItem
	lines := strings.Split(body, "\n")
	for _, t := range tasks(lines) {
		if !t.below(headings) {
			out = append(out, t.item(lines[t.line]))
		}
	}
	return out
}

// below reports whether the item stands below one of the headings.
func (t task) below(headings []string) bool {
	for _, above := range t.headings {
		above = strings.TrimRight(above, ": ")
		for _, name := range headings {
			if len(above) >= len(name) && strings.EqualFold(above[:len(name)], name) &&
				(len(above) == len(name) || strings.ContainsAny(above[len(name):len(name)+1], " ,:")) {
				return true
			}
		}
	}
	return false
}

// supply reads an item from its line, and how the line is made up.
func (t task) supply(line string) (Supply, supplyLine) {
	l := cutSupply(line, t)
	s := Supply{Text: l.text, Ordered: l.ordered, Come: l.come, Cost: l.cost, Line: t.line + 1}
	if n := len(t.headings); n > 0 {
		s.Section = t.headings[n-1]
	}
	switch {
	case t.done && (l.isOrdered || l.isCome):
		s.State = SupplyCome
	case t.done:
		s.State = SupplyHad
	case l.isOrdered && !l.isCome:
		s.State = SupplyOrdered
	default:
		s.State = SupplyMissing
	}
	return s, l
}

// supplyLine is the line of a supply, cut into what it is made of.
type supplyLine struct {
	head, text, tail string // up to the words; the words; blanks and comments behind
	marks
}

// marks are what is said of a supply in brackets.
type marks struct {
	isOrdered, isCome   bool
	ordered, come, cost string
}

var (
	trailingComment = regexp.MustCompile(`<!--[^\n]*?-->$`)
	trailingMarks   = regexp.MustCompile(`\([^()\n]*\)$`)
	orderedMark     = regexp.MustCompile(`(?i)^(ordered|come)(?: (\d{4}-\d{2}-\d{2}))?$`)
	costMark        = regexp.MustCompile(`(?i)^cost (.+)$`)
	costForm        = regexp.MustCompile(`^(?:\p{Sc} ?)?[0-9]{1,9}(?:[.,][0-9]{1,2})?(?: ?(?:\p{Sc}|\p{L}{1,5}))?$`)
)

// cutSupply cuts a line up. From its end, blanks, comments and what is in brackets
// are taken off as long as there are any; what is left are the person's words.
func cutSupply(line string, t task) supplyLine {
	l := supplyLine{head: line[:t.text], text: line[t.text:]}
	for {
		words := strings.TrimRightFunc(l.text, unicode.IsSpace)
		l.text, l.tail = words, l.text[len(words):]+l.tail
		if cut := commentAtEnd(l.text); cut != "" && cut != l.text {
			l.text, l.tail = strings.TrimSuffix(l.text, cut), cut+l.tail
			continue
		}
		cut := trailingMarks.FindString(l.text)
		words = strings.TrimRightFunc(strings.TrimSuffix(l.text, cut), unicode.IsSpace)
		if cut == "" || words == "" || !l.read(cut[1:len(cut)-1]) {
			return l
		}
		l.text = words
	}
}

// commentAtEnd is the comment that a text ends with, "" = none.
func commentAtEnd(text string) string {
	i := strings.LastIndex(text, "<!--")
	if i < 0 || !trailingComment.MatchString(text[i:]) {
		return ""
	}
	return text[i:]
}

// read reads what stands in brackets, and is false where any of it is no mark: then
// all of it is the person's own words. What stands further right counts.
func (l *marks) read(text string) bool {
	var read marks
	for _, one := range strings.Split(text, ";") {
		one = strings.Join(strings.Fields(one), " ")
		if m := costMark.FindStringSubmatch(one); m != nil && costForm.MatchString(m[1]) {
			read.cost = m[1]
			continue
		}
		m := orderedMark.FindStringSubmatch(one)
		switch {
		case m == nil:
			return false
		case strings.EqualFold(m[1], SupplyOrdered):
			read.isOrdered, read.ordered = true, m[2]
		default:
			read.isCome, read.come = true, m[2]
		}
	}
	if !l.isOrdered && read.isOrdered {
		l.isOrdered, l.ordered = true, read.ordered
	}
	if !l.isCome && read.isCome {
		l.isCome, l.come = true, read.come
	}
	if l.cost == "" {
		l.cost = read.cost
	}
	return true
}
