// What the words of a language may not say: more than the English does.

package render

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"rakelight/journal/say"
)

// The words of change, in English and in German, wherever they stand. What the English
// has no word of change for must not sound like one in another language.
var (
	ofChange = regexp.MustCompile(`(?i)\b(faster|slower|quicker|quickly|better|worse|best|worst|less good|good|improv\w*|progress\w*|` +
		`gain\w*|learn\w*|practice|cuts|lengthens|less|more|fewer|stricter|kinder|shorter|longer|later|latest|` +
		`easier|harder|frequent|above|below|clear\w*|chang\w*|taught|help\w*|strong\w*|weak\w*)\b`)
	vonWandel = regexp.MustCompile(`(?i)\b(schneller\w*|langsamer\w*|besser\w*|schlechter\w*|beste[nmrs]?|schlechteste[nmrs]?|` +
		`fortschritt\w*|verbesser\w*|verschlechter\w*|gelernt|lernt\w*|geübter|sicherer|sauberer|genauer|strenger|milder|` +
		`verkürzt|verlängert|kürzer|länger|gestiegen|gesunken|steigt|sinkt|zugenommen|abgenommen|häufiger|seltener|` +
		`leichter\w*|schwerer\w*|deutlich\w*|stärker|schwächer|hilft|gewonnen)\b`)
)

func TestGermanClaimsNoMoreThanEnglish(t *testing.T) {
	f := wordFile(t, "de.toml")
	tried := 0
	for key := range f.Words {
		texts, _ := f.Texts(key)
		for form, text := range texts {
			if word := vonWandel.FindString(text); word != "" {
				tried++
				if !ofChange.MatchString(string(key)) {
					t.Errorf("%q, form %v: %q says %q, which the English does not", key, form, text, word)
				}
			}
		}
	}
	if tried < 10 {
		t.Errorf("only %d words of change were looked at", tried)
	}
	for text, want := range map[string]bool{"Ich arbeite jetzt schneller": true, "%s-faches Tempo": false,
		"Meine Arbeit sieht besser aus": true, "Lernen": false} {
		if vonWandel.MatchString(text) != want {
			t.Errorf("%q: found %v", text, !want)
		}
	}
}

// One part is missing, and two are: the German verb goes by the number.
func TestGermanVerbsGoByTheNumber(t *testing.T) {
	german, ok := say.In("de", nil)
	if !ok {
		t.Fatal("no German")
	}
	for n, want := range map[int]string{1: "1 fehlt im Karton", 3: "3 fehlen im Karton"} {
		if got := german.Say("%d missing", n); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Every text takes the arguments of its key, and one without arguments is no format.
func TestWordsTakeTheirArguments(t *testing.T) {
	for _, tag := range say.Languages() {
		f := wordFile(t, tag+".toml")
		for key := range f.Words {
			var args []any
			for _, one := range placeholders(key.English()) {
				switch one[len(one)-1] {
				case 'd':
					args = append(args, 7)
				case 'f', 'g':
					args = append(args, 7.5)
				default:
					args = append(args, "x")
				}
			}
			texts, _ := f.Texts(key)
			for _, text := range texts {
				if said := fmt.Sprintf(text, args...); strings.Contains(text, "%") && strings.Contains(said, "%!") && len(args) > 0 {
					t.Errorf("%s: %q: %q comes out as %q", tag, key, text, said)
				}
				if len(args) == 0 && strings.Contains(text, "%%") {
					t.Errorf("%s: %q: %q takes no arguments, so its percent sign stands alone", tag, key, text)
				}
			}
		}
	}
}
