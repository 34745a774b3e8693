// Tests of points by which photos are laid over each other.

package journal

import (
	"encoding/json"
	"strings"
	"testing"
	"time"
)

func pointsRecord(t *testing.T, seq int64, kind string, body any) Record {
	t.Helper()
	data, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	return Record{At: time.Date(2026, 3, 1, 0, 0, int(seq), 0, time.UTC), Dev: "bench-1", Seq: seq, Kind: kind, Body: data}
}

// The latest points of two photos count, whichever photo was named first, and
// those before them when they are taken back.
func TestPoints(t *testing.T) {
	a, b := &Photo{Hash: strings.Repeat("a", 64)}, &Photo{Hash: strings.Repeat("b", 64)}
	first := []PointPair{{0.1, 0.2, 0.3, 0.4}, {0.5, 0.6, 0.7, 0.8}}
	second := []PointPair{{0.11, 0.2, 0.3, 0.4}, {0.5, 0.6, 0.7, 0.8}, {0.9, 0.1, 0.8, 0.2}}
	records := []Record{
		pointsRecord(t, 1, "photo", PhotoBody{Hash: a.Hash, Path: "photos/a"}),
		pointsRecord(t, 2, "photo", PhotoBody{Hash: b.Hash, Path: "photos/b"}),
		pointsRecord(t, 3, "points", PointsBody{A: a.Hash, B: b.Hash, Pairs: first}),
		pointsRecord(t, 4, "points", PointsBody{A: b.Hash, B: a.Hash, Pairs: second}),
	}
	s := Fold(testPlan, records)
	if len(s.Problems) > 0 || len(s.Points) != 1 {
		t.Fatalf("%v, %+v", s.Problems, s.Points)
	}
	ab, record := s.PointsOf(a, b)
	ba, _ := s.PointsOf(b, a)
	if record != "bench-1/4" || len(ab) != 3 || ab[0] != (PointPair{0.3, 0.4, 0.11, 0.2}) || ba[0] != second[0] {
		t.Errorf("%s: %v and %v", record, ab, ba)
	}
	s = Fold(testPlan, append(records, pointsRecord(t, 5, "retract", RetractBody{Record: "bench-1/4"})))
	if ab, record := s.PointsOf(a, b); record != "bench-1/3" || len(ab) != 2 || ab[1] != first[1] {
		t.Errorf("taken back, %s: %v", record, ab)
	}
	if pairs, _ := s.PointsOf(a, &Photo{Hash: "c"}); pairs != nil {
		t.Errorf("of a photo nobody pointed at: %v", pairs)
	}
}

func TestPointsThatFixNothing(t *testing.T) {
	a, b := strings.Repeat("a", 64), strings.Repeat("b", 64)
	good := PointPair{0.1, 0.2, 0.3, 0.4}
	for _, c := range []struct {
		body PointsBody
		want string
	}{
		{PointsBody{A: a, B: b, Pairs: []PointPair{good}}, "takes 2 or 3 spots, not 1"},
		{PointsBody{A: a, B: b, Pairs: []PointPair{good, {0.6, 0.6, 0.9, 0.9}, {0.3, 0.3, 0.1, 0.1}, {0.9, 0.9, 0.6, 0.1}}}, "not 4"},
		{PointsBody{A: a, B: b, Pairs: []PointPair{good, {0.5, 1.2, 0.5, 0.5}}}, "spot 2 lies outside"},
		{PointsBody{A: a, B: b, Pairs: []PointPair{good, {0.9, 0.9, 0.31, 0.4}}}, "spots 1 and 2 lie too near"},
		{PointsBody{A: a, B: a, Pairs: []PointPair{good, {0.6, 0.6, 0.9, 0.9}}}, "over itself"},
		{PointsBody{A: a, B: "gone", Pairs: []PointPair{good, {0.6, 0.6, 0.9, 0.9}}}, ""},
	} {
		s := Fold(testPlan, []Record{
			pointsRecord(t, 1, "photo", PhotoBody{Hash: a, Path: "photos/a"}),
			pointsRecord(t, 2, "photo", PhotoBody{Hash: b, Path: "photos/b"}),
			pointsRecord(t, 3, "points", c.body),
		})
		if len(s.Points) != 0 || len(s.Problems) != 1 || !strings.Contains(s.Problems[0].What, c.want) {
			t.Errorf("%+v: %+v, %v; want %q", c.body, s.Points, s.Problems, c.want)
		}
	}
}
