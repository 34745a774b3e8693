// rakelight new: makes a journal folder.

package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
)

var newCmd = &command{
	name: "new", line: "make a journal folder",
	usage: `Usage: rakelight new DIR [--name NAME] [--zone ZONE]

Makes the folder DIR with a commented journal.toml, an inbox for photos and an
empty builds folder. A folder that holds anything already is left alone.

  --name NAME   what the pages are headed with (default: the folder's name)
  --zone ZONE   home time zone, such as Europe/Lisbon (default: this computer's)

Example:
  rakelight new bench --name "My bench" --zone Europe/Lisbon
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("new", pflag.ContinueOnError)
		name := fs.String("name", "", "")
		zone := fs.String("zone", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) != 1 {
			return &usageError{"new takes one folder"}
		}
		dir := rest[0]
		if *name == "" {
			full, err := filepath.Abs(dir)
			if err != nil {
				return err
			}
			*name = filepath.Base(full)
		}
		if *zone == "" {
			*zone = localZone()
		}
		if _, err := time.LoadLocation(*zone); err != nil {
			return &usageError{fmt.Sprintf("%q is not a time zone; write it like Europe/Lisbon", *zone)}
		}
		if err := journal.Create(dir, *name, *zone, a.now()); err != nil {
			return err
		}
		remember(dir)
		a.printf(`made the journal %s (time zone %s)

Three things to do next:
  1. Drop photos into %s
  2. Say what you build, in the journal folder: rakelight build my-build
     (it writes %s for you to edit)
  3. When you sit down at the bench, in the journal folder:
     rakelight on my-build cut        and later: rakelight off

Then: rakelight watch takes the photos in, writes the pages and serves them.
`, dir, *zone, filepath.Join(dir, "inbox"), filepath.Join(dir, "builds", "my-build", "build.md"))
		return nil
	},
}

// localZone is this computer's zone where the system tells it, else UTC.
func localZone() string { return cmp.Or(systemZone(), "UTC") }

// systemZone is this computer's zone by its IANA name, because a journal's zone must
// mean the same on every computer; "" where the system does not tell it.
func systemZone() string {
	if name := time.Local.String(); name != "Local" && name != "" {
		return name
	}
	if link, err := filepath.EvalSymlinks("/etc/localtime"); err == nil {
		for _, depth := range []int{2, 3, 1} {
			name := lastParts(filepath.ToSlash(link), depth)
			if _, err := time.LoadLocation(name); err == nil && name != "" {
				return name
			}
		}
	}
	return ""
}

// lastParts returns the last n elements of a slash path.
func lastParts(path string, n int) string {
	cut := len(path)
	for i := len(path) - 1; i >= 0 && n > 0; i-- {
		if path[i] == '/' {
			n--
			cut = i
		}
	}
	return path[min(cut+1, len(path)):]
}
