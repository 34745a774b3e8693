// This file reads the sentences that records of earlier versions hold instead of
// codes. They are a format, and never change: nobody writes them any more, and
// what is shown for them today is up to the wording.

package reason

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// WhysOf are the reasons of some tags that sentences tell.
func WhysOf(sentences map[string]string) Whys {
	if sentences == nil {
		return nil
	}
	whys := make(Whys, len(sentences))
	last := "" // mostly build and stage have one sentence
	var same Why
	for name, sentence := range sentences {
		if sentence != last {
			last, same = sentence, WhyOf(sentence)
		}
		if same.Any() {
			whys[name] = same
		}
	}
	return whys
}

// fixed are sentences without a value in them.
var fixed = map[string]By{
	"you said so":                           Said,
	"the build was changed":                 BuildChanged,
	"the bench card in the picture says so": Card,
	"its XMP file is kept beside it":        SidecarKept,
	unsorted + "and its time is in doubt":   TimeInDoubt,

	"the preview its camera put into the raw picture":                                Preview,
	"it cannot be shown: the camera put no preview into this raw picture":            NoPreview,
	"it cannot be shown: this rakelight was built without the decoder for HEIC":      NoDecoder,
	"Adobe RGB, as its EXIF says without a profile; converted to sRGB for the pages": AdobeByEXIF,
	"colors of high dynamic range, not converted; shown as sRGB":                     HighRange,
	"colours of high dynamic range, not converted; shown as sRGB":                    HighRange,
	"no profile; shown as sRGB":                                                      NoProfile,
	"a damaged profile; shown as sRGB":                                               BadProfile,
	"a profile made of tables, not converted; shown as sRGB":                         TableProfile,
}

// How sentences begin.
const (
	inFolder   = "it lay in the folder "
	hasKeyword = "the picture carries the keyword "
	during     = "taken during the session on "
	guess      = "a guess: "
	unsorted   = "to sort: no folder or keyword names it, "
	noneNear   = unsorted + "and no session lies within "
	cardAt     = "a bench card said so at "
	notKept    = "its XMP file was not kept ("
)

var (
	nearGuess = regexp.MustCompile(`^a guess: (.+) (before|after) the session on (.+)$`)
	oneGuess  = regexp.MustCompile(`^a guess: (\d{1,9}) sessions ran at that time, this one \((.+)\) began nearest$`)
)

// WhyOf is the reason that a sentence tells; one that is not known is kept as it
// is.
func WhyOf(sentence string) Why {
	if sentence == "" {
		return Why{}
	}
	if by, ok := fixed[sentence]; ok {
		return Why{By: by}
	}
	if name, ok := strings.CutPrefix(sentence, inFolder); ok {
		return Why{By: Folder, Name: name}
	}
	if name, ok := strings.CutPrefix(sentence, hasKeyword); ok {
		return Why{By: Keyword, Name: name}
	}
	if at, ok := strings.CutPrefix(sentence, cardAt); ok {
		return Why{By: CardHeld, Name: at}
	}
	if why, ok := strings.CutPrefix(sentence, notKept); ok && strings.HasSuffix(why, ")") {
		return Why{By: SidecarLost, Name: strings.TrimSuffix(why, ")")}
	}
	if space, ok := strings.CutSuffix(sentence, "; converted to sRGB for the pages"); ok {
		return Why{By: Converted, Name: space}
	}
	if away, ok := strings.CutPrefix(sentence, noneNear); ok {
		if d, ok := spelled(away); ok {
			return Why{By: NoSession, Away: d}
		}
	}
	return sessionOf(sentence)
}

// sessionOf is the reason of a sentence that names a session. Whatever begins as
// those do came from a session, also where the rest is not understood.
func sessionOf(sentence string) Why {
	if rest, ok := strings.CutPrefix(sentence, during); ok {
		return Why{By: InSession, Session: named(rest)}
	}
	if m := nearGuess.FindStringSubmatch(sentence); m != nil {
		if away, ok := spelled(m[1]); ok {
			return Why{By: NearSession, Session: named(m[3]), Away: away, Before: m[2] == "before"}
		}
	}
	if m := oneGuess.FindStringSubmatch(sentence); m != nil {
		of, _ := strconv.Atoi(m[1]) // the pattern vouches for digits
		return Why{By: OneOfSessions, Session: named(m[2]), Of: of}
	}
	if rest, ok := strings.CutPrefix(sentence, guess); ok {
		return Why{By: NearSession, Name: rest}
	}
	return Why{By: Words, Name: sentence}
}

// named is the session that "lorry/clean, 2026-03-14 19:00" names.
func named(text string) *Session {
	place, began := text, ""
	if i := strings.LastIndex(text, ", "); i >= 0 {
		place, began = text[:i], text[i+2:]
	}
	build, stage, _ := strings.Cut(place, "/")
	return &Session{Build: build, Stage: stage, Began: began}
}

var spelledLength = regexp.MustCompile(`^(?:(\d{1,6}) h)? ?(?:(\d{1,7}) min)?$`)

// spelled is the length that "1 h 57 min" means.
func spelled(text string) (Length, bool) {
	if text == "under 1 min" {
		return 0, true
	}
	m := spelledLength.FindStringSubmatch(text)
	if m == nil || m[1] == "" && m[2] == "" {
		return 0, false
	}
	hours, _ := strconv.Atoi("0" + m[1]) // the pattern vouches for digits
	minutes, _ := strconv.Atoi("0" + m[2])
	return Length(time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute), true
}

// joint stood between the doubts of one instant.
const joint = "; "

// DoubtsOf are the doubts that a sentence tells. A date that a file states may
// hold what else stands between two doubts, so the longest piece that is known
// is one.
func DoubtsOf(sentence string) Doubts {
	if sentence == "" {
		return nil
	}
	var doubts Doubts
	pieces := strings.Split(sentence, joint)
	for len(pieces) > 0 {
		n, doubt := 1, Doubt{Is: Free, Text: pieces[0]}
		for k := 1; k <= len(pieces); k++ {
			if one, ok := doubtOf(strings.Join(pieces[:k], joint)); ok {
				n, doubt = k, one
				break
			}
		}
		doubts, pieces = append(doubts, doubt), pieces[n:]
	}
	return doubts
}

// plain are doubts without a value in them.
var plain = map[string]Is{
	"file time, uncertain":  FileTime,
	"only the day is known": DayOnly,
	"no date at all; the moment it was taken in stands for it":                                    TakingIn,
	"the first day of a clock that was never set":                                                 NeverSet,
	"it lies after the moment it was taken in: a clock is wrong, the camera's or this computer's": Ahead,
}

// odd are how the sentences of dates end that were not used.
var odd = []struct {
	end string
	is  Is
}{
	{", a date there is not", NoSuchDay},
	{", which is no date", Zeros},
	{", the first moment of a clock that was never set", Unset},
	{", which is not written as a date", Unread},
	{", which cannot be", OutOfTime},
}

const reading = `(\d\d:\d\d) \(([+-]\d\d:\d\d)\)`

var (
	twice   = regexp.MustCompile(`^the hour came twice that night: ` + reading + ` or ` + reading + `$`)
	skipped = regexp.MustCompile(`^(\d\d:\d\d) was skipped that night: ` + reading + ` or ` + reading + `$`)
	someDay = regexp.MustCompile(`^some day from (\S+) to (\S+)$`)
)

func doubtOf(sentence string) (Doubt, bool) {
	if is, ok := plain[sentence]; ok {
		return Doubt{Is: is}, true
	}
	if m := twice.FindStringSubmatch(sentence); m != nil {
		return Doubt{Is: Twice, At: m[1] + m[2], Or: m[3] + m[4]}, true
	}
	if m := skipped.FindStringSubmatch(sentence); m != nil {
		return Doubt{Is: Skipped, Wall: m[1], At: m[2] + m[3], Or: m[4] + m[5]}, true
	}
	if m := someDay.FindStringSubmatch(sentence); m != nil {
		return Doubt{Is: SomeDay, First: m[1], Last: m[2]}, true
	}
	for _, one := range odd {
		head, ok := strings.CutSuffix(sentence, one.end)
		if source, text, says := strings.Cut(head, " says "); ok && says {
			return Doubt{Is: one.is, Source: source, Text: text}, true
		}
	}
	return Doubt{}, false
}

// FaultOf is the fault that words tell: "1h3m fast", "20m0s slow".
func FaultOf(words string) Fault {
	if words == "" {
		return Fault{}
	}
	text, slow := strings.CutSuffix(words, " slow")
	text = strings.TrimSuffix(text, " fast")
	d, err := time.ParseDuration(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		return Fault{Text: words}
	}
	if slow {
		d = -d
	}
	return Fault{Fast: d}
}

// kin are the sentences of why a file lies beside a photo.
var kin = map[string]Kin{
	"the same name, camera and second: the raw picture of this shot":     RawOfShot,
	"its XMP file, which came along":                                     XMPAlong,
	"its XMP file, which came later":                                     XMPLater,
	"the beginning of it, taken in before the rest had come":             Beginning,
	"the whole raw picture, of which only the beginning had come before": Whole,
}

var copyOf = regexp.MustCompile(`^a smaller copy, (\d{1,9}) × (\d{1,9}) pixels without any camera data, of (\S+) \((.+), (\d{1,9}) × (\d{1,9})\)$`)

// LinkOf is why a file belongs to another, as a sentence tells it.
func LinkOf(sentence string) Link {
	if sentence == "" {
		return Link{}
	}
	if by, ok := kin[sentence]; ok {
		return Link{By: by}
	}
	m := copyOf.FindStringSubmatch(sentence)
	if m == nil {
		return Link{By: KinWords, Text: sentence}
	}
	var n [4]int
	for i, text := range []string{m[1], m[2], m[5], m[6]} {
		n[i], _ = strconv.Atoi(text) // the pattern vouches for digits
	}
	return Link{By: SmallerCopy, Width: n[0], Height: n[1], Of: m[3], Name: m[4], OfWide: n[2], OfHigh: n[3]}
}
