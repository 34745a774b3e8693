// The person's Markdown as HTML: GitHub's flavor with raw HTML off, photos and
// links resolved within the journal.

package render

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// maxText bounds a text: the parser's time grows with the square of hostile
// input.
const maxText = 256 << 10

// texts turns the Markdown of one page into HTML. It is the one place where
// markup is trusted.
type texts struct {
	v     *view
	embed *template.Template // shows a Picture inside a text
	plate *template.Template // shows a Plate between two paragraphs
	bare  bool               // no digits to type stand under the photos
	asked map[string]bool    // where the links and pictures of the texts lead, as written
}

func (v *view) texts() *texts {
	return &texts{v: v, asked: map[string]bool{}, embed: v.templates().Lookup("embed"),
		plate: v.templates().Lookup("plate")}
}

// around is where a text stands.
type around struct {
	root   string // leads back to the top of the pages
	prefix string // begins every id in it, so that the texts of a page do not share ids
	below  int    // the level of the heading it stands under
	build  *build // whose text it is, nil = nobody's: whose parts it names
}

// rendered is a text as markup, with what could not be shown as written.
type rendered struct {
	html     template.HTML
	warnings []string
}

// render turns a text into markup for its place.
func (t *texts) render(source string, at around) rendered {
	r := t.markup(source, at)
	if !t.v.mine() {
		r.warnings = nil // what to mend is the builder's affair
	}
	return r
}

func (t *texts) markup(source string, at around) rendered {
	if strings.TrimSpace(source) == "" {
		return rendered{}
	}
	if len(source) > maxText {
		if !t.v.mine() {
			return rendered{}
		}
		return rendered{warnings: []string{fmt.Sprintf("This text has %d KB and is not shown; a text of up to %d KB is.",
			len(source)>>10, maxText>>10)}}
	}
	places := &places{texts: t, around: at}
	md := goldmark.New(
		goldmark.WithExtensions(
			extension.NewTable(extension.WithTableCellAlignMethod(extension.TableCellAlignNone)), // see cellClasses
			extension.Strikethrough, extension.Linkify, extension.TaskList,
			extension.NewFootnote(extension.WithFootnoteIDPrefix(at.prefix)),
		),
		goldmark.WithParserOptions(parser.WithAutoHeadingID(), parser.WithASTTransformers(
			util.Prioritized(places, 900), util.Prioritized(lowerHeadings{at.below}, 901),
			util.Prioritized(cellClasses{}, 902))),
		goldmark.WithRendererOptions(renderer.WithNodeRenderers(
			util.Prioritized(&embedRenderer{t.embed, t.plate}, 100), util.Prioritized(taskRenderer{}, 100),
			util.Prioritized(tableRenderer{t.v.Say("Table")}, 100))),
	)
	var b bytes.Buffer
	ids := newHeadingIDs(at.prefix)
	if err := md.Convert([]byte(source), &b, parser.WithContext(parser.NewContext(parser.WithIDs(ids)))); err != nil {
		if !t.v.mine() {
			return rendered{}
		}
		return rendered{warnings: []string{"This text could not be shown: " + err.Error()}}
	}
	// Safe: goldmark without WithUnsafe escapes raw HTML and drops dangerous
	// addresses; photos in it come from an html/template.
	out := rendered{html: template.HTML(b.String())}
	if t.v.mine() {
		out.warnings = places.warnings
	}
	return out
}

// excerpt is the first paragraph of a text, without markup.
func (t *texts) excerpt(source string) string {
	const most = 400
	if len(source) > maxText {
		return ""
	}
	src := []byte(source)
	doc := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(text.NewReader(src))
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		if n.Kind() != ast.KindParagraph {
			continue
		}
		words := strings.Join(strings.Fields(plainText(n, src)), " ")
		if words == "" {
			continue // a photo alone
		}
		if r := []rune(words); len(r) > most {
			words = string(r[:most])
			if i := strings.LastIndexByte(words, ' '); i > 0 {
				words = words[:i] // whole words
			}
			words = strings.TrimRight(words, " ,;") + " …"
		}
		return words
	}
	return ""
}

// plainText is what a node says, pictures left out.
func plainText(n ast.Node, src []byte) string {
	var b strings.Builder
	// The walker returns no error of its own, and the function none either.
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Image:
			return ast.WalkSkipChildren, nil
		case *ast.Text:
			b.Write(n.Segment.Value(src))
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

// plainBlocks is what a text says, block after block.
func plainBlocks(source string) string {
	src := []byte(source)
	doc := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(text.NewReader(src))
	var blocks []string
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering && n.FirstChild() != nil && n.FirstChild().Type() == ast.TypeInline {
			blocks = append(blocks, strings.Fields(plainText(n, src))...)
			return ast.WalkSkipChildren, nil
		}
		return ast.WalkContinue, nil
	})
	return strings.Join(blocks, " ")
}

// lowerHeadings puts the headings of a text directly below the heading it stands
// under, and leaves no level out, whatever levels were typed: an outline with gaps
// is hard to walk through by ear.
type lowerHeadings struct{ below int }

func (l lowerHeadings) Transform(doc *ast.Document, _ text.Reader, _ parser.Context) {
	var above []int // levels, as typed, of the headings that the next may stand under
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if h, ok := n.(*ast.Heading); ok && entering {
			for len(above) > 0 && above[len(above)-1] >= h.Level {
				above = above[:len(above)-1]
			}
			above = append(above, h.Level)
			h.Level = min(6, l.below+len(above))
		}
		return ast.WalkContinue, nil
	})
}
