// The words of change, and what stands on pages and in answers that holds them and
// claims nothing.

package main

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
)

// claims are the sentences among the words that tell of a change.
func (s telling) claims() (found []telling) {
	if !strings.ContainsFunc(s.words, unicode.IsLetter) && !limitsMark.MatchString(s.words) {
		return nil // a figure alone
	}
	for _, sentence := range sentencesOf(s.words) {
		if s.marked(sentence) || claimsIn(sentence, s.figures) {
			one := s
			one.words = sentence
			found = append(found, one)
		}
	}
	return found
}

// marked reports whether the place says that a sentence is a claim: a figure that a
// control chart flags, a thing to practice.
func (s telling) marked(sentence string) bool {
	return s.figures && limitsMark.MatchString(sentence) || s.item && s.surface == "practice" ||
		s.surface == "rakelight skill" && inAList.MatchString(sentence)
}

var (
	limitsMark = regexp.MustCompile(`^\S+ !$`)
	inAList    = regexp.MustCompile(`^\d+\. `)
)

var sentenceEnd = regexp.MustCompile(`[.!?:]["”’)]* +[A-Z]`)

// sentencesOf splits words where one sentence ends and another begins. A lead and
// what it rests on are two.
func sentencesOf(words string) (all []string) {
	for {
		at := sentenceEnd.FindStringIndex(words)
		if at == nil {
			return append(all, words)
		}
		all = append(all, strings.TrimSpace(words[:at[1]-1]))
		words = words[at[1]-1:]
	}
}

// change are the words of change, wherever they stand.
var change = regexp.MustCompile(`(?i)\b(faster|slower|quicker|quickly|speed(s|ed)? up|slow(s|ed)? down|sped|` +
	`better|worse|best|worst|less good|improv\w*|declin\w*|progress\w*|regress\w*|gain(s|ed|ing)?|` +
	`learn(s|ed|ing|t)?|practi[cs]\w*|cuts? the time|lengthens? the time|% (more|less|fewer)|` +
	`stricter|kinder|harsher|milder|drift(s|ed)?|` +
	`(above|below|outside|out of) (its |the )?(limits?|range)|chance explains|` +
	`(of late|lately|by now) .*\b(flat|steep)\w*|level(s|ed|led)? off|plateau\w*|` +
	`help(s|ed|ful)?|hinder\w*|sav(es|ed)|wast(es|ed)|more careful\w*|more often|less often|` +
	`stronger|weaker|weak|clearly|clear (change|difference|gain)|evident\w*|proven|` +
	`more skil\w*|less skil\w*|more accurate\w*|cleaner|neater|tidier|sloppier|` +
	`(is|are|went) (up|down)|rose|fell|grew|shrank|doubled|halved|` +
	`(more|fewer|less) (parts |joins |coats |items |decals )?(an hour|mistakes|time|points))\b`)

// noClaims are the sentences, and the parts of sentences, that hold words of
// change and claim none: they stand whatever a journal holds, or say that nothing
// can be told.
var noClaims = []*regexp.Regexp{
	// Headings, labels and names.
	regexp.MustCompile(`^(Learning|What to practice next|learning rate|drift)$`),
	regexp.MustCompile(`^What to practice next:( nothing yet: too few marks, mistakes and sessions\.)?$`),
	regexp.MustCompile(`^learning rate, all together$`),
	regexp.MustCompile(`^Learning(\. | · |\.$)`), // the title of that page, and what it says of itself
	regexp.MustCompile(`^0 to 4, by the worst place that can be seen\b`),
	regexp.MustCompile(`^It is a ruler for learning and foretells no award\b`),
	regexp.MustCompile(`^Learning, change of the time per piece with each doubling of the number done:`),
	// What always stands beside the figures.
	regexp.MustCompile(`^What practice does: each time the number you have done doubles,.* how much less time does one take\?$`),
	regexp.MustCompile(`Faster but worse is no progress, so the marks of the same stage stand beside each pace\.`),
	regexp.MustCompile(`, so that a build with easier parts gains nothing by them\.`),
	regexp.MustCompile(`^Over all builds, so a tool you have owned longer also carries your slower years\.`),
	regexp.MustCompile(`since an eye often grows stricter as the hands get better`),
	regexp.MustCompile(`^One is named here when five marks .*, or when a stage is clearly slower than before\.`),
	regexp.MustCompile(`\bpick the better work without knowing which build is which\.`),
	regexp.MustCompile(`^- Caution: the tool was mostly used on (easier|harder) parts: they take .* time a \w+ anyway\.`),
	regexp.MustCompile(`^(- )?Caution: .*: what you have learned since is in the number too\.`),
	regexp.MustCompile(`the tool was mostly used on (easier|harder) parts: they take .* time a \w+ anyway\.`),
	// How a model is marked, on the show sheet.
	regexp.MustCompile(`^0 to 4, by the worst place that can be seen\b`),
	regexp.MustCompile(`^It is a ruler for learning and foretells no award;`),
	// How single photos fared in their pairs.
	regexp.MustCompile(`\b\d+ pairs?: (\d+ (better|the same|less good)(, )?)+`),
	// The role of a photo.
	regexp.MustCompile(`\bprogress photo\b`),
	// What cannot be told.
	regexp.MustCompile(`\bneither clearly (faster|quicker) nor clearly slower\b`),
	regexp.MustCompile(`; the range includes 50 %, so neither is called better\b`),
	regexp.MustCompile(`\bno learning that can be told from chance\b`),
	regexp.MustCompile(`^No clear (change of speed|difference from)\b`),
	regexp.MustCompile(`^No weak spot shows clearly yet\.`),
	regexp.MustCompile(`(?i)\bno learning rate( yet)?\b`),
	regexp.MustCompile(`so nothing is said of better or worse\.`),
	regexp.MustCompile(`^Too early to tell bad luck from habit\b`),
	regexp.MustCompile(`No build lies outside its limits: what looks like more or fewer may be chance\.`),
	regexp.MustCompile(`^Your eye did not drift that one could tell\b`),
	regexp.MustCompile(`^Drift of your eye: not known\b`),
	regexp.MustCompile(`\bno difference that one could tell\b`),
	regexp.MustCompile(`; (among all that this journal compares, )?that may be chance\b`),
	regexp.MustCompile(`, which may be chance\b`),
	regexp.MustCompile(`\bWhether your eye has changed cannot be told\b`),
	regexp.MustCompile(`^(above|below) the range$`), // where a point lies in a chart; what is claimed stands above it
	regexp.MustCompile(`\bno better than chance, so far: these verdicts may say little about the work\b`),
	regexp.MustCompile(`; not sure enough, among all that is compared here, to call either better\b`),
	regexp.MustCompile(`; too few photos to call either better\b`),
	regexp.MustCompile(`; the range includes 50, so neither is called better\b`),
	regexp.MustCompile(`\ba chain is shown, not claimed\b`),
	regexp.MustCompile(`\bYour speed cannot be compared yet\b`),
	regexp.MustCompile(`\b(too few|no comparison|not claimed|about as fast as|about the same pace)\b`),
}

// claimsIn reports whether a sentence tells of a change.
func claimsIn(sentence string, figures bool) bool {
	worded, far := change.MatchString(sentence), !figures && farFromNoChange(sentence)
	if !worded && !far {
		return false
	}
	rest := sentence
	for _, one := range noClaims {
		rest = one.ReplaceAllString(rest, "")
	}
	return change.MatchString(rest) || far && rest == sentence
}

// ranged are figures with a range, and what they are where nothing changed.
var ranged = []struct {
	figure *regexp.Regexp
	none   float64
}{
	{regexp.MustCompile(`[\d.]+ times .*?` + aRange), 1},
	{regexp.MustCompile(`(?:[Cc]hance that|picked) .*?` + aRange), 50},
	{regexp.MustCompile(`(?:difference|points|Drift\b).*?` + aRange), 0},
	{regexp.MustCompile(`% (?:shorter|longer) \(([\d.]+) to ([\d.]+) % (?:shorter|longer)`), 0},
}

const aRange = `\((?:range )?([-+−]?[\d.]+) to ([-+−]?[\d.]+)`

// farFromNoChange reports whether a figure is told whose range leaves no change
// out, without a word on it: a reader takes that for a claim.
func farFromNoChange(sentence string) bool {
	if !strings.Contains(sentence, " to ") {
		return false
	}
	for _, one := range ranged {
		m := one.figure.FindStringSubmatch(sentence)
		if m == nil {
			continue
		}
		low, err1 := strconv.ParseFloat(strings.Replace(m[1], "−", "-", 1), 64)
		high, err2 := strconv.ParseFloat(strings.Replace(m[2], "−", "-", 1), 64)
		if err1 == nil && err2 == nil && (min(low, high) > one.none || max(low, high) < one.none) {
			return true
		}
	}
	return false
}

// Sentences that claim and sentences that do not, as they stand on the pages and
// as somebody might add them.
func TestFinderKnowsClaims(t *testing.T) {
	t.Parallel()
	for words, claim := range map[string]bool{
		"You work faster now:": true,
		"On Lightship you worked faster than on Pilot boat: 1.31 times the speed on the same kinds of work (range 1.12 to 1.54; 4 sessions against 4; covers 90 % of the later build's counted hours).": true,
		"Lightship against Pilot boat: 0.71 times the speed on the same kinds of work (range 0.52 to 0.94; 4 sessions against 4).":                                                                      true,
		"Lightship was neither clearly faster nor clearly slower than Pilot boat: 1.05 times the speed (0.89 to 1.23; 3 and 3 sessions).":                                                               false,
		"On Lightship you worked about as fast as on Pilot boat: 1.02 times the speed on the same kinds of work (range 0.93 to 1.13; 9 sessions against 9).":                                            false,
		"Lightship was neither clearly faster nor clearly slower than Pilot boat, and you gained a lot.":                                                                                                true,
		"Clean: each doubling of the parts done cuts the time per part by 14 % (7 to 21 % shorter; 40 sessions, 400 parts).":                                                                            true,
		"Clean: each doubling of the parts done lengthens the time per part by 9 % (2 to 17 % longer; 40 sessions, 400 parts).":                                                                         true,
		"Clean: 7 % shorter (15 % shorter to 3 % longer; 40 sessions, 400 parts)":                                                                                                                       false,
		"Clean: 7 % shorter (2 to 12 % shorter; 40 sessions, 400 parts)":                                                                                                                                true,
		"Clean: 7 % shorter (15 % shorter to 3 % longer; 40 sessions, 400 parts); of late the curve is flat":                                                                                            true,
		"Clean: 7 % shorter (2 to 12 % shorter; 40 sessions, 400 parts); among all that this journal compares, that may be chance.":                                                                     false,
		"Clean: with each doubling of the parts done the time per part comes out 1 % shorter (9 % shorter to 8 % longer; 40 sessions); that may be chance.":                                             false,
		"Chance that Lightship beats Pilot boat on joins: 78 % (60 to 90; 40 pairs, one judge).":                                                                                                        true,
		"Chance that Lightship beats Pilot boat on joins: 58 % (40 to 74; 40 pairs, one judge; the range includes 50 %, so neither is called better).":                                                  false,
		"Your eye became stricter: the same photos get 0.30 points less now (-0.50 to -0.10; 20 photos marked twice).":                                                                                  true,
		"Your eye did not drift that one could tell: -0.10 points on the same photos (-0.30 to +0.10; 20 photos marked twice).":                                                                         false,
		"Build by build from Lorry to Lightship: 1.30 times the speed (1.10 to 1.60; 3 links).":                                                                                                         true,
		"Build by build from Lorry to Lightship: 1.10 times the speed (0.90 to 1.40; 3 links).":                                                                                                         false,
		"Clean with glass file: 1.40 times the pace without it (1.10 to 1.80; 9 sessions with it, 8 without).":                                                                                          true,
		"Marks, joins: 2.9 with it (2.6 to 3.2; 12 marks), 2.1 without (1.8 to 2.4; 12 marks); the difference +0.80 (+0.40 to +1.20).":                                                                  true,
		"Lightship, 2024 lies above the limits: more than chance explains.":                                                                                                                             true,
		"4.1: fewer than chance explains": true,
		"How much can be seen, against an average build of yours (40 pairs): These pairs could have shown a build that is picked at least 72 times in 100; about 30 more pairs like these would show one that is picked 67 times in 100.": false,
		"4.1: as usual": false,
		"Seams take less time than they used to.":                                              true,
		"The glass file helps.":                                                                true,
		"A quarter more an hour than on the lorry, see how you improve":                        true,
		"Clean: 14.2 parts an hour (11.0 to 18.1; 12 sessions).":                               false,
		"11 April 2021, clean: 14 pairs: 2 better, 2 the same, 10 less good; marked 0, then 1": false,
		"96 h at the bench over 4 builds (90 h measured, 6 h remembered; 96 sessions).":        false,
	} {
		if got := len(telling{words: words}.claims()) > 0; got != claim {
			t.Errorf("%q: found as a claim: %v", words, got)
		}
	}
	page := `<section id="learning"><svg aria-label="Mistakes: 4.1"><text>4.1 !</text></svg><table><tr><td>1.4 times (1.2 to 1.6)</td>
<td>below the range: fewer than chance explains</td></tr></table><p>Seams <em>went</em> quicker.</p></section><section id="practice"><ol><li><b>Joins</b>: marked 1.2</li></ol></section>`
	var found []string
	for _, one := range linesOf("pace.html", []byte(page)) {
		for _, c := range one.claims() {
			found = append(found, c.surface+": "+c.words)
		}
	}
	want := []string{"learning: 4.1 !", "learning: below the range: fewer than chance explains",
		"learning: Seams went quicker.", "practice: Joins: marked 1.2"}
	if !slices.Equal(found, want) {
		t.Errorf("found %q, want %q", found, want)
	}
}
