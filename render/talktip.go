// The tip of a week: the one thing kept of it that somebody else can use, with the
// caution of the work where that can hurt.

package render

import (
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/caution"
	"rakelight/journal/sanding"
)

// talkTip is what can be shown to others of a week, the best of it.
type talkTip struct {
	title string   // what it is about: "A mix"
	lines []string // to be said
	short string   // for a still, "" = there is no tip
	care  string   // the caution, "" = none
}

// tip chooses: a trial that is over says what it found, a mix and a sanding plan say how
// to do it again, what was done to a part says how it fits, a trial that runs says what
// was seen. What was kept in the week comes before what was used in it.
func (w *talkWeek) tip() talkTip {
	for _, from := range []func(*talkBuild) (talkTip, bool){
		w.trialOver, w.mixOf, w.sandingOf, w.prepOf, w.trialSeen, w.usedSanding, w.usedMix,
	} {
		for _, b := range w.builds {
			if tip, ok := from(b); ok {
				return tip
			}
		}
	}
	return talkTip{}
}

// careful adds the caution of a kind of work. It speaks to those who hear it.
func (t talkTip) careful(kind string, classes ...string) talkTip {
	if care := caution.For(kind, classes...); care != "" {
		t.care = ownWords(care)
		t.lines = append(t.lines, "Take care: "+t.care)
	}
	return t
}

func (w *talkWeek) trialOver(b *talkBuild) (talkTip, bool) {
	for _, one := range b.trials {
		words := w.v.texts().excerpt(one.Review)
		if !w.in(one.Closed) || words == "" {
			continue
		}
		said := fmt.Sprintf("The trial of %s is over.", one.What)
		if one.Question != "" {
			said += " The question was: " + quoted(one.Question)
		}
		return w.careOfTrial(talkTip{title: "A trial", lines: []string{said, "What came of it: " + quoted(words)},
			short: stop(capital(one.What) + ": " + words)}, b, one), true
	}
	return talkTip{}, false
}

func (w *talkWeek) trialSeen(b *talkBuild) (talkTip, bool) {
	for _, one := range b.trials {
		for _, o := range slices.Backward(one.Observations) {
			if !w.in(o.At) || o.Text == "" {
				continue
			}
			return w.careOfTrial(talkTip{title: "On trial", short: stop(capital(one.What) + ": " + o.Text),
				lines: []string{fmt.Sprintf("On trial is %s. Seen on %s: %s", one.What, weekday(w.date(o.At)),
					quoted(o.Text))}}, b, one), true
		}
	}
	return talkTip{}, false
}

// careOfTrial adds the caution of the work in which the tool was used in the week.
func (w *talkWeek) careOfTrial(t talkTip, b *talkBuild, one *journal.Trial) talkTip {
	for _, s := range b.sessions {
		used := slices.ContainsFunc(s.Tools, func(name string) bool {
			return journal.ToolKey(name) == journal.ToolKey(one.Tool)
		})
		if used || one.Card > 0 && slices.Contains(s.Trials, one.Card) {
			return t.careful(s.Kind, s.Class)
		}
	}
	return t
}

func (w *talkWeek) mixOf(b *talkBuild) (talkTip, bool) { return w.v.mixTip(b.mixes, "") }

func (w *talkWeek) usedMix(b *talkBuild) (talkTip, bool) {
	if b.share("prime", "paint", "gloss", "top-coat", "detail") == 0 {
		return talkTip{}, false
	}
	return w.v.mixTip(slices.DeleteFunc(w.v.MixesOf(b.ID), func(m journal.Mix) bool { return w.date(m.At) > w.until }),
		"It was mixed on %s.")
}

// mixTip is the latest of some mixes that says its recipe.
func (in voice) mixTip(mixes []journal.Mix, since string) (talkTip, bool) {
	for _, m := range slices.Backward(mixes) {
		recipe := journal.RecipeWords(m.Recipe)
		if recipe == "" {
			continue
		}
		said := fmt.Sprintf("How %s was mixed, in parts: %s", m.Name, stop(recipe))
		if m.Coats > 0 {
			said += fmt.Sprintf(" %s went on.", capital(in.count(m.Coats, "coat")))
		}
		if m.Text != "" {
			said += " " + quoted(m.Text)
		}
		if since != "" {
			said += " " + fmt.Sprintf(since, in.day(m.At))
		}
		t := talkTip{title: "A mix", lines: []string{said}, short: capital(m.Name) + ": " + stop(recipe)}
		return t.careful("paint"), true
	}
	return talkTip{}, false
}

func (w *talkWeek) sandingOf(b *talkBuild) (talkTip, bool) { return sandingTip(b.sandings) }

func (w *talkWeek) usedSanding(b *talkBuild) (talkTip, bool) {
	if b.share("clean", "seam") < 0.5 {
		return talkTip{}, false
	}
	return sandingTip(slices.DeleteFunc(w.v.SandingsOf(b.ID), func(p journal.SandingPlan) bool {
		return w.date(p.At) > w.until
	}))
}

// sandingTip is the latest of some plans, step by step.
func sandingTip(plans []journal.SandingPlan) (talkTip, bool) {
	if len(plans) == 0 {
		return talkTip{}, false
	}
	p := plans[len(plans)-1]
	head := fmt.Sprintf("How a %s on a %s surface is sanded that ends %s:", p.Remove, p.Surface, p.Finish)
	t := talkTip{title: "How it was sanded", lines: []string{head}}
	var grades []string
	for i, step := range p.Steps {
		t.lines = append(t.lines, stop(fmt.Sprintf("%s, %s", []string{"First", "Then"}[min(i, 1)], stepWords(step))))
		grades = append(grades, step.Grade())
	}
	if p.Text != "" {
		t.lines = append(t.lines, quoted(p.Text))
	}
	t.short = stop(fmt.Sprintf("A %s on a %s surface: %s", p.Remove, p.Surface, strings.Join(grades, ", then ")))
	return t.careful("clean", p.Surface), true
}

// stepWords are a step with the check that ends it.
func stepWords(s sanding.Step) string {
	if s.Check == "" {
		return s.How()
	}
	return s.How() + ", until " + s.Check
}

// prepKinds are the kinds of work that what was done to parts belongs to.
var prepKinds = map[string]string{"gates-together": "cut", "gates-apart": "cut", "pegs": "dry-fit", "shim": "dry-fit",
	"pin": "detail", "pull": "dry-fit"}

func (w *talkWeek) prepOf(b *talkBuild) (talkTip, bool) {
	for _, p := range slices.Backward(b.preps) {
		if p.Is == "store" || p.Is == "swap" {
			continue
		}
		words := p.PrepWords()
		if words == "" {
			continue
		}
		line := fmt.Sprintf("On %s of %s: %s", p.On(), b.Title, stop(words))
		t := talkTip{title: "How it fits", lines: []string{line}, short: stop(p.On() + ": " + words)}
		if kind := prepKinds[p.Is]; kind != "" {
			t = t.careful(kind)
		}
		return t, true
	}
	return talkTip{}, false
}

// share is how much of the bench time of the week went into some kinds of work.
func (b *talkBuild) share(kinds ...string) float64 {
	spent, all := 0.0, 0.0
	for _, s := range b.sessions {
		all += s.Hours()
		if slices.Contains(kinds, s.Kind) {
			spent += s.Hours()
		}
	}
	if all == 0 {
		return 0
	}
	return spent / all
}
