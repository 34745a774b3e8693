// Photos in a text: ![words](1f3a9c04) shows the photo of this journal that
// has this short name or file name. Anything else is shown as text with a
// warning, so that no page asks another place for a picture.

package render

import (
	"fmt"
	"html/template"
	"net/url"
	"path"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"rakelight/journal"
)

// embedKind is the kind of node a photo becomes.
var embedKind = ast.NewNodeKind("Photo")

type embedNode struct {
	ast.BaseInline
	pic Picture
}

func (n *embedNode) Kind() ast.NodeKind { return embedKind }

func (n *embedNode) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"photo": n.pic.Short}, nil)
}

// places resolves the photos and the links of one text.
type places struct {
	*texts
	root     string
	warnings []string
}

func (p *places) Transform(doc *ast.Document, reader text.Reader, _ parser.Context) {
	var images []*ast.Image
	var links []*ast.Link
	// Changing the tree while walking it would lose nodes: first find, then change.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Image:
				images = append(images, n)
			case *ast.Link:
				links = append(links, n)
			}
		}
		return ast.WalkContinue, nil
	})
	for _, n := range links {
		dest := string(n.Destination)
		p.asked[dest] = true
		if to, ok := p.linkTarget(dest, p.root); ok {
			n.Destination = []byte(to)
			continue
		}
		p.warnings = append(p.warnings,
			fmt.Sprintf("The link to %q leads nowhere on these pages; its words stand alone.",
				dest))
		unwrap(n)
	}
	for _, n := range images {
		p.image(n, reader.Source())
	}
}

func (p *places) image(n *ast.Image, src []byte) {
	dest := string(n.Destination)
	p.asked[dest] = true
	words := bracketText(n, src)
	photo := p.photo(dest)
	if photo == nil {
		p.warnings = append(p.warnings,
			fmt.Sprintf("%q is not a photo of this journal; name one by the first eight digits of its name or by its file name.",
				dest))
		said := ast.NewString([]byte("[no photo: " + joinWords(", ", words, path.Base(dest)) + "]"))
		if !p.v.mine() { // its words alone: the name may be that of a private photo
			said = ast.NewString([]byte(words))
		}
		n.Parent().ReplaceChild(n.Parent(), n, said)
		return
	}
	pic := p.v.picture(p.root, photo, asHalf)
	pic.ID = "" // the photo's own place is in its stage
	if words != "" {
		pic.Alt = words
	}
	if len(n.Title) > 0 {
		pic.Caption = string(n.Title)
	}
	n.Parent().ReplaceChild(n.Parent(), n, &embedNode{pic: pic})
}

// bracketText is the words between an image's brackets.
func bracketText(n *ast.Image, src []byte) string {
	words := ""
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		words += plainText(c, src)
	}
	return words
}

// unwrap leaves the words of a link and takes the link away.
func unwrap(n ast.Node) {
	parent := n.Parent()
	for c := n.FirstChild(); c != nil; {
		next := c.NextSibling()
		parent.InsertBefore(parent, n, c)
		c = next
	}
	parent.RemoveChild(parent, n)
}

// photo is the one photo a text means, or nil.
func (t *texts) photo(name string) *journal.Photo {
	if plain, err := url.PathUnescape(name); err == nil {
		name = plain
	}
	found := t.v.finder().Find(name)
	if len(found) == 0 {
		found = t.v.finder().Find(path.Base(name))
	}
	if len(found) != 1 {
		return nil
	}
	return found[0]
}

type embedRenderer struct{ embed *template.Template }

func (r *embedRenderer) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(embedKind, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			if err := r.embed.Execute(w, n.(*embedNode).pic); err != nil {
				return ast.WalkStop, err
			}
		}
		return ast.WalkSkipChildren, nil
	})
}
