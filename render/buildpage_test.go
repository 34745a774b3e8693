// What a build's page begins with while it is open.

package render

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// Which parts are next helps at the bench, and nobody else; how many there are is for
// all. The day it must be ready by is a short fact, and how likely that is a sentence.
func TestWhatComesNext(t *testing.T) {
	s := smallState()
	s.Pauses = nil
	for _, b := range s.Builds {
		if b.ID == "lightship" {
			b.ReadyBy = "2024-12-01"
		}
	}
	next := func(v *view) (words, parts string, p BuildPage) {
		p = v.buildPage(v.builds["lightship"], v.texts())
		for _, one := range p.Book.Waits {
			for _, line := range one.Lines {
				if one.Head == "Next" {
					words += line.Words
					for _, part := range line.Parts {
						parts += part.Words
					}
				}
			}
		}
		return words, parts, p
	}
	mine, mineParts, p := next(viewOf(s, at("2024-06-20"), nil))
	readers, readersParts, _ := next(readersOf(s))
	if mine == "" || mine != readers || mineParts == "" || readersParts != "" {
		t.Errorf("the builder reads %q %q, readers %q %q", mine, mineParts, readers, readersParts)
	}
	if !strings.HasPrefix(p.Ready, "Ready by 1 December 2024") {
		t.Errorf("%q", p.Ready)
	}
	for _, f := range p.Facts {
		if f.Term == "Must be ready" && f.Is != "by 1 December 2024" {
			t.Errorf("%q", f.Is)
		}
	}
}

// The pause a page begins with does not stand once more at its end.
func TestPauseStandsOnce(t *testing.T) {
	v := viewOf(smallState(), time.Time{}, nil)
	p := v.buildPage(v.builds["lightship"], v.texts())
	if p.Paused == nil || len(p.Pauses) != 0 {
		t.Errorf("%v, %v", p.Paused, p.Pauses)
	}
}

// What was done of several classes is one phrase after its number.
func TestClassWords(t *testing.T) {
	for _, c := range []struct {
		s    journal.Session
		want string
	}{
		{journal.Session{}, ""}, {journal.Session{Class: "flat"}, "flat"},
		{journal.Session{Classes: []journal.ClassCount{{Class: "clear", Parts: 8}, {Class: "curved", Parts: 16}, {Parts: 2}}},
			"of them 8 clear, 16 curved and 2 of no class given"},
	} {
		if got := inEnglish.classWords(&c.s); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
