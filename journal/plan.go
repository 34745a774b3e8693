// This file reads what a person writes by hand: journal.toml, build.md and the
// diary days. A mistake there is a Problem with file and line, and never
// stops the rest.

package journal

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/BurntSushi/toml"
	"gopkg.in/yaml.v3"
)

// maxProse is the largest prose file that is read: a day's words are a few
// kilobytes, and a Markdown parser takes quadratic time on hostile text.
const maxProse = 256 << 10

func readPlan(dir string) (Plan, error) {
	p := Plan{Zone: time.UTC}
	data, err := os.ReadFile(filepath.Join(dir, "journal.toml"))
	if err != nil {
		return p, err
	}
	meta, err := toml.Decode(string(bytes.TrimPrefix(data, []byte("\ufeff"))), &p.Config)
	if err != nil {
		return p, fmt.Errorf("%s: %w; nothing was changed", filepath.Join(dir, "journal.toml"), err)
	}
	if p.Config.Format > Format {
		return p, fmt.Errorf("%s: %w", dir, ErrNewerFormat)
	}
	problem := func(file string, line int, format string, args ...any) {
		p.Problems = append(p.Problems, Problem{File: file, Line: line, What: fmt.Sprintf(format, args...)})
	}
	for _, key := range meta.Undecoded() {
		problem("journal.toml", 0, "the setting %s is not known and does nothing", key)
	}
	if zone, err := time.LoadLocation(p.Config.Zone); err != nil || p.Config.Zone == "" {
		problem("journal.toml", 0, "zone %q is no time zone; UTC is used until you name one like Europe/Lisbon", p.Config.Zone)
	} else {
		p.Zone = zone
	}
	for _, s := range []struct{ name, value string }{{"settle", p.Config.Settle}, {"longest", p.Config.Longest}} {
		if _, err := time.ParseDuration(s.value); s.value != "" && err != nil {
			problem("journal.toml", 0, "%s = %q is no length of time; write it like \"2h\" or \"90m\"", s.name, s.value)
		}
	}
	for _, c := range p.Config.Clocks {
		if _, err := time.ParseDuration(c.Fast); err != nil {
			problem("journal.toml", 0, "clock of %s %s: fast = %q is no length of time; write it like \"1h3m\" or \"-10m\"; it is not applied", c.Make, c.Model, c.Fast)
		}
		for _, day := range []string{c.From, c.To} {
			if _, err := time.Parse(time.DateOnly, day); day != "" && err != nil {
				problem("journal.toml", 0, "clock of %s %s: %q is no day; write it like 2024-03-01; it is not applied", c.Make, c.Model, day)
			}
		}
	}
	builds, err := os.ReadDir(filepath.Join(dir, "builds"))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return p, err
	}
	for _, d := range builds {
		if !d.IsDir() || strings.HasPrefix(d.Name(), ".") {
			continue
		}
		id := d.Name()
		name := "builds/" + id + "/build.md"
		data, err := readProse(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil {
			problem(name, 0, "not read: %v", err)
			data = nil
		}
		b, problems := ParseBuild(id, data)
		if len(b.Stages) == 0 {
			b.Stages = p.Config.defaultStages()
		}
		p.Builds = append(p.Builds, b)
		p.Problems = append(p.Problems, problems...)
		days, err := filepath.Glob(filepath.Join(dir, "builds", id, "diary", "*.md"))
		if err != nil {
			return p, err
		}
		for _, path := range days {
			name := "builds/" + id + "/diary/" + filepath.Base(path)
			date := strings.TrimSuffix(filepath.Base(path), ".md")
			if _, err := time.Parse(time.DateOnly, date); err != nil {
				problem(name, 0, "a diary day is named after its date, like 2026-03-14.md; it is not shown")
				continue
			}
			data, err := readProse(path)
			if err != nil {
				problem(name, 0, "not read: %v", err)
				continue
			}
			p.Diary = append(p.Diary, parseDay(id, date, data))
		}
	}
	return p, nil
}

// defaultStages are the stages of builds that list none: the settings' own, or
// the usual order.
func (c Config) defaultStages() []Stage {
	var stages []Stage
	for _, s := range c.Stages {
		stages = append(stages, Stage(s))
	}
	if len(stages) > 0 {
		return stages
	}
	for _, kind := range Kinds {
		stages = append(stages, Stage{ID: kind, Title: Title(kind), Kind: kind})
	}
	return stages
}

func readProse(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if info.Size() > maxProse {
		return nil, fmt.Errorf("it has %d KB; a text of more than %d KB is not read", info.Size()>>10, maxProse>>10)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	return bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), nil
}

func parseDay(build, date string, data []byte) DiaryDay {
	d := DiaryDay{Build: build, Date: date, Body: string(data)}
	first, rest, _ := strings.Cut(strings.TrimLeft(d.Body, "\n"), "\n")
	if title, ok := strings.CutPrefix(first, "# "); ok {
		d.Title, d.Body = strings.TrimSpace(title), strings.TrimLeft(rest, "\n")
	}
	return d
}

// front is the front matter of build.md. Numbers and dates are read as the
// text that was typed.
type front struct {
	Title    string    `yaml:"title"`
	Scale    string    `yaml:"scale"`
	Started  string    `yaml:"started"`
	Finished string    `yaml:"finished"`
	Finish   string    `yaml:"finish"`
	Kits     []kitNode `yaml:"kits"`
	Runners  yaml.Node `yaml:"runners"`
	Stages   yaml.Node `yaml:"stages"`
}

type kitNode struct {
	Title   string    `yaml:"title"`
	Scale   string    `yaml:"scale"`
	Runners yaml.Node `yaml:"runners"`
}

type runnerNode struct {
	Letter  string    `yaml:"letter"`
	Parts   yaml.Node `yaml:"parts"`
	Class   string    `yaml:"class"`
	NotUsed yaml.Node `yaml:"not-used"`
}

// ParseBuild reads build.md. The build is never nil: what could not be read is
// left out and told in the problems.
func ParseBuild(id string, data []byte) (*Build, []Problem) {
	b := &Build{ID: id, Title: Title(id), Finish: "painted"}
	file := "builds/" + id + "/build.md"
	var problems []Problem
	say := func(line int, format string, args ...any) {
		problems = append(problems, Problem{File: file, Line: line, What: fmt.Sprintf(format, args...)})
	}
	text := strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n")
	matter, body, ok := cutFront(text)
	if !ok && strings.HasPrefix(text, "---\n") {
		say(1, "the front matter is never closed: a line of --- is missing")
	}
	b.Body = strings.TrimSpace(body)
	b.Checklist = checklist(b.Body)
	var f front
	dec := yaml.NewDecoder(strings.NewReader(matter))
	dec.KnownFields(true)
	if err := dec.Decode(&f); matter != "" && err != nil {
		var kinds *yaml.TypeError
		if !errors.As(err, &kinds) {
			say(yamlLine(err.Error()), "the front matter is not understood: %v", err)
			return b, problems
		}
		for _, e := range kinds.Errors {
			say(yamlLine(e), "%s", yamlPlain(e))
		}
	}
	if f.Title != "" {
		b.Title = f.Title
	}
	b.Scale = f.Scale
	for _, day := range []struct {
		name, value string
		to          *string
	}{{"started", f.Started, &b.Started}, {"finished", f.Finished, &b.Finished}} {
		if day.value == "" {
			continue
		}
		if _, err := time.Parse(time.DateOnly, day.value); err != nil {
			say(0, "%s: %q is no day; write it like 2026-03-14", day.name, day.value)
			continue
		}
		*day.to = day.value
	}
	switch f.Finish {
	case "", "painted", "bare":
		if f.Finish != "" {
			b.Finish = f.Finish
		}
	default:
		say(0, "finish: %q is neither painted nor bare; painted is used", f.Finish)
	}
	for _, k := range f.Kits {
		b.Kits = append(b.Kits, Kit{Title: k.Title, Scale: k.Scale, Runners: readRunners(k.Runners, say)})
	}
	if own := readRunners(f.Runners, say); len(own) > 0 {
		if len(b.Kits) > 0 {
			say(f.Runners.Line+1, "runners stand beside kits; put them under the kit they belong to")
		} else {
			b.Kits = []Kit{{Title: b.Title, Scale: b.Scale, Runners: own}}
		}
	}
	b.Stages = readStages(f.Stages, say)
	return b, problems
}

// cutFront splits the text into the YAML between the --- lines and the rest.
func cutFront(text string) (matter, body string, ok bool) {
	rest, has := strings.CutPrefix(text, "---\n")
	if !has {
		return "", text, false
	}
	if matter, body, ok = strings.Cut(rest, "\n---\n"); ok {
		return matter, body, true
	}
	if matter, ok = strings.CutSuffix(rest, "\n---"); ok {
		return matter, "", true
	}
	if body, ok = strings.CutPrefix(rest, "---\n"); ok {
		return "", body, true
	}
	return "", text, false
}

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
	return message
}

// readRunners reads a list of runners or the short form {A: "1-24, 30", B: 12}.
func readRunners(n yaml.Node, say func(int, string, ...any)) []Runner {
	var runners []Runner
	switch n.Kind {
	case 0:
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			runners = appendRunner(runners, n.Content[i].Value, *n.Content[i+1], yaml.Node{}, "", n.Content[i].Line+1, say)
		}
	case yaml.SequenceNode:
		for _, one := range n.Content {
			var r runnerNode
			if err := one.Decode(&r); err != nil {
				say(one.Line+1, "a runner is written {letter: A, parts: \"1-24, 30\", class: flat}")
				continue
			}
			runners = appendRunner(runners, r.Letter, r.Parts, r.NotUsed, r.Class, one.Line+1, say)
		}
	default:
		say(n.Line+1, "runners is a list of {letter: A, parts: \"1-24\"}")
	}
	return runners
}

var runnerLetter = regexp.MustCompile(`^[A-Z]{1,3}$`)

func appendRunner(to []Runner, letter string, parts, notUsed yaml.Node, class string, line int, say func(int, string, ...any)) []Runner {
	letter = strings.ToUpper(letter)
	if !runnerLetter.MatchString(letter) {
		say(line, "runner %q: a runner is named by one to three letters", letter)
		return to
	}
	r := Runner{Letter: letter, Class: class}
	var err error
	if r.Parts, err = partNumbers(text(parts)); err != nil {
		say(line, "runner %s: %v", letter, err)
	}
	if r.NotUsed, err = listedNumbers(text(notUsed)); err != nil {
		say(line, "runner %s, not-used: %v", letter, err)
	}
	return append(to, r)
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
func readStages(n yaml.Node, say func(int, string, ...any)) []Stage {
	var stages []Stage
	for _, one := range n.Content {
		var s struct {
			ID    string `yaml:"id"`
			Title string `yaml:"title"`
			Kind  string `yaml:"kind"`
		}
		switch {
		case one.Kind == yaml.ScalarNode:
			s.ID, s.Kind = one.Value, one.Value
		case one.Decode(&s) != nil:
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
			say(one.Line+1, "stage %q: %q is no kind of stage; a kind is one of %s", s.ID, s.Kind, strings.Join(Kinds, ", "))
			continue
		}
		if s.Title == "" {
			s.Title = Title(s.ID)
		}
		if slices.ContainsFunc(stages, func(have Stage) bool { return have.ID == s.ID }) {
			say(one.Line+1, "stage %q is listed twice; give the second its own id", s.ID)
			continue
		}
		stages = append(stages, Stage{ID: s.ID, Title: s.Title, Kind: s.Kind})
	}
	return stages
}

var taskLine = regexp.MustCompile(`^\s*[-*+] \[([ xX])\]\s+(.+)$`)

// checklist finds the task-list items of a Markdown text and the heading each
// stands under.
func checklist(body string) []CheckItem {
	var items []CheckItem
	section, fenced := "", false
	for _, line := range strings.Split(body, "\n") {
		switch trimmed := strings.TrimSpace(line); {
		case strings.HasPrefix(trimmed, "```"):
			fenced = !fenced
		case fenced:
		case strings.HasPrefix(trimmed, "#"):
			section = strings.TrimSpace(strings.TrimLeft(trimmed, "#"))
		default:
			if m := taskLine.FindStringSubmatch(line); m != nil {
				items = append(items, CheckItem{Section: section, Text: strings.TrimSpace(m[2]), Done: m[1] != " "})
			}
		}
	}
	return items
}

// Title makes a readable title of an id: "pilot-boat" becomes "Pilot boat".
func Title(id string) string {
	words := strings.ReplaceAll(id, "-", " ")
	if words == "" {
		return ""
	}
	return strings.ToUpper(words[:1]) + words[1:]
}
