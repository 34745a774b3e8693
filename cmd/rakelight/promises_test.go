// The promises of the README, and the commands of the scripts that hold them:
// testdata/promises_*.txtar.

package main

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func readme(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// promised are the sentences of a text, each without what only sets it off.
func promised(text string) (sentences []string) {
	text = strings.Join(strings.Fields(strings.NewReplacer("**", "", "\n- ", " ").Replace(text)), " ")
	for _, s := range regexp.MustCompile(`[^.]+(?:\.[a-z]+[^.]*)*\.(?: |$)`).FindAllString(text, -1) {
		sentences = append(sentences, strings.TrimSpace(s))
	}
	return sentences
}

// Each sentence of What it promises is quoted, word for word, by the script that
// holds it, and what a script quotes stands in the README: whoever changes a
// promise comes by its test.
func TestPromisesHaveTheirScript(t *testing.T) {
	text := readme(t)
	_, promises, found := strings.Cut(text, "\n## What it promises\n")
	promises, _, ended := strings.Cut(promises, "\n## ")
	if !found || !ended {
		t.Fatal("the README has no section What it promises")
	}
	scripts, err := filepath.Glob(filepath.Join("testdata", "promises_*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	whole := strings.Join(strings.Fields(strings.ReplaceAll(text, "**", "")), " ")
	var quoted []string
	for _, path := range scripts {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(data), "\n") {
			quote, is := strings.CutPrefix(line, "# README: ")
			if !is {
				continue
			}
			quoted = append(quoted, quote)
			if !strings.Contains(whole, quote) {
				t.Errorf("%s: the README does not say %q", path, quote)
			}
		}
	}
	sentences := promised(promises)
	for _, s := range sentences {
		if !slices.Contains(quoted, s) {
			t.Errorf("no script holds %q", s)
		}
	}
	if len(sentences) < 8 {
		t.Errorf("only %d sentences were looked for", len(sentences))
	}
}

// numbered are the numbered sentences of a section, with what stands indented
// below each.
func numbered(t *testing.T, file, section string) (sentences, below []string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", file))
	if err != nil {
		t.Fatal(err)
	}
	_, text, found := strings.Cut(string(data), "\n## "+section+"\n")
	text, _, ended := strings.Cut(text, "\n## ")
	if !found || !ended {
		t.Fatalf("%s has no section %s", file, section)
	}
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		number, sentence, is := strings.Cut(line, ". ")
		switch {
		case is && number == strconv.Itoa(len(sentences)+1):
			sentences, below = append(sentences, sentence), append(below, "")
		case strings.HasPrefix(line, "   ") && len(below) > 0:
			below[len(below)-1] += line
		}
	}
	return sentences, below
}

// TestEachPromiseNamesItsTests holds that the numbered promises are the same in both
// documents, and that each names tests and scripts that are there.
func TestEachPromiseNamesItsTests(t *testing.T) {
	promises, _ := numbered(t, "README.md", "What holds whatever happens")
	held, tests := numbered(t, "DEVELOPERS.md", "The promises and their tests")
	if len(promises) < 9 || !slices.Equal(promises, held) {
		t.Errorf("the README promises\n%q, DEVELOPERS.md\n%q", promises, held)
	}
	there := map[string]bool{}
	err := filepath.WalkDir(filepath.Join("..", ".."), func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if strings.HasSuffix(path, ".txtar") {
			there[d.Name()] = true
		}
		if !strings.HasSuffix(path, "_test.go") {
			return nil
		}
		data, err := os.ReadFile(path)
		for _, m := range regexp.MustCompile(`(?m)^func (Test\w+)\(t \*testing\.T\)`).FindAllSubmatch(data, -1) {
			there[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range tests {
		names := regexp.MustCompile(`\bTest[A-Z]\w+|\w+\.txtar`).FindAllString(line, -1)
		if len(names) == 0 {
			t.Errorf("promise %d names no test", i+1)
		}
		for _, name := range names {
			if !there[name] {
				t.Errorf("promise %d names %s, which is not there", i+1, name)
			}
		}
	}
}

// "Nothing is sent anywhere": no code of ours asks another computer. What is
// served is served by render/guard alone, to this one and to whom it lets in.
func TestNothingIsSent(t *testing.T) {
	calls := map[string][]string{
		"net/http":   {"Get", "Head", "Post", "PostForm", "NewRequest", "NewRequestWithContext", "DefaultClient", "DefaultTransport", "Client", "Transport"},
		"net":        {"Dial", "DialTimeout", "Dialer", "DialTCP", "DialUDP", "DialIP", "DialUnix", "LookupHost", "LookupIP", "LookupAddr", "LookupTXT", "Resolver", "DefaultResolver"},
		"crypto/tls": {"Dial", "DialWithDialer", "Dialer"},
	}
	listens := []string{"Listen", "ListenAndServe", "ListenAndServeTLS", "ListenTCP", "ListenPacket", "ListenConfig"}
	files, served := 0, 0
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files++
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		names := map[string]string{} // of the imports that can reach out, as they are called here
		for _, i := range f.Imports {
			from, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			if calls[from] == nil {
				continue
			}
			name := from[strings.LastIndex(from, "/")+1:]
			if i.Name != nil {
				name = i.Name.Name
			}
			if name == "." || name == "_" {
				t.Errorf("%s imports %s as %s", path, from, name)
			}
			names[name] = from
		}
		guarded := filepath.Base(filepath.Dir(path)) == "guard"
		ast.Inspect(f, func(n ast.Node) bool {
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			x, ok := s.X.(*ast.Ident)
			if !ok || names[x.Name] == "" {
				return true
			}
			switch name := s.Sel.Name; {
			case slices.Contains(calls[names[x.Name]], name):
				t.Errorf("%s: %s.%s reaches another computer", path, x.Name, name)
			case slices.Contains(listens, name) && !guarded:
				t.Errorf("%s: %s.%s serves beside render/guard", path, x.Name, name)
			case slices.Contains(listens, name):
				served++
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 100 || served == 0 {
		t.Errorf("%d files looked at, %d of them serve", files, served)
	}
}

// growCommand adds bytes to the one file a pattern finds, as a writer does that
// still holds it open: grow PATTERN FROM.
func growCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: grow PATTERN FROM")
	}
	found, err := filepath.Glob(ts.MkAbs(args[0]))
	ts.Check(err)
	if len(found) != 1 {
		ts.Fatalf("%s finds %v", args[0], found)
	}
	f, err := os.OpenFile(found[0], os.O_APPEND|os.O_WRONLY, 0)
	ts.Check(err)
	_, err = f.WriteString(ts.ReadFile(args[1]))
	ts.Check(err)
	ts.Check(f.Close())
}

// oldCommand makes a file as old as what a crash left behind: old FILE.
func oldCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: old FILE")
	}
	then := time.Now().Add(-2 * time.Hour)
	ts.Check(os.Chtimes(ts.MkAbs(args[0]), then, then))
}

// grownCommand holds that files were only added to since they were copied: grown
// OLD PATTERN. With ! it holds that nothing was added, either. Together the files
// that the pattern finds, in their order, are what OLD is; where OLD is not there,
// they are copied to it.
func grownCommand(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: [!] grown OLD PATTERN")
	}
	found, err := filepath.Glob(ts.MkAbs(args[1]))
	ts.Check(err)
	var now bytes.Buffer
	for _, path := range found {
		data, err := os.ReadFile(path)
		ts.Check(err)
		now.Write(data)
	}
	if now.Len() == 0 {
		ts.Fatalf("%s finds nothing", args[1])
	}
	old, err := os.ReadFile(ts.MkAbs(args[0]))
	switch {
	case os.IsNotExist(err):
	case err != nil:
		ts.Check(err)
	case !bytes.HasPrefix(now.Bytes(), old):
		ts.Fatalf("%s was changed, not added to:\n%s\nwas\n%s", args[1], now.Bytes(), old)
	case neg && now.Len() > len(old):
		ts.Fatalf("added to %s: %s", args[1], now.Bytes()[len(old):])
	case !neg && now.Len() == len(old):
		ts.Fatalf("nothing was added to %s", args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), now.Bytes(), 0o644))
}

// nowhereCommand holds that no file below a folder, of whatever kind, holds what
// matches: nowhere DIR PATTERN. With ! one does.
func nowhereCommand(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: [!] nowhere DIR PATTERN")
	}
	pattern := regexp.MustCompile(args[1])
	files, seen := 0, false
	ts.Check(filepath.WalkDir(ts.MkAbs(args[0]), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		files++
		data, err := os.ReadFile(path)
		if at := pattern.FindIndex(data); at != nil {
			seen = true
			if !neg {
				ts.Fatalf("%s holds …%q…", path, data[max(0, at[0]-60):min(len(data), at[1]+60)])
			}
		}
		return err
	}))
	if files == 0 || neg && !seen {
		ts.Fatalf("none of %d files holds it", files)
	}
}

// eveningsCommand works half an hour on each of the evenings from a day on: evenings
// BUILD DAY N,N,… with so many parts done, measured by the timer.
func eveningsCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: evenings BUILD DAY N,N,…")
	}
	day, err := time.Parse(time.DateOnly, args[1])
	ts.Check(err)
	for i, parts := range strings.Split(args[2], ",") {
		begin := day.AddDate(0, 0, i).Add(19 * time.Hour)
		for _, said := range []struct {
			at   time.Time
			args []string
		}{{begin, []string{"on", args[0], "clean"}}, {begin.Add(20 * time.Minute), []string{"done", parts}}, {begin.Add(30 * time.Minute), []string{"off"}}} {
			ts.Setenv("RAKELIGHT_NOW", said.at.Format(time.RFC3339))
			ts.Check(ts.Exec("rakelight", said.args...))
		}
	}
}
