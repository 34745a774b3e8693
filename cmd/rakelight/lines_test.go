// Tests that the sources can be read side by side.

package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// A line is at most 120 columns wide, a tab counted as four. A sentence stays
// whole, so that it can be searched for: what stands in quotes and is longer than
// 60 columns counts as 60. So does a comment that stands behind a line of code.
func TestLinesAreNotTooLong(t *testing.T) {
	const root, most, sentence = "../..", 120, 60
	quoted := regexp.MustCompile("\"(?:[^\"\\\\]|\\\\.)*\"|`[^`]*`")
	behind := regexp.MustCompile(`\S\s*// .*$`)
	shorter := func(s string) string {
		if runes := []rune(s); len(runes) > sentence {
			return string(runes[:sentence])
		}
		return s
	}
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for i, line := range strings.Split(string(data), "\n") {
			line = strings.ReplaceAll(line, "\t", "    ")
			if len([]rune(line)) <= most {
				continue
			}
			line = quoted.ReplaceAllStringFunc(line, shorter)
			line = behind.ReplaceAllStringFunc(line, shorter)
			if n := len([]rune(line)); n > most {
				t.Errorf("%s:%d is %d columns wide", path, i+1, n)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
