// The finder of claims on pages in German: what claims nothing in English, claims
// nothing there.

package main

import (
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/say"
	"rakelight/site"
)

// germanEnv is how many journals in which nothing changed are published in German.
const germanEnv = "RAKELIGHT_NOTHING_GERMAN"

// wandel are the words of change in German, wherever they stand.
var wandel = regexp.MustCompile(`(?i)(^|[^\pL])(schneller\w*|langsamer\w*|besser\w*|schlechter\w*|beste[nmrs]?|weniger gut|` +
	`fortschritt\w*|verbesser\w*|verschlechter\w*|lern(t|en|te|ten)|gelernt|geübter|sauberer|genauer|` +
	`strenger|milder|verkürzt|verlängert|gestiegen|gesunken|steigt|sinkt|häufiger|seltener|deutlich\w*|` +
	`(mehr|weniger) (als die|Fehler|Zeit|Punkte)|Punkte (mehr|weniger)|` +
	`(über|unter|außerhalb) der spanne|kurve flach|hilft|gewonnen)($|[^\pL])`)

var (
	germanHole = regexp.MustCompile(`%(?:\[\d+\])?[-+#0]*[\d.]*[sdfgv]`)
	anything   = `.*?`
	// How single photos fared in their pairs.
	pairsInGerman = regexp.MustCompile(`\d+ Paare?: (\d+ (besser|gleich|weniger gut)(, )?)+`)
)

// unclaiming are the German sentences with words of change whose English has some too and,
// as the finder reads it, claims nothing.
func unclaiming(t *testing.T) (all []*regexp.Regexp) {
	t.Helper()
	data, err := fs.ReadFile(site.Files, "words/de.toml")
	if err != nil {
		t.Fatal(err)
	}
	f, err := say.Read(data)
	if err != nil {
		t.Fatal(err)
	}
	all = append(all, pairsInGerman)
	for key := range f.Words {
		english := germanHole.ReplaceAllString(key.English(), "x")
		if !change.MatchString(english) || !saysNothing(english) {
			continue
		}
		texts, _ := f.Texts(key)
		for _, text := range texts {
			if !wandel.MatchString(text) {
				continue
			}
			var pattern strings.Builder
			for i, piece := range germanHole.Split(text, -1) {
				if i > 0 {
					pattern.WriteString(anything)
				}
				pattern.WriteString(regexp.QuoteMeta(strings.NewReplacer("%%", "%", "\u00a0", " ").Replace(piece)))
			}
			all = append(all, regexp.MustCompile(pattern.String()))
		}
	}
	return all
}

// germanClaims are the sentences of published pages that tell of a change in German, by
// their file.
func germanClaims(dir string, unclaiming []*regexp.Regexp) (map[string][]string, error) {
	lines, err := pagesSaid(dir)
	found := map[string][]string{}
	for _, one := range lines {
		words := strings.ReplaceAll(one.words, "\u00a0", " ")
		if !wandel.MatchString(words) {
			continue
		}
		for _, nothing := range unclaiming {
			words = nothing.ReplaceAllString(words, " ")
		}
		if wandel.MatchString(words) {
			file, _, _ := strings.Cut(one.where, "#")
			found[file] = append(found[file], one.words)
		}
	}
	return found, err
}

// saysNothing reports whether an English sentence claims nothing, by itself or as the
// caution it stands in.
func saysNothing(english string) bool {
	for _, around := range [][2]string{{"", ""}, {"", "."}, {"Caution: ", "."}} {
		if len((telling{words: around[0] + english + around[1]}).claims()) == 0 {
			return true
		}
	}
	return false
}

// Where nothing changed, the pages in German claim a change only where the values do;
// where all went faster, German says so.
//
// RAKELIGHT_NOTHING_GERMAN=50 asks as many journals.
func TestNothingChangedInGerman(t *testing.T) {
	t.Parallel()
	n := asked(t, germanEnv, 1)
	silent := unclaiming(t)
	claimed := func(dir string) (values []telling, german map[string][]string, err error) {
		out := filepath.Join(filepath.Dir(dir), "published")
		if _, err := answerOf(dir, "publish", out, "--language", "de"); err != nil {
			return nil, nil, err
		}
		j, err := journal.OpenAt(dir, func() time.Time { return simulatedNow })
		if err != nil {
			return nil, nil, err
		}
		german, err = germanClaims(out, silent)
		return claimedValues(j.State), german, err
	}
	inParallel(n, func(i int) {
		p := usual(uint64(i))
		p.evenings = simulatedEvenings[i%len(simulatedEvenings)]
		withJournal(t, p, func(dir string) error {
			values, german, err := claimed(dir)
			if len(values) == 0 && len(german) > 0 {
				t.Errorf("person %d: nothing is claimed, and German says: %q", i, german)
			}
			return err
		})
	})
	p := usual(1_000_000)
	p.gain, p.evenings, p.classes, p.builds, p.photos, p.pairs = 1.5, 12, 1, 2, 0, 0
	withJournal(t, p, func(dir string) error {
		values, german, err := claimed(dir)
		if len(values) == 0 || !slices.ContainsFunc(german["pace.html"], fasterInGerman.MatchString) {
			t.Errorf("work two and a half times as fast: %d values are claimed; German says %q", len(values), german)
		}
		return err
	})
}

var fasterInGerman = regexp.MustCompile(`schneller gearbeitet`)
