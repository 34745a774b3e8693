package render

import (
	"reflect"
	"testing"
	"time"

	"rakelight/journal"
)

// What differs anywhere has another digest, what is alike the same.
func TestDigest(t *testing.T) {
	when := time.Date(2024, 5, 3, 19, 32, 0, 0, time.UTC)
	values := []any{
		"", "a", "ab", []string{"a", "b"}, []string{"ab"}, []string{"ab", ""}, []string{"", "ab"}, [2]int{1, 2}, 12, true, false, 0.5, -0.5,
		map[string]int{"a": 1}, map[string]int{"a": 2}, map[string]int{"a": 1, "b": 2}, when, when.Add(1), when.In(time.FixedZone("", 3600)),
		&journal.Photo{}, &journal.Photo{Tags: journal.Tags{View: "left"}}, &journal.Photo{Tags: journal.Tags{Light: "left"}},
		journal.Photo{Beside: []journal.Original{{Name: "x"}}}, journal.Session{Net: 1}, journal.Session{Reopened: 1}, digest{1}, digest{2},
		struct{ A, B string }{"a", "b"}, struct{ A, B string }{"ab", ""}, struct{ at time.Time }{when}, struct{ at time.Time }{when.Add(time.Hour)},
	}
	type typed struct {
		of reflect.Type
		d  digest
	}
	seen := map[typed]int{} // what is digested at one place is of one type
	for i, v := range values {
		d := digestOf(v)
		if k, twice := seen[typed{reflect.TypeOf(v), d}]; twice {
			t.Errorf("%#v and %#v have one digest", values[k], v)
		}
		seen[typed{reflect.TypeOf(v), d}] = i
		if digestOf(v) != d {
			t.Errorf("%#v has two digests", v)
		}
	}
	if digestOf("a", "b") == digestOf("ab", "") || digestOf(&when) != digestOf(&[]time.Time{when}[0]) {
		t.Error("values run into each other, or an address counts")
	}
}

// touch makes a value another than the zero value, as deep as it goes.
func touch(v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(7)
	case reflect.Float64:
		v.SetFloat(7)
	case reflect.String:
		v.SetString("seven")
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem())
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
	case reflect.Array:
		touch(v.Index(0))
	case reflect.Struct:
		if v.Type() == timeType {
			v.Set(reflect.ValueOf(time.Unix(7, 0)))
			return
		}
		touch(v.Field(0))
	}
}

// Changing any one field changes the digest.
func TestDigestSeesEveryField(t *testing.T) {
	for _, zero := range []any{journal.Photo{}, journal.Session{}, journal.Build{}, journal.Mark{}, journal.Verdict{}, journal.Pause{}, journal.Instant{}} {
		typ := reflect.TypeOf(zero)
		for i := range typ.NumField() {
			v := reflect.New(typ).Elem()
			before := digestOf(v.Interface())
			if touch(v.Field(i)); digestOf(v.Interface()) == before {
				t.Errorf("%s.%s is in no digest", typ, typ.Field(i).Name)
			}
		}
	}
}
