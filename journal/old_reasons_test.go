// Tests of bodies whose reasons are sentences.

package journal

import (
	"encoding/json"
	"reflect"
	"testing"
	"time"

	"rakelight/journal/reason"
)

func TestBodiesInCodes(t *testing.T) {
	const old = `{"hash":"aa","path":"photos/a.jpg","instant":{"at":"2026-10-25T01:30:00+01:00","source":"DateTimeOriginal","corrected":"1h3m fast",` +
		`"doubt":"the hour came twice that night: 01:30 (+01:00) or 01:30 (+00:00)","note":"DateTime says 0000, which is no date"},"why":{"build":"it lay in the folder lorry"}}`
	r := Record{At: historyStart, Dev: "a", Seq: 1, Kind: "photo", Body: []byte(old)}
	p := Fold(testPlan, []Record{r}).Photos[0]
	want := Instant{At: p.Instant.At, Source: "DateTimeOriginal", Corrected: reason.Fault{Fast: 63 * time.Minute},
		Doubts: reason.Doubts{{Is: reason.Twice, At: "01:30+01:00", Or: "01:30+00:00"}}, Passed: reason.Doubts{{Is: reason.Zeros, Source: "DateTime", Text: "0000"}}}
	if !reflect.DeepEqual(p.Instant, want) || p.Why["build"] != (reason.Why{By: reason.Folder, Name: "lorry"}) {
		t.Errorf("%+v, %+v", p.Instant, p.Why)
	}
}

// FuzzPhotoBody reads any bytes as a photo's body without falling over; what is
// read is written in codes alone, and reads the same.
func FuzzPhotoBody(f *testing.F) {
	f.Add([]byte(`{"hash":"aa","path":"photos/a.jpg","instant":{"corrected":"1h3m fast","doubt":"x; y","note":"z"},"why":{"build":"a guess: x","stage":"a guess: x"}}`))
	f.Add([]byte(`{"hash":"aa","path":"photos/a.jpg","instant":{"fast":"-20m","doubts":[{"is":"day"}]},"reasons":{"build":{"by":"session","session":{"id":"a/1"}},"stage":{"by":"same","name":"build"},"kit":{"by":"same","name":"kit"}}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		once, err := photoCache{}.read(Record{Body: data})
		if err != nil {
			return
		}
		written, err := json.Marshal(once)
		if err != nil {
			return // a year that no record can hold
		}
		again, err := photoCache{}.read(Record{Body: written})
		if err != nil || !reflect.DeepEqual(again.Why, once.Why) && len(once.Why) > 0 || again.OldWhy != nil || !reflect.DeepEqual(again.Instant.Corrected, once.Instant.Corrected) || len(again.Instant.Doubts) != len(once.Instant.Doubts) {
			t.Fatalf("%s\nis written\n%s\nand reads %+v, not %+v: %v", data, written, again, once, err)
		}
		Fold(testPlan, []Record{{At: historyStart, Dev: "a", Seq: 1, Kind: "photo", Body: data}})
	})
}
