// This file reads the plainest lines quickly: those with an instant, a device, a
// number, a kind and a body and nothing else, byte for byte as EncodeLine writes
// them. Nearly all lines are such; a journal of twenty years has tens of thousands.

package record

import (
	"bytes"
	"encoding/json"
	"strconv"
	"time"
)

// decodePlain reads a line up to its checksum, and is false where it is not plain:
// DecodeLine then looks what else it is. What it reads is what DecodeLine reads.
func decodePlain(head []byte) (Record, bool) {
	at, rest, ok := textMember(head, lineHead)
	if !ok {
		return Record{}, false
	}
	dev, rest, ok := textMember(rest, `,"dev":"`)
	if !ok {
		return Record{}, false
	}
	rest, ok = bytes.CutPrefix(rest, []byte(`,"seq":`))
	digits, rest, found := bytes.Cut(rest, []byte(","))
	if !ok || !found {
		return Record{}, false
	}
	kind, rest, ok := textMember(rest, `"kind":"`)
	if !ok {
		return Record{}, false
	}
	body, ok := bytes.CutPrefix(rest, []byte(`,"body":`))
	if !ok || !isCompact(body) {
		return Record{}, false
	}
	r := Record{Dev: dev, Kind: kind, Body: bytes.Clone(body)}
	var atErr, seqErr error
	r.At, atErr = time.Parse(time.RFC3339Nano, at)
	r.Seq, seqErr = strconv.ParseInt(string(digits), 10, 64)
	if atErr != nil || seqErr != nil {
		return Record{}, false
	}
	r.At = r.At.UTC()
	own := r.At.Format(time.RFC3339Nano) == at && strconv.FormatInt(r.Seq, 10) == string(digits) && !r.At.IsZero() &&
		r.Dev != "" && r.Kind != "" && r.Seq > 0 && r.Seq <= maxCount
	return r, own
}

// textMember cuts a text off that stands between a prefix and a quote, if it is of
// ASCII that stands for itself in JSON.
func textMember(line []byte, prefix string) (text string, rest []byte, ok bool) {
	line, ok = bytes.CutPrefix(line, []byte(prefix))
	for i, c := range line {
		switch {
		case !ok, c < ' ', c > '~', c == '\\':
			return "", nil, false
		case c == '"':
			return string(line[:i]), line[i+1:], true
		}
	}
	return "", nil, false
}

// isCompact reports whether bytes are an object of JSON as json.Marshal leaves one: no
// blank between its parts, and what HTML or scripts take for their own escaped.
func isCompact(body []byte) bool {
	if len(body) == 0 || body[0] != '{' {
		return false
	}
	inText := false
	for i := 0; i < len(body); i++ {
		switch c := body[i]; {
		case c == '"':
			inText = !inText
		case c == '\\':
			i++ // what follows ends no text
		case c == '<', c == '>', c == '&', c == 0xe2, c <= ' ' && !inText: // 0xe2 begins U+2028
			return false
		}
	}
	return json.Valid(body)
}
