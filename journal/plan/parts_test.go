// Tests of part references as builders write them (common practice, no source).

package plan

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

var partsBuild = &Build{ID: "lorry", Kits: []Kit{{Runners: []Runner{
	{Letter: "A", Parts: numberRange(1, 40), NotUsed: []string{"7"}},
	{Letter: "B", Parts: numberRange(1, 12)}, {Letter: "AA", Parts: numberRange(1, 9)},
	{Letter: "PE", Parts: numberRange(1, 20)}, {Letter: "R"},
}}}}

var twoKits = &Build{ID: "lightship", Kits: []Kit{
	{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 10)}, {Letter: "B", Parts: numberRange(1, 10)}}},
	{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 5)}}},
}}

func TestParseParts(t *testing.T) {
	for _, c := range []struct {
		build *Build
		text  string
		want  string
	}{
		{partsBuild, "A12", "A12"}, {partsBuild, "A-12", "A12"}, {partsBuild, "a 12", "A12"},
		{partsBuild, "A12x2", "A12x2"}, {partsBuild, "A12 ×2", "A12x2"}, {partsBuild, "B3+B4", "B3 B4"},
		{partsBuild, "AA7", "AA7"}, {partsBuild, "PE7", "PE7"}, {partsBuild, "R5", "R5"},
		{partsBuild, "A1-A4,B3", "A1 A2 A3 A4 B3"}, {partsBuild, "A5-8", "A5 A6 A8"},
		{partsBuild, "12", "12 bare"}, {partsBuild, " A1 , A2 ", "A1 A2"},
		{twoKits, "2/A4", "2/A4"}, {twoKits, "B3", "1/B3"}, {twoKits, "2/A1-A3", "2/A1 2/A2 2/A3"},
	} {
		refs, count, err := ParseParts(c.text, c.build)
		var got []string
		for _, r := range refs {
			got = append(got, r.String())
		}
		if count > 0 {
			got = append(got, fmt.Sprintf("%d bare", count))
		}
		if err != nil || strings.Join(got, " ") != c.want {
			t.Errorf("ParseParts(%q) = %v, %v; want %s", c.text, got, err, c.want)
		}
	}
	for _, c := range []struct {
		build *Build
		text  string
		asks  bool
	}{
		{partsBuild, "B3/B4", true}, {partsBuild, "D14", true}, {partsBuild, "O5", true}, {partsBuild, "A7", true},
		{partsBuild, "A41", true}, {partsBuild, "A1, 12", true}, {partsBuild, "A1-B4", true}, {twoKits, "A4", true},
		{partsBuild, "", false}, {partsBuild, "A", false}, {partsBuild, "A9-A3", false}, {partsBuild, "A1,A1", false},
		{partsBuild, "A1x0", false}, {twoKits, "3/A1", false}, {partsBuild, "0", false},
	} {
		refs, count, err := ParseParts(c.text, c.build)
		var ask *AskError
		if err == nil || refs != nil || count != 0 || errors.As(err, &ask) != c.asks {
			t.Errorf("ParseParts(%q) = %v, %d, %v; want nothing and an error (a question: %v)", c.text, refs, count, err, c.asks)
		}
	}
}

func FuzzParseParts(f *testing.F) {
	for _, s := range []string{"A12", "2/A12x2", "B3/B4", "A1-A12,B3", "12", "PE7 ×2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		refs, count, err := ParseParts(s, partsBuild)
		if err != nil && (refs != nil || count != 0) || err == nil && (len(refs) > 0) == (count > 0) {
			t.Fatalf("%v, %d, %v: want parts, a count or an error, and only one of them", refs, count, err)
		}
		for _, r := range refs {
			again, _, err := ParseParts(r.String(), partsBuild)
			if err != nil || len(again) != 1 || again[0] != r {
				t.Fatalf("%s reads back as %v, %v", r, again, err)
			}
		}
	})
}

func TestRanges(t *testing.T) {
	for _, c := range []struct {
		build      *Build
		text, want string
	}{
		{partsBuild, "A1-A4,B3", "A1-A4,B3"}, {partsBuild, "A5-A8", "A5,A6,A8"}, {partsBuild, "A8-A12", "A8-A12"},
		{partsBuild, "A1,A2", "A1,A2"}, {partsBuild, "A12x2,A13,A14", "A12x2,A13,A14"}, {partsBuild, "A38-A40,B1", "A38-A40,B1"},
		{twoKits, "2/A1-A3", "2/A1-A3"}, {twoKits, "1/A5,2/A1-A3", "1/A5,2/A1-A3"}, {partsBuild, "A3,A1,A2", "A3,A1,A2"},
	} {
		refs, _, err := ParseParts(c.text, c.build)
		if err != nil {
			t.Errorf("ParseParts(%q): %v", c.text, err)
		}
		if got := Ranges(refs); got != c.want {
			t.Errorf("Ranges of %s = %s, want %s", c.text, got, c.want)
		}
		again, _, err := ParseParts(Ranges(refs), c.build)
		if fmt.Sprint(again) != fmt.Sprint(refs) || err != nil {
			t.Errorf("Ranges of %s read back are %v, %v", c.text, again, err)
		}
	}
}
