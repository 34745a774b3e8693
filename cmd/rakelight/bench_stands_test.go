// Tests in a real browser of where a build stands, of what holds its parts, and of what
// is said of groups of parts and of supplies beside the mat.

package main

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"rakelight/journal/wording"
)

// at goes to a page of the mat.
func (p *phone) at(page string) {
	p.t.Helper()
	here := p.eval(`location.origin`)
	p.do(chromedp.Navigate(here + "/bench/" + page))
}

func TestWhereItStandsBesideTheMat(t *testing.T) {
	_, p := openedAfter(t, "3h ago: hold curing A3 --build pilot-boat --of filler", "3h ago: hold masked A4 --build pilot-boat",
		"3h ago: hold unglued A5 --build pilot-boat")
	p.at("back?build=pilot-boat")
	p.see("Go on with " + wording.KindName("cut") + ".")
	for _, over := range []string{"Cured", "Masks off", "Glued"} {
		p.tap(over)
		holds(p, `!Array.from(document.querySelectorAll("main button")).some(b => b.innerText === "`+over+`")`)
	}
	p.at("pause?build=pilot-boat")
	p.see("Why do you stop?")
	p.write("#why", "the show")
	p.write("#next", "mask the hull")
	p.tap("Put it aside")
	p.see("Take up Pilot boat")
	p.at("back?build=pilot-boat")
	p.see("What comes next: mask the hull")
	if text := p.eval(`document.body.innerText`); strings.Contains(text, "Go on with") {
		t.Errorf("beside what was said to come next it says: %q", text)
	}
}
