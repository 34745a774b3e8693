// rakelight version: which program this is, as far as it knows.

package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/pflag"
)

// release is the version a release was built as; the tool that builds releases
// sets it. A program that was built by hand has none.
var release string

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
		a.println(versionOf(release, info))
		return nil
	},
}

// versionOf says what is known of a build; info may be nil.
func versionOf(release string, info *debug.BuildInfo) string {
	set := map[string]string{}
	if info != nil {
		for _, s := range info.Settings {
			set[s.Key] = s.Value
		}
	}
	name := release
	if name == "" {
		name = "built by hand, no release"
	}
	var from []string
	switch commit := set["vcs.revision"]; {
	case commit == "":
		from = append(from, "of unknown sources")
	case set["vcs.modified"] == "true":
		from = append(from, "commit "+commit[:min(12, len(commit))]+", with changes since")
	default:
		from = append(from, "commit "+commit[:min(12, len(commit))])
	}
	if day, _, ok := strings.Cut(set["vcs.time"], "T"); ok {
		from = append(from, day)
	}
	return fmt.Sprintf("rakelight %s (%s; %s, %s/%s)", name, strings.Join(from, ", "), runtime.Version(), runtime.GOOS,
		runtime.GOARCH)
}
