// What is private, as people write it.

package plan

import (
	"os"
	"path/filepath"
	"testing"
)

func TestPrivateBuilds(t *testing.T) {
	for text, want := range map[string]bool{
		"---\nprivate: true\n---\n":                         true,
		"---\ntitle: Boat\nprivate: yes # for now\n---\n":   true,
		"---\n\"Private\": 'true'\n---\n":                   true,
		"---\r\nprivate: true\r\n---\r\n":                   true,
		"---\nprivate:\n---\n":                              true, // said, and no plain no
		"---\nprivate: perhaps\n---\n":                      true,
		"---\ntitle: [broken\nprivate: true\n---\n":         true, // what is not understood publishes nothing
		"---\nprivate: true\nno end of the front matter":    true,
		"---\nprivate: false\n---\n":                        false,
		"---\nprivate: no\n---\n":                           false,
		"---\ntitle: Boat\n---\nprivate: true\n":            false,
		"private: true\n":                                   false,
		"---\nfinish: bare\n---\nA word on private: it is.": false,
	} {
		b, _ := ParseBuild("boat", []byte(text))
		if b.Private != want {
			t.Errorf("%q: %v", text, b.Private)
		}
	}
}

func TestPrivateDays(t *testing.T) {
	for text, want := range map[string]DiaryDay{
		"---\nprivate: true\n---\n# Head\n\nWords.\n": {Title: "Head", Body: "Words.\n", Private: true},
		"---\nprivate: false\n---\nWords.\n":          {Body: "Words.\n"},
		"---\nWords between rules.\n---\nMore.\n":     {Body: "---\nWords between rules.\n---\nMore.\n"},
		"Words.\n\n---\nprivate: true\n---\n":         {Body: "Words.\n\n---\nprivate: true\n---\n"},
	} {
		if got, _ := parseDay("", "", []byte(text)); got != want {
			t.Errorf("%q: %+v", text, got)
		}
	}
	dir := t.TempDir()
	for name, text := range map[string]string{"journal.toml": "format = 1\nzone = \"UTC\"\n", "builds/boat/build.md": "A boat.",
		"builds/boat/diary/2026-03-14.md": "---\nprivate: true\nmood: good\n---\nWords."} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	p, err := Read(dir)
	if err != nil || len(p.Problems) != 1 || p.Problems[0].What != "the word mood is not known in the front matter of a day and does nothing" {
		t.Errorf("%v, %+v", err, p.Problems)
	}
}

func TestWithoutSupplies(t *testing.T) {
	body := "Idea.\n\n## Supplies\n\n- [ ] wire\n\n### At the shop\n\n- [ ] glue\n\n## Order\n\n- [x] hull\n\n```\n## Supplies\n```\nEnd."
	got, items := WithoutSupplies(body, defaultSupplies)
	if want := "Idea.\n\n## Order\n\n- [x] hull\n\n```\n## Supplies\n```\nEnd."; got != want || len(items) != 1 || items[0].Text != "hull" {
		t.Errorf("%q, %+v", got, items)
	}
}
