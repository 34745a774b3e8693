// Task lists in a text: each box is named by its words.

package render

import (
	"fmt"
	"html/template"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"
)

// taskRenderer shows the box of a task with its words as its name: a box without a
// label says nothing to who hears the page.
type taskRenderer struct{}

func (taskRenderer) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(east.KindTaskCheckBox, showTask)
}

func showTask(w util.BufWriter, src []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering {
		return ast.WalkContinue, nil
	}
	checked := ""
	if n.(*east.TaskCheckBox).IsChecked {
		checked = " checked"
	}
	words := strings.Join(strings.Fields(plainText(n.Parent(), src)), " ")
	if words == "" {
		words = "task"
	}
	_, err := fmt.Fprintf(w, `<input type="checkbox" disabled%s aria-label="%s"> `, checked,
		template.HTMLEscapeString(words))
	return ast.WalkContinue, err
}
