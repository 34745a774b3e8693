// Package plan is what a person writes by hand: journal.toml, the builds with
// their kits, runners, stages and totals, the references to parts, and the diary.
//
// Start with Read, which reads all of it, and Plan, what it gives. It knows no
// record and no state: what came of a plan is asked of package journal. A mistake
// in what is written is a Problem with file and line, and never stops the rest.
// The formats are told in the README.txt that Create puts into every journal.
package plan

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal/record"
)

// Format is the version of the folder's layout that this program writes.
const Format = 1

// ErrNewerFormat is the error of a journal of a later layout.
var ErrNewerFormat = errors.New("the journal was made by a newer rakelight; nothing was changed")

// Emptied is the kind of problem of a build.md that holds nothing.
const Emptied = "emptied plan"

// Unread is the kind of problem of a build.md that could not be read.
const Unread = "unread plan"

// Plan is what a person wrote by hand: the settings, the builds, the diary.
type Plan struct {
	Config   Config
	Zone     *time.Location
	Builds   []*Build
	Diary    []DiaryDay
	Problems []record.Problem
	Now      time.Time // until when no photo came after the last one; zero = until the last one
}

// DiaryDay is one day's words, from builds/<build>/diary/<date>.md.
type DiaryDay struct {
	Build   string
	Date    string // YYYY-MM-DD
	Title   string // first heading, or ""
	Body    string // Markdown
	Private bool   // its front matter says that it is for nobody else
}

// maxProse is the largest prose file that is read: a day's words are a few
// kilobytes, and a Markdown parser takes quadratic time on hostile text.
const maxProse = 256 << 10

// Read reads what was written by hand in a journal folder. An error means that
// its settings cannot be read at all, or are of a newer version (ErrNewerFormat).
func Read(dir string) (Plan, error) {
	p := Plan{Zone: time.UTC}
	if err := p.readSettings(dir); err != nil {
		return p, err
	}
	builds, err := os.ReadDir(filepath.Join(dir, "builds"))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return p, err
	}
	for _, d := range builds {
		if d.IsDir() && !strings.HasPrefix(d.Name(), ".") {
			p.readBuild(dir, d.Name())
			p.readDiary(dir, d.Name())
		}
	}
	p.Problems = append(p.Problems, copiedBuilds(dir, p.Builds)...)
	return p, nil
}

// problem notes what is not written as it should be; line 0 is the whole file.
func (p *Plan) problem(file string, line int, format string, args ...any) {
	p.Problems = append(p.Problems, record.Problem{File: file, Line: line, What: fmt.Sprintf(format, args...)})
}

// readBuild reads the build.md of a build's folder.
func (p *Plan) readBuild(dir, id string) {
	name := "builds/" + id + "/build.md"
	data, err := readProse(filepath.Join(dir, filepath.FromSlash(name)))
	switch {
	case errors.Is(err, os.ErrNotExist):
		p.problem(name, 0, "there is no build.md in this folder; the build is shown by the folder's name")
	case err != nil:
		p.Problems = append(p.Problems, record.Problem{Kind: Unread, File: name,
			What: fmt.Sprintf("not read: %v", err)})
	case strings.TrimSpace(string(data)) == "":
		p.Problems = append(p.Problems, record.Problem{Kind: Emptied, File: name, What: emptyPlan})
	}
	for _, copied := range copiesOf("build.md", filepath.Join(dir, "builds", id)) {
		p.Problems = append(p.Problems, copyProblem("builds/"+id+"/"+copied, "build.md"))
	}
	b, problems := ParseBuild(id, data)
	if len(b.Stages) == 0 {
		b.Stages = p.Config.defaultStages()
	}
	for _, what := range b.idleTotals() {
		p.problem(name, max(0, lineOf(string(data), "totals")-1), "totals: %s; it does nothing", what)
	}
	p.Builds = append(p.Builds, b)
	p.Problems = append(p.Problems, problems...)
}

// readDiary reads the diary days of a build's folder.
func (p *Plan) readDiary(dir, id string) {
	// Not a pattern: a folder's name may hold what patterns are made of.
	days, err := os.ReadDir(filepath.Join(dir, "builds", id, "diary"))
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		p.problem("builds/"+id+"/diary", 0, "not read: %v", err)
	}
	for _, day := range days {
		date, ok := strings.CutSuffix(day.Name(), ".md")
		if !ok {
			continue
		}
		name := "builds/" + id + "/diary/" + day.Name()
		if _, err := time.Parse(time.DateOnly, date); err != nil {
			p.problem(name, 0, "a diary day is named after its date, like 2026-03-14.md; it is not shown")
			continue
		}
		data, err := readProse(filepath.Join(dir, filepath.FromSlash(name)))
		if err != nil {
			p.problem(name, 0, "not read: %v", err)
			continue
		}
		d, unknown := parseDay(id, date, data)
		for _, word := range unknown {
			p.problem(name, 0, "the word %s is not known in the front matter of a day and does nothing", word)
		}
		p.Diary = append(p.Diary, d)
	}
}

func readProse(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is no ordinary file") // a pipe would be waited for, a device read without end
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

// parseDay reads the words of a day, and returns the words of its front matter that
// mean nothing. A rule of dashes at the beginning is front matter only where it says
// whether the day is private: nothing else could be meant by it before.
func parseDay(build, date string, data []byte) (d DiaryDay, unknown []string) {
	d = DiaryDay{Build: build, Date: date, Body: string(data)}
	if matter, body, ok := cutFront(d.Body); ok {
		if private, said := saysPrivate(matter); said {
			d.Private, d.Body, unknown = private, body, otherWords(matter)
		}
	}
	first, rest, _ := strings.Cut(strings.TrimLeft(d.Body, "\n"), "\n")
	if title, ok := strings.CutPrefix(first, "# "); ok {
		d.Title, d.Body = strings.TrimSpace(title), strings.TrimLeft(rest, "\n")
	}
	return d, unknown
}
