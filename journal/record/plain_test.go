// Tests that plain lines are read as any line is.

package record

import (
	"bytes"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"
)

// Whatever a line holds, who reads plain lines reads what who reads any line reads,
// or leaves it to that one; and the lines that are written are plain.
func TestPlainLines(t *testing.T) {
	instant := time.Date(2026, 3, 14, 19, 0, 0, 5e6, time.UTC)
	rng := rand.New(rand.NewPCG(11, 1))
	var heads []string
	for _, body := range []string{`{}`, `{"a":[1,-2.5e7,null,true,"x y"]}`, `{"t":"é\"\\\u003c \u2028"}`, `{"deep":{"of":[{}]}}`, `{"n":1,"n":2}`} {
		line, err := EncodeLine(Record{At: instant, Dev: "bench-1", Seq: 7, Kind: "note", Body: []byte(body)})
		if err != nil {
			t.Fatal(err)
		}
		head := string(line[:len(line)-len(sumHead)-sumLen-len(sumTail)])
		if r, ok := decodePlain([]byte(head)); !ok || string(r.Body) != body || r.Seq != 7 {
			t.Errorf("%s is not plain: %+v", head, r)
		}
		heads = append(heads, head)
	}
	odd := []string{`{"at":"2026-03-14T19:00:00+01:00","dev":"d","seq":1,"kind":"x","body":{}`, `{"at":"2026-03-14T19:00:00.500Z","dev":"d","seq":1,"kind":"x","body":{}`,
		`{"at":"2026-03-14T19:00:00Z","dev":"d","seq":01,"kind":"x","body":{}`, `{"at":"2026-03-14T19:00:00Z","dev":"d","seq":1e2,"kind":"x","body":{}`,
		`{"at":"2026-03-14T19:00:00Z","dev":"","seq":1,"kind":"x","body":{}`, `{"at":"2026-03-14T19:00:00Z","dev":"d\u0041","seq":1,"kind":"x","body":{}`,
		`{"at":"2026-03-14T19:00:00Z","dev":"d","seq":1,"kind":"x","body":{"a": 1}`, `{"at":"2026-03-14T19:00:00Z","dev":"d","seq":1,"kind":"x","body":{"a":"<"}`,
		`{"at":"2026-03-14T19:00:00Z","dev":"d","seq":1,"kind":"x","body":{},"mood":1`, `{"at":"2026-03-14T19:00:00Z","dev":"d","seq":1,"kind":"x","body":{},"body":{}`,
		`{"at":"2026-03-14T19:00:00Z","dev":"d","seq":99999999999999999,"kind":"x","body":{}`, `{"at":"0001-01-01T00:00:00Z","dev":"d","seq":1,"kind":"x","body":{}`,
		"{\"at\":\"2026-03-14T19:00:00Z\",\"dev\":\"d\",\"seq\":1,\"kind\":\"x\",\"body\":{\"a\":\"\u2028\"}"}
	for _, head := range odd {
		if _, ok := decodePlain([]byte(head)); ok {
			t.Errorf("%s is plain", head)
		}
	}
	pieces := []string{`"`, `\`, ` `, `,`, `{`, `}`, `<`, `0`, "\t", "\u2028", `null`, `"seq":1,`, `Z`, "\xff", ""}
	for range 20000 {
		head := heads[rng.IntN(len(heads))]
		at := rng.IntN(len(head))
		head = head[:at] + pieces[rng.IntN(len(pieces))] + head[at+rng.IntN(min(3, len(head)-at)):]
		r, ok := decodePlain([]byte(head))
		if want, err := decodeAny([]byte(head)); ok && (err != nil || !reflect.DeepEqual(r, want)) {
			t.Fatalf("%s is %+v, want %+v, %v", head, r, want, err)
		}
	}
	// Who keeps a record does not keep the file it was read from.
	line := []byte(strings.Clone(heads[1]))
	r, _ := decodePlain(line)
	kept := bytes.Clone(r.Body)
	clear(line)
	if !bytes.Equal(r.Body, kept) {
		t.Error("the body is part of the line")
	}
}
