// This file finds the items of task lists in the Markdown of a build.md: which lines
// they stand on and below which headings. Lists and supplies both go by it.

package plan

import (
	"regexp"
	"strings"
)

// task is one item of a task list.
type task struct {
	line     int      // its place among the lines of the text, from 0
	box      int      // where in the line the mark of its box stands: a byte
	text     int      // where in the line its words begin
	done     bool     // the box is ticked
	headings []string // above it, the outermost first
}

var (
	taskLine    = regexp.MustCompile(`^\s*[-*+] \[([ xX])\]\s+(\S.*)$`)
	headingLine = regexp.MustCompile(`^\s*(#+)\s*(.*?)(?:\s+#+)?\s*$`)
	fenceLine   = regexp.MustCompile("^\\s*(```+|~~~+)")
)

// tasks finds the items of task lists among lines without their ends. What stands in
// fenced code or in a comment over several lines is none.
func tasks(lines []string) []task {
	var out []task
	var levels []int
	var headings []string
	fence, comment, lastEnd := "", false, -1
	for i, line := range lines {
		if strings.Contains(line, "-->") {
			lastEnd = i
		}
	}
	for i, line := range lines {
		if comment {
			comment = !strings.Contains(line, "-->")
			continue
		}
		if m := fenceLine.FindStringSubmatch(line); m != nil && (fence == "" || strings.HasPrefix(m[1], fence)) {
			if fence == "" {
				fence = m[1]
			} else {
				fence = ""
			}
			continue
		}
		if fence != "" {
			continue
		}
		if m := headingLine.FindStringSubmatch(line); m != nil {
			for len(levels) > 0 && levels[len(levels)-1] >= len(m[1]) {
				levels, headings = levels[:len(levels)-1], headings[:len(headings)-1]
			}
			levels, headings = append(levels, len(m[1])), append(headings[:len(headings):len(headings)], m[2])
			continue
		}
		if m := taskLine.FindStringSubmatchIndex(line); m != nil {
			out = append(out, task{line: i, box: m[2], text: m[4], done: line[m[2]] != ' ', headings: headings})
		}
		comment = opensComment(line) && (i < lastEnd || strings.HasPrefix(strings.TrimSpace(line), "<!--"))
	}
	return out
}

// opensComment reports whether a comment begins in the line and does not end in it.
// One between words that never ends is none.
func opensComment(line string) bool {
	i := strings.LastIndex(line, "<!--")
	return i >= 0 && !strings.Contains(line[i:], "-->")
}

// checklist finds the task-list items of a Markdown text and the heading each
// stands under.
func checklist(body string) []CheckItem {
	var items []CheckItem
	lines := strings.Split(body, "\n")
	for _, t := range tasks(lines) {
		items = append(items, t.item(lines[t.line]))
	}
	return items
}

// item reads the item from its line.
func (t task) item(line string) CheckItem {
	one := CheckItem{Text: strings.TrimSpace(line[t.text:]), Done: t.done}
	if n := len(t.headings); n > 0 {
		one.Section = t.headings[n-1]
	}
	return one
}
