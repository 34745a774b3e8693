// Tests of the text that comes back: what mail programs do to it is read, what
// anybody else did is an error.

package judge

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"

	"rakelight/journal"
	"rakelight/journal/entry"
)

var sheet = Answers{Pack: "7kq3m9x2wd", Sheet: "5f0a1c77", Judge: "Zoë van der Mo", Of: 28, Given: []journal.PackAnswer{
	{Pair: "a4k9c2", Outcome: "left"}, {Pair: "c7m2p0", Outcome: "no difference"}, {Pair: "b111z9", Outcome: "cannot tell"}, {Pair: "x0d3q8", Outcome: "right"}}}

const sheetText = `Rakelight answers 1
Pack: 7kq3m9x2wd
Sheet: 5f0a1c77
Judge: Zoë van der Mo
a4k9c2 left
c7m2p0 no difference
b111z9 cannot tell
x0d3q8 right
End: 4 of 28, check ae90e5f3
`

func utf16Of(text string, high int) string {
	var b []byte
	for _, u := range append([]uint16{0xfeff}, utf16.Encode([]rune(text))...) {
		pair := [2]byte{byte(u), byte(u >> 8)}
		b = append(b, pair[high], pair[1-high])
	}
	return string(b)
}

// CRC-32 of "123456789" is cbf43926 in every catalog of check values.
func TestCheckValue(t *testing.T) {
	if got := check("123456789"); got != "cbf43926" {
		t.Error(got)
	}
}

func TestAnswersSurviveMail(t *testing.T) {
	text := sheet.Text()
	if text != sheetText {
		t.Fatalf("%s", text)
	}
	quoted := "> " + strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\n", "\n> ")
	for name, arrived := range map[string]string{
		"as written":          text,
		"CRLF":                strings.ReplaceAll(text, "\n", "\r\n"),
		"CR alone":            strings.ReplaceAll(text, "\n", "\r"),
		"no last newline":     strings.TrimSuffix(text, "\n"),
		"trailing spaces":     strings.ReplaceAll(text, "\n", "  \t\n"),
		"quoted":              quoted,
		"quoted twice, tight": ">>" + strings.ReplaceAll(text, "\n", "\n>>"),
		"indented":            "    " + strings.ReplaceAll(text, "\n", "\n    "),
		"spaced out":          strings.ReplaceAll(text, "\n", "\n\n"),
		"hard spaces":         strings.ReplaceAll(text, " ", "\u00a0"),
		"in a letter":         "Hi,\n\nhere is what I saw:\n\n" + text + "\nGreetings\nZ.\n",
		"byte order mark":     "\ufeff" + text,
		"UTF-16 little":       utf16Of(text, 0),
		"UTF-16 big":          utf16Of(text, 1),
		"Latin-1":             strings.ReplaceAll(text, "ë", "\xeb"),
	} {
		got, err := ParseAnswers([]byte(arrived))
		if err != nil || len(got) != 1 || !reflect.DeepEqual(got[0], sheet) {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	if got, err := ParseAnswers([]byte("new:\n" + text + "old:\n" + quoted)); err != nil || len(got) != 2 {
		t.Errorf("two sheets in one mail: %+v, %v", got, err)
	}
}

// Every line left out, every byte changed, every cut: an error, and nothing read.
func TestAnswersDamaged(t *testing.T) {
	refuse := func(name, arrived string) {
		t.Helper()
		if got, err := ParseAnswers([]byte(arrived)); err == nil || got != nil {
			t.Errorf("%s: taken as %+v", name, got)
		}
	}
	lines := strings.SplitAfter(sheetText, "\n")
	for i := range lines[:len(lines)-1] {
		refuse(fmt.Sprint("without line ", i), strings.Join(lines[:i], "")+strings.Join(lines[i+1:], ""))
	}
	for i := range len(sheetText) - 2 {
		refuse(fmt.Sprint("cut at ", i), sheetText[:i])
		changed := []byte(sheetText)
		if changed[i] ^= 1; strings.TrimSpace(string(changed)) != strings.TrimSpace(sheetText) {
			refuse(fmt.Sprintf("byte %d changed to %q", i, changed[i]), string(changed))
		}
	}
	refuse("an answer edited", strings.Replace(sheetText, "a4k9c2 left", "a4k9c2 right", 1))
	for name, a := range map[string]Answers{
		"twice":            {Pack: "aaaa", Sheet: "bbbb", Judge: "M", Of: 3, Given: append(sheet.Given[:1:1], sheet.Given[0])},
		"more than pairs":  {Pack: "aaaa", Sheet: "bbbb", Judge: "M", Of: 1, Given: sheet.Given},
		"none":             {Pack: "aaaa", Sheet: "bbbb", Judge: "M", Of: 1},
		"no name":          {Pack: "aaaa", Sheet: "bbbb", Of: 9, Given: sheet.Given},
		"no outcome":       {Pack: "aaaa", Sheet: "bbbb", Judge: "M", Of: 9, Given: []journal.PackAnswer{{Pair: "a4k9c2", Outcome: "up"}}},
		"pack with a path": {Pack: "../..", Sheet: "bbbb", Judge: "M", Of: 9, Given: sheet.Given},
	} {
		refuse(name, a.Text())
	}
	refuse("a newer version", strings.Replace(sheetText, "answers 1", "answers 2", 1))
	refuse("too large", sheetText+strings.Repeat("x", maxText))
}

// What is read can be written and read again, and says the same.
func FuzzParseAnswers(f *testing.F) {
	for _, seed := range []string{sheetText, "> " + strings.ReplaceAll(sheetText, "\n", "\r\n> "), sheetText + sheetText, sheetText[:60], "Rakelight answers 1\nEnd: 0 of 0, check 00000000",
		Answers{Pack: "aaaa", Sheet: "bbbb", Judge: "> Mo: x", Of: 1, Given: sheet.Given[:1]}.Text(), utf16Of(sheetText, 1), "\xff\xfe\x00", strings.ReplaceAll(sheetText, "ë", "\xeb")} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		all, err := ParseAnswers(data)
		if err != nil && all != nil {
			t.Fatal("an error, and answers beside it")
		}
		for _, one := range all {
			again, err := ParseAnswers([]byte(one.Text()))
			if err != nil || len(again) != 1 || !reflect.DeepEqual(again[0], one) {
				t.Fatalf("%+v is read again as %+v, %v", one, again, err)
			}
			if len(one.Given) == 0 || len(one.Given) > one.Of || entry.Name(one.Judge) != one.Judge {
				t.Fatalf("%+v", one)
			}
		}
	})
}
