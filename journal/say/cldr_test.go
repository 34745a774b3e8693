// What each language says of dates, numbers and lists, against Unicode CLDR.

package say

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// cldr is the table of Unicode CLDR 48.2 by locale and item; its head names the files.
func cldr(t *testing.T) map[string]map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", "18_cldr_languages.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]map[string]string{}
	for _, row := range rows[1:] {
		if all[row[0]] == nil {
			all[row[0]] = map[string]string{}
		}
		all[row[0]][row[1]] = row[2]
	}
	return all
}

// dated is a day by a date pattern of CLDR (Unicode Technical Standard 35, part 4), as
// far as the patterns of the table go.
func dated(pattern, month string, day time.Time) string {
	_, week := day.ISOWeek()
	fields := strings.NewReplacer("MMMM", month, "d", fmt.Sprint(day.Day()), "y", fmt.Sprint(day.Year()),
		"Y", fmt.Sprint(day.Year()), "w", fmt.Sprint(week))
	var out strings.Builder
	for i, piece := range strings.Split(pattern, "'") {
		if i%2 == 0 { // between quotes stands what is no field
			piece = fields.Replace(piece)
		}
		out.WriteString(piece)
	}
	return out.String()
}

// English has its names from CLDR's "en", where months are short by three letters, and the
// order of its dates and its lists from "en-GB": the day first, no comma before "and".
func TestLanguagesAgreeWithCLDR(t *testing.T) {
	table := cldr(t)
	for _, c := range []struct {
		in           *Speaker
		names, order string
	}{{German(t), "de", "de"}, {English(), "en", "en-GB"}} {
		tried := 0
		agree := func(what, got, want string) {
			t.Helper()
			tried++
			got = strings.ReplaceAll(got, "\u00a0", " ") // a day does not part from its month
			if want == "" || got != want {
				t.Errorf("%s, %s: %q, CLDR has %q", c.names, what, got, want)
			}
		}
		names, order := table[c.names], table[c.order]
		for m := time.January; m <= time.December; m++ {
			month := names[fmt.Sprintf("month %d", m)]
			agree("month", c.in.Month(m), month)
			agree("short month", c.in.ShortMonth(m), names[fmt.Sprintf("short %d", m)])
			day := time.Date(2026, m, 9, 0, 0, 0, 0, time.UTC)
			agree("date", c.in.Day(day), dated(order["date"], month, day))
			agree("day of a month", c.in.DayOfMonth(day), dated(order["monthday"], month, day))
			agree("month of a year", c.in.MonthOf(day), dated(order["monthyear"], month, day))
			_, week := day.ISOWeek()
			agree("week", strings.ToLower(c.in.Say("Week %s of %s", fmt.Sprint(week), "2026")),
				strings.ToLower(dated(order["week"], month, day)))
		}
		for d := time.Sunday; d <= time.Saturday; d++ {
			agree("weekday", c.in.Weekday(d), names[fmt.Sprintf("day %d", d)])
		}
		agree("number", Number("1234.5").In(c.in), "1234"+order["decimal"]+"5")
		two, four := []string{"a", "b"}, []string{"a", "b", "c", "d"}
		agree("two", c.in.List(two), joined(order, two))
		agree("four", c.in.List(four), joined(order, four))
		for _, n := range []Number{"0", "1", "2", "21", "1.0", "0.5"} {
			form, _ := formOf(c.in.tag, localNumber{n, string(n)})
			is := "other"
			if n == "1" { // what the table's rule says: one where i = 1 and v = 0
				is = "one"
			}
			agree("the rule of one", names["plural one"], "i = 1 and v = 0")
			agree("plural form of "+string(n), fmt.Sprint(form), fmt.Sprint(formNames[is]))
		}
		if tried < 90 {
			t.Errorf("%s: only %d things were compared", c.names, tried)
		}
	}
}

// joined is a list by CLDR's patterns (Unicode Technical Standard 35, part 2, "List
// Patterns").
func joined(patterns map[string]string, words []string) string {
	put := func(pattern, a, b string) string { return strings.NewReplacer("{0}", a, "{1}", b).Replace(pattern) }
	n := len(words)
	if n == 2 {
		return put(patterns["list 2"], words[0], words[1])
	}
	out := put(patterns["list end"], words[n-2], words[n-1])
	for i := n - 3; i > 0; i-- {
		out = put(patterns["list middle"], words[i], out)
	}
	return put(patterns["list start"], words[0], out)
}

// German quotes as CLDR has it, and its quotes come in pairs.
func TestGermanQuotes(t *testing.T) {
	of := cldr(t)["de"]
	pair := regexp.MustCompile(of["quote start"] + "[^" + of["quote start"] + of["quote end"] + "]+" + of["quote end"])
	tried := 0
	for key, forms := range German(t).file.Words {
		for _, text := range forms.text {
			rest := pair.ReplaceAllString(text, "")
			if rest != text {
				tried++
			}
			if strings.ContainsAny(rest, `„“”"'‚‘’`) {
				t.Errorf("%q: %q", key, text)
			}
		}
	}
	if tried < 8 {
		t.Errorf("only %d texts quote", tried)
	}
}
