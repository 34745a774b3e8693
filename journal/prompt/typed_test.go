// Tests of proposed commands: what a shell makes of them when they are pasted.

package prompt_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/prompt"
	"rakelight/journal/reason"
)

// hostileNames are names that say something to a shell. CANARY becomes a file
// that must never be there.
var hostileNames = []string{
	"$(touch CANARY)", "`touch CANARY`", "a; touch CANARY", "a & touch CANARY", "a | touch CANARY", "a\ntouch CANARY\n",
	"'; touch CANARY; '", `"; touch CANARY; "`, `\'; touch CANARY; \'`, `\`, `a\`, `'\`, `"\`, `a'b"c`, "a'\ntouch CANARY", "!touch", "a!!b", "${HOME}", "$HOME", "~", "~root",
	"-rf", "--yes", "--", "-", "", " ", "a b", "*", "?", "[a]", "{a,b}", "a>CANARY", "<a", "#a", "a#b", "=ls", "%1", "100 %", "a,b", "@a", "ä ö.jpg", "日本.jpg",
	"a\u202egpj", "\x1b[31m", "\xff\xfe", "a\rb", "a\tb", "$'a'", "“$(touch CANARY)”", "a'", "''",
}

// shells are those at hand that know every form of quotes we use.
func shells(t *testing.T) map[string]bool {
	if runtime.GOOS == "windows" {
		t.Skip("no POSIX shell; quotedOn is tested for Windows by itself")
	}
	found := map[string]bool{} // → knows $'…'
	for _, name := range []string{"sh", "bash", "zsh", "ksh", "dash", "busybox"} {
		path, err := exec.LookPath(name)
		if err != nil {
			continue
		}
		said, err := exec.Command(path, shellArgs(path, `printf %s $'\141'`)...).Output()
		found[path] = err == nil && string(said) == "a"
	}
	if len(found) == 0 {
		t.Skip("no shell found")
	}
	return found
}

func shellArgs(shell, script string) []string {
	if filepath.Base(shell) == "busybox" {
		return []string{"sh", "-c", script}
	}
	return []string{"-c", script}
}

// pasted runs a line in a shell in which rakelight writes down its words, and
// returns those of each run. Nothing else may happen.
func pasted(t *testing.T, shell, line string) [][]string {
	t.Helper()
	dir := t.TempDir()
	script := "rakelight() { for w in \"$@\"; do printf '%s\\0' \"$w\"; done >>words; printf '\\001\\0' >>words; }\n" + line + "\n"
	cmd := exec.Command(shell, shellArgs(shell, script)...)
	cmd.Dir = dir
	if out, err := cmd.CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("%s: %s\n%v %s", shell, line, err, out)
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Name() != "words" {
			t.Errorf("%s: %s\nmade %s", shell, line, f.Name())
		}
	}
	data, err := os.ReadFile(filepath.Join(dir, "words"))
	if err != nil {
		t.Fatalf("%s: %s\nran nothing: %v", shell, line, err)
	}
	var runs [][]string
	var words []string
	for _, word := range strings.Split(strings.TrimSuffix(string(data), "\x00"), "\x00") {
		if word == "\x01" {
			runs, words = append(runs, words), nil
			continue
		}
		words = append(words, word)
	}
	return runs
}

func TestPastingACommandDoesWhatItSays(t *testing.T) {
	for shell, octal := range shells(t) {
		for _, name := range hostileNames {
			line := prompt.Typed("rakelight take %s x", name)
			if prompt.Shown(line) != line {
				t.Errorf("%q hides something", line)
			}
			runs := pasted(t, shell, line)
			want := []string{"take", name, "x"}
			if strings.HasPrefix(name, "-") {
				want = []string{"take", "--", name, "x"}
			}
			if prompt.Hides(name) && !octal {
				want[1] = "$" + strings.TrimSuffix(strings.TrimPrefix(prompt.Quoted(name), "$'"), "'") // another name, and no more
			}
			if len(runs) != 1 || !slices.Equal(runs[0], want) {
				t.Errorf("%s: %s\nsaid %q, want %q", shell, line, runs, want)
			}
		}
	}
}

func TestTyped(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the words are those of another system")
	}
	for _, c := range []struct{ got, want string }{
		{prompt.Typed("rakelight check"), "rakelight check"},
		{prompt.Typed("rakelight tag %s BUILD STAGE", "1f3a9c04"), "rakelight tag 1f3a9c04 BUILD STAGE"},
		{prompt.Typed("rakelight off --at %s", "2026-03-14 19:32"), `rakelight off --at "2026-03-14 19:32"`},
		{prompt.Typed("rakelight take %s", "inbox/a (2).jpg"), `rakelight take "inbox/a (2).jpg"`},
		{prompt.Typed("rakelight clock %s --fast %s --from %s", "-cam", "1h", "-x"), "rakelight clock --fast 1h --from -x -- -cam"},
		{prompt.Typed(`rakelight pause %s --why "…"`, "-b"), `rakelight pause --why "…" -- -b`},
		{prompt.Typed("rakelight trial note %s TEXT", "-d/4"), "rakelight trial -- note -d/4 TEXT"},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
}

// Quotes of Windows: cmd takes only double ones, and PowerShell looks for $ and `
// in them and takes the curly ones for straight (about_Quoting_Rules).
func TestQuotedOnWindows(t *testing.T) {
	for word, want := range map[string]string{
		`inbox\a.jpg`: `inbox\a.jpg`, `a b.jpg`: `"a b.jpg"`, `a&calc`: `"a&calc"`, `a'b`: `"a'b"`, `a,b`: `"a,b"`, ``: `""`, `(x)`: `"(x)"`,
		`$(calc)`: "NAME", "`calc`": "NAME", `%PATH%`: "NAME", `a "b"`: "NAME", `“$(calc)”`: "NAME", "a\nb": "NAME", `a b\`: "NAME",
	} {
		if got := prompt.QuotedOn("windows", word); got != want {
			t.Errorf("%q: %s, want %s", word, got, want)
		}
	}
}

// Every command a hint of this package proposes for things with hostile names.
func TestHintsHoldHostileNames(t *testing.T) {
	for shell, octal := range shells(t) {
		if !octal { // TestPastingACommandDoesWhatItSays has what others do
			continue
		}
		for _, name := range hostileNames {
			if name == "" {
				continue
			}
			for _, hint := range hintsAbout(name) {
				if prompt.Shown(hint) != hint {
					t.Errorf("%q hides something", hint)
				}
				runs := pasted(t, shell, hint)
				if len(runs) != 1 || !slices.Contains(runs[0], name) {
					t.Errorf("%s: %s\nsaid %q", shell, hint, runs)
				}
			}
		}
	}
}

// hintsAbout are the commands proposed for a build, a record, a file and a camera
// of that name.
func hintsAbout(name string) []string {
	photo := &journal.Photo{Hash: strings.Repeat("1f3a9c04", 8), Name: name, Guess: true, Tags: journal.Tags{Build: name, Stage: "clean"},
		Why: reason.WhysOf(map[string]string{"stage": "a guess"}), Instant: journal.Instant{At: time.Now(), Source: "DateTimeOriginal", Offset: "stated"}}
	s := &journal.State{Zone: time.UTC, Photos: []*journal.Photo{photo}, Asides: []journal.Aside{{Path: name, Why: reason.Link{By: reason.SmallerCopy}}},
		Builds: []*journal.Build{{ID: name, Stages: []journal.Stage{{ID: "clean", Kind: "clean"}}}}}
	var hints []string
	for _, row := range s.ToDo() {
		hints = append(hints, row.Command)
	}
	until := func(hint, words string) string {
		before, _, found := strings.Cut(hint, words)
		if !found {
			panic(hint + " has no " + words)
		}
		return before
	}
	after := func(hint, words string) string {
		_, command, found := strings.Cut(hint, words)
		if !found {
			panic(hint + " has no " + words)
		}
		return command
	}
	mended, reopened := journal.Over{Session: name}.Mend(), journal.Over{Build: name}.Mend()
	proposal := journal.ClockProposal{Fast: time.Hour, From: "2026-01-01", To: "2026-02-01"}
	proposal.Camera.Name = name
	return append(hints, after(mended, "to set the count: "), after(reopened, "to take off what was not done: "), until(journal.Finishable{Build: name, Date: "2026-03-14"}.Mend(), " says so"), proposal.Command())
}
