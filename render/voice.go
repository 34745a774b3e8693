// Who speaks. Pages are written to the builder, who is "you" on them; what readers
// see says the same in the builder's own name, "I". One place turns it, so that every
// sentence is written once. What a person wrote is never turned.

package render

import (
	"bytes"
	"regexp"
	"strings"

	"rakelight/journal/say"
)

// ownMark stands inside each "you" that a person wrote, behind its first letter, from
// the state for readers to the last step of a page. It is of Unicode's private use
// area: no text of anybody's means anything by it.
const ownMark = "\ue000"

var (
	youWord = regexp.MustCompile(`(?i)\byou(r|rs|rself|rselves)?\b`)
	// ownMarks are the marks, also as an address or a script spells them.
	ownMarks = regexp.MustCompile(ownMark + `|(?i:%ee%80%80)`)
	// tagOrText is what is read of a page between its tags, and the attributes of them
	// that are read out.
	tagOrText = regexp.MustCompile(`<[^>]*>|[^<]+`)
	readOut   = regexp.MustCompile(`\b(?:alt|aria-label|title)="[^"]*"`)
	// inHead is what the head of a page says of it.
	inHead = regexp.MustCompile(`<title>[^<]*</title>|<meta name="description"[^>]*>`)
)

// ownWords marks the words of a person, so that they stay as they are.
func ownWords(text string) string {
	text = strings.ReplaceAll(text, ownMark, "")
	return youWord.ReplaceAllStringFunc(text, func(w string) string { return w[:1] + ownMark + w[1:] })
}

// toReaders is a file as readers get it, with what it has no words for in its language:
// its sentences in the builder's name, in the title and between <main> and the end of
// it; what stands around, a page says to whoever reads it. Other languages than English
// have their sentences in the builder's name already.
func (v *view) toReaders(path string, data []byte) ([]byte, []say.Key) {
	data, unsaid := v.Unmarked(data)
	if v.IsEnglish() && strings.HasSuffix(path, ".html") {
		begin, end := bytes.Index(data, []byte("<main")), bytes.LastIndex(data, []byte("</main>"))
		if begin >= 0 && end > begin {
			head := inHead.ReplaceAllFunc(data[:begin], inFirstPerson)
			data = bytes.Join([][]byte{head, spoken(data[begin:end]), data[end:]}, nil)
		}
	}
	return ownMarks.ReplaceAll(data, nil), unsaid
}

// spoken is a piece of a page with its sentences in the builder's name.
func spoken(piece []byte) []byte {
	return tagOrText.ReplaceAllFunc(piece, func(part []byte) []byte {
		if part[0] == '<' {
			return readOut.ReplaceAllFunc(part, inFirstPerson)
		}
		return inFirstPerson(part)
	})
}

// inVoice is a piece of a page as its edition tells it, for what is no page.
func (v *view) inVoice(piece []byte) []byte {
	if v.mine() || !v.IsEnglish() {
		return piece
	}
	return spoken(piece)
}

// object is a "you" that something is done to, or that follows a preposition.
var object = regexp.MustCompile(`(?i)\b(about|after|against|around|asks?|at|before|behind|beside|by|for|from|gave|gives?|helps?|in|lets?|of|on|shows?|takes?|tells?|to|told|with|without) you\b`)

// turned are the other words; what is no verb of being is the same of I as of you.
var turned = []struct {
	from *regexp.Regexp
	to   string
}{
	{object, "$1 me"},
	{regexp.MustCompile(`\bYou’re\b|\bYou're\b|\bYou are\b`), "I am"},
	{regexp.MustCompile(`\byou’re\b|\byou're\b|\byou are\b`), "I am"},
	{regexp.MustCompile(`\b[Yy]ou were\b`), "I was"},
	{regexp.MustCompile(`\bare you\b`), "am I"},
	{regexp.MustCompile(`\bYourself\b`), "Myself"},
	{regexp.MustCompile(`\byourself\b`), "myself"},
	{regexp.MustCompile(`\bYours\b`), "Mine"},
	{regexp.MustCompile(`\byours\b`), "mine"},
	{regexp.MustCompile(`\bYour\b`), "My"},
	{regexp.MustCompile(`\byour\b`), "my"},
	{regexp.MustCompile(`\b[Yy]ou\b`), "I"},
}

// inFirstPerson turns the sentences of a text.
func inFirstPerson(text []byte) []byte {
	if !youWord.Match(text) {
		return text
	}
	for _, one := range turned {
		text = one.from.ReplaceAll(text, []byte(one.to))
	}
	return text
}
