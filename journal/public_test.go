// The state for readers.

package journal

import (
	"reflect"
	"slices"
	"testing"
)

// Every field of the state was thought about: readers get it, as far as it is theirs,
// or do not. A new one is private until it is decided in ForReaders.
func TestForReadersKnowsAllOfTheState(t *testing.T) {
	theirs := []string{"Config", "Zone", "Builds", "Sessions", "Photos", "Pauses", "Diary", "Marks", "Verdicts", "Mistakes", "Notes",
		"Trials", "Checks", "Subs", "Holds", "Preps", "Hands", "Points", "Sheets", "Mixes", "Additions", "Sandings"}
	never := []string{"Clocks", "Cards", "Asides", "Repairs", "Packs", "Privates", "Unknown", "Problems"}
	worked := []string{"reach", "scatter", "reckoned", "later"} // out of the others
	typ := reflect.TypeOf(State{})
	for i := range typ.NumField() {
		name := typ.Field(i).Name
		if !slices.Contains(slices.Concat(theirs, never, worked), name) {
			t.Errorf("nobody decided what readers see of State.%s", name)
		}
	}
	if n := len(theirs) + len(never) + len(worked); n != typ.NumField() {
		t.Errorf("%d fields are decided, there are %d", n, typ.NumField())
	}
	s := &State{Clocks: []ClockFault{{Serial: "1"}}, Cards: []CardSaid{{}}, Asides: []Aside{{}}, Repairs: []Repair{{}}, Packs: []Pack{{}},
		Privates: []Private{{Build: "x"}}, Unknown: []Record{{}}, Problems: []Problem{{}}}
	out := reflect.ValueOf(*s.ForReaders(nil))
	for _, name := range never {
		if out.FieldByName(name).Len() > 0 {
			t.Errorf("readers get State.%s", name)
		}
	}
}

func TestNamesOfPrivatePhotos(t *testing.T) {
	hash := "1f3a9c04b2" + "0000000000000000000000000000000000000000000000000000aa"
	public := "77ab01cd00" + "0000000000000000000000000000000000000000000000000000bb"
	n := namesOf([]*Photo{{Hash: hash, Name: "IMG 7 (2).JPG", Beside: []Original{{Hash: "99ffee0011", Name: "raw.NEF"}}}, {Hash: public, Name: "b.jpg"}, {Hash: "c0ffee0123", Name: "b.jpg"}},
		func(p *Photo) bool { return p.Hash == public }, map[string]bool{"secret-boat": true})
	for in, want := range map[string]string{
		"see 1f3a9c04 and 77ab01cd":                       "see … and 77ab01cd",
		"all of " + hash + ".":                            "all of ….",
		"1F3A9C04":                                        "…",
		"![the bow](1f3a9c04)":                            "the bow",
		"![](<img 7 (2).jpg>) here":                       " here",
		"![the bow](1f3a9c04 \"At last\") and [x](y.pdf)": "the bow and [x](y.pdf)",
		"[it](../../secret-boat/build.md)":                "it",
		"[it](../secret-boat/)":                           "it",
		"[it][1]\n\n[1]: ../secret-boat/build.md":         "[it][1]\n\n[1]: #",
		"[it](https://example.com/secret-boat)":           "[it](https://example.com/secret-boat)",
		"IMG 7 (2).jpg, raw.nef and b.jpg":                "…, … and b.jpg",
		"[p](77ab01cd)":                                   "[p](77ab01cd)",
		"![p](b.jpg)":                                     "![p](b.jpg)",
		"deadbeef1":                                       "deadbeef1",
	} {
		if got := n.without(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
