// Tests of the coder: values come back as they were, and broken bytes are told.

package freeze

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"
)

type inner struct {
	Name  string
	Count int
	At    time.Time
	own   float64
}

type outer struct {
	Inner   inner
	Ptr     *inner
	Many    []*inner
	Values  []inner
	Words   []string
	Raw     json.RawMessage
	By      map[string]inner
	Said    map[string][]string
	Corners [8]float64
	Flag    bool
	Small   uint8
	Signed  int64
	Zone    *time.Location
}

var coders = []*Coder[outer]{For[outer](), For[outer](MapsOf[map[string]inner]())}

// moments are instants as files, parsers and zones give them.
func moments(t *testing.T) []time.Time {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	at := time.Date(2026, 10, 25, 1, 30, 7, 123456789, lisbon)
	parsed, err := time.Parse(time.RFC3339Nano, "2026-03-14T19:32:05.5+05:30")
	if err != nil {
		t.Fatal(err)
	}
	return []time.Time{{}, at, at.Add(time.Hour), at.UTC(), at.In(time.Local), parsed, at.In(time.FixedZone("", -3600)),
		at.In(time.FixedZone("bench", 1234)), at.In(time.FixedZone("Europe/Lisbon", 7200)), time.Unix(0, 0).UTC(),
		time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC), time.Date(1826, 1, 1, 0, 0, 0, 0, time.UTC), time.Unix(-1, 1)}
}

func randomInner(rng *rand.Rand, all []time.Time) inner {
	return inner{Name: fmt.Sprint("näme ", rng.IntN(9)), Count: rng.IntN(1<<40) - 1<<39, At: all[rng.IntN(len(all))],
		own: rng.NormFloat64()}
}

func randomOuter(rng *rand.Rand, all []time.Time) outer {
	v := outer{Inner: randomInner(rng, all), Flag: rng.IntN(2) == 0, Small: uint8(rng.IntN(256)),
		Signed: math.MinInt64 + rng.Int64N(9), Corners: [8]float64{3: rng.Float64(), 7: math.Inf(1)}}
	for range rng.IntN(4) {
		one := randomInner(rng, all)
		v.Ptr, v.Many, v.Values = &one, append(v.Many, &one), append(v.Values, one)
		v.Words, v.Raw = append(v.Words, one.Name), append(v.Raw, one.Name...)
		if v.By == nil {
			v.By, v.Said = map[string]inner{}, map[string][]string{"none": nil}
		}
		v.By[one.Name], v.Said[one.Name] = one, v.Words
	}
	return v
}

func TestRoundTrip(t *testing.T) {
	all := moments(t)
	roundTrip := func(v outer, seed uint64) bool {
		rng := rand.New(rand.NewPCG(seed, 1))
		v.Inner.At, v.Inner.own = all[rng.IntN(len(all))], math.Copysign(0, -1)
		v.Zone = all[rng.IntN(len(all))].Location()
		for i := range v.Many {
			if rng.IntN(3) == 0 {
				v.Many[i] = nil
			}
		}
		for _, c := range coders {
			data := c.Append(nil, &v)
			got, err := c.Read(string(data))
			if err != nil || !reflect.DeepEqual(*got, v) || !got.Inner.At.Equal(v.Inner.At) ||
				math.Signbit(got.Inner.own) != math.Signbit(v.Inner.own) {
				t.Errorf("%+v\ncame back as\n%+v, %v", v, got, err)
				return false
			}
			if again := c.Append(nil, got); string(again) != string(data) {
				t.Error("the same value has other bytes")
				return false
			}
		}
		return true
	}
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range 300 {
		if !roundTrip(randomOuter(rng, all), uint64(i)) {
			return
		}
	}
	if !roundTrip(outer{}, 1) || !roundTrip(outer{Words: []string{}, Raw: json.RawMessage{}, By: map[string]inner{}}, 2) {
		t.Error("empty and nil are one")
	}
}

// Bytes that are cut, added to or changed give an error or some value, and never a
// panic, or memory without end.
func TestBrokenBytes(t *testing.T) {
	v := outer{Words: []string{"a", "b"}, Many: []*inner{{Name: "x"}, nil}, By: map[string]inner{"k": {Count: 3}}}
	data := coders[0].Append(nil, &v)
	for n := range data {
		if _, err := coders[0].Read(string(data[:n])); !errors.Is(err, ErrBroken) {
			t.Errorf("the first %d of %d bytes were read: %v", n, len(data), err)
		}
	}
	if _, err := coders[0].Read(string(data) + "x"); !errors.Is(err, ErrBroken) {
		t.Errorf("a byte too many: %v", err)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		other := []byte(string(data))
		for range 1 + rng.IntN(4) {
			other[rng.IntN(len(other))] = byte(rng.IntN(256))
		}
		for _, c := range coders {
			c.Read(string(other))
		}
	}
}

func TestShapes(t *testing.T) {
	type a struct{ X, Y int }
	type b struct{ X, Z int }
	type c struct {
		X int
		Y int32
	}
	shapes := map[string]string{}
	for name, shape := range map[string]string{"a": For[struct{ V a }]().Shape(), "b": For[struct{ V b }]().Shape(),
		"c": For[struct{ V c }]().Shape(), "two": For[struct{ V, W a }]().Shape()} {
		if other, ok := shapes[shape]; ok {
			t.Errorf("%s and %s have one shape", name, other)
		}
		shapes[shape] = name
	}
	if For[outer]().Shape() != coders[0].Shape() {
		t.Error("one type has two shapes")
	}
}

type ring struct{ Next *ring }

func TestRefused(t *testing.T) {
	for name, make := range map[string]func(){
		"an interface": func() { For[struct{ V any }]() }, "a function": func() { For[struct{ F func() }]() },
		"a ring": func() { For[ring]() }, "a map by numbers": func() { For[map[int]string]() },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Error(name, "was taken")
				}
			}()
			make()
		}()
	}
}

func BenchmarkRead(b *testing.B) {
	v := outer{}
	for i := range 1000 {
		v.Many = append(v.Many, &inner{Name: fmt.Sprint("name ", i), Count: i, At: time.Unix(int64(i), 0).UTC()})
	}
	text := string(coders[0].Append(nil, &v))
	for b.Loop() {
		if _, err := coders[0].Read(text); err != nil {
			b.Fatal(err)
		}
	}
}
