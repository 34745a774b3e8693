// This file reads build.md: YAML front matter, then Markdown. A mistake in the
// front matter is a problem with its line; the rest still counts.

package plan

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal/record"

	"go.yaml.in/yaml/v3"
)

// front is the front matter of build.md. Numbers and dates are read as the
// text that was typed.
type front struct {
	Title    string    `yaml:"title"`
	Scale    string    `yaml:"scale"`
	Started  string    `yaml:"started"`
	Finished string    `yaml:"finished"`
	ReadyBy  string    `yaml:"ready-by"`
	ShowIn   string    `yaml:"show-class"`
	Finish   string    `yaml:"finish"`
	Private  yaml.Node `yaml:"private"`
	Kits     []kitNode `yaml:"kits"`
	Runners  yaml.Node `yaml:"runners"`
	Stages   yaml.Node `yaml:"stages"`
	Totals   yaml.Node `yaml:"totals"`
}

type kitNode struct {
	Title   string    `yaml:"title"`
	Scale   string    `yaml:"scale"`
	Runners yaml.Node `yaml:"runners"`
	Totals  yaml.Node `yaml:"totals"`
}

type runnerNode struct {
	Letter  string    `yaml:"letter"`
	Parts   yaml.Node `yaml:"parts"`
	Class   string    `yaml:"class"`
	NotUsed yaml.Node `yaml:"not-used"`
	Missing yaml.Node `yaml:"missing"`
	Classes yaml.Node `yaml:"classes"`
}

type stageNode struct {
	ID    string `yaml:"id"`
	Title string `yaml:"title"`
	Kind  string `yaml:"kind"`
}

// sayer tells what is wrong in a line, 0 = of the whole.
type sayer = func(line int, format string, args ...any)

// ParseBuild reads build.md. The build is never nil: what could not be read is
// left out and told in the problems.
func ParseBuild(id string, data []byte) (*Build, []record.Problem) {
	b := &Build{ID: id, Title: Title(id), Finish: "painted"}
	file := "builds/" + id + "/build.md"
	var problems []record.Problem
	say := func(line int, format string, args ...any) {
		problems = append(problems, record.Problem{File: file, Line: line, What: fmt.Sprintf(format, args...)})
	}
	text := strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n")
	matter, body, ok := cutFront(text)
	if !ok && strings.HasPrefix(text, "---\n") {
		say(1, "the front matter is never closed: a line of --- is missing")
	}
	b.Body = strings.TrimSpace(body)
	b.Private = frontPrivate(text, matter, ok)
	b.Checklist = checklist(b.Body)
	if f, ok := readFront(matter, say); ok {
		b.takeFront(f, matter, say)
	}
	return b, problems
}

// readFront decodes the front matter; ok is false where it is no YAML at all.
func readFront(matter string, say sayer) (f front, ok bool) {
	dec := yaml.NewDecoder(strings.NewReader(matter))
	dec.KnownFields(true)
	err := dec.Decode(&f)
	if err == nil || err == io.EOF { // EOF: nothing but comments
		return f, true
	}
	var kinds *yaml.TypeError
	if !errors.As(err, &kinds) {
		say(yamlLine(err.Error()), "the front matter is not understood: %s", yamlHead.ReplaceAllString(err.Error(), ""))
		return front{}, false
	}
	for _, e := range kinds.Errors {
		say(yamlLine(e), "%s", yamlPlain(e))
	}
	return f, true
}

// takeFront takes over what the front matter says.
func (b *Build) takeFront(f front, matter string, say sayer) {
	if f.Title != "" {
		b.Title = f.Title
	}
	b.Scale, b.ShowIn = f.Scale, f.ShowIn
	day := func(name, value string) string {
		if value == "" {
			return ""
		}
		if _, err := time.Parse(time.DateOnly, value); err != nil {
			say(lineOf(matter, name), "%s: %q is not a day; write it like 2026-03-14", name, value)
			return ""
		}
		return value
	}
	b.Started, b.Finished = day("started", f.Started), day("finished", f.Finished)
	b.ReadyBy = day("ready-by", f.ReadyBy)
	switch f.Finish {
	case "":
	case "painted", "bare":
		b.Finish = f.Finish
	default:
		say(lineOf(matter, "finish"), "finish: %q is neither painted nor bare; painted is used", f.Finish)
	}
	b.takeKits(f, say)
	b.Totals, b.TotalsByClass = readTotals(f.Totals, say)
	b.Stages = readStages(f.Stages, say)
}

// takeKits takes over the kits, or the runners that stand without one.
func (b *Build) takeKits(f front, say sayer) {
	for _, k := range f.Kits {
		kit := Kit{Title: k.Title, Scale: k.Scale, Runners: readRunners(k.Runners, say)}
		kit.Totals, kit.TotalsByClass = readTotals(k.Totals, say)
		b.Kits = append(b.Kits, kit)
	}
	own := readRunners(f.Runners, say)
	switch {
	case len(own) == 0:
	case len(b.Kits) > 0:
		say(f.Runners.Line+1, "runners stand beside kits; put them under the kit they belong to")
	default:
		b.Kits = []Kit{{Title: b.Title, Scale: b.Scale, Runners: own}}
	}
}

// cutFront splits the text into the YAML between the --- lines and the rest.
func cutFront(text string) (matter, body string, ok bool) {
	rest, has := strings.CutPrefix(text, "---\n")
	if !has {
		return "", text, false
	}
	if body, ok = strings.CutPrefix(rest, "---\n"); ok { // a later such line is a rule of the body
		return "", body, true
	}
	if matter, body, ok = strings.Cut(rest, "\n---\n"); ok {
		return matter, body, true
	}
	if matter, ok = strings.CutSuffix(rest, "\n---"); ok {
		return matter, "", true
	}
	return "", text, false
}

// lineOf is the line of build.md on which a word of the front matter stands.
func lineOf(matter, word string) int {
	for i, line := range strings.Split(matter, "\n") {
		if strings.HasPrefix(line, word+":") {
			return i + 2
		}
	}
	return 0
}

// yamlHead is how the decoder's messages begin; its line number is not
// build.md's.
var yamlHead = regexp.MustCompile(`^yaml: (line \d+: )?`)

var yamlLineNumber = regexp.MustCompile(`line (\d+)`)

// yamlLine is the line of build.md that a YAML message speaks of: its own
// count starts after the opening ---.
func yamlLine(message string) int {
	if m := yamlLineNumber.FindStringSubmatch(message); m != nil {
		n, _ := strconv.Atoi(m[1])
		return n + 1
	}
	return 0
}

var yamlUnknown = regexp.MustCompile(`field (\S+) not found`)

func yamlPlain(message string) string {
	if m := yamlUnknown.FindStringSubmatch(message); m != nil {
		return "the word " + m[1] + " is not known in the front matter and does nothing"
	}
	if m := yamlTwice.FindStringSubmatch(message); m != nil {
		return "the word " + m[1] + " stands there twice; one of the two is used"
	}
	return "a value is not written as it should be, and is left out"
}

var yamlTwice = regexp.MustCompile(`(?:mapping key|field) "?(\S+?)"? already`)

// decodeStrict decodes a mapping and says which of its words mean nothing: the
// decoder itself looks only at the outermost.
func decodeStrict(n *yaml.Node, into any, say sayer) error {
	if err := n.Decode(into); err != nil {
		return err
	}
	if n.Kind == yaml.AliasNode {
		n = n.Alias
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if key := n.Content[i]; !slices.Contains(frontWords, key.Value) {
			say(key.Line+1, "the word %s is not known in the front matter and does nothing", key.Value)
		}
	}
	return nil
}

// frontWords are the words a runner or a stage may be told by.
var frontWords = []string{"letter", "parts", "class", "classes", "not-used", "missing", "id", "title", "kind"}

// readRunners reads a list of runners or the short form {A: "1-24, 30", B: 12}.
func readRunners(n yaml.Node, say sayer) []Runner {
	var runners []Runner
	switch {
	case n.Kind == 0 || n.Tag == "!!null":
	case n.Kind == yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			runners = appendRunner(runners, runnerNode{Letter: n.Content[i].Value, Parts: *n.Content[i+1]},
				n.Content[i].Line+1, say)
		}
	case n.Kind == yaml.SequenceNode:
		for _, one := range n.Content {
			var r runnerNode
			if err := decodeStrict(one, &r, say); err != nil {
				say(one.Line+1, "a runner is written {letter: A, parts: \"1-24, 30\", class: flat}")
				continue
			}
			runners = appendRunner(runners, r, one.Line+1, say)
		}
	default:
		say(n.Line+1, "runners is a list of {letter: A, parts: \"1-24\"}")
	}
	return runners
}

var runnerLetter = regexp.MustCompile(`^[A-Z]{1,3}$`)

func appendRunner(to []Runner, n runnerNode, line int, say sayer) []Runner {
	letter := strings.ToUpper(n.Letter)
	if !runnerLetter.MatchString(letter) {
		say(line, "runner %q: a runner is named by one to three letters", letter)
		return to
	}
	r := Runner{Letter: letter, Class: n.Class}
	var err error
	if r.Parts, err = partNumbers(text(n.Parts)); err != nil {
		say(line, "runner %s: %v", letter, err)
	}
	if r.NotUsed, err = listedNumbers(text(n.NotUsed)); err != nil {
		say(line, "runner %s, not-used: %v", letter, err)
	}
	if r.Missing, err = listedNumbers(text(n.Missing)); err != nil {
		say(line, "runner %s, missing: %v", letter, err)
	}
	r.Classes = readClasses(n.Classes, r, line, say)
	return append(to, r)
}

// readClasses reads the parts whose class is not their runner's:
// {small: "5-8", clear: 12}. A part named twice keeps the first class.
func readClasses(n yaml.Node, r Runner, line int, say sayer) map[string]string {
	if n.Kind == 0 || n.Tag == "!!null" {
		return nil
	}
	if n.Kind != yaml.MappingNode {
		say(line, "runner %s, classes: write them like {small: \"5-8\", clear: 12}", r.Letter)
		return nil
	}
	classes := map[string]string{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		class := n.Content[i].Value
		numbers, err := listedNumbers(text(*n.Content[i+1]))
		if err != nil {
			say(line, "runner %s, classes, %s: %v", r.Letter, class, err)
			continue
		}
		for _, number := range numbers {
			switch have, twice := classes[number]; {
			case twice && have != class:
				say(line, "runner %s, classes: part %s is %s and %s; it is counted as %s", r.Letter, number, have,
					class, have)
			case len(r.Parts) > 0 && !slices.Contains(r.Parts, number):
				say(line, "runner %s, classes: it has no part %s", r.Letter, number)
			default:
				classes[number] = class
			}
		}
	}
	return classes
}

// text is a YAML scalar as typed; a sequence is joined by commas.
func text(n yaml.Node) string {
	if n.Kind == yaml.SequenceNode {
		var all []string
		for _, one := range n.Content {
			all = append(all, one.Value)
		}
		return strings.Join(all, ",")
	}
	return n.Value
}

// maxPart bounds what a typing error can ask for: no runner has more parts.
const maxPart = 999

// partNumbers reads "1-24, 30"; a lone number n is a count and means 1 to n.
func partNumbers(s string) ([]string, error) {
	if n, err := strconv.Atoi(strings.TrimSpace(s)); err == nil {
		if n < 0 || n > maxPart {
			return nil, fmt.Errorf("%d parts is more than a runner has", n)
		}
		return numberRange(1, n), nil
	}
	return listedNumbers(s)
}

func listedNumbers(s string) ([]string, error) {
	var out []string
	for _, one := range strings.Split(s, ",") {
		one = strings.TrimSpace(one)
		if one == "" {
			continue
		}
		from, to, isRange := strings.Cut(one, "-")
		a, errA := strconv.Atoi(strings.TrimSpace(from))
		z := a
		var errZ error
		if isRange {
			z, errZ = strconv.Atoi(strings.TrimSpace(to))
		}
		if errA != nil || errZ != nil || a < 0 || z < a || z > maxPart {
			return nil, fmt.Errorf("parts %q: write them like \"1-24, 30\"", one)
		}
		out = append(out, numberRange(a, z)...)
	}
	return out, nil
}

func numberRange(a, z int) []string {
	var out []string
	for n := a; n <= z; n++ {
		out = append(out, strconv.Itoa(n))
	}
	return out
}

// readStages reads a list of kinds or of {id, title, kind}.
func readStages(n yaml.Node, say sayer) []Stage {
	var stages []Stage
	if n.Kind != 0 && n.Kind != yaml.SequenceNode && n.Tag != "!!null" {
		say(n.Line+1, "stages is a list: [cut, clean, paint], or one of {id: clean-hull, kind: clean}")
		return nil
	}
	for _, one := range n.Content {
		var s stageNode
		switch {
		case one.Kind == yaml.ScalarNode:
			s.ID, s.Kind = one.Value, one.Value
		case decodeStrict(one, &s, say) != nil:
			say(one.Line+1, "a stage is a kind, or {id: clean-hull, kind: clean, title: Clean the hull}")
			continue
		}
		if s.Kind == "" {
			s.Kind = s.ID
		}
		if s.ID == "" {
			s.ID = s.Kind
		}
		if !slices.Contains(Kinds, s.Kind) {
			say(one.Line+1, "stage %q: %q is not a kind of stage; a kind is one of %s", s.ID, s.Kind,
				strings.Join(Kinds, ", "))
			continue
		}
		if s.Title == "" {
			s.Title = Title(s.ID)
		}
		if slices.ContainsFunc(stages, func(have Stage) bool { return have.ID == s.ID }) {
			say(one.Line+1, "stage %q is listed twice; give the second its own id", s.ID)
			continue
		}
		stages = append(stages, Stage(s))
	}
	return stages
}
