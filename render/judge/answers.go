// This file reads the text that comes back from a pack.

package judge

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// Answers are what one judge said of the pairs of a pack.
type Answers struct {
	Pack  string
	Sheet string // random, one a browser in which the pack was opened
	Judge string // as typed, cleaned by entry.Name; never ""
	Of    int    // pairs in the pack
	Given []journal.PackAnswer
}

const (
	firstLine  = "Rakelight answers " // and the version
	version    = "1"
	maxText    = 1 << 20 // bytes; a sheet of the largest pack has about 3,000
	maxAnswers = 1000
)

var (
	newWord  = regexp.MustCompile(`^[a-z0-9]{4,16}$`)
	lastLine = regexp.MustCompile(`^End: ([0-9]{1,4}) of ([0-9]{1,4}), check ([0-9a-f]{8})$`)
)

// Text writes answers as the pack's page writes them:
//
//	Rakelight answers 1
//	Pack: 7kq3m9x2wd
//	Sheet: 5f0a1c77
//	Judge: Mo
//	a4k9c2 left
//	c7m2p0 no difference
//	End: 2 of 28, check 1f3a9c04
//
// One line a pair, in the order they were answered. The check is CRC-32 (IEEE)
// over all lines, each with a newline, the last one without ", check …" and its
// newline, in eight hex digits: it finds slips of the pen and of mail programs
// and is not meant against forgery.
func (a Answers) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s%s\nPack: %s\nSheet: %s\nJudge: %s\n", firstLine, version, a.Pack, a.Sheet, a.Judge)
	for _, one := range a.Given {
		fmt.Fprintf(&b, "%s %s\n", one.Pair, one.Outcome)
	}
	fmt.Fprintf(&b, "End: %d of %d", len(a.Given), a.Of)
	return fmt.Sprintf("%s, check %s\n", b.String(), check(b.String()))
}

func check(text string) string { return fmt.Sprintf("%08x", crc32.ChecksumIEEE([]byte(text))) }

var errTooLarge = errors.New("it is too large for answers to a pack")

// ReadAnswers is ParseAnswers of a file. It reads no more than answers may have,
// and nothing but files: a device may never end, and a pipe never begin.
func ReadAnswers(path string) ([]Answers, error) {
	info, err := os.Stat(path) // before opening it, which may wait for ever
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, errors.New("it is no ordinary file")
	case info.Size() > maxText:
		return nil, errTooLarge
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxText+1)) // it may have grown, or not told its size
	if err != nil {
		return nil, err
	}
	return ParseAnswers(data)
}

// ParseAnswers reads all sheets in a text: the file as it was downloaded, or a
// mail it was pasted into. Mail programs may have quoted the lines ("> "), added
// spaces, empty lines and carriage returns, left out the last newline, written
// words before and after, or saved the text in another encoding; anything else
// that changed a sheet is an error, and then no sheet comes back.
func ParseAnswers(data []byte) ([]Answers, error) {
	if len(data) > maxText {
		return nil, errTooLarge
	}
	var all []Answers
	var sheet []string // lines since the first of a sheet; nil = outside
	begun := false
	for _, line := range strings.FieldsFunc(decode(data), func(r rune) bool { return r == '\n' || r == '\r' }) {
		line = plain(line)
		switch {
		case strings.HasPrefix(line, firstLine):
			if sheet != nil {
				return nil,
					errors.New("the answers are cut off: a sheet begins before the one above has its last line, “End: …”")
			}
			begun, sheet = true, []string{line}
		case sheet == nil || line == "":
		case strings.HasPrefix(line, "End:"):
			one, err := parseSheet(sheet, line)
			if err != nil {
				return nil, err
			}
			all, sheet = append(all, one), nil
		default:
			sheet = append(sheet, line)
		}
	}
	switch {
	case !begun:
		return nil, errors.New("it holds no answers to a pack: no line says “Rakelight answers 1”")
	case sheet != nil:
		return nil, errors.New("the answers are cut off: the last line, “End: …”, is missing")
	}
	return all, nil
}

// plain is a line without the marks of a mail program.
func plain(line string) string {
	return strings.Join(strings.Fields(strings.TrimLeft(line, ">| \t\u00a0\ufeff")), " ")
}

func parseSheet(lines []string, last string) (Answers, error) {
	if v := strings.TrimPrefix(lines[0], firstLine); v != version {
		return Answers{}, fmt.Errorf("the answers are of version %.20q, which this program does not know", v)
	}
	m := lastLine.FindStringSubmatch(last)
	if m == nil {
		return Answers{}, errors.New("the last line of the answers was changed")
	}
	text := strings.Join(lines, "\n") + "\n" + last[:strings.LastIndex(last, ", check ")]
	if check(text) != m[3] {
		return Answers{}, errors.New("the answers were changed or lines are missing: their check does not fit")
	}
	if len(lines) < 4 {
		return Answers{}, errors.New("the head of the answers is not whole")
	}
	var a Answers
	for i, f := range []struct {
		name string
		to   *string
	}{{"Pack: ", &a.Pack}, {"Sheet: ", &a.Sheet}, {"Judge: ", &a.Judge}} {
		value, ok := strings.CutPrefix(lines[1+i], f.name)
		if !ok || f.to != &a.Judge && !newWord.MatchString(value) {
			return Answers{}, fmt.Errorf("the answers do not say their %s",
				strings.TrimSuffix(strings.ToLower(f.name), ": "))
		}
		*f.to = value
	}
	if a.Judge == "" || entry.Name(a.Judge) != a.Judge {
		return Answers{}, errors.New("the judge's name cannot be read")
	}
	a.Of, _ = strconv.Atoi(m[2]) // one to four digits, as matched
	if given, _ := strconv.Atoi(m[1]); given != len(lines)-4 || given > a.Of || a.Of > maxAnswers || given == 0 {
		return Answers{}, fmt.Errorf("the sheet says %s of %s answers and holds %d", m[1], m[2], len(lines)-4)
	}
	seen := map[string]bool{}
	for _, line := range lines[4:] {
		pair, outcome, _ := strings.Cut(line, " ")
		if !newWord.MatchString(pair) || seen[pair] || !slices.Contains(journal.Outcomes, outcome) {
			return Answers{}, fmt.Errorf("the line %.60q is no answer, or answers a pair again", line)
		}
		seen[pair] = true
		a.Given = append(a.Given, journal.PackAnswer{Pair: pair, Outcome: outcome})
	}
	return a, nil
}

// decode turns the bytes of a text file into text: UTF-8, UTF-16 with its mark,
// or else Latin-1, which old mail programs save. The check tells whether the
// guess was right.
func decode(data []byte) string {
	for i, mark := range [][]byte{{0xff, 0xfe}, {0xfe, 0xff}} {
		if rest, ok := bytes.CutPrefix(data, mark); ok {
			units := make([]uint16, len(rest)/2)
			for k := range units {
				units[k] = uint16(rest[2*k+i]) | uint16(rest[2*k+1-i])<<8
			}
			return string(utf16.Decode(units))
		}
	}
	if utf8.Valid(data) {
		return string(data)
	}
	runes := make([]rune, len(data))
	for i, b := range data {
		runes[i] = rune(b)
	}
	return string(runes)
}
