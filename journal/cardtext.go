// This file is what a bench card says: the text of its symbol, written and
// read. The text comes from a photo, so it is input from outside: anything that
// is not exactly of this form is not ours.
//
// The form is sixteen characters or, on a sheet that bears a mark, twenty: as
// many as the symbol holds before it becomes finer (version 2 at level H), so
// that it is read from as far:
//
//	RL1  V  BBBBB  AAAA        SSS
//	RL2  V  BBBBB  AAAA  PPPP  SSS
//
//	RL1    says that it is a bench card, and without the mark of a sheet
//	RL2    the same, with the mark
//	V      what is said, one letter (below)
//	BBBBB  which build: the key of its id; ----- asks for the running one
//	AAAA   what the letter needs
//	PPPP   mark of the sheet it was printed on, letters and digits of keys
//	SSS    checksum: the key, of three, of all characters before it
//
//	V  says                           AAAA
//	B  the stage begins               key of the stage's id; of the kind if BBBBB is -----
//	E  the stage ends                 ----
//	K  a break begins, or ends        ----
//	P  the build is put aside         ----
//	N  so many parts are done         0000 to 9999
//	W  a whole runner is done         kit and letters, A---, 2AB-; ---- = the only one
//	R  the next are of this role      BEFO AFTE PROG PROB FINI
//	V  the next are of this view      FRON LEFT RIGH REAR TOP- THRE
//	L  the next are under this light  DIFF RAKI
//	T  a trial is on                  number of the trial, 0001 to 9999
//
// A key of n is the first n characters of the base 32 (RFC 4648) of SHA-256 of
// the id. Titles do not enter, so that a renamed build keeps its cards.

package journal

import (
	"crypto/sha256"
	"encoding/base32"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Card is what one bench card says.
type Card struct {
	Says  CardVerb
	Build string // key of the build's id, five characters; "" = the running one
	Stage string // of BeginCard: key of the stage's id, or of its kind if Build is ""
	Count int    // of CountCard 0 to 9999, of TrialCard 1 to 9999
	Kit   int    // of RunnerCard, 0 = the only kit
	// Of RunnerCard the runner's letters, "" = the only runner; of RoleCard,
	// ViewCard and LightCard the role, view or light in full.
	Word string
	// Mark of the sheet it is printed on, four characters; "" = of one without.
	// It changes nothing in what is said.
	Sheet string
}

// CardVerb is what a card says, as its symbol spells it.
type CardVerb byte

// What a card can say.
const (
	BeginCard  CardVerb = 'B'
	EndCard    CardVerb = 'E'
	BreakCard  CardVerb = 'K'
	PauseCard  CardVerb = 'P'
	CountCard  CardVerb = 'N'
	RunnerCard CardVerb = 'W'
	RoleCard   CardVerb = 'R'
	ViewCard   CardVerb = 'V'
	LightCard  CardVerb = 'L'
	TrialCard  CardVerb = 'T'
)

// String is what the card says in words.
func (c Card) String() string {
	switch c.Says {
	case BeginCard:
		return "begin"
	case EndCard:
		return "end"
	case BreakCard:
		return "break"
	case PauseCard:
		return "pause"
	case CountCard:
		return fmt.Sprintf("%d done", c.Count)
	case RunnerCard:
		return strings.TrimSpace("whole runner " + c.Word)
	case TrialCard:
		return fmt.Sprintf("trial %d", c.Count)
	case LightCard:
		return c.Word + " light"
	case RoleCard, ViewCard:
		return c.Word
	}
	return "not known"
}

const (
	cardHead  = "RL1"
	cardLen   = 16
	sheetHead = "RL2"
	sheetLen  = 4
	anyBuild  = "-----"
	noArg     = "----"
	maxCount  = 9999
)

// ErrNotACard says that a text is no bench card's. A card of a later version is
// none either, and is told so.
var ErrNotACard = errors.New("this is no bench card's text")

// CardKey is the key of an id in n characters.
func CardKey(id string, n int) string {
	sum := sha256.Sum256([]byte(id))
	return base32.StdEncoding.EncodeToString(sum[:])[:n]
}

// BuildKey and StageKey are the keys of ids as cards carry them.
func BuildKey(id string) string { return CardKey(id, len(anyBuild)) }

// StageKey is the key of a stage's id, or of a kind.
func StageKey(id string) string { return CardKey(id, len(noArg)) }

// Text writes the card. A card that could not be read back is an error.
func (c Card) Text() (string, error) {
	build, arg := anyBuild, noArg
	if c.Build != "" {
		build = c.Build
	}
	switch c.Says {
	case BeginCard:
		arg = c.Stage
	case CountCard, TrialCard:
		arg = fmt.Sprintf("%04d", c.Count)
	case RunnerCard:
		if c.Word != "" {
			kit := ""
			if c.Kit > 0 {
				kit = strconv.Itoa(c.Kit)
			}
			arg = padded(kit + c.Word)
		}
	case RoleCard, ViewCard, LightCard:
		arg = wordCode(c.Word)
	}
	head := cardHead + string(c.Says) + build + arg
	if c.Sheet != "" {
		head = sheetHead + head[len(cardHead):] + c.Sheet
	}
	text := head + CardKey(head, 3)
	if back, err := ParseCard(text); err != nil || back != c {
		return "", fmt.Errorf("a card cannot say %+v", c)
	}
	return text, nil
}

// padded fills up with dashes.
func padded(s string) string { return s + strings.Repeat("-", max(0, len(noArg)-len(s))) }

// wordCode is a role, view or light in four characters.
func wordCode(word string) string {
	word = strings.ToUpper(word)
	return padded(word[:min(len(word), len(noArg))])
}

// ParseCard reads a card's text. What is not exactly one is ErrNotACard.
func ParseCard(text string) (Card, error) {
	marked := len(text) == cardLen+sheetLen && strings.HasPrefix(text, sheetHead)
	if !marked && (len(text) != cardLen || !strings.HasPrefix(text, cardHead)) {
		return Card{}, ErrNotACard
	}
	head, sum := text[:len(text)-3], text[len(text)-3:]
	if CardKey(head, 3) != sum {
		return Card{}, fmt.Errorf("%w: its checksum does not fit", ErrNotACard)
	}
	c := Card{Says: CardVerb(head[3])}
	build, arg := head[4:9], head[9:13]
	if c.Sheet = head[13:]; !isKey(c.Sheet) {
		return Card{}, ErrNotACard
	}
	if build != anyBuild {
		if !isKey(build) {
			return Card{}, ErrNotACard
		}
		c.Build = build
	}
	good := false
	switch c.Says {
	case BeginCard:
		c.Stage, good = arg, isKey(arg)
	case EndCard, BreakCard, PauseCard:
		good = arg == noArg
	case CountCard:
		c.Count, good = digits(arg)
	case TrialCard:
		c.Count, good = digits(arg)
		good = good && c.Count > 0
	case RunnerCard:
		c.Kit, c.Word, good = runnerArg(arg)
	case RoleCard:
		c.Word, good = wordOf(arg, Roles)
	case ViewCard:
		c.Word, good = wordOf(arg, Views)
	case LightCard:
		c.Word, good = wordOf(arg, Lights)
	}
	if !good {
		return Card{}, ErrNotACard
	}
	return c, nil
}

// isKey reports whether all characters are of the keys' alphabet.
func isKey(s string) bool {
	return strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567") == ""
}

// digits reads four digits, no sign.
func digits(s string) (int, bool) {
	if strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil && n <= maxCount
}

// runnerArg reads a kit and a runner's letters.
func runnerArg(arg string) (kit int, letters string, ok bool) {
	if arg == noArg {
		return 0, "", true
	}
	arg = strings.TrimRight(arg, "-")
	letters = strings.TrimLeft(arg, "0123456789")
	if number := arg[:len(arg)-len(letters)]; number != "" {
		n, err := strconv.Atoi(number)
		if err != nil || n == 0 || strconv.Itoa(n) != number {
			return 0, "", false
		}
		kit = n
	}
	return kit, letters, letters != "" && strings.Trim(letters, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// wordOf finds the word of a code.
func wordOf(code string, words []string) (string, bool) {
	for _, w := range words {
		if wordCode(w) == code {
			return w, true
		}
	}
	return "", false
}
