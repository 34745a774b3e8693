// Tests of build.md as people write it, mistakes included.

package plan

import (
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestParseBuild(t *testing.T) {
	text := "\ufeff---\r\ntitle: Lightship at anchor\r\nscale: 1/350\r\nstarted: 2026-01-05\r\nfinish: bare\r\nshow-class: Ships, waterline\r\n" +
		"kits:\r\n  - title: Lightship\r\n    runners:\r\n      - {letter: a, parts: \"1-3, 30\", class: flat, not-used: 2}\r\n      - {letter: A, parts: 2}\r\n" +
		"  - {title: 1890, scale: 1/350, runners: {PE: 4, R: \"7\"}}\r\n" +
		"stages:\r\n  - cut\r\n  - {id: clean-hull, kind: clean}\r\n  - {id: sea, title: The sea, kind: base}\r\n---\r\n" +
		"Small.\r\n\r\n## Supplies\r\n- [ ] wire\r\n* [X] resin\r\n```\r\n- [ ] not this\r\n```\r\n"
	b, problems := ParseBuild("lightship", []byte(text))
	want := &Build{
		ID: "lightship", Title: "Lightship at anchor", Scale: "1/350", Started: "2026-01-05", Finish: "bare", ShowIn: "Ships, waterline",
		Kits: []Kit{
			{Title: "Lightship", Runners: []Runner{
				{Letter: "A", Parts: []string{"1", "2", "3", "30"}, Class: "flat", NotUsed: []string{"2"}},
				{Letter: "A", Parts: []string{"1", "2"}},
			}},
			{Title: "1890", Scale: "1/350", Runners: []Runner{{Letter: "PE", Parts: numberRange(1, 4)}, {Letter: "R", Parts: numberRange(1, 7)}}},
		},
		Stages: []Stage{{"cut", "Cut", "cut"}, {"clean-hull", "Clean hull", "clean"}, {"sea", "The sea", "base"}},
		Body:   "Small.\n\n## Supplies\n- [ ] wire\n* [X] resin\n```\n- [ ] not this\n```",
		Checklist: []CheckItem{
			{"Supplies", "wire", false}, {"Supplies", "resin", true},
		},
	}
	if len(problems) > 0 || !reflect.DeepEqual(b, want) {
		t.Errorf("got  %+v\nwant %+v\nproblems %v", b, want, problems)
	}
}

// A mistake is told with its line, and the rest of the build is there.
func TestParseBuildMistakes(t *testing.T) {
	for _, c := range []struct {
		name, matter string
		line         int
		says         string
	}{
		{"broken YAML", "title: [lorry\nscale: 1/35", 0, "not understood"},
		{"unknown word", "title: Lorry\ncolour: sand", 3, "colour"},
		{"unknown word in a runner", "runners:\n  - {letter: A, parts: 3, color: x}", 3, "color"},
		{"unknown word in a stage", "stages:\n  - {id: cut, sort: x}", 3, "sort"},
		{"unknown kind", "stages: [cut, polish]", 2, "polish"},
		{"stage twice", "stages: [cut, cut]", 2, "twice"},
		{"stages no list", "stages: cut", 2, "list"},
		{"no runner letter", "runners: {7: 3}", 2, `"7"`},
		{"parts backward", "runners: {A: \"9-3\"}", 2, "9-3"},
		{"too many parts", "runners: {A: 100000}", 2, "100000"},
		{"no day", "title: x\nstarted: last week", 3, "last week"},
		{"no finish", "finish: shiny", 2, "shiny"},
		{"runners beside kits", "kits:\n  - title: a\nrunners: {A: 3}", 4, "beside"},
		{"kits no list", "kits: many", 2, "not written"},
		{"totals no map", "totals: 14", 2, "written {seam"},
		{"total no count", "totals: {seam: many}", 2, "not a count"},
		{"total below none", "title: x\ntotals:\n  seam: -2", 4, "not a count"},
		{"total of a class no count", "totals: {seam: {flat: 8, curved: many}}", 2, "seam, curved"},
		{"word twice", "title: a\ntitle: b", 3, "twice"},
	} {
		b, problems := ParseBuild("lorry", []byte("---\n"+c.matter+"\n---\nThe words.\n"))
		if len(problems) != 1 || c.line > 0 && problems[0].Line != c.line || !strings.Contains(problems[0].What, c.says) {
			t.Errorf("%s: problems %+v; want one on line %d that says %q", c.name, problems, c.line, c.says)
		}
		if b.Body != "The words." || b.ID != "lorry" || b.Title == "" {
			t.Errorf("%s: the rest was lost: %+v", c.name, b)
		}
	}
	if _, problems := ParseBuild("lorry", []byte("---\ntitle: x\n")); len(problems) != 1 || problems[0].Line != 1 {
		t.Errorf("front matter that is never closed: %v", problems)
	}
	for _, quiet := range []string{"", "Only words.", "---\n---\nWords.", "---\n# a comment\n---\n", "---\nrunners:\nstages:\n---\n"} {
		if b, problems := ParseBuild("lorry", []byte(quiet)); len(problems) > 0 || b.Title != "Lorry" {
			t.Errorf("ParseBuild(%q) = %+v, %v", quiet, b, problems)
		}
	}
}

// A class that contradicts another, or names a part that is not there, is told.
func TestReadClasses(t *testing.T) {
	for runner, want := range map[string]string{
		`{letter: A, parts: 4, classes: {small: "2", clear: "2"}}`: "runner A, classes: part 2 is small and clear; it is counted as small",
		`{letter: A, parts: 4, classes: {small: "9"}}`:             "runner A, classes: it has no part 9",
		`{letter: A, parts: 4, classes: small}`:                    `runner A, classes: write them like {small: "5-8", clear: 12}`,
		`{letter: A, parts: 4, missing: x}`:                        `runner A, missing: parts "x": write them like "1-24, 30"`,
	} {
		_, problems := ParseBuild("x", []byte("---\nrunners:\n  - "+runner+"\n---\n"))
		if len(problems) != 1 || problems[0].What != want || problems[0].Line != 3 {
			t.Errorf("%s: %v, want %q", runner, problems, want)
		}
	}
}

func FuzzParseBuild(f *testing.F) {
	f.Add([]byte("---\ntitle: Boat\nrunners: {A: \"1-24, 30\", B: 12}\nstages: [cut, {id: x, kind: clean}]\n---\n## S\n- [x] primer\n"))
	f.Add([]byte("\ufeff---\r\ntitle: 2026\r\n---\r\n"))
	f.Add([]byte("---\nkits: &k\n  - {title: a, runners: [&r {letter: A, parts: 3}, *r]}\n---\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, problems := ParseBuild("x", data)
		if b == nil || b.ID != "x" {
			t.Fatal("no build")
		}
		for _, k := range b.Kits {
			for _, r := range k.Runners {
				if r.Letter == "" || len(r.Parts) > len(data)*(maxPart+1) {
					t.Fatalf("runner %q with %d parts", r.Letter, len(r.Parts))
				}
			}
		}
		for _, p := range problems {
			if p.What == "" || p.File == "" || !utf8.ValidString(p.File) {
				t.Fatalf("a problem that says nothing: %+v", p)
			}
		}
	})
}

// A front matter without anything ends on its next line, whatever rules the body has.
func TestEmptyFrontMatter(t *testing.T) {
	b, problems := ParseBuild("x", []byte("---\n---\nWords.\n\n---\nMore.\n"))
	if b.Body != "Words.\n\n---\nMore." || len(problems) > 0 {
		t.Errorf("%q, %v", b.Body, problems)
	}
}
