// This file is the plan of a new build, in words.

package plan

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Draft is a build as a person begins it.
type Draft struct {
	ID      string // the folder's name
	Title   string // "" = as the id
	Scale   string
	Finish  string   // "painted", "bare", "" = not said
	Kits    []string // titles; none or one = the runners are the build's own
	Runners []string // "A:24:flat", "2/B:1-12", "C": kit, letter, parts, class
	NotUsed []string // "A:25-26", "2/B:7": kit, letter, the numbers marked not for use
	Stages  []string // ids; "" = the journal's own
	Before  bool     // of the years before: nothing is planned any more, so it has no concept and no lists to fill in
}

var (
	buildID     = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	draftSpare  = regexp.MustCompile(`^(?:([0-9]{1,2})/)?([A-Za-z]{1,3}):([0-9 ,-]+)$`)
	draftRunner = regexp.MustCompile(`^(?:([0-9]{1,2})/)?([A-Za-z]{1,3})(?::([0-9 ,-]*)(?::([^:]+))?)?$`)
)

// reservedNames are no names of folders on Windows.
var reservedNames = regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

// Text is the draft as build.md, or an *AskError when the name is none or what
// would be written would not be read as it was meant.
func (d Draft) Text() ([]byte, error) {
	const nothing = ": nothing written"
	if !buildID.MatchString(d.ID) || len(d.ID) > 60 || reservedNames.MatchString(d.ID) {
		hint := "it is the name of a folder, and what you will type: small letters, digits and hyphens"
		if slug := Slug(d.ID); slug != d.ID && buildID.MatchString(slug) {
			hint += ", such as " + slug
		}
		return nil, &AskError{fmt.Sprintf("%q cannot name a build", d.ID) + nothing, hint}
	}
	text, err := d.text()
	if err != nil {
		return nil, err
	}
	if _, problems := ParseBuild(d.ID, text); len(problems) > 0 {
		return nil, &AskError{problems[0].What + nothing, "rakelight help build.md tells how each word is written"}
	}
	return text, nil
}

// text is the draft as build.md.
func (d Draft) text() ([]byte, error) {
	var b strings.Builder
	b.WriteString("---\n")
	title := d.Title
	if title == "" {
		title = Title(d.ID)
	}
	fmt.Fprintf(&b, "title: %s\n", quote(title))
	for _, one := range []struct{ word, value string }{{"scale", d.Scale}, {"finish", d.Finish}} {
		if one.value != "" {
			fmt.Fprintf(&b, "%s: %s\n", one.word, quote(one.value))
		}
	}
	byKit, err := d.runners()
	if err != nil {
		return nil, err
	}
	if len(d.Kits) > 1 {
		b.WriteString("kits:\n")
		for i, title := range d.Kits {
			fmt.Fprintf(&b, "  - title: %s\n", quote(title))
			writeRunners(&b, "    ", byKit[i])
		}
	} else {
		writeRunners(&b, "", byKit[0])
	}
	if len(d.Stages) > 0 {
		var stages []string
		for _, id := range d.Stages {
			stages = append(stages, quote(id))
		}
		fmt.Fprintf(&b, "stages: [%s]\n", strings.Join(stages, ", "))
	}
	b.WriteString("---\n")
	if !d.Before {
		b.WriteString("What I want to build, and why.\n\n## Supplies\n- [ ] primer\n")
	}
	return []byte(b.String()), nil
}

func writeRunners(b *strings.Builder, indent string, runners []string) {
	if len(runners) == 0 {
		return
	}
	fmt.Fprintf(b, "%srunners:\n", indent)
	for _, r := range runners {
		fmt.Fprintf(b, "%s  - %s\n", indent, r)
	}
}

// runners are the runners as build.md has them, by kit.
func (d Draft) runners() ([][]string, error) {
	byKit := make([][]string, max(1, len(d.Kits)))
	spare, err := d.spare()
	if err != nil {
		return nil, err
	}
	var seen []string
	for _, text := range d.Runners {
		m := draftRunner.FindStringSubmatch(strings.TrimSpace(text))
		if m == nil {
			return nil, &AskError{fmt.Sprintf("%q is not a runner: nothing written", text),
				`a runner is a letter, its parts and their class: A:24:flat, B:"1-12, 30", or 2/A:8 in the second kit`}
		}
		kit := 1
		if m[1] != "" {
			kit, _ = strconv.Atoi(m[1])
		}
		if kit < 1 || kit > len(byKit) {
			return nil, &AskError{fmt.Sprintf("%s: there is no kit %d: nothing written", text, kit),
				"name the kits first, each with --kit TITLE"}
		}
		letter := strings.ToUpper(m[2])
		name := fmt.Sprintf("%d/%s", kit, letter)
		if slices.Contains(seen, name) {
			return nil, &AskError{fmt.Sprintf("runner %s comes twice: nothing written", letter),
				"give it once, with all its parts"}
		}
		seen = append(seen, name)
		line := "{letter: " + letter
		if parts := strings.TrimSpace(m[3]); parts != "" {
			line += ", parts: " + quote(parts)
		}
		if class := strings.TrimSpace(m[4]); class != "" {
			line += ", class: " + quote(class)
		}
		if numbers := spare[name]; numbers != "" {
			line += ", not-used: " + quote(numbers)
			delete(spare, name)
		}
		byKit[kit-1] = append(byKit[kit-1], line+"}")
	}
	for name := range spare {
		return nil, &AskError{fmt.Sprintf("there is no runner %s: nothing written", strings.TrimPrefix(name, "1/")),
			"name the runner as well, with all its parts"}
	}
	return byKit, nil
}

// spare are the numbers not for use by runner, "1/A".
func (d Draft) spare() (map[string]string, error) {
	all := map[string]string{}
	for _, text := range d.NotUsed {
		m := draftSpare.FindStringSubmatch(strings.TrimSpace(text))
		if m == nil {
			return nil, &AskError{fmt.Sprintf("%q names no parts of a runner: nothing written", text),
				"write the runner's letter and the numbers: A:25-26"}
		}
		kit := 1
		if m[1] != "" {
			kit, _ = strconv.Atoi(m[1])
		}
		name := fmt.Sprintf("%d/%s", kit, strings.ToUpper(m[2]))
		if all[name] != "" {
			all[name] += ", "
		}
		all[name] += strings.TrimSpace(m[3])
	}
	return all, nil
}

// Order is a usual order of work.
type Order struct {
	Name   string   // "painted"
	Finish string   // what the surface then ends as
	Stages []string // kinds
}

// Orders are proposals for the order of work of a build, by what it is. Common
// practice of builders; stages are gone back to all the time.
var Orders = []Order{
	{"painted", "painted", []string{
		"inspect", "wash", "plan", "cut", "clean", "dry-fit", "assemble", "seam", "prime", "paint",
		"detail", "gloss", "decal", "line", "weather", "top-coat", "repair",
	}},
	{"unpainted", "bare", []string{
		"inspect", "cut", "clean", "assemble", "line", "decal", "top-coat", "repair",
	}},
	{"resin", "painted", []string{
		"inspect", "cut", "wash", "clean", "dry-fit", "assemble", "seam", "prime", "paint", "detail",
		"gloss", "decal", "line", "weather", "top-coat", "repair",
	}},
	{"diorama", "painted", []string{
		"inspect", "wash", "plan", "cut", "clean", "dry-fit", "assemble", "seam", "prime", "paint",
		"detail", "gloss", "decal", "line", "base", "weather", "top-coat", "repair",
	}},
}

// OrderOf is the order of that name.
func OrderOf(name string) (Order, bool) {
	i := slices.IndexFunc(Orders, func(o Order) bool { return o.Name == name })
	if i < 0 {
		return Order{}, false
	}
	return Orders[i], true
}
