// Trials: tools and materials under test, what was seen of them over time, and
// the closing review.

package render

import (
	"cmp"
	"html/template"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/say"
)

// TrialsPage is trials.html.
type TrialsPage struct {
	Frame
	Says   string
	Trials []TrialPart // those that run first, then the latest closed ones
}

// TrialPart is one trial.
type TrialPart struct {
	ID, What, Question string
	Build              *Tag   // nil = of no build
	Outcome            string // the first words of the review, or that it runs
	Span               string
	Runs               bool
	Tool               string        // as sessions name it
	Figures            template.HTML // pace and marks with it and without it, "" = no session used it
	Behind             []Behind      // the sessions with it and those without
	Notes              []NoteLine
	Review             template.HTML
	Warnings           []string
	Type               string // what to type next while it runs, "" for readers
	Name               string // and for a session to use it
}

// NoteLine is one observation.
type NoteLine struct {
	Day, Stamp, Text string
	Picture          Picture // the photo it goes with; the zero value = none
	Session          string  // address of the session it was made in, "" = not known
}

func (v *view) trials(t *texts) TrialsPage {
	p := TrialsPage{Frame: v.frame("", "trials", v.Say("page¦Trials"))}
	running := 0
	for _, one := range slices.Backward(v.Trials) {
		if one.Review == "" {
			running++
			p.Trials = append(p.Trials, v.trialPart(one, t))
		}
	}
	for _, one := range slices.Backward(v.Trials) {
		if one.Review != "" {
			p.Trials = append(p.Trials, v.trialPart(one, t))
		}
	}
	if n := len(v.Trials); n > 0 {
		switch all := v.count(n, "trial"); running {
		case 0:
			p.Says = v.Say("%s: all reviewed.", all)
		case n:
			p.Says = v.Say("%s: none reviewed yet.", all)
		default:
			p.Says = v.Say("%s: %d still running, %d reviewed.", all, running, n-running)
		}
	}
	return p
}

func (v *view) trialPart(one *journal.Trial, t *texts) TrialPart {
	id := fileName(one.ID)
	part := TrialPart{ID: "trial-" + id, What: capital(one.What), Question: one.Question, Runs: one.Review == ""}
	begun := v.day(one.At.In(v.zone()))
	part.Span = v.Say("Running since %s", begun)
	if !part.Runs {
		part.Span = v.Say("dates¦%s to %s", begun, v.day(one.Closed.In(v.zone())))
	}
	b := v.builds[one.Build]
	if b != nil {
		tag := b.tag("")
		part.Build = &tag
	}
	for _, o := range one.Observations {
		at := o.At.In(v.zone())
		line := NoteLine{Day: v.day(at), Stamp: at.Format(time.DateOnly), Text: o.Text}
		if photo := v.byHash[o.Photo]; photo != nil {
			line.Picture = v.picture("", photo, asPrint)
			line.Picture.ID = ""
		}
		if b != nil {
			if s := sessionAt(b, "", o.At, line.Stamp); s != nil {
				line.Session = v.sessionLink(b, s, "").Href
			}
		}
		part.Notes = append(part.Notes, line)
	}
	part.Tool = one.Tool
	if tried := v.Try(one); len(tried.Kinds) > 0 {
		figures := around{prefix: part.ID + "-figures-", below: 3}
		part.Figures = t.render(tried.Markdown(v.Speaker, v.kindTitle, v.classWord), figures).html
		var with, without []string
		for _, k := range tried.Kinds {
			with, without = append(with, k.With.Sessions...), append(without, k.Without.Sessions...)
		}
		for i, ids := range [][]string{with, without} {
			behind := v.behindSessions(ids)
			behind.Words = v.Say([]say.Key{"%s with it", "%s without it"}[i], behind.Words)
			part.Behind = append(part.Behind, behind)
		}
	}
	text := t.render(one.Review, around{prefix: part.ID + "-", below: 3, build: b})
	part.Review, part.Warnings = text.html, text.warnings
	part.Outcome = cmp.Or(t.excerpt(one.Review), v.Say("running since %s", begun))
	if part.Runs && v.mine() {
		part.Name = journal.Typed("rakelight on BUILD STAGE --tool %s", part.Tool)
		part.Type = journal.Typed("rakelight trial note %s", one.ID)
	}
	return part
}
