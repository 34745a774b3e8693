package render

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// What is proposed for a photo to sort is the build that was on the bench around it, not
// the one that was begun last.
func TestSortProposesTheBuildOfTheseDays(t *testing.T) {
	at := func(day string) journal.Instant {
		when, _ := time.Parse(time.DateOnly, day)
		return journal.Instant{At: when.Add(19 * time.Hour), Source: "DateTimeOriginal"}
	}
	stages := []journal.Stage{{ID: "inspect", Kind: "inspect"}, {ID: "paint", Kind: "paint"}}
	of := journal.Tags{Build: "mail-seaplane", Stage: "paint"}
	loose := &journal.Photo{Hash: strings.Repeat("c", 64), Instant: at("2024-05-10")}
	v := &view{State: &journal.State{
		Builds: []*journal.Build{{ID: "mail-seaplane", Stages: stages}, {ID: "second-lorry", Stages: stages}},
		Photos: []*journal.Photo{{Hash: strings.Repeat("a", 64), Tags: of, Instant: at("2024-05-01")}, loose,
			{Hash: strings.Repeat("b", 64), Tags: of, Instant: at("2024-05-30")}},
	}, builds: map[string]*build{}, stem: map[string]string{loose.Hash: "cccccccc"}}
	for _, b := range v.Builds {
		one := &build{Build: b}
		v.builds[b.ID], v.order = one, append(v.order, one)
	}
	if got, want := v.tagCommand([]*journal.Photo{loose}), "rakelight tag cccccccc mail-seaplane paint"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
