// This file finds copies that sync programs and people made of what is written
// by hand. Their names differ by program and language, so they are known by
// their shape: the name of the file or folder, and something more.

package plan

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal/record"
)

// emptyPlan is said of a build.md that holds nothing.
const emptyPlan = "it is empty: the build has no title, runners or stages of its own; if it was emptied by accident, bring it back from a backup"

// copiesOf are the files in a folder that are named like a file and something
// more: "build (1).md", "Copy of build.md", "build.md.sync-conflict-20260314".
// What editors lay beside a file is none.
func copiesOf(name, dir string) []string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // reading the file itself says why
	}
	stem, ending, _ := strings.Cut(name, ".")
	var copies []string
	for _, e := range entries {
		low := strings.ToLower(e.Name())
		if e.Name() == name || !e.Type().IsRegular() || strings.HasPrefix(low, ".") || strings.HasPrefix(low, "#") ||
			strings.HasSuffix(low, "~") {
			continue
		}
		if _, rest, ok := strings.Cut(low, stem); ok && strings.Contains(rest, "."+ending) {
			copies = append(copies, e.Name())
		}
	}
	return copies
}

func copyProblem(file, of string) record.Problem {
	return record.Problem{Kind: record.Copy, File: file, What: fmt.Sprintf(
		"it looks like a copy of %s, perhaps made by a sync program, and is not read; take over into %s what only the copy has, then delete the copy",
		of, of)}
}

// copiedBuilds tells of build folders that look like copies of others: named
// like them and something more, with the same title or with no plan of their
// own. They are read as builds, because records may name them.
func copiedBuilds(dir string, builds []*Build) []record.Problem {
	var problems []record.Problem
	for _, b := range builds {
		i := slices.IndexFunc(builds, func(o *Build) bool {
			return o != b && len(o.ID) < len(b.ID) && strings.Contains(strings.ToLower(b.ID), strings.ToLower(o.ID)) &&
				(b.Title == o.Title || !hasPlan(dir, b.ID) && Slug(b.ID) != b.ID)
		})
		if i < 0 {
			continue
		}
		problems = append(problems, record.Problem{Kind: record.Copy, File: "builds/" + b.ID, What: fmt.Sprintf(
			"it looks like a copy of builds/%s, perhaps made by a sync program, and is read as a build of its own; move into builds/%s what only the copy has, then delete the copy; or give it a title of its own",
			builds[i].ID, builds[i].ID)})
	}
	return problems
}

func hasPlan(dir, id string) bool {
	_, err := os.Stat(filepath.Join(dir, "builds", id, "build.md"))
	return err == nil
}
