// This file makes words of what came of cards; nothing else does.

package journal

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"rakelight/journal/metrics"
)

// Came is what came of the card, in words: what it did, or why it did nothing.
func (c CardSaid) Came() string {
	if c.Did.Idle() {
		return "nothing: " + c.Why()
	}
	if c.Over != nil {
		return c.effect() + "; " + c.Over.String()
	}
	return c.effect()
}

// effect is what a card did.
func (c CardSaid) effect() string {
	d := c.Did
	stage := d.Stage + " of " + d.Build
	switch d.What {
	case Began:
		if d.Ended != "" {
			return d.Ended + " ends and " + stage + " begins"
		}
		return stage + " begins"
	case WentOn:
		return "it runs already and goes on"
	case TimerWentOn:
		return "a timer runs on it already and goes on"
	case EndedStage:
		return stage + " ends"
	case BreakBegan:
		return "a break begins in " + stage
	case BreakEnded:
		return "the break in " + stage + " ends after " + Spell(c.At.Sub(d.Since))
	case PutAside:
		return d.Build + " is put aside"
	case Counted:
		return countedIn(d)
	case CountedAfter:
		return countedIn(d) + ", which had ended just before"
	case RunnerDone:
		words := fmt.Sprintf("runner %s done, %s", d.Runner, metrics.Count(d.N, "part"))
		if d.Bare > 0 {
			words += fmt.Sprintf("; %d counted by number in the same session may be of them", min(d.Bare, d.N))
		}
		return words
	case Holds:
		return "holds for this photo and those that follow"
	case HoldsNext:
		return "holds for the photos that follow"
	case Once:
		return "the same card as " + c.before() + ": counted once"
	case Lies:
		return "in view since " + c.since() + ": says nothing new"
	case EndedBeside:
		return "it lies beside the card that ends it: nothing begins"
	}
	return "not decided"
}

// without is what a card seen again does not do.
func (c CardSaid) without() string {
	switch c.Card.Says {
	case BeginCard:
		return "nothing begins"
	case EndCard:
		return "nothing ends"
	case BreakCard:
		return "no break begins"
	case PauseCard:
		return "nothing is put aside"
	}
	return "not counted again"
}

// before is when the card was shown before.
func (c CardSaid) before() string {
	if d := c.At.Sub(c.Did.Since); d < time.Minute {
		return seconds(d) + " before"
	}
	return "at " + c.since()
}

// since is when the card was shown before, with the day where it was another.
func (c CardSaid) since() string {
	since := c.Did.Since.In(c.At.Location())
	if since.Format(time.DateOnly) != c.At.Format(time.DateOnly) {
		return since.Format(minute)
	}
	return since.Format("15:04")
}

// Why is why the card did nothing, "" when it did something.
func (c CardSaid) Why() string {
	d := c.Did
	switch d.What {
	case NoCard:
		return "its text is none this version knows"
	case TimeInDoubt:
		return "the time of its photo is in doubt"
	case TwoBegins:
		return "two stages begin in one picture"
	case InView:
		return "in view since " + c.since() + ", perhaps left lying: " + c.without()
	case Retaken:
		return "shown " + c.before() + ", perhaps the same picture taken again: " + c.without()
	case TimerRan:
		return fmt.Sprintf("a timer ran on %s of %s at that time; the card begins nothing", d.Stage, d.Build)
	case NothingRan:
		return "nothing ran at that time"
	case NothingAside:
		return "nothing ran, and it names no build of this journal"
	case OtherBuild:
		return fmt.Sprintf("it is of another build than %s, which ran at that time and goes on", d.Build)
	case EndByHand:
		return fmt.Sprintf("its end was said by hand; %s of %s stays as it is", d.Stage, d.Build)
	case NoStage:
		return fmt.Sprintf("%s has no such stage; its stages are %s", d.Build, strings.Join(d.Among, ", "))
	case ManyStages:
		return fmt.Sprintf("%s has %d stages of that kind", d.Build, d.N)
	case NoSuchBuild:
		return "it names a build that is not in this journal; was its folder renamed?"
	case TwoBuilds:
		return "it may be of " + strings.Join(d.Among, " or of ")
	case NoBuild:
		return "it names no build, and none was worked on before"
	case NoRunners:
		return d.Build + " lists no runners; list them in its build.md"
	case NoRunner:
		return fmt.Sprintf("%s has no runner %s; its runners are %s", d.Build, d.Runner, strings.Join(d.Among, ", "))
	case ManyRunners:
		return fmt.Sprintf("it may be any of %d runners of %s", d.N, d.Build)
	case RunnerBefore:
		return fmt.Sprintf("all of runner %s was done in that stage before", d.Runner)
	case BuildUnknown:
		return fmt.Sprintf("the runners of %s are not known", d.Build)
	}
	return ""
}

// countedIn says what a count card counted: joins where seams are filled, coats
// where paint is laid.
func countedIn(d CardCame) string {
	unit, ok := metrics.CountedKind(d.Kind)
	if !ok {
		return fmt.Sprintf("%d counted in %s", d.N, d.Stage)
	}
	return fmt.Sprintf("%s counted in %s", metrics.Count(d.N, unit), d.Stage)
}

// seconds writes a short time.
func seconds(d time.Duration) string { return fmt.Sprintf("%d s", int(d.Round(time.Second).Seconds())) }

// toldIdle is how many cards that did nothing are told of in one line.
const toldIdle = 3

// CardsTold says in one line what some cards said and which of them did nothing,
// and why: "1 begin, 2 counts, 3 roles (2 before, 1 finished); 1 did nothing: 5 done at
// 19:20 (…)". It is "" for no cards.
func CardsTold(cards []CardSaid, zone *time.Location) string {
	if len(cards) == 0 {
		return ""
	}
	said, words := map[string]int{}, map[string]map[string]int{}
	layout := "15:04"
	if first, last := cards[0].At.In(zone),
		cards[len(cards)-1].At.In(zone); first.Format(time.DateOnly) != last.Format(time.DateOnly) {
		layout = minute
	}
	var idle []string
	again, done := 0, 0
	for _, c := range cards {
		switch {
		case c.Did.Idle():
			idle = append(idle, fmt.Sprintf("%s at %s (%s)", c.Card, c.At.In(zone).Format(layout), c.Why()))
		case c.Did.What == Once || c.Did.What == Lies || c.Did.What == EndedBeside:
			again++
		default:
			noun := c.Card.Says.noun()
			said[noun]++
			if words[noun] == nil {
				words[noun] = map[string]int{}
			}
			words[noun][c.Card.Word]++
			if c.Card.Says == CountCard {
				done += c.Card.Count
			}
		}
	}
	var parts []string
	for _, noun := range nouns {
		if n := said[noun]; n > 0 {
			part := metrics.Count(n, noun)
			switch noun {
			case CountCard.noun():
				part += fmt.Sprintf(" (%d done)", done)
			case RoleCard.noun(), ViewCard.noun(), LightCard.noun():
				part += " (" + eachCounted(words[noun]) + ")"
			}
			parts = append(parts, part)
		}
	}
	if again > 0 {
		parts = append(parts, fmt.Sprintf("%d seen again", again))
	}
	line := strings.Join(parts, ", ")
	if n := len(idle); n > 0 {
		told := strings.Join(idle[:min(n, toldIdle)], ", ")
		if n > toldIdle {
			told += fmt.Sprintf(" and %d more", n-toldIdle)
		}
		words := fmt.Sprintf("%d did nothing: %s; what to type: rakelight check --photos", n, told)
		if line != "" {
			line += "; "
		}
		line += words
	}
	return line
}

// eachCounted lists words by how often they were said: "2 before, 1 finished"; a single
// one stands alone.
func eachCounted(n map[string]int) string {
	var all []string
	for _, word := range slices.SortedFunc(maps.Keys(n), func(a, b string) int {
		return cmp.Or(n[b]-n[a], strings.Compare(a, b))
	}) {
		if len(n) == 1 {
			return word
		}
		all = append(all, fmt.Sprintf("%d %s", n[word], word))
	}
	return strings.Join(all, ", ")
}

// nouns are what cards are called when they are counted, in the order of telling.
var nouns = []string{"begin", "count", "runner", "break", "end", "pause", "role", "view", "light", "trial"}

// noun is what a card of the verb is called when it is counted.
func (v CardVerb) noun() string {
	i := slices.Index([]CardVerb{BeginCard, CountCard, RunnerCard, BreakCard, EndCard, PauseCard, RoleCard, ViewCard,
		LightCard, TrialCard}, v)
	if i < 0 {
		return ""
	}
	return nouns[i]
}
