// A short name of values: alike where they are alike in every field, so that what
// was made of them need not be made again.

package render

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math"
	"reflect"
	"slices"
	"time"
)

// digest stands for values. The zero value stands for nothing.
type digest [16]byte

func (d digest) String() string { return hex.EncodeToString(d[:]) }

// digestOf digests values: all they hold, also in fields that are not exported,
// and what they point to. They must not point in a circle, nor hold functions or
// channels. A field that is added to a type is in its digests without a word.
func digestOf(values ...any) digest {
	var e encoding
	for _, v := range values {
		e.any(v)
	}
	return e.sum()
}

// encoding writes values so that two that differ are written differently.
type encoding struct{ buf []byte }

func (e *encoding) sum() digest {
	full := sha256.Sum256(e.buf)
	return digest(full[:len(digest{})])
}

func (e *encoding) number(n uint64) { e.buf = binary.AppendUvarint(e.buf, n) }

func (e *encoding) text(s string) {
	e.number(uint64(len(s)))
	e.buf = append(e.buf, s...)
}

// any spares what pages are mostly made from the way through reflection.
func (e *encoding) any(v any) {
	switch v := v.(type) {
	case string:
		e.text(v)
	case digest:
		e.buf = append(e.buf, v[:]...)
	default:
		e.value(reflect.ValueOf(v))
	}
}

var (
	timeType = reflect.TypeFor[time.Time]()
	zoneType = reflect.TypeFor[time.Location]()
)

func (e *encoding) value(v reflect.Value) {
	if !v.IsValid() {
		e.number(0)
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		e.number(map[bool]uint64{true: 1}[v.Bool()])
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		e.buf = binary.AppendVarint(e.buf, v.Int())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		e.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		e.number(math.Float64bits(v.Float()))
	case reflect.String:
		e.text(v.String())
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			e.number(0)
			return
		}
		e.number(1)
		if v.Kind() == reflect.Interface {
			e.text(v.Elem().Type().String())
		}
		e.value(v.Elem())
	case reflect.Slice, reflect.Array:
		e.number(uint64(v.Len()))
		for i := range v.Len() {
			e.value(v.Index(i))
		}
	case reflect.Map:
		e.entries(v)
	case reflect.Struct:
		e.fields(v)
	default:
		panic("a " + v.Type().String() + " has no digest") // a fault in this program, which its tests find
	}
}

// entries are those of a map, in the order of what they are written as.
func (e *encoding) entries(v reflect.Value) {
	e.number(uint64(v.Len()))
	var all []string
	for it := v.MapRange(); it.Next(); {
		var one encoding
		one.value(it.Key())
		one.value(it.Value())
		all = append(all, string(one.buf))
	}
	slices.Sort(all)
	for _, one := range all {
		e.text(one)
	}
}

func (e *encoding) fields(v reflect.Value) {
	switch t := v.Type(); {
	case t == timeType && v.CanInterface():
		at := v.Interface().(time.Time)
		zone, offset := at.Zone()
		e.buf = binary.AppendVarint(e.buf, at.Unix())
		e.number(uint64(at.Nanosecond()))
		e.text(zone)
		e.buf = binary.AppendVarint(e.buf, int64(offset))
		return
	case t == zoneType:
		e.text(v.Field(0).String()) // its name; all else is the zone's table
		return
	}
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("freeze") == "-" {
			continue // not of what the value says: how it is held
		}
		e.value(v.Field(i))
	}
}
