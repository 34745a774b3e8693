// Tests that the pages of help tell what this journal's settings are, and texts
// that are bench cards.

package render

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

func TestHelpTellsTheSettings(t *testing.T) {
	s := small()
	s.Config.CardSilence, s.Config.CardTwice = "45m", "20s"
	s.Config.CardUnseen = "3h"
	v := viewOf(s, time.Time{}, nil)
	page := pagesByPath(t, v)["using-cards.html"]
	for _, want := range []string{"a silence of 45 min", "within 20 seconds", "within 50 seconds", "more than 3 h pass", journal.Spell(journal.CardHold) + " without a photo", "rakelight cards lightship", "Lightship</text>"} {
		if !strings.Contains(page, want) {
			t.Errorf("it does not say %q", want)
		}
	}
	// A journal without any build is told, too.
	empty := viewOf(&journal.State{Zone: time.UTC}, time.Time{}, nil)
	if page := pagesByPath(t, empty)["using-cards.html"]; !strings.Contains(page, "rakelight cards pilot-boat") || !strings.Contains(page, "1 h 30 min") {
		t.Error("without a build there is no help")
	}
}

// TestIntervalTellsTheBounds holds that the page tells the bounds by which series are
// found.
func TestIntervalTellsTheBounds(t *testing.T) {
	bounds := journal.BoundsOfSeries()
	page := pagesByPath(t, smallView())[intervalAt]
	for _, want := range []string{fmt.Sprintf("at least %d photos", bounds.Frames), "one every 2 seconds to 10 min", "for 2 min or longer",
		"5 min where the interval is under 15 seconds", "a stop of up to 30 min", "Longer than 5 min without a change", "tag PHOTO lightship "} {
		if !strings.Contains(page, want) {
			t.Errorf("it does not say %q", want)
		}
	}
}

func TestFormatIsTheFormat(t *testing.T) {
	f := smallView().formatPage()
	whole := ""
	for _, p := range f.Pieces {
		whole += p.Text
	}
	if whole != f.Example {
		t.Errorf("the pieces make %s of %s", whole, f.Example)
	}
	letters := ""
	for _, one := range f.Verbs {
		c, err := journal.ParseCard(one.Example)
		if err != nil || string(c.Says) != one.Letter {
			t.Errorf("%s stands for %q: %+v, %v", one.Example, one.Letter, c, err)
		}
		letters += one.Letter
	}
	if letters != "BEKPNWRVLT" {
		t.Errorf("it lists %s", letters)
	}
}
