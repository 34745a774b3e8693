// The runner check of a build for print: every runner with its parts to tick before
// the first is cut off, and what else is in the box.

package render

import (
	"fmt"
	"slices"

	"rakelight/journal"
)

// RunnerSheet is builds/<id>/runner-check.html.
type RunnerSheet struct {
	Frame
	Head  PaperHead
	Why   string // why there are empty grids, "" = the parts list names all runners
	Kits  []KitCheck
	Seen  bool // some part was looked at before
	Lacks bool // some part is lacking
	Spare bool // some part is not for use
	Box   []BoxLine
	Notes Blank
}

// KitCheck is the runners of a kit.
type KitCheck struct {
	Title, Words string // "76 parts for use on 9 runners"
	Runners      []RunnerCheck
}

// RunnerCheck is a runner to look over.
type RunnerCheck struct {
	Name, Words string // "1/A"; "flat, 9 parts"
	Look        string // what to look for on it besides, "" = nothing
	Squares     []PaperSquare
	Wide        bool // it has more parts than half a page is wide
	Empty       bool // the letter, or the numbers, are to be written
}

// BoxLine is something else in the box.
type BoxLine struct{ What, Words string }

const (
	emptyRunners = 5  // drawn where build.md names none
	emptyParts   = 40 // of a runner whose parts nobody listed
	halfPage     = 18 // parts in two rows of half a page
)

func (v *view) runnerSheet(b *build) RunnerSheet {
	p := RunnerSheet{Notes: lines(40), Box: v.besides(b)}
	p.Frame, p.Head = v.paper(b, "Runner check")
	ledgers := v.Ledger(b.Build)
	for i, k := range b.Kits {
		number := i + 1
		if len(b.Kits) == 1 {
			number = 0
		}
		kit := KitCheck{Title: capital(v.kitTitle(b, number))}
		use := 0
		for _, r := range k.Runners {
			one := RunnerCheck{Name: journal.RunnerLedger{Kit: number, Letter: r.Letter}.Name()}
			if r.Class == "clear" || slices.Contains(classesIn(r), "clear") {
				one.Look = "Clear parts: hold them against the light for scratches, cracks and haze."
			}
			n := v.checkSquares(&one, ledgers, number, r)
			use += n
			one.Words = joinWords("; ", v.runnerHolds(r, n), notFor("not for use", r.Letter, r.NotUsed),
				notFor("missing", r.Letter, r.Missing))
			if len(r.Parts) == 0 {
				p.Why = "build.md does not say which parts some runners have: strike out the numbers that are not there."
			}
			kit.Runners = append(kit.Runners, one)
		}
		kit.Words = fmt.Sprintf("%s for use on %s", v.count(use, "part"), v.count(len(k.Runners), "runner"))
		if len(k.Runners) > 0 {
			p.Kits = append(p.Kits, kit)
		}
	}
	if len(p.Kits) == 0 {
		p.Why = "build.md lists no runners yet, so these are empty: write the letter, strike out the numbers that are " +
			"not there, and copy the counts into build.md."
		kit := KitCheck{Title: "The runners"}
		for range emptyRunners {
			kit.Runners = append(kit.Runners, RunnerCheck{Empty: true, Squares: numbered(emptyParts)})
		}
		p.Kits = []KitCheck{kit}
	}
	for _, k := range p.Kits {
		for i, r := range k.Runners {
			k.Runners[i].Wide = len(r.Squares) > halfPage
			for _, s := range r.Squares {
				p.Seen = p.Seen || s.Look == "was-seen"
				p.Lacks = p.Lacks || s.Look == "is-lacking"
				p.Spare = p.Spare || s.Look == "not-used"
			}
		}
	}
	return p
}

// checkSquares draws the parts of a runner, as the plan has them and as they were
// found, and returns how many are for use.
func (v *view) checkSquares(to *RunnerCheck, ledgers []journal.RunnerLedger, kit int, r journal.Runner) (use int) {
	if len(r.Parts) == 0 {
		to.Squares = numbered(emptyParts)
		return 0
	}
	i := slices.IndexFunc(ledgers, func(l journal.RunnerLedger) bool { return l.Kit == kit && l.Letter == r.Letter })
	for _, part := range ledgers[i].Parts {
		if part.Use == journal.Unknown {
			continue // a slip of the pen in a session, and not on the runner
		}
		if part.Use != journal.NotUsed {
			use++
		}
		to.Squares = append(to.Squares, paperSquare(part))
	}
	return use
}

func numbered(n int) []PaperSquare {
	out := make([]PaperSquare, n)
	for i := range out {
		out[i].Number = fmt.Sprint(i + 1)
	}
	return out
}

// classesIn are the classes of single parts of a runner.
func classesIn(r journal.Runner) []string {
	var out []string
	for _, n := range r.Parts {
		if c := r.Classes[n]; c != "" && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// runnerHolds is what the parts list says of a runner: "flat, 9 parts; small: 5, 6, 8".
func (in voice) runnerHolds(r journal.Runner, use int) string {
	words := r.Class
	if len(r.Parts) > 0 {
		words = joinWords(", ", words, in.count(use, "part"))
	}
	for _, class := range classesIn(r) {
		var numbers []string
		for _, n := range r.Parts {
			if r.Classes[n] == class {
				numbers = append(numbers, n)
			}
		}
		words = joinWords("; ", words, notFor(class, r.Letter, numbers))
	}
	return words
}

// notFor are parts of a runner with what is so of them: "not for use: B3, B7".
func notFor(what, letter string, numbers []string) string {
	if len(numbers) == 0 {
		return ""
	}
	var refs []journal.PartRef
	for _, n := range numbers {
		refs = append(refs, journal.PartRef{Runner: letter, Number: n, Count: 1})
	}
	return what + ": " + journal.Ranges(refs)
}

// besides is what is in a box besides runners, as kits come: common practice, no
// source.
func (v *view) besides(b *build) []BoxLine {
	decals := "film clear and whole, colors in register"
	for i := range b.Stages {
		if st := &b.Stages[i]; st.Kind == "decal" {
			if n, known := b.CountOf(st); known && n > 0 {
				decals = fmt.Sprintf("%d to lay; ", n) + decals
			}
		}
	}
	return []BoxLine{
		{"Instructions", "all pages, in the language you read; part numbers as on the runners"},
		{"Decals", decals},
		{"Etched sheets", "flat, no fret broken"},
		{"Masks, film, mesh", "complete"},
		{"Wire, thread, chain, tires", "complete, not brittle"},
	}
}
