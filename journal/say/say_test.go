package say

import (
	"slices"
	"testing"
	"time"
)

// read is a speaker of a word file.
func read(t *testing.T, file string) *Speaker {
	t.Helper()
	f, err := Read([]byte(file))
	if err != nil {
		t.Fatal(err)
	}
	return f.Speaker()
}

// Sentences have their own order and plural forms, and what is said in them is said in
// the same language.
func TestSay(t *testing.T) {
	german := read(t, `language = "de"
[words]
"%s in %s" = "in %[2]s: %[1]s"
"%d photo" = { one = "%d Foto", other = "%d Fotos" }
"%d of %d photos" = { by = 2, one = "%d von %d Foto", other = "%d von %d Fotos" }
"verb¦open" = "öffnen"
"list¦%s and %s" = "%s und %s"
"list¦, " = ", "
"%s h" = { one = "%s Stunde", other = "%s Stunden" }
`)
	polish := read(t, `language = "pl"
[words]
"%d photo" = { one = "%d zdjęcie", few = "%d zdjęcia", many = "%d zdjęć", other = "%d zdjęcia" }
`)
	for _, c := range []struct{ got, want string }{
		{german.Say("%s in %s", "Lotsenboot", Count{2, "photo"}), "in 2 Fotos: Lotsenboot"},
		{german.Count(1, "photo"), "1 Foto"},
		{german.Say("%d of %d photos", 1, 3), "1 von 3 Fotos"},
		{german.Say("%d of %d photos", 3, 1), "3 von 1 Foto"},
		{german.Say("verb¦open"), "öffnen"},
		{English().Say("verb¦open"), "open"},
		{german.List([]string{"a", "b", "c"}), "a, b und c"},
		{English().List([]string{"a", "b", "c"}), "a, b and c"},
		{German(t).Say("%s: %s", Number("1.41"), Own("1.5 mm")), "1,41: 1.5 mm"},
		{german.Say("%s h", Number("1.0")), "1,0 Stunden"}, // CLDR: i = 1 and v = 0
		{german.Say("%s h", Number("1")), "1 Stunde"},
		{polish.Count(3, "photo"), "3 zdjęcia"}, {polish.Count(5, "photo"), "5 zdjęć"}, {polish.Count(22, "photo"), "22 zdjęcia"},
		{English().Count(2, "dative¦entry"), "2 entries"}, {English().Count(2, "batch"), "2 batches"},
		{Of("%s in %s", "a", Number("2.5")).String(), "a in 2.5"},
		{Of("%s %% in %s", Number("-2.5"), Own("-2.5 mm")).String(), "−2.5 % in -2.5 mm"}, {german.Say("%s h", Number("-1")), "−1 Stunde"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// German is the German of the program.
func German(t *testing.T) *Speaker {
	t.Helper()
	s, ok := In("de-AT", nil)
	if !ok {
		t.Fatal("there is no German")
	}
	return s
}

func TestDates(t *testing.T) {
	de := German(t)
	day := time.Date(2026, 6, 23, 0, 0, 0, 0, time.UTC)
	for got, want := range map[string]string{
		de.Day(day): "23.\u00a0Juni 2026", English().Day(day): "23 June 2026",
		de.Date("2026-03"): "März 2026", de.Date("1998"): "1998", de.Date("spring"): "spring",
		de.DayOfMonth(day): "23.\u00a0Juni", de.Weekday(day.Weekday()): "Dienstag", English().Weekday(day.Weekday()): "Tuesday",
		English().Month(time.May): "May", English().ShortMonth(time.May): "May",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for m := time.January; m <= time.December; m++ { // the names that package time has
		if English().Month(m) != m.String() || English().ShortMonth(m) != m.String()[:3] {
			t.Errorf("%s, %s", English().Month(m), English().ShortMonth(m))
		}
	}
	for d := time.Sunday; d <= time.Saturday; d++ {
		if English().Weekday(d) != d.String() {
			t.Error(English().Weekday(d))
		}
	}
}

// What a language has no words for is said in English, turned, and found on the page.
func TestUnsaid(t *testing.T) {
	s := read(t, "language = \"de\"\n[words]\n\"Pace\" = \"Tempo\"\n")
	s.turn = func(words string) string { return "[" + words + "]" }
	page := s.Say("Pace") + ", " + s.Say("%d of you", 2) + ", " + s.Say("Skill") + ", " + s.Say("Skill") + ", " + s.Count(2, "fly")
	got, keys := s.Unmarked([]byte(page))
	if want := "Tempo, [2 of you], [Skill], [Skill], 2 flies"; string(got) != want {
		t.Errorf("%q, want %q", got, want)
	}
	if want := []Key{"%d fly", "%d of you", "Skill"}; !slices.Equal(keys, want) {
		t.Errorf("%q, want %q", keys, want)
	}
}

func TestWordFilesThatAreWrong(t *testing.T) {
	for _, file := range []string{"language = \"not a language\"", "language = \"de\"\n[words]\n\"a\" = 3",
		"language = \"de\"\n[words]\n\"a\" = { one = \"b\" }", "language = \"de\"\n[words]\n\"a\" = { others = \"b\", other = \"c\" }"} {
		if _, err := Read([]byte(file)); err == nil {
			t.Errorf("%q is read without an error", file)
		}
	}
	if _, ok := In("xx", nil); ok {
		t.Error("a language without words")
	}
}
