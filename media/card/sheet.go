// The sheets of cards: what a build needs, and the page that prints them.

package card

import (
	"fmt"
	"html"
	"slices"
	"strings"

	"rakelight/journal"
)

// evening is how many begin cards stand on the page for an evening.
const evening = 3

// EveningOf is one page that is enough for an evening: begin for the stages that
// are open, of which it takes as many as there is room for, end, break, counts,
// before and after. Where few are open, larger counts fill the room. A nil build
// is any, and open are then kinds.
func EveningOf(b *journal.Build, open []string) []Face {
	var set []Face
	build, title := "", ""
	if b != nil {
		build, title = journal.BuildKey(b.ID), b.Title
	}
	for _, p := range SetOf(b) {
		if p.Card.Says == journal.RoleCard && (p.Card.Word == "before" || p.Card.Word == "after") {
			set = append(set, p)
		}
	}
	small := func(c journal.Card, words, of string) {
		set = append(set, Face{Card: c, Words: words, Of: of, Small: true})
	}
	open = open[:min(len(open), evening)]
	for _, id := range open {
		words := journal.Title(id)
		if b != nil {
			words = b.Stage(id).Title
		}
		small(journal.Card{Says: journal.BeginCard, Build: build, Stage: journal.StageKey(id)}, "Begin: "+words, title)
	}
	small(journal.Card{Says: journal.EndCard}, "End", "the stage ends")
	small(journal.Card{Says: journal.BreakCard}, "Break", "begins; again: it ends")
	for _, n := range append([]int{1, 5, 10, 0}, []int{2, 20, 3}[:evening-len(open)]...) {
		small(journal.Card{Says: journal.CountCard, Count: n}, fmt.Sprintf("%d done", n), "")
	}
	return set
}

// Rest are the cards of a set that an evening's page does not have.
func Rest(set, evening []Face) []Face {
	return slices.DeleteFunc(slices.Clone(set), func(p Face) bool {
		return slices.ContainsFunc(evening, func(one Face) bool { return one.Card == p.Card })
	})
}

// SetOf is the set of cards of a build: its stages, and what is said of any
// build. A nil build is the generic set, whose cards mean the build that runs.
func SetOf(b *journal.Build) []Face {
	var set []Face
	build, title := "", ""
	if b != nil {
		build, title = journal.BuildKey(b.ID), b.Title
	}
	add := func(c journal.Card, words string, detail, rules []string) {
		set = append(set, Face{Card: c, Words: words, Of: title, Detail: detail, Rules: rules})
	}
	if b != nil {
		for _, st := range b.Stages {
			add(journal.Card{Says: journal.BeginCard, Build: build, Stage: journal.StageKey(st.ID)}, "Begin: "+st.Title,
				[]string{"Work on this stage", "begins now"}, nil)
		}
	} else {
		for _, kind := range journal.Kinds {
			if kind != "wait" { // curing time is no session
				add(journal.Card{Says: journal.BeginCard, Stage: journal.StageKey(kind)}, "Begin: "+journal.Title(kind),
					[]string{"Work on this stage of", "the running build", "begins now"}, nil)
			}
		}
	}
	add(journal.Card{Says: journal.EndCard}, "End", []string{"The stage ends now"}, nil)
	add(journal.Card{Says: journal.BreakCard}, "Break", []string{"A break begins now;", "shown again, it ends"}, nil)
	add(journal.Card{Says: journal.PauseCard, Build: build}, "Pause", []string{"The build is put aside"},
		[]string{"Why", "Next", "Waiting for"})
	for _, n := range []int{1, 2, 5, 10, 20} {
		add(journal.Card{Says: journal.CountCard, Count: n}, fmt.Sprintf("%d done", n),
			[]string{"Parts, joins or coats;", "again for as many more"}, nil)
	}
	add(journal.Card{Says: journal.CountCard}, "0 done", []string{"Counted, and nothing", "got done"}, nil)
	set = append(set, runnersOf(b, title)...)
	for _, role := range []string{"before", "after", "problem"} {
		add(journal.Card{Says: journal.RoleCard, Word: role}, journal.Title(role),
			[]string{"This picture and the", "next ones show it"}, nil)
	}
	for n := 1; n <= 3; n++ {
		add(journal.Card{Says: journal.TrialCard, Count: n}, fmt.Sprintf("Trial %d", n),
			[]string{"This is on trial now"}, []string{"Tool or material", "Since"})
	}
	for _, view := range journal.Views {
		add(journal.Card{Says: journal.ViewCard, Word: view}, "View: "+journal.Title(view),
			[]string{"This picture and the", "next ones are from here"}, nil)
	}
	add(journal.Card{Says: journal.LightCard, Word: "raking"}, "Raking light",
		[]string{"Lamp low, from the side:", "seams and scratches show"}, nil)
	add(journal.Card{Says: journal.LightCard, Word: "diffuse"}, "Diffuse light", []string{"Soft light, window off"},
		nil)
	return set
}

// runnersOf are the cards for whole runners: one a runner of the build, or one
// for the only runner.
func runnersOf(b *journal.Build, title string) []Face {
	var set []Face
	if b != nil {
		for i, k := range b.Kits {
			for _, r := range k.Runners {
				c := journal.Card{Says: journal.RunnerCard, Word: strings.ToUpper(r.Letter)}
				words := "Runner " + r.Letter + " done"
				if len(b.Kits) > 1 {
					c.Kit = i + 1
					words = fmt.Sprintf("Runner %d/%s done", i+1, r.Letter)
				}
				if _, err := c.Text(); err != nil {
					continue // a name no card can carry; parts can still be counted
				}
				set = append(set, Face{Card: c, Words: words, Of: title,
					Detail: []string{"All its parts that were", "not done yet are done"}})
			}
		}
	}
	if len(set) == 0 {
		set = append(set, Face{Card: journal.Card{Says: journal.RunnerCard}, Words: "Whole runner done", Of: title,
			Detail: []string{"Of a kit with one runner"}})
	}
	return set
}

// perPage is how many cards stand on a page of A4 and of Letter: two by three.
const perPage = 6

// Pages are the cards as they stand on pages: first, if there are small ones, the
// page for an evening, which ends with the last of them.
func Pages(cards []Face) [][]Face {
	var pages [][]Face
	last := len(cards)
	for last > 0 && !cards[last-1].Small {
		last--
	}
	if last > 0 {
		pages, cards = append(pages, cards[:last]), cards[last:]
	}
	for i := 0; i < len(cards); i += perPage {
		pages = append(pages, cards[i:min(len(cards), i+perPage)])
	}
	return pages
}

// Careful is what is said on a sheet of a kind of work.
type Careful struct{ Work, Text string }

// CarefulOf are the cautions for the stages that cards begin, in the order of the
// cards; b is the build of the cards, nil = any.
func CarefulOf(b *journal.Build, cards []Face) []Careful {
	var all []Careful
	for _, c := range cards {
		if c.Card.Says != journal.BeginCard {
			continue
		}
		title, text := journal.CautionAtCard(b, c.Card.Stage)
		same := slices.IndexFunc(all, func(one Careful) bool { return one.Text == text })
		switch {
		case text == "":
		case same < 0:
			all = append(all, Careful{title, text})
		default:
			all[same].Work += ", " + title
		}
	}
	return all
}

// Sheet is the page that prints cards: it needs nothing beside it, and fits A4
// and Letter. title heads it. Every card bears the mark of the sheet ("" = none),
// so that what a ruler says of the paper holds for the photos that show it. The
// cautions stand on a page of their own behind the cards.
func Sheet(title, mark string, cards []Face, care []Careful) (string, error) {
	var b strings.Builder
	fmt.Fprintf(&b, sheetHead, html.EscapeString(title), html.EscapeString(title))
	for _, page := range Pages(cards) {
		b.WriteString("<section>\n<div class=\"cards\">\n")
		for i, c := range page {
			if c.Small && i > 0 && !page[i-1].Small {
				b.WriteString("</div>\n<div class=\"cards small\">\n")
			}
			c.Card.Sheet = mark
			svg, err := c.SVG()
			if err != nil {
				return "", err
			}
			b.WriteString(svg + "\n")
		}
		b.WriteString("</div>\n")
		if mark != "" {
			fmt.Fprintf(&b, sheetAsk, mark, journal.Typed("rakelight cards --sheet %s --measured MM", mark))
		}
		b.WriteString("</section>\n")
	}
	if len(care) > 0 {
		b.WriteString("<section class=\"care\">\n<h2>As a stage begins</h2>\n<dl>\n")
		for _, c := range care {
			fmt.Fprintf(&b, "<dt>%s</dt><dd>%s</dd>\n", html.EscapeString(c.Work), html.EscapeString(c.Text))
		}
		b.WriteString("</dl>\n</section>\n")
	}
	b.WriteString("</body></html>\n")
	return b.String(), nil
}

// OlderSheet is how sheets began that were written before they had seals.
const OlderSheet = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">\n" +
	"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>Bench cards"

// sheetAsk asks on paper for the one measure that tells the size it came out
// at.
const sheetAsk = `<p class="ask"><strong>Sheet %s.</strong> Lay a ruler on the scale of a card: from 0 to 50 is
<span class="blank"></span> mm. Say it once, also if it is 50:<br><code>%s</code></p>
`

// What is printed is 190 by at most 238 mm. A4 (210 by 297 mm) and Letter (215.9
// by 279.4 mm) both hold that with 10 mm around it and more at the foot, where
// printers reach least. It is a little narrower than the paper less its margins,
// lest a browser makes all smaller for the sake of a rounded pixel. Grays are to
// be printed as they are.
const sheetHead = `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s</title>
<style>
@page { margin: 10mm 9mm; }
html { -webkit-print-color-adjust: exact; print-color-adjust: exact; }
body { margin: 0 auto; width: 190mm; background: #fff; color: #111; font: 11pt/1.45 system-ui, sans-serif; }
header { padding: 6mm 0; max-width: 65ch; }
h1 { font-size: 1.5em; margin: 0 0 .4em; }
section { break-after: page; break-inside: avoid; margin-bottom: 8mm; }
.cards { display: grid; grid-template-columns: 95mm 95mm; grid-auto-rows: 76mm; }
.small { grid-template-columns: repeat(3, 63.3mm); grid-auto-rows: 50.6mm; }
section:last-child { break-after: auto; }
svg { display: block; font-family: system-ui, "Helvetica Neue", Arial, sans-serif; }
.care { padding: 2mm 0; }
.care dt { font-weight: 600; }
.care dd { margin: 0 0 1.5mm; max-width: 80ch; font-size: 9.5pt; line-height: 1.3; }
.ask { height: 10mm; margin: 0; padding-top: 1.5mm; box-sizing: border-box; font-size: 8.5pt; line-height: 1.35; }
.blank { display: inline-block; width: 14mm; border-bottom: .2mm solid #111; }
@media print { header { display: none; } section { margin: 0; } }
</style></head><body>
<header><h1>%s</h1>
<p>Print at 100 %% (not “fit to page”), on matte paper, in color or black and white; A4 and Letter both fit. Then
lay a ruler on one card, from 0 to 50, and say what it is, as the foot of each page tells: until then every length
measured by these cards holds only <em>if printed at 100 %%</em>. Or photograph a whole page before you cut it, flat
on a darker bench, and let its paper tell:
<code>rakelight cards --whole PHOTO --paper A4</code>. Cut along the thin lines.</p>
<p>At the bench: photograph a card instead of typing. Lay it flat beside the work, let it fill at least a tenth
of the picture's width, keep glare and fingers off the square. This page of words is not printed.</p></header>
`
