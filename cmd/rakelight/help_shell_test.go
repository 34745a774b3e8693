package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"
)

func said(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, &o, &e, time.Now)
	return o.String(), e.String(), code
}

// Each flag that a command understands can be completed: the help names it, and
// completion is made from the help. A shell that is there reads its script.
func TestCompletion(t *testing.T) {
	for shell := range completions {
		script, errs, code := said(t, "help", "completion", shell)
		if code != exitDone || errs != "" {
			t.Fatalf("%s: %d %s", shell, code, errs)
		}
		for _, c := range commands {
			if !strings.Contains(script, c.name) {
				t.Errorf("%s does not know %s", shell, c.name)
			}
		}
		file := filepath.Join(t.TempDir(), "rakelight")
		if err := os.WriteFile(file, []byte(script), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := exec.LookPath(shell); err == nil {
			if out, err := exec.Command(shell, "-n", file).CombinedOutput(); err != nil {
				t.Errorf("%s does not read its script: %v\n%s", shell, err, out)
			}
		}
		if shell != "bash" {
			continue
		}
		if _, err := exec.LookPath(shell); err != nil {
			continue
		}
		for line, want := range map[string]string{"rakelight fore": "forecast", "rakelight correct --pre": "--preview",
			"rakelight help build.": "build.md"} {
			words := strings.Fields(line)
			ask := ". " + file + "; COMP_WORDS=(" + line + "); COMP_CWORD=" + string(rune('0'+len(words)-1)) + "; _rakelight; echo ${COMPREPLY[*]}"
			out, err := exec.Command(shell, "-c", ask).CombinedOutput()
			if strings.TrimSpace(string(out)) != want {
				t.Errorf("%s: completed to %q (%v), want %s", line, out, err, want)
			}
		}
	}
	if _, errs, code := said(t, "help", "completion", "sh"); code != exitUsage || !strings.Contains(errs, "one of bash, fish") {
		t.Errorf("an unknown shell: %d %s", code, errs)
	}
}

// Nothing in the manual page is a macro but its own, and no line of help is lost.
func TestManPage(t *testing.T) {
	page, _, code := said(t, "help", "man")
	if code != exitDone {
		t.Fatal(code)
	}
	known := []string{".TH", ".SH", ".SS", ".TP", ".B", ".PP", ".nf", ".fi"}
	for _, line := range strings.Split(page, "\n") {
		macro := false
		for _, k := range known {
			macro = macro || line == k || strings.HasPrefix(line, k+" ")
		}
		if strings.HasPrefix(line, "'") || strings.HasPrefix(line, ".") && !macro {
			t.Errorf("a line of help became a macro: %s", line)
		}
	}
	for _, c := range commands {
		for _, line := range strings.Split(strings.TrimSpace(c.usage), "\n") {
			if !strings.Contains(page, roff(line)) {
				t.Errorf("%s: the page lacks %q", c.name, line)
			}
		}
	}
	if _, err := exec.LookPath("mandoc"); err != nil {
		return
	}
	lint := exec.Command("mandoc", "-T", "lint", "-W", "error")
	lint.Stdin = strings.NewReader(page)
	if out, err := lint.CombinedOutput(); err != nil {
		t.Errorf("mandoc: %v\n%s", err, out)
	}
}

// What the program was not told, it does not say.
func TestVersion(t *testing.T) {
	info := func(kv ...string) *debug.BuildInfo {
		b := &debug.BuildInfo{}
		for i := 0; i < len(kv); i += 2 {
			b.Settings = append(b.Settings, debug.BuildSetting{Key: kv[i], Value: kv[i+1]})
		}
		return b
	}
	digits := "0123456789abcdef0123"
	for _, c := range []struct {
		release, commit, day string
		of                   *debug.BuildInfo
		want                 string
	}{
		{"v1.2.0", "0123456789ab", "2026-03-14", info("vcs.revision", "another"), "rakelight v1.2.0 (commit 0123456789ab of 2026-03-14; go"},
		{"", "", "", info("vcs.revision", digits, "vcs.time", "2026-03-14T15:09:26Z", "vcs.modified", "false"), "rakelight built by hand, no release (commit 0123456789ab of 2026-03-14; go"},
		{"", "", "", info("vcs.revision", digits, "vcs.time", "2026-03-14T15:09:26Z", "vcs.modified", "true"), "rakelight built by hand, no release (commit 0123456789ab of 2026-03-14, with changes since; go"},
		{"", "", "", nil, "rakelight built by hand, no release (of unknown sources; go"},
	} {
		if got := versionOf(c.release, c.commit, c.day, c.of); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q, want %q…", got, c.want)
		}
	}
}

// initTrace is a line of the Go runtime: what a package allocated before main began
// (GODEBUG of package runtime, inittrace).
var initTrace = regexp.MustCompile(`(?m)^init (\S+) @.* (\d+) allocs$`)

// The program makes nothing ready that a command may not need: no package allocates more
// than its tables and patterns do.
func TestStartMakesLittleReady(t *testing.T) {
	cmd := exec.Command(os.Args[0], "version")
	cmd.Args[0] = "rakelight"
	cmd.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	told, err := cmd.CombinedOutput()
	all := initTrace.FindAllSubmatch(told, -1)
	if err != nil || len(all) < 20 {
		t.Fatalf("%d packages, %v: %.400s", len(all), err, told)
	}
	for _, m := range all {
		if n, err := strconv.Atoi(string(m[2])); err != nil || n > 8000 {
			t.Errorf("%s allocates %d times before anything is asked for, %v", m[1], n, err)
		}
	}
}
