// Tables in a text: one that is wider than the page scrolls by itself, by keyboard too.

package render

import (
	"html/template"

	"github.com/yuin/goldmark/ast"
	tables "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// tableRenderer puts tables into a group that can be focused and has a name (WCAG 2.2,
// 2.1.1 and 4.1.2). It is no landmark: a text may hold many.
type tableRenderer struct{ name string }

func (r tableRenderer) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(tables.KindTable, func(w util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		said := "</table>\n</div>\n"
		if entering {
			name := template.HTMLEscapeString(r.name)
			said = `<div class="scrolls" role="group" aria-label="` + name + `" tabindex="0">` + "\n<table>\n"
		}
		_, err := w.WriteString(said)
		return ast.WalkContinue, err
	})
}
