// Lists: what a build waits for and holds, what it needs, and how the hands are.

package bench

import (
	"rakelight/journal"
	"rakelight/journal/wording"
)

// backPage is what somebody needs who comes back to a build.
type backPage struct {
	Build, Title   string
	Pause          *journal.Pause
	Picture        thumb
	Next           string // name of the stage to go on with
	Stage          string // its id
	Holds          []held
	Stored, Mind   []string
	Lacks          string
	Asks           []ask // what the dry fit left open
	Paused, Runs   bool
	SuppliesAbsent []string
}

// back makes the page for whoever comes back.
func back(b *Bench) func(*asking) (any, error) {
	return func(a *asking) (any, error) {
		build, err := a.ResolveBuild(a.inHand(a.value("build")))
		if err != nil {
			return nil, err
		}
		r, _ := a.State.Return(build.ID)
		page := backPage{Build: build.ID, Title: build.Title, Pause: r.Pause, Stage: r.NextStage,
			Lacks: journal.Lacks(r.Lacking), Paused: a.Paused(build.ID) != nil}
		if p := r.LastPhoto; p != nil && p.Width > 0 {
			page.Picture = thumb{Hash: p.Hash, Name: p.Name, Src: b.thumb(p), Words: p.Instant.Told("January 2, 2006")}
		}
		if st := build.Stage(r.NextStage); st != nil {
			page.Next = wording.StageName(*st)
		}
		for _, all := range [][]journal.Hold{r.NotGlued, r.MasksOn, r.Curing} {
			for _, h := range all {
				page.Holds = append(page.Holds, held{a.TellHold(h), h.Record, overs[h.Is]})
			}
		}
		for _, p := range r.Stored {
			page.Stored = append(page.Stored, p.On()+": "+p.PrepWords())
		}
		for _, p := range r.Mind {
			page.Mind = append(page.Mind, p.On()+": "+p.PrepWords())
		}
		page.Asks = dryFitAsks(build.ID, r.Questions)
		for _, s := range r.Supplies {
			words := s.Text
			if s.State == journal.SupplyOrdered {
				words += " (ordered)"
			}
			page.SuppliesAbsent = append(page.SuppliesAbsent, words)
		}
		return page, nil
	}
}

// suppliesPage is one shopping list over all open builds, the one worked on last first.
type suppliesPage struct {
	Lists []supplyList
}

type supplyList struct {
	Build, Title string
	Items        []supplyItem
}

type supplyItem struct {
	Text, State string
	Next        []choice // what it may become by a tap
}

func supplies(a *asking) (any, error) {
	var page suppliesPage
	for _, b := range a.openBuilds() {
		list := supplyList{Build: b.ID, Title: b.Title}
		for _, s := range a.SuppliesOf(b) {
			item := supplyItem{Text: s.Text, State: s.State}
			switch s.State {
			case journal.SupplyMissing:
				item.Next = []choice{{"Ordered", journal.SupplyOrdered}, {"Have it", journal.SupplyHad}}
			case journal.SupplyOrdered:
				item.Next = []choice{{"It came", journal.SupplyCome}}
			default:
				item.Next = []choice{{"Used up", journal.SupplyMissing}}
			}
			list.Items = append(list.Items, item)
		}
		page.Lists = append(page.Lists, list)
	}
	return page, nil
}

// handsPage asks how the hands are.
type handsPage struct {
	Build string
	Whats []choice
}

func hands(a *asking) (any, error) {
	return handsPage{Build: a.inHand(a.value("build")), Whats: []choice{{"A sore place", "sore"},
		{"A blister", "blister"}, {"A cut", "cut"}, {"Strain", "strain"}, {"Taking a rest", "rest"}}}, nil
}
