// Photos in a text: ![words](1f3a9c04) shows the photo of this journal that
// has this short name or file name, ![words](1f3a9c04+77aa0011) two of them beside
// each other. A photo that has a paragraph to itself stands between the paragraphs,
// and three or more that share one are a strip. Anything else is shown as words with a
// warning, so that no page asks another place for a picture.

package render

import (
	"fmt"
	"html/template"
	"net/url"
	"path"
	"regexp"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"rakelight/journal"
)

// embedKind is the kind of node a photo inside a paragraph becomes, plateKind that
// of photos between two paragraphs.
var (
	embedKind = ast.NewNodeKind("Photo")
	plateKind = ast.NewNodeKind("Plate")
)

type embedNode struct {
	ast.BaseInline
	pic   Picture
	photo *journal.Photo
	words string
}

func (n *embedNode) Kind() ast.NodeKind { return embedKind }

func (n *embedNode) Dump(src []byte, level int) {
	ast.DumpHelper(n, src, level, map[string]string{"photo": n.pic.Short}, nil)
}

// pairNode is two photos beside each other, inside a paragraph until it is known
// whether they share it with words.
type pairNode struct {
	ast.BaseInline
	two Plate
}

func (n *pairNode) Kind() ast.NodeKind { return plateKind }

func (n *pairNode) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

type plateNode struct {
	ast.BaseBlock
	plate Plate
}

func (n *plateNode) Kind() ast.NodeKind { return plateKind }

func (n *plateNode) Dump(src []byte, level int) { ast.DumpHelper(n, src, level, nil, nil) }

// places resolves the photos and the links of one text.
type places struct {
	*texts
	around
	warnings []string
}

func (p *places) Transform(doc *ast.Document, reader text.Reader, _ parser.Context) {
	var images []*ast.Image
	var links []*ast.Link
	var paragraphs []ast.Node
	// Changing the tree while walking it would lose nodes: first find, then change.
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *ast.Image:
				images = append(images, n)
			case *ast.Link:
				links = append(links, n)
			case *ast.Paragraph:
				paragraphs = append(paragraphs, n)
			}
		}
		return ast.WalkContinue, nil
	})
	for _, n := range links {
		dest := string(n.Destination)
		p.ask(dest, p.build)
		if to, ok := p.linkTarget(dest, p.root, p.build); ok {
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
	for _, n := range paragraphs {
		p.between(n, reader.Source())
	}
}

// ask notes where a text leads. A part is of the build whose text it is.
func (t *texts) ask(dest string, b *build) {
	if b != nil && strings.HasPrefix(strings.ToLower(dest), "part:") {
		t.asked[dest+"\x00"+b.ID] = true
		return
	}
	t.asked[dest] = true
}

// askedOf is what was noted: the address as written, and the build whose text asks.
func (t *texts) askedOf(asked string) (dest string, b *build) {
	dest, id, _ := strings.Cut(asked, "\x00")
	return dest, t.v.builds[id]
}

func (p *places) image(n *ast.Image, src []byte) {
	words := bracketText(n, src)
	var photos []*journal.Photo
	for _, name := range pairNames(string(n.Destination)) {
		p.ask(name, nil)
		photo := p.photo(name)
		if photo == nil {
			p.unknown(n, words, name)
			return
		}
		photos = append(photos, photo)
	}
	if len(photos) == 2 {
		two := Plate{Kind: "pair", Words: joinWords(" ", words, string(n.Title)),
			Pics: []Picture{p.shownAs(photos[0], asHalf), p.shownAs(photos[1], asHalf)}}
		n.Parent().ReplaceChild(n.Parent(), n, &pairNode{two: two})
		return
	}
	pic := p.shownAs(photos[0], asDetail)
	if words != "" {
		pic.Alt = words
	}
	if len(n.Title) > 0 {
		pic.Caption = string(n.Title)
	}
	n.Parent().ReplaceChild(n.Parent(), n, &embedNode{pic: pic, photo: photos[0], words: words})
}

func (p *places) shownAs(photo *journal.Photo, sizes string) Picture {
	pic := p.v.shownAs(p.root, photo, sizes)
	if p.bare {
		pic.Short = ""
	}
	return pic
}

// unknown leaves the words of a picture that cannot be shown. The builder sees what
// was meant.
func (p *places) unknown(n *ast.Image, words, name string) {
	p.warnings = append(p.warnings,
		fmt.Sprintf("%q is not a photo of this journal; name one by the first eight digits of its name or by its file name.",
			name))
	if p.v.mine() && !p.bare {
		words = "[no photo: " + joinWords(", ", words, path.Base(name)) + "]"
	}
	n.Parent().ReplaceChild(n.Parent(), n, ast.NewString([]byte(words)))
}

// pairNames are the names of the two photos of a pair, or the one name. Digits alone
// are read so: a file may be called "a+b.jpg".
func pairNames(dest string) []string {
	for _, sep := range []string{"+", ".."} {
		a, b, two := strings.Cut(dest, sep)
		if two && isDigits(a) && isDigits(b) {
			return []string{a, b}
		}
	}
	return []string{dest}
}

// isDigits reports whether a name is the first digits of a photo's, at least four.
func isDigits(name string) bool {
	return len(name) >= 4 && len(name) <= 64 && strings.Trim(strings.ToLower(name), "0123456789abcdef") == ""
}

// between takes a paragraph of nothing but photos out of the column: one or two stand
// alone, more are a strip.
func (p *places) between(n ast.Node, src []byte) {
	var single []*embedNode
	var plates []Plate
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *embedNode:
			single = append(single, c)
		case *pairNode:
			plates = append(plates, c.two)
		case *ast.Text:
			if strings.TrimSpace(string(c.Segment.Value(src))) != "" {
				return
			}
		default:
			return
		}
	}
	if len(single)+len(plates) == 0 || n.Parent() == nil || n.Parent().Kind() == ast.KindListItem {
		return
	}
	plates = append(plates, grouped(single)...)
	parent := n.Parent()
	for _, one := range plates {
		parent.InsertBefore(parent, n, &plateNode{plate: one})
	}
	parent.RemoveChild(parent, n)
}

// grouped are photos that share a paragraph: a strip of three or more, else each by
// itself.
func grouped(single []*embedNode) []Plate {
	if len(single) < 3 {
		var out []Plate
		for _, one := range single {
			out = append(out, Plate{Kind: "single", Pics: []Picture{one.pic}})
		}
		return out
	}
	strip := Plate{Kind: "strip"}
	for _, one := range single {
		one.pic.Sizes = asThird
		strip.Pics = append(strip.Pics, one.pic)
	}
	return []Plate{strip}
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

// imageOf finds the addresses of the images of a text without reading its structure:
// an image that stands in a code block is taken for one too, which does no harm to
// what asks.
var imageOf = regexp.MustCompile(`!\[[^\]]*\]\(<?([^)>\s]+)`)

// inWords are the hashes of the photos that the words of some days show.
func (v *view) inWords(days ...*benchDay) map[string]bool {
	t, found := v.texts(), map[string]bool{}
	for _, d := range days {
		for _, one := range d.words {
			for _, m := range imageOf.FindAllStringSubmatch(one.Body, -1) {
				for _, name := range pairNames(m[1]) {
					if p := t.photo(name); p != nil {
						found[p.Hash] = true
					}
				}
			}
		}
	}
	return found
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

type embedRenderer struct{ embed, plate *template.Template }

func (r *embedRenderer) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	by := func(show func(w util.BufWriter, n ast.Node) error) renderer.NodeRendererFunc {
		return func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
			if entering {
				if err := show(w, n); err != nil {
					return ast.WalkStop, err
				}
			}
			return ast.WalkSkipChildren, nil
		}
	}
	reg.Register(embedKind, by(func(w util.BufWriter, n ast.Node) error {
		return r.embed.Execute(w, n.(*embedNode).pic)
	}))
	reg.Register(plateKind, by(func(w util.BufWriter, n ast.Node) error {
		if two, ok := n.(*pairNode); ok { // among words: no figure may stand in a paragraph
			for _, pic := range two.two.Pics {
				if err := r.embed.Execute(w, pic); err != nil {
					return err
				}
			}
			return nil
		}
		return r.plate.Execute(w, n.(*plateNode).plate)
	}))
}
