// This file knows which records are taken back.

package journal

import (
	"encoding/json"
	"fmt"
)

// gone are the records taken back, by id. Of an id that several records bear,
// id + "#" says that some of them are, and id + "#" + checksum which.
type gone map[string]bool

func (g gone) has(r Record) bool {
	id := r.ID()
	return g[id] || g[id+"#"] && g[id+"#"+r.Sum()]
}

// retraction is a record that takes others back: those of an id, or the one of
// them with a checksum.
type retraction struct {
	by  Record
	sum string
}

func retractions(records []Record) map[string][]retraction {
	against := map[string][]retraction{}
	for _, r := range records {
		var b RetractBody
		if is[RetractBody](r) && json.Unmarshal(r.Body, &b) == nil && b.Record != "" {
			against[b.Record] = append(against[b.Record], retraction{r, b.Sum})
		}
	}
	return against
}

// retracted finds the records taken back. A retraction can itself be taken
// back, so whether it stands depends on the retractions that name it. Their
// place in the order does not matter: another device's clock may be behind.
func retracted(records []Record) gone {
	g := gone{}
	against := retractions(records)
	if len(against) == 0 {
		return g
	}
	bearers := map[string][]Record{} // of the ids that are named
	var named []string
	for _, r := range records {
		id := r.ID()
		if against[id] == nil {
			continue
		}
		if bearers[id] == nil {
			named = append(named, id)
		}
		bearers[id] = append(bearers[id], r)
	}
	settled := map[string]bool{}
	var isGone func(r Record) bool
	isGone = func(r Record) bool {
		id := r.ID()
		if against[id] == nil {
			return false
		}
		sum := r.Sum()
		key := id + "#" + sum
		if settled[key] {
			return g[key]
		}
		// Set before the chain is followed, so that retractions that name each
		// other in a ring end somewhere.
		settled[key] = true
		for _, by := range against[id] {
			if (by.sum == "" || by.sum == sum) && !isGone(by.by) {
				g[key], g[id+"#"] = true, true
				break
			}
		}
		return g[key]
	}
	for _, id := range named {
		all := true
		for _, r := range bearers[id] {
			all = isGone(r) && all
		}
		if all {
			g[id] = true
		}
	}
	return g
}

// twins reports ids that more than one record bears, and which of them count.
// A retraction of an older version names the id alone and takes all of them
// back.
func twins(records []Record, g gone) []Problem {
	var problems []Problem
	times := map[string]int{}
	for _, r := range records {
		id := r.ID()
		if times[id]++; times[id] != 2 {
			continue
		}
		what := "those that are not taken back count"
		for _, by := range retractions(records)[id] {
			if by.sum == "" && !g.has(by.by) {
				what = fmt.Sprintf("all are taken back by %s, which does not say which; %s brings them back, then take back the one that is meant",
					by.by.ID(), Typed("rakelight retract %s", by.by.ID()))
			}
		}
		problems = append(problems, Problem{File: "records/" + r.Dev, What: fmt.Sprintf(
			"two different records are called %s: %s; it happens when two computers share one .cache folder, so keep .cache out of the sync",
			id, what)})
	}
	return problems
}
