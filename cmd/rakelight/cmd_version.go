// rakelight version: which program this is, as far as it knows.

package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/pflag"
)

// The tool that builds releases sets these: the version, and the commit and its
// day. A program that was built by hand has none of them and asks what Go noted.
var release, commit, committed string

var versionCmd = &command{
	name: "version", line: "say which version this is, and what it was built from",
	usage: `Usage: rakelight version

Says the version, the commit it was built from and that commit's date, whether
the sources were changed since, the Go release, and the system. What the program
was not told when it was built, it does not say.

Example:
  rakelight version
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("version", pflag.ContinueOnError)
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if err := takes(0, 0, "version takes no arguments")(rest); err != nil {
			return err
		}
		info, _ := debug.ReadBuildInfo()
		a.println(versionOf(release, commit, committed, info))
		return nil
	},
}

// versionOf says what is known of a build; info may be nil.
func versionOf(release, commit, day string, info *debug.BuildInfo) string {
	if release == "" {
		release = "built by hand, no release"
	}
	changes := ""
	if commit == "" && info != nil {
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision":
				commit = s.Value
			case s.Key == "vcs.time":
				day, _, _ = strings.Cut(s.Value, "T")
			case s.Key == "vcs.modified" && s.Value == "true":
				changes = ", with changes since"
			}
		}
	}
	from := "of unknown sources"
	if commit != "" {
		from = fmt.Sprintf("commit %s of %s%s", commit[:min(12, len(commit))], day, changes)
	}
	return fmt.Sprintf("rakelight %s (%s; %s, %s/%s)", release, from, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
