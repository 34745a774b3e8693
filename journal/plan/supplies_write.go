// This file writes into build.md what became of a supply. Only its line changes: the
// tick of its box and what stands in brackets on its state. All else stays byte for
// byte as the person wrote it.

package plan

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
)

// ErrNoSupply says that a supply is not on any list by now.
var ErrNoSupply = errors.New("it stands on no list of supplies")

// SupplyChange is what became of a supply.
type SupplyChange struct {
	State string  // one of SupplyStates, "" = as it is
	Day   string  // YYYY-MM-DD of being ordered or come, "" = not said
	Cost  *string // as typed, "" = none; nil = as it is
}

// Check refuses what could not be read again.
func (c SupplyChange) Check() error {
	switch {
	case c.State != "" && !slices.Contains(SupplyStates, c.State):
		return fmt.Errorf("%q is not a state of a supply: it is one of %s", c.State, strings.Join(SupplyStates, ", "))
	case c.Cost != nil && *c.Cost != "" && !costForm.MatchString(*c.Cost):
		return fmt.Errorf("%q is not a cost: write it like 4.50, or 4.50 EUR", *c.Cost)
	}
	if _, err := time.Parse(time.DateOnly, c.Day); c.Day != "" && err != nil {
		return fmt.Errorf("%q is not a day", c.Day)
	}
	return nil
}

// ChangeSupply writes what became of a supply into the build.md of a build of the
// journal in a folder, as SetSupply does.
func ChangeSupply(dir, build string, was Supply, change SupplyChange, headings []string) error {
	return rewrite(dir, planOf(build), func(old []byte) ([]byte, error) {
		return SetSupply(old, was, change, headings)
	})
}

// NewSupply writes a new supply into the build.md of a build of the journal in a
// folder, as AddSupply does.
func NewSupply(dir, build, words string, headings []string) error {
	return rewrite(dir, planOf(build), func(old []byte) ([]byte, error) { return AddSupply(old, words, headings) })
}

// planOf is where the plan of a build stands, below the journal's folder.
func planOf(build string) string { return "builds/" + build + "/build.md" }

// SetSupply writes what became of a supply into a build.md, which stays as it is in
// all other lines. The supply is the one that reads as was, on its line; if it moved,
// the only one of its words and its heading. Of none, or of several, it is ErrNoSupply.
func SetSupply(text []byte, was Supply, change SupplyChange, headings []string) ([]byte, error) {
	if err := change.Check(); err != nil {
		return nil, err
	}
	lines, at := bodyOf(string(text))
	t, ok := findSupply(contents(lines[at:]), was, headings)
	if !ok {
		return nil, ErrNoSupply
	}
	line, end := cutEnd(lines[at+t.line])
	lines[at+t.line] = t.with(line, change) + end
	return []byte(strings.Join(lines, "")), nil
}

// findSupply finds a supply that was read before.
func findSupply(lines []string, was Supply, headings []string) (found task, ok bool) {
	alike := 0
	for _, t := range tasks(lines) {
		s, _ := t.supply(lines[t.line])
		switch {
		case !t.below(headings) || s.Text != was.Text || s.Section != was.Section:
		case s == was:
			return t, true
		default:
			found = t
			alike++
		}
	}
	return found, alike == 1
}

// with is the line of a supply with what became of it.
func (t task) with(line string, change SupplyChange) string {
	_, l := t.supply(line)
	before := l.marks
	switch change.State {
	case SupplyMissing, SupplyHad:
		l.isOrdered, l.isCome = false, false
	case SupplyOrdered:
		l.isOrdered, l.ordered, l.isCome = true, change.Day, false
	case SupplyCome:
		l.isCome, l.come = true, change.Day
	}
	if change.Cost != nil {
		l.cost = *change.Cost
	}
	box := line[t.box : t.box+1]
	switch change.State {
	case SupplyMissing, SupplyOrdered:
		box = " "
	case SupplyCome, SupplyHad:
		if box == " " {
			box = "x"
		}
	}
	if l.marks == before {
		return line[:t.box] + box + line[t.box+1:]
	}
	return line[:t.box] + box + line[t.box+1:t.text] + l.text + l.inBrackets() + l.tail
}

// inBrackets is what stands behind the words of a supply, "" = nothing.
func (l marks) inBrackets() string {
	var all []string
	say := func(yes bool, word, more string) {
		if yes {
			all = append(all, strings.TrimSpace(word+" "+more))
		}
	}
	say(l.isOrdered, SupplyOrdered, l.ordered)
	say(l.isCome, SupplyCome, l.come)
	say(l.cost != "", "cost", l.cost)
	if len(all) == 0 {
		return ""
	}
	return " (" + strings.Join(all, "; ") + ")"
}

// AddSupply writes a new supply into a build.md, missing, in the way the last one is
// written and below it; where there is none, below a heading of its own at the end.
func AddSupply(text []byte, words string, headings []string) ([]byte, error) {
	before := suppliesIn(text, headings)
	for _, with := range []func([]byte, string, []string) []byte{besideSupplies, newSupplies} {
		after := with(text, words, headings)
		if grew(before, suppliesIn(after, headings), words) {
			return after, nil
		}
	}
	return nil, fmt.Errorf("%q cannot be read again from a line of a list: write it in plain words", words)
}

// grew reports whether there is one supply more, of those words, and all others are
// as they were.
func grew(before, after []Supply, words string) bool {
	if len(after) != len(before)+1 {
		return false
	}
	added, i := 0, 0
	for _, s := range after {
		if i < len(before) && like(before[i], s) {
			i++
		} else if s.Text == words && s.State == SupplyMissing && s.Cost == "" {
			added++
		}
	}
	return added == 1 && i == len(before)
}

// like reports whether two supplies read the same, wherever they stand.
func like(a, b Supply) bool {
	a.Line, b.Line = 0, 0
	return a == b
}

// besideSupplies is the text with a supply below the last one.
func besideSupplies(text []byte, words string, headings []string) []byte {
	lines, at := bodyOf(string(text))
	body := contents(lines[at:])
	var last *task
	for _, t := range tasks(body) {
		if s, _ := t.supply(body[t.line]); s.Text != "" && t.below(headings) {
			last = &t
		}
	}
	if last == nil {
		return text
	}
	to := last.line + 1
	for to < len(body) && strings.TrimSpace(body[to]) != "" && !headingLine.MatchString(body[to]) {
		to++ // what goes on from that item
	}
	line := body[last.line][:last.box] + " ] " + words
	return insertLines(lines, at+to, line)
}

// newSupplies is the text with a list of supplies at its end.
func newSupplies(text []byte, words string, headings []string) []byte {
	lines, _ := bodyOf(string(text))
	return insertLines(lines, len(lines), "", "## "+headings[0], "- [ ] "+words)
}

// insertLines puts lines before the one at that place, with the line ends the text has.
func insertLines(lines []string, at int, more ...string) []byte {
	end := "\n"
	for _, line := range lines {
		if strings.HasSuffix(line, "\r\n") {
			end = "\r\n"
			break
		}
	}
	if at > 0 && !strings.HasSuffix(lines[at-1], "\n") && lines[at-1] != byteOrderMark {
		lines[at-1] += end
	}
	return []byte(strings.Join(lines[:at], "") + strings.Join(more, end) + end + strings.Join(lines[at:], ""))
}

// suppliesIn are the supplies of a build.md as it stands.
func suppliesIn(text []byte, headings []string) []Supply {
	lines, at := bodyOf(string(text))
	return SuppliesOf(strings.Join(contents(lines[at:]), "\n"), headings)
}

// byteOrderMark may stand before all else in a file of some editors.
const byteOrderMark = "\ufeff"

// bodyOf are the lines of a build.md with their ends, and which is the first below the
// front matter that is not blank: there its body begins, as ParseBuild reads it. A byte
// order mark is a line of its own, and so are the blanks before the body.
func bodyOf(text string) (lines []string, at int) {
	if rest, ok := strings.CutPrefix(text, byteOrderMark); ok {
		lines, text = []string{byteOrderMark}, rest
	}
	at = len(lines)
	if lines = append(lines, strings.SplitAfter(text, "\n")...); lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	is := func(line string) bool { content, _ := cutEnd(line); return content == "---" }
	if at < len(lines) && is(lines[at]) {
		if n := slices.IndexFunc(lines[at+1:], is); n >= 0 {
			at += n + 2
		}
	}
	for at < len(lines) && strings.TrimSpace(lines[at]) == "" {
		at++
	}
	if at < len(lines) {
		if words := strings.TrimLeftFunc(lines[at], unicode.IsSpace); words != lines[at] {
			lines = slices.Insert(lines, at, strings.TrimSuffix(lines[at], words))
			at++
			lines[at] = words
		}
	}
	return lines, at
}

// cutEnd parts a line from its end.
func cutEnd(line string) (content, end string) {
	for _, end := range []string{"\r\n", "\n"} {
		if content, ok := strings.CutSuffix(line, end); ok {
			return content, end
		}
	}
	return line, ""
}

// contents are lines without their ends.
func contents(lines []string) []string {
	out := make([]string, len(lines))
	for i, line := range lines {
		out[i], _ = cutEnd(line)
	}
	return out
}
