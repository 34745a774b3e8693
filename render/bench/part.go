// One part: all that is known of it on one screen, found by its number, and what can
// be noted of it.

package bench

import (
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/wording"
)

// findPage looks for a part.
type findPage struct {
	Build, Title string // looked in
	Builds       []offer
}

// find makes the page that looks for a part.
func find(a *asking) (any, error) {
	page := findPage{Build: a.inHand(a.value("build"))}
	for _, b := range a.openBuilds() {
		page.Builds = append(page.Builds, offer{Build: b.ID, Title: b.Title})
	}
	b, err := a.ResolveBuild(page.Build)
	if err != nil {
		return nil, err
	}
	page.Build, page.Title = b.ID, b.Title
	return page, nil
}

// inHand is the build that is named, else the one that runs, else the open one worked
// on last; "" = none is open.
func (a *asking) inHand(name string) string {
	if name != "" {
		return name
	}
	if running := a.Running(); len(running) > 0 {
		return running[0].Build
	}
	if open := a.openBuilds(); len(open) > 0 {
		return open[0].ID
	}
	return ""
}

// partPage is one part, or a sub-assembly.
type partPage struct {
	Build, Title string
	Ref          string // "A12"
	Class        string
	Stands       []stand
	Sanding      string // what the plan it was given is for, "" = it has none
	Steps        []string
	Holds        []held
	Story        []noted
	Preps        []choice
	HoldChoices  []choice
}

// stand is how the part stands in a stage.
type stand struct {
	Name, Words, Stage string
	Done, Runs         bool
}

// noted is something that happened, with its day, and the record that says so.
type noted struct{ Words, Record string }

// held is something to remember until it ends, and what ended then: "Masks off".
type held struct{ Words, Record, Over string }

// overs is what is said of a hold that ended.
var overs = map[string]string{"curing": "Cured", "masked": "Masks off", "unglued": "Glued"}

// choice is something to be chosen: what is shown, and what is written.
type choice struct{ Words, Value string }

// What can be noted of a part by one tap, in the words of the trade.
var (
	preps = []choice{{"Gates cut together", "gates-together"}, {"Gates cut apart", "gates-apart"},
		{"Pegs cut", "pegs"}, {"Pull from", "pull"}, {"Shimmed", "shim"}, {"Pinned", "pin"}, {"Swapped", "swap"},
		{"Stored in", "store"}}
	holds = []choice{{"Dry-fitted, not glued", "unglued"}, {"Masks on", "masked"}, {"Curing", "curing"}}
)

// part makes the page of a part.
func part(a *asking) (any, error) {
	b, ref, err := a.partAsked()
	if err != nil {
		return nil, err
	}
	page := partPage{Build: b.ID, Title: b.Title, Ref: ref.Key(), Preps: preps, HoldChoices: holds}
	page.Sanding, page.Steps = a.sandingSteps(b.ID, ref)
	runs := map[string]bool{}
	for _, s := range a.Running() {
		runs[s.Stage] = runs[s.Stage] || s.Build == b.ID
	}
	for _, r := range a.Ledger(b) {
		p := r.Part(ref.Number)
		if r.Kit != ref.Kit || r.Letter != ref.Runner || p == nil {
			continue
		}
		page.Class = p.Class
		for _, st := range r.Stages {
			page.Stands = append(page.Stands, stand{wording.StageName(*st), squareOf(*p, st.ID).Words, st.ID,
				p.Stands[st.ID] == journal.PartDone, runs[st.ID] && p.Use != journal.NotUsed})
		}
	}
	for _, h := range a.HoldsOf(b.ID) {
		if a.About(h.Noted, b.ID, ref) {
			page.Holds = append(page.Holds, held{a.HeldSince(h), h.Record, overs[h.Is]})
		}
	}
	for _, e := range slices.Backward(a.PartStory(b.ID, ref)) {
		page.Story = append(page.Story, noted{withoutID(a.TellStory(e), e), e.Record})
	}
	return page, nil
}

// withoutID is the line of an event without the id behind it, which a phone has no use
// for.
func withoutID(line string, e journal.StoryEvent) string {
	line = strings.TrimSuffix(line, " ("+e.Record+")")
	if e.Photo != nil {
		line = strings.TrimSuffix(line, " ("+e.Photo.Short()+")")
	}
	if e.Count != nil && e.Count.Session != nil {
		line = strings.TrimSuffix(line, " (session "+e.Count.Session.ID+")")
	}
	return strings.TrimSpace(line)
}

// partAsked is the part that the address names.
func (a *asking) partAsked() (*journal.Build, journal.PartRef, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, journal.PartRef{}, err
	}
	refs, _, err := journal.ParseParts(a.value("part"), b)
	if err != nil {
		return nil, journal.PartRef{}, err
	}
	if len(refs) == 0 {
		return nil, journal.PartRef{}, &journal.AskError{What: a.value("part") + " names no part",
			Hint: "write the letter and the number: A12"}
	}
	refs[0].Count = 1
	return b, refs[0], nil
}

// prepPage asks what more there is to say of something done to a part, or of what
// holds it.
type prepPage struct {
	Build, Title string
	Parts        string
	What         choice
	Hold         bool
	Sub          bool     // Parts is the name of a sub-assembly
	Of           []string // what may cure
	Longs        []choice // how long it may take
	With         bool     // another part belongs to it
	Angle        bool
	Where        string // what the free words are
}

// prep makes the page of a prep note.
func prep(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := prepPage{Build: b.ID, Title: b.Title, Parts: a.value("part"), Where: "In your words, if you like"}
	_, page.Sub = a.FindSub(b.ID, page.Parts)
	for i, c := range slices.Concat(preps, holds) {
		if c.Value == a.value("what") {
			page.What, page.Hold = c, i >= len(preps)
		}
	}
	switch page.What.Value {
	case "gates-together", "gates-apart", "shim", "pin", "swap":
		page.With = true
	case "pegs":
		page.Angle = true
	case "pull":
		page.Where = "From which side?"
	case "store":
		page.Where = "In which tub or cell?"
	case "curing":
		page.Of = journal.CuringOf
		page.Longs = []choice{{"1 h", "1h"}, {"12 h", "12h"}, {"24 h", "24h"}}
	case "":
		page.What.Words = "Prep note"
		page.Where = "What was done?"
	}
	return page, nil
}
