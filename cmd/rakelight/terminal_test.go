// Tests of what reaches a terminal, whoever wrote the names in it.

package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"image"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/scene"
)

// odd is a name that colors, turns, and begins a line of its own.
const odd = "x\x1b[31m\u202e\rrakelight: hint: y\n rakelight: hint: z\u2028"

func TestPrintedValuesStayOnTheirLine(t *testing.T) {
	var out, errw bytes.Buffer
	a := &app{out: &out, err: &errw}
	a.printf("%s|%v|%q|%5d|%-4s|%*d|%.1f\n", odd, fmt.Errorf("bad: %s", odd), "q", 7, "a", 3, 1, 2.5)
	a.println(odd)
	a.say(fmt.Errorf("bad: %s", odd), "hint: "+odd)
	shown := `x\x1b[31m\u202e\rrakelight: hint: y\n rakelight: hint: z\u2028`
	if want := shown + "|bad: " + shown + `|"q"|    7|a   |  1|2.5` + "\n" + shown + "\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
	if want := "rakelight: bad: " + shown + "\nrakelight: hint: hint: " + shown + "\n"; errw.String() != want {
		t.Errorf("%q, want %q", errw.String(), want)
	}
}

// What is cut in the middle of a letter is shown whole all the same.
func TestShownLines(t *testing.T) {
	var out bytes.Buffer
	w := &shownLines{w: &out}
	for _, c := range []byte("ä,\u202e\x1b\n日\n") {
		if _, err := w.Write([]byte{c}); err != nil {
			t.Fatal(err)
		}
	}
	if want := "ä," + `\u202e\x1b` + "\n日\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

// Every command that names things, on a journal whose names were all given by
// somebody with a mind to mislead.
func TestNoCommandPrintsWhatATerminalObeys(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no file can have such a name")
	}
	dir := filepath.Join(t.TempDir(), "bench")
	at := time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)
	do := func(args ...string) string {
		t.Helper()
		var out, errw bytes.Buffer
		run(context.Background(), append([]string{"--journal", dir}, args...), &out, &errw, func() time.Time { return at })
		for name, text := range map[string]string{"out": out.String(), "err": errw.String()} {
			for line := range strings.Lines(text) {
				if line = strings.TrimSuffix(line, "\n"); journal.Shown(line) != line {
					t.Errorf("%q: %s: %q", args, name, line)
				}
				if strings.HasPrefix(strings.TrimSpace(line), "rakelight: hint: z") || name == "err" && !strings.HasPrefix(line, "rakelight: ") {
					t.Errorf("%q: %s: a line of somebody else's: %q", args, name, line)
				}
			}
		}
		return out.String() + errw.String()
	}
	put := func(path, text string) {
		t.Helper()
		path = filepath.Join(dir, path)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	must := func(said, words string) {
		t.Helper()
		if !strings.Contains(said, words) {
			t.Errorf("%q is missing in\n%s", words, said)
		}
	}
	must(do("new", dir, "--zone", "UTC"), "made the journal")
	build := "x\x1b[31m\u202e\n rakelight: hint: z"
	put("builds/"+build+"/build.md", "---\ntitle: "+strconv.Quote(odd)+"\nrunners:\n  - {letter: A, parts: 9, class: "+strconv.Quote(odd)+"}\nstages: [{name: "+strconv.Quote(odd)+", kind: clean}, "+strconv.Quote(odd)+"]\n---\n")
	put("inbox/"+build+"/\x1b[1m.txt", "no picture")
	put("inbox/\x1b[1m\n.jpg", "no picture")
	photo := filepath.Join(dir, "inbox", build, "y\u202e\x1b.jpg")
	drawPhoto(t, photo, at.Add(-time.Hour))
	put("records/"+"d\x1b[1m\u202e/2026-03.jsonl", "{\"at\":\"2026-03-14T19:32:05Z\",\"torn\x1b[31m\n")
	do("on", build, "clean", "--tool", odd, "--class", odd)
	do("done", "1")
	must(do("status"), "running: clean on x")
	at = at.Add(20 * time.Minute)
	must(do("off"), "20 min at the bench")
	must(do("take"), "1 photo taken in, 2 files left")
	must(do("check", "--photos"), "whose place is a guess (1)")
	must(do("check"), "1 damage found")
	must(do("why", "y\u202e\x1b.jpg"), "camera   x")
	do("why", odd)
	do("tag", "y\u202e\x1b.jpg", odd)
	do("cards", "--say", "y\u202e\x1b.jpg", odd)
	do("cards", "--said")
	do("cards", "--out", filepath.Join(dir, "no such\n folder\x1b", "a.html"))
	do("mistake", build, odd, "--what", odd, "--why", odd)
	do("mistake", build, odd)
	do("mistake")
	do("trial", "begin", odd, "--tool", odd)
	do("trial", "begin", odd)
	do("trial")
	do("tool")
	do("pause", build, "--why", odd, "--next", odd, "--waiting", odd)
	do("status")
	do("resume", build)
	do("worked", build, "clean", "40 min yesterday", "--parts", odd)
	do("pace")
	do("pace", "--by", "tool")
	do("hours")
	do("forecast")
	do("skill", "--judge", odd)
	do("judge", "--take", filepath.Join(dir, "inbox", "\x1b[1m\n.jpg"))
	do("judge", "--judge", odd, "--mine")
	do("clock")
	do("write")
	do(odd)
	do("--" + odd)
	do("status", "--"+odd)
}

// drawPhoto writes a photo by a camera of an odd name.
func drawPhoto(t *testing.T, path string, at time.Time) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	err = scene.WriteJPEG(f, image.NewRGBA(image.Rect(0, 0, 64, 48)), scene.Exif{Make: "x\x1b[31m", Model: odd, At: at})
	if err := errors.Join(err, f.Close()); err != nil {
		t.Fatal(err)
	}
}

// Nothing in this package writes to the terminal past terminal.go.
func TestAllIsPrintedInOnePlace(t *testing.T) {
	past := regexp.MustCompile(`fmt\.Fprint(f|ln)?\((a\.out|a\.err|out|errw|t|w),|os\.Std(out|err)\.Write|fmt\.Print`)
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") || name == "terminal.go" {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(data), "\n") {
			if past.MatchString(line) {
				t.Errorf("%s:%d: %s", name, i+1, strings.TrimSpace(line))
			}
		}
	}
}

// A command that is proposed with a value in it is made by journal.Typed, which
// quotes the value.
func TestProposedCommandsAreQuoted(t *testing.T) {
	bare := regexp.MustCompile(`\brakelight [a-z][^;,()]*%[sqvd]`) // of a format
	open := regexp.MustCompile(`\brakelight [a-z][^;,():]*\s["']?$`)
	fset := token.NewFileSet()
	files := 0
	err := filepath.WalkDir(filepath.Join("..", ".."), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(fset, path, nil, 0)
		if err != nil {
			return err
		}
		files++
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.CallExpr:
				switch f := n.Fun.(type) {
				case *ast.Ident:
					return f.Name != "Typed"
				case *ast.SelectorExpr:
					return f.Sel.Name != "Typed"
				}
			case *ast.BinaryExpr:
				if text, ok := literal(n.X); ok && n.Op == token.ADD && open.MatchString(text) {
					t.Errorf("%s: %q + a value", fset.Position(n.Pos()), text)
				}
			case *ast.BasicLit:
				if text, ok := literal(n); ok && bare.MatchString(text) {
					t.Errorf("%s: %q", fset.Position(n.Pos()), text)
				}
			}
			return true
		})
		return nil
	})
	if err != nil || files < 100 {
		t.Fatal(files, err)
	}
}

// literal is the text of a string literal, or of the last one of a sum.
func literal(e ast.Expr) (string, bool) {
	if sum, ok := e.(*ast.BinaryExpr); ok {
		e = sum.Y
	}
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}
