// This file finds changed bytes that cost nothing: in files of records what no append
// writes, and in what is written by hand that it is not what it was.

package journal

import (
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal/record"
)

// Kinds of findings about bytes.
const (
	OddBytes    = "odd bytes"    // in a file of records; no record is lost by them
	ChangedPlan = "changed plan" // written by hand, and not what it was when it was noted
)

// oddBytes are remarks on the bytes of files of records.
func (j *Journal) oddBytes() (found []Finding) {
	names, err := record.Files(j.Dir)
	if err != nil {
		return nil // reading the records says why
	}
	for _, rel := range names {
		data, err := os.ReadFile(j.Path(rel))
		if err != nil {
			continue
		}
		for _, p := range record.Oddities(rel, data) {
			found = append(found, Finding{OddBytes, rel, p.Line, p.What, false})
		}
	}
	return found
}

// plansNoted is where it is noted what is written by hand was like: it is this
// computer's, may be deleted, and then nothing is known until it is noted again.
const plansNoted = ".cache/by-hand.json"

// PlanNotes are the hashes of all that is written by hand, at a moment: journal.toml
// and the files below builds. The zero value: nothing was noted yet.
type PlanNotes struct {
	At    time.Time         `json:"at"`
	Files map[string]string `json:"files"` // SHA-256, by name below the journal folder
}

// NotedPlans reads what was noted last.
func (j *Journal) NotedPlans() (n PlanNotes) {
	data, err := os.ReadFile(j.Path(plansNoted))
	if err != nil || json.Unmarshal(data, &n) != nil {
		return PlanNotes{}
	}
	return n
}

// NotePlans notes what is written by hand as it is now.
func (j *Journal) NotePlans() error {
	n, err := j.plansNow()
	if err != nil {
		return err
	}
	data, err := json.MarshalIndent(n, "", " ")
	if err != nil {
		return err
	}
	return record.WriteFile(j.Path(plansNoted), append(data, '\n'))
}

// plansNow are the notes of this moment.
func (j *Journal) plansNow() (PlanNotes, error) {
	n := PlanNotes{j.Now().UTC(), map[string]string{}}
	for _, top := range []string{"journal.toml", "builds"} {
		err := filepath.WalkDir(j.Path(top), func(path string, d fs.DirEntry, err error) error {
			if errors.Is(err, fs.ErrNotExist) {
				return nil
			}
			if err != nil || !d.Type().IsRegular() || strings.HasPrefix(d.Name(), ".") {
				return err
			}
			rel, err := filepath.Rel(j.Dir, path)
			if err != nil {
				return err
			}
			n.Files[filepath.ToSlash(rel)], err = HashFile(path)
			return err
		})
		if err != nil {
			return PlanNotes{}, err
		}
	}
	return n, nil
}

// ChangedPlans are remarks on what is written by hand and is not what it was when it
// was noted. It is no damage: a person wrote there, or a command that adds to it. What
// came since is not told.
func (j *Journal) ChangedPlans(noted PlanNotes) ([]Finding, error) {
	now, err := j.plansNow()
	if err != nil {
		return nil, err
	}
	when := noted.At.In(j.State.zone()).Format("2006-01-02 15:04")
	var found []Finding
	for _, name := range slices.Sorted(maps.Keys(noted.Files)) {
		switch hash, there := now.Files[name]; {
		case !there:
			what := "it was there at the check of " + when + " and is gone; no damage if you moved or deleted it"
			found = append(found, Finding{ChangedPlan, name, 0, what, false})
		case hash != noted.Files[name]:
			what := "changed by hand since the check of " + when + "; no damage if it was you, or a command"
			found = append(found, Finding{ChangedPlan, name, 0, what, false})
		}
	}
	return found, nil
}
