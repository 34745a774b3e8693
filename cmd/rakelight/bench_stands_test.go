// Tests in a real browser of where a build stands, of what holds its parts, and of what
// is said of groups of parts and of supplies beside the mat.

package main

import (
	"fmt"
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

func TestMistakeOnAPartBesideTheMat(t *testing.T) {
	dir, p := openedAfter(t, "20m ago: on pilot-boat cut")
	p.at("words?build=pilot-boat")
	p.see("On which part?")
	p.write("#kind", "gouge")
	p.write("#on", "a5")
	p.tap("Note the mistake")
	p.see("gouge noted")
	p.at("words?build=pilot-boat&parts=A7")
	p.see("On which part?")
	p.write("#kind", "lost part")
	p.tap("Note the mistake")
	p.see("lost part noted")
	sameRecords(t, records(t, dir)[1:], []string{
		`mistake {"build":"pilot-boat","stage":"cut","kind":"gouge","parts":["A5"]}`,
		`mistake {"build":"pilot-boat","stage":"cut","kind":"lost part","parts":["A7"]}`,
	})
}

// What is ticked on one runner stays ticked while another is looked at.
func TestSubAssemblyOfTwoRunnersBesideTheMat(t *testing.T) {
	dir, p := openedAfter(t)
	p.at("sub?build=pilot-boat")
	p.see("Tap its parts")
	p.eval(`document.querySelector("[value=A5]").click()`)
	p.tap("B")
	p.eval(`document.querySelector("[value=B1]").click()`)
	p.write("#name", "cab")
	p.tap("Keep it")
	p.see("cab A5,B1")
	p.tap("Take apart: cab")
	holds(p, `!document.querySelector("main").innerText.includes("cab A5,B1")`)
	sameRecords(t, records(t, dir), []string{`sub {"build":"pilot-boat","parts":["A5","B1"],"sub":"cab"}`,
		`sub {"build":"pilot-boat","parts":["A5","B1"],"sub":"cab","over":true}`})
}

// The camera's buttons send at once: what a photo shows is chosen before them.
func TestPhotoIsToldOfBeforeItIsTaken(t *testing.T) {
	_, p := openedAfter(t)
	p.at("photo?build=pilot-boat")
	p.see("Photos on the phone")
	holds(p, `["stage", "view", "light"].every(id => document.getElementById(id).compareDocumentPosition(document.querySelector("[type=file]")) & Node.DOCUMENT_POSITION_FOLLOWING)`)
}

// A sub-assembly cures, is masked or stays unglued as a part does, for a time that is
// tapped or written.
func TestSubAssemblyCuresBesideTheMat(t *testing.T) {
	dir, p := openedAfter(t, "2h ago: sub cab A5,B1 --build pilot-boat")
	p.at("sub?build=pilot-boat")
	p.tap("cab: Curing")
	p.see("How long?")
	p.eval(`document.querySelector("[value='12h']").click()`)
	p.tap("Keep it")
	p.see("cab noted")
	p.at("prep?build=pilot-boat&part=A3&what=curing")
	p.see("How long?")
	p.write("#own", "a while")
	p.tap("Keep it")
	p.see("Close")
	p.tap("Close")
	p.at("prep?build=pilot-boat&part=A3&what=curing")
	p.write("#own", "36 h")
	p.tap("Keep it")
	p.see("A3 noted")
	p.at("sub?build=pilot-boat")
	p.see("curing since")
	p.tap("Cured")
	holds(p, `!document.querySelector("main").innerText.includes("curing since")`)
	all := records(t, dir)[1:]
	if len(all) != 3 || !strings.HasPrefix(all[2], "release ") {
		t.Fatalf("it wrote %q", all)
	}
	sameRecords(t, all[:2], []string{`hold {"build":"pilot-boat","sub":"cab","what":"curing","hours":12}`,
		`hold {"build":"pilot-boat","parts":["A3"],"what":"curing","hours":36}`})
}

// A supply is added where no list is yet, and once.
func TestSupplyAddedBesideTheMat(t *testing.T) {
	dir, p := openedAfter(t)
	p.at("supplies")
	p.see("What else does it need?")
	p.write("#need-lorry", "clear gel")
	p.tap("Add it to the list")
	p.see("clear gel added to the list")
	holds(p, `document.querySelector("main").innerText.includes("clear gel")`)
	p.write("#need-lorry", "clear gel")
	p.tap("Add it to the list")
	p.see("clear gel is on the list")
	_, s := left(t, dir)
	if all := s.SuppliesOf(s.Build("lorry")); strings.Count(fmt.Sprint(all), "clear gel") != 1 {
		t.Errorf("it needs %v", all)
	}
}

func TestWordsOfTodayBesideTheMat(t *testing.T) {
	_, p := openedAfter(t)
	p.at("day?build=lorry")
	p.write("#text", "the bed fits at last")
	p.tap("Add it to the diary")
	p.see("added to today's words")
}
