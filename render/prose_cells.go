// Cells of tables in a text: their alignment by classes.

package render

import (
	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
)

// cellClasses gives the cells of a table the class of their alignment: the attribute
// for it is obsolete, and a style in the page needs a host that allows it.
type cellClasses struct{}

func (cellClasses) Transform(doc *ast.Document, _ text.Reader, _ parser.Context) {
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if cell, ok := n.(*extast.TableCell); ok && entering && cell.Alignment != extast.AlignNone {
			cell.SetAttributeString("class", []byte("to-"+cell.Alignment.String()))
		}
		return ast.WalkContinue, nil
	})
}
