// What code, templates and scripts say, and what the word files have of it.

package render

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"text/template/parse"

	xplural "golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"rakelight/journal/say"
	"rakelight/site"
)

const sayPath = "rakelight/journal/say"

// ourTypes checks the types of our own packages alone: what is of others is taken as
// unknown, which no key is.
type ourTypes struct {
	fset  *token.FileSet
	known map[string]*types.Package
	keys  map[say.Key]string // where each is said
}

func (o *ourTypes) Import(name string) (*types.Package, error) {
	if p := o.known[name]; p != nil {
		return p, nil
	}
	folder, ours := strings.CutPrefix(name, "rakelight/")
	if !ours {
		p := types.NewPackage(name, path.Base(name))
		p.MarkComplete()
		o.known[name] = p
		return p, nil
	}
	return o.check(name, filepath.Join("..", filepath.FromSlash(folder)))
}

func (o *ourTypes) check(name, folder string) (*types.Package, error) {
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, err
	}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(o.fset, name, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	conf := types.Config{Importer: o, Error: func(error) {}}
	p, _ := conf.Check(name, o.fset, files, info)
	o.known[name] = p
	for expr, is := range info.Types {
		named, ok := is.Type.(*types.Named)
		if !ok || is.Value == nil || is.Value.Kind() != constant.String || named.Obj().Pkg() == nil ||
			named.Obj().Pkg().Path() != sayPath {
			continue
		}
		words := constant.StringVal(is.Value)
		if words == "" {
			continue
		}
		where := o.fset.Position(expr.Pos()).String()
		switch named.Obj().Name() {
		case "Key":
			if !strings.HasSuffix(name, "/say") || !strings.HasPrefix(words, "%d ") { // a part of Count.Key
				o.keys[say.Key(words)] = where
			}
		case "Noun":
			o.keys[say.Count{Noun: say.Noun(words)}.Key()] = where
		}
	}
	return p, nil
}

// allKeys are the keys of the whole program, with a place where each is said.
var allKeys = sync.OnceValues(func() (map[say.Key]string, error) {
	o := &ourTypes{fset: token.NewFileSet(), known: map[string]*types.Package{}, keys: map[say.Key]string{}}
	if _, err := o.check("rakelight/render", "."); err != nil {
		return nil, err
	}
	return o.keys, keysOfTemplates(o.keys)
})

// served are the folders of pages that are served to the builder alone.
var served = []string{"bench", "start", "past"}

func keysOfTemplates(keys map[say.Key]string) error {
	return fs.WalkDir(site.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".html" || slices.Contains(served, path.Dir(name)) {
			return err
		}
		data, err := fs.ReadFile(site.Files, name)
		if err != nil {
			return err
		}
		trees := map[string]*parse.Tree{}
		t := parse.New(name)
		t.Mode = parse.SkipFuncCheck
		if _, err := t.Parse(string(data), "", "", trees); err != nil {
			return err
		}
		for _, tree := range trees {
			if tree.Root != nil {
				keysOfNode(tree.Root, name, keys)
			}
		}
		return nil
	})
}

// keysOfNode finds the calls of say, markup and count below a node.
func keysOfNode(n parse.Node, name string, keys map[say.Key]string) {
	list := func(l *parse.ListNode) {
		if l != nil {
			keysOfNode(l, name, keys)
		}
	}
	branch := func(b *parse.BranchNode) {
		keysOfNode(b.Pipe, name, keys)
		list(b.List)
		list(b.ElseList)
	}
	switch n := n.(type) {
	case *parse.ListNode:
		for _, one := range n.Nodes {
			keysOfNode(one, name, keys)
		}
	case *parse.ActionNode:
		keysOfNode(n.Pipe, name, keys)
	case *parse.TemplateNode:
		if n.Pipe != nil {
			keysOfNode(n.Pipe, name, keys)
		}
	case *parse.IfNode:
		branch(&n.BranchNode)
	case *parse.RangeNode:
		branch(&n.BranchNode)
	case *parse.WithNode:
		branch(&n.BranchNode)
	case *parse.PipeNode:
		for _, c := range n.Cmds {
			keysOfNode(c, name, keys)
		}
	case *parse.CommandNode:
		at := 0
		switch fmt.Sprint(n.Args[0]) {
		case "say", "markup":
			at = 1
		case "count":
			at = 2
		}
		if at > 0 && at < len(n.Args) {
			if s, ok := n.Args[at].(*parse.StringNode); ok {
				key := say.Key(s.Text)
				if at == 2 {
					key = say.Count{Noun: say.Noun(s.Text)}.Key()
				}
				keys[key] = name
			}
		}
		for _, arg := range n.Args {
			keysOfNode(arg, name, keys)
		}
	}
}

func wordFile(t *testing.T, name string) *say.File {
	t.Helper()
	data, err := fs.ReadFile(site.Files, "words/"+name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := say.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Every language has words for each key, none for others, with the same placeholders in
// every plural form there is in it.
func TestEveryKeyHasWords(t *testing.T) {
	keys, err := allKeys()
	if err != nil {
		t.Fatal(err)
	}
	if len(keys) < 100 {
		t.Fatalf("only %d keys found", len(keys))
	}
	for _, tag := range say.Languages() {
		f := wordFile(t, tag+".toml")
		forms := pluralForms(f.Tag)
		for key, where := range keys {
			texts, ok := f.Texts(key)
			if !ok && tag != "en" {
				t.Errorf("%s has no words for %q (%s)", tag, key, where)
			}
			for form, text := range texts {
				if got, want := placeholders(text), placeholders(key.English()); !slices.Equal(got, want) &&
					(form == xplural.Other || len(want) > 1 || len(got) > 0) { // "the session", of one, has no number
					t.Errorf("%s: %q, form %v: %q holds %v, not %v", tag, key, form, text, got, want)
				}
			}
			if len(texts) > 1 {
				for _, form := range forms {
					if texts[form] == "" {
						t.Errorf("%s: %q has no form %v", tag, key, form)
					}
				}
			}
		}
		for key := range f.Words {
			if keys[key] == "" {
				t.Errorf("%s has words for %q, which nothing says", tag, key)
			}
		}
	}
}

// pluralForms are the forms that numbers take in a language.
func pluralForms(tag language.Tag) (forms []xplural.Form) {
	see := func(f xplural.Form) {
		if !slices.Contains(forms, f) {
			forms = append(forms, f)
		}
	}
	for n := range 1000 {
		see(xplural.Cardinal.MatchPlural(tag, n, 0, 0, 0, 0))
		see(xplural.Cardinal.MatchPlural(tag, n%10, 1, 1, n%9+1, n%9+1))
	}
	return forms
}

var placeholder = regexp.MustCompile(`%(?:\[(\d+)\])?([-+#0]*[\d.]*[a-zA-Z%])`)

// placeholders are those of a format, each with the argument it is for.
func placeholders(format string) (all []string) {
	next := 1
	for _, m := range placeholder.FindAllStringSubmatch(format, -1) {
		if m[2] == "%" {
			continue
		}
		if m[1] != "" {
			fmt.Sscan(m[1], &next)
		}
		all = append(all, fmt.Sprintf("%d%s", next, m[2]))
		next++
	}
	slices.Sort(all)
	return all
}

var countedInScript = regexp.MustCompile(`\bsay\.count\([^;]*?, "(\w+)"\)`)

var saidInScript = regexp.MustCompile(`\bsay\("((?:[^"\\]|\\.)*)"`)

// What a script says is on the list of its pages, and all that is on it is said.
func TestScriptsSayWhatIsListed(t *testing.T) {
	said := map[say.Key]bool{}
	scripts, err := filepath.Glob("../site/*/*.js")
	if err != nil || len(scripts) == 0 {
		t.Fatal("no scripts", err)
	}
	for _, name := range scripts {
		if strings.Contains(name, "/bench/") || strings.Contains(name, "/past/") {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range saidInScript.FindAllStringSubmatch(string(data), -1) {
			said[say.Key(m[1])] = true
		}
		for _, m := range countedInScript.FindAllStringSubmatch(string(data), -1) {
			said[say.Count{Noun: say.Noun(m[1])}.Key()] = true
		}
	}
	listed := map[say.Key]bool{}
	for class := range saidByScripts {
		keys := slices.Clone(saidByScripts[class])
		for _, noun := range countedByScripts[class] {
			keys = append(keys, say.Count{Noun: noun}.Key())
		}
		for _, key := range keys {
			listed[key] = true
			if !said[key] {
				t.Errorf("no script says %q, which is listed for %q", key, class)
			}
		}
	}
	for key := range said {
		if !listed[key] {
			t.Errorf("a script says %q, which is not listed", key)
		}
	}
}
