// Tests of supplies: read from task lists, and written back without changing anything
// else.

package plan

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

const shoppingText = "\ufeff---\r\ntitle: x\r\n# Supplies\r\n---\r\n\r\nWords.\r\n\r\n## Supplies \r\n" +
	"- [ ] primer\r\n" +
	"\t* [X] filler, the smooth one (a tube)  \r\n" +
	"  goes on\r\n" +
	"- [ ] clear gel (Ordered 2026-11-20; cost 4.50)  <!-- the corner shop -->\r\n" +
	"- [x] wire (ordered; come 2026-11-24)\r\n" +
	"### For later:\r\n" +
	"+ [ ] salt (ordered) (cost 2,10 EUR)\r\n" +
	"<!--\r\n- [ ] commented out\r\n-->\r\n" +
	"~~~\r\n- [ ] code\r\n~~~\r\n" +
	"## Order of work\r\n- [ ] check every runner\r\n" +
	"# Shopping, in town\r\n- [ ] tape (ordered last week)\r\n- [ ] (ordered)\r\n- [ ] end"

func shoppingList(t *testing.T) (*Build, []Supply) {
	t.Helper()
	b, problems := ParseBuild("x", []byte(shoppingText))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return b, SuppliesOf(b.Body, Config{}.SupplyHeadings())
}

func TestSuppliesOf(t *testing.T) {
	_, got := shoppingList(t)
	want := []Supply{
		{"Supplies", "primer", SupplyMissing, "", "", "", 4},
		{"Supplies", "filler, the smooth one (a tube)", SupplyHad, "", "", "", 5},
		{"Supplies", "clear gel", SupplyOrdered, "2026-11-20", "", "4.50", 7},
		{"Supplies", "wire", SupplyCome, "", "2026-11-24", "", 8},
		{"For later:", "salt", SupplyOrdered, "", "", "2,10 EUR", 10},
		{"Shopping, in town", "tape (ordered last week)", SupplyMissing, "", "", "", 20},
		{"Shopping, in town", "(ordered)", SupplyMissing, "", "", "", 21},
		{"Shopping, in town", "end", SupplyMissing, "", "", "", 22},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %+v", got)
	}
	c := Config{Supplies: []string{"Order of"}}
	b, _ := shoppingList(t)
	if got := SuppliesOf(b.Body, c.SupplyHeadings()); len(got) != 1 || got[0].Text != "check every runner" {
		t.Errorf("by own heading: %+v", got)
	}
	if got := SuppliesOf("## Suppliesomething\n- [ ] x\n\n- [ ] y", Config{}.SupplyHeadings()); len(got) > 0 {
		t.Errorf("another heading: %+v", got)
	}
}

func TestSetSupply(t *testing.T) {
	_, all := shoppingList(t)
	cost, none := "7.20", ""
	for _, c := range []struct {
		of       string
		change   SupplyChange
		old, new string
	}{
		{"primer", SupplyChange{State: SupplyHad}, "- [ ] primer\r\n", "- [x] primer\r\n"},
		{"primer", SupplyChange{State: SupplyOrdered, Day: "2026-11-26"}, "- [ ] primer\r\n", "- [ ] primer (ordered 2026-11-26)\r\n"},
		{"primer", SupplyChange{State: SupplyMissing}, "", ""},
		{"primer", SupplyChange{}, "", ""},
		{"filler, the smooth one (a tube)", SupplyChange{State: SupplyHad}, "", ""},
		{"filler, the smooth one (a tube)", SupplyChange{State: SupplyMissing}, "[X] filler", "[ ] filler"},
		{"filler, the smooth one (a tube)", SupplyChange{Cost: &cost}, "(a tube)  \r\n", "(a tube) (cost 7.20)  \r\n"},
		{"clear gel", SupplyChange{State: SupplyCome, Day: "2026-11-26"}, "- [ ] clear gel (Ordered 2026-11-20; cost 4.50)  <!--", "- [x] clear gel (ordered 2026-11-20; come 2026-11-26; cost 4.50)  <!--"},
		{"clear gel", SupplyChange{State: SupplyMissing, Cost: &none}, " (Ordered 2026-11-20; cost 4.50)", ""},
		{"wire", SupplyChange{State: SupplyHad}, " (ordered; come 2026-11-24)", ""},
		{"wire", SupplyChange{State: SupplyOrdered}, "- [x] wire (ordered; come 2026-11-24)", "- [ ] wire (ordered)"},
		{"salt", SupplyChange{Cost: &cost}, "(ordered) (cost 2,10 EUR)", "(ordered; cost 7.20)"},
		{"(ordered)", SupplyChange{State: SupplyOrdered}, "- [ ] (ordered)\r\n", "- [ ] (ordered) (ordered)\r\n"},
		{"end", SupplyChange{State: SupplyHad}, "- [ ] end", "- [x] end"},
	} {
		i := slices.IndexFunc(all, func(s Supply) bool { return s.Text == c.of })
		got, err := SetSupply([]byte(shoppingText), all[i], c.change, Config{}.SupplyHeadings())
		want := strings.Replace(shoppingText, c.old, c.new, 1)
		if c.old == "" {
			want = shoppingText
		}
		if err != nil || string(got) != want {
			t.Errorf("%s, %+v: %v\n%q\nwant\n%q", c.of, c.change, err, got, want)
		}
	}
}

// A supply that moved is found by its words; of two alike, or of none, nothing is
// written.
func TestSupplyThatMoved(t *testing.T) {
	headings := Config{}.SupplyHeadings()
	was := Supply{Section: "Supplies", Text: "tape", State: SupplyMissing, Line: 2}
	had := SupplyChange{State: SupplyHad}
	if got, err := SetSupply([]byte("new line\n# Supplies\n\n- [ ] tape"), was, had, headings); err != nil || string(got) != "new line\n# Supplies\n\n- [x] tape" {
		t.Errorf("moved: %q, %v", got, err)
	}
	if got, err := SetSupply([]byte("# Supplies\n- [ ] tape\n- [ ] tape\n"), was, had, headings); err != nil || string(got) != "# Supplies\n- [x] tape\n- [ ] tape\n" {
		t.Errorf("on its line: %q, %v", got, err)
	}
	for _, text := range []string{"# Supplies\n- [x] tape\n- [x] tape\n", "# Supplies\n", "# Work\n- [ ] tape\n", ""} {
		if got, err := SetSupply([]byte(text), was, had, headings); !errors.Is(err, ErrNoSupply) || got != nil {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
	cost := "(9)"
	for _, change := range []SupplyChange{{State: "lost"}, {State: SupplyOrdered, Day: "soon"}, {Cost: &cost}} {
		if got, err := SetSupply([]byte("# Supplies\n- [ ] tape\n"), was, change, headings); err == nil || got != nil {
			t.Errorf("%+v: %q", change, got)
		}
	}
}

func TestAddSupply(t *testing.T) {
	headings := Config{}.SupplyHeadings()
	for text, want := range map[string]string{
		"":                                      "\n## Supplies\n- [ ] tape\n",
		"Words":                                 "Words\n\n## Supplies\n- [ ] tape\n",
		"Words.\r\n":                            "Words.\r\n\r\n## Supplies\r\n- [ ] tape\r\n",
		"# Supplies\n* [x] a\n  more\n\nEnd.\n": "# Supplies\n* [x] a\n  more\n* [ ] tape\n\nEnd.\n",
		"# Supplies\n- [ ] a":                   "# Supplies\n- [ ] a\n- [ ] tape\n",
		"# Supplies\r\n - [ ] a\r\n# Work":      "# Supplies\r\n - [ ] a\r\n - [ ] tape\r\n# Work",
		"# Supplies\n- [ ] a\n~~~\n\n~~~\n":     "# Supplies\n- [ ] a\n~~~\n\n~~~\n\n## Supplies\n- [ ] tape\n",
	} {
		if got, err := AddSupply([]byte(text), "tape", headings); err != nil || string(got) != want {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
	for _, words := range []string{"", "tape (ordered)", "a\nb", " a", "a <!-- b -->"} {
		if got, err := AddSupply([]byte("# Supplies\n- [ ] a\n"), words, headings); err == nil {
			t.Errorf("%q: %q", words, got)
		}
	}
}

// Whatever a build.md holds: one supply gets its state and its cost, reads so again,
// and no other line changes, in no byte.
func FuzzSetSupply(f *testing.F) {
	f.Add([]byte(shoppingText), uint64(1))
	f.Add([]byte("# Supplies\n- [ ] a (ordered) <!-- (come) --> (cost 1)\n- [x] b <!-- \n- [ ] c --> \n"), uint64(2))
	f.Add([]byte("---\n---\n\n \n## shopping: \n- [ ] a\u00a0\n> - [ ] b\n\t- [X]  c (come; )\n- [ ] ``` (ordered)\r"), uint64(3))
	f.Fuzz(setsAlone)
}

// Texts that are made of what the reader looks for.
func TestSetsAlone(t *testing.T) {
	pieces := []string{"- [ ] ", "- [x] ", "* [X] ", "  ", "a", "(ordered)", " (ordered 2026-11-20; cost 4.50)", "(come)",
		"(the dark one)", "<!--", "-->", "<!-- c -->", "# Supplies\n", "## Shopping\n", "# Work\n", "\n", "\n", "\r\n", "---\n", "~~~\n",
		"```\n", "\u00a0", "\ufeff", "\r", "(", ")", ";"}
	for seed := range uint64(4000) {
		rng := rand.New(rand.NewPCG(seed, 9))
		text := []string{"", "# Supplies\n", "---\n---\n# Supplies\r\n"}[rng.IntN(3)]
		for range rng.IntN(30) {
			text += pieces[rng.IntN(len(pieces))]
		}
		setsAlone(t, []byte(text), seed)
	}
}

func setsAlone(t *testing.T, text []byte, seed uint64) {
	b, _ := ParseBuild("x", text)
	headings := Config{}.SupplyHeadings()
	all := SuppliesOf(b.Body, headings)
	if !slices.Equal(all, suppliesIn(text, headings)) {
		t.Fatalf("%q is read as %+v, and in its place as %+v", text, all, suppliesIn(text, headings))
	}
	rng := rand.New(rand.NewPCG(seed, 1))
	if len(all) == 0 {
		return
	}
	n := rng.IntN(len(all))
	cost := []string{"", "4.50", "€ 3", "12,5 EUR"}[rng.IntN(4)]
	change := SupplyChange{State: append([]string{""}, SupplyStates...)[rng.IntN(5)], Day: []string{"", "2026-11-26"}[rng.IntN(2)]}
	if rng.IntN(2) == 0 {
		change.Cost = &cost
	}
	after, err := SetSupply(text, all[n], change, headings)
	if err != nil {
		t.Fatalf("%+v: %v", all[n], err)
	}
	old, now := strings.SplitAfter(string(text), "\n"), strings.SplitAfter(string(after), "\n")
	differ := 0
	for i := range min(len(old), len(now)) {
		if old[i] != now[i] {
			differ++
		}
	}
	if len(old) != len(now) || differ > 1 {
		t.Fatalf("%d lines of %d differ, then there are %d:\n%q\n%q", differ, len(old), len(now), text, after)
	}
	again := suppliesIn(after, headings)
	want := slices.Clone(all)
	if change.State != "" {
		want[n].State = change.State
	}
	if change.Cost != nil {
		want[n].Cost = cost
	}
	if len(again) == len(want) { // the days are those it has in that state
		want[n].Ordered, want[n].Come = again[n].Ordered, again[n].Come
	}
	if !slices.Equal(again, want) {
		t.Fatalf("%+v of %q\nis written %q\nread as %+v\nwant %+v", change, text, after, again, want)
	}
}

// What is to be done is all that is on the lists but the supplies, also those below a
// smaller heading of theirs.
func TestStepsAreNoSupplies(t *testing.T) {
	text := "- [ ] wash the runners\n\n## Supplies for the hull\n- [ ] wire\n\n### Later\n- [x] glue\n\n## Order of work\n- [x] hull\n- [ ] mast\n"
	var got []string
	for _, s := range StepsOf(text, Config{}.SupplyHeadings()) {
		got = append(got, fmt.Sprint(s.Section, ": ", s.Text, " ", s.Done))
	}
	if want := []string{": wash the runners false", "Order of work: hull true", "Order of work: mast false"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}
