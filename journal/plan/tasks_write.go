// This file ticks an item of a task list in build.md, or takes its tick away: one
// byte of its line. All else stays byte for byte as the person wrote it.

package plan

import (
	"errors"
	"slices"
	"strings"
)

// ErrNoTask says that an item is on no list by now.
var ErrNoTask = errors.New("it stands on no list")

// Tick ticks an item in the build.md of a build of the journal in a folder, or takes
// its tick away, as SetTick does.
func Tick(dir, build string, item CheckItem, done bool) error {
	return rewrite(dir, planOf(build), func(old []byte) ([]byte, error) { return SetTick(old, item, done) })
}

// SetTick ticks an item of a build.md that bears the words and the heading of item, or
// takes its tick away. Of several that read the same the first counts that is not so
// yet: nobody can tell them apart. What is so already changes nothing; where there is
// no such item, it is ErrNoTask.
func SetTick(text []byte, item CheckItem, done bool) ([]byte, error) {
	lines, at := bodyOf(string(text))
	body := contents(lines[at:])
	same := slices.DeleteFunc(tasks(body), func(t task) bool {
		one := t.item(body[t.line])
		return one.Text != item.Text || one.Section != item.Section
	})
	if len(same) == 0 {
		return nil, ErrNoTask
	}
	i := slices.IndexFunc(same, func(t task) bool { return t.done != done })
	if i < 0 {
		return text, nil
	}
	mark := " "
	if done {
		mark = "x"
	}
	t := same[i]
	line := lines[at+t.line]
	lines[at+t.line] = line[:t.box] + mark + line[t.box+1:]
	return []byte(strings.Join(lines, "")), nil
}
