// This file is how single things are written: numbers, strings, instants.

package freeze

import (
	"cmp"
	"encoding/binary"
	"math"
	"reflect"
	"slices"
	"sync"
	"time"
	"unsafe"
)

// reader goes through bytes that perhaps nobody wrote: what lies behind the end
// is zero, and bad is said.
type reader struct {
	text string
	bad  bool
}

func (r *reader) fail() {
	r.text, r.bad = "", true
}

func (r *reader) byte() byte {
	if len(r.text) == 0 {
		r.fail()
		return 0
	}
	b := r.text[0]
	r.text = r.text[1:]
	return b
}

func (r *reader) uint() uint64 {
	var n uint64
	for shift := 0; shift < 64; shift += 7 {
		b := r.byte()
		n |= uint64(b&0x7f) << shift
		if b < 0x80 {
			return n
		}
	}
	r.fail()
	return 0
}

func (r *reader) int() int64 {
	n := r.uint()
	return int64(n>>1) ^ -int64(n&1)
}

// count is how many things follow, and one more. Each takes a byte at least, but
// for empty structs, so a count above what is left is nobody's.
func (r *reader) count() int {
	n := r.uint()
	if n > uint64(len(r.text))+1 {
		r.fail()
		return 0
	}
	return int(n)
}

func (r *reader) string() string {
	n := r.uint()
	if n > uint64(len(r.text)) {
		r.fail()
		return ""
	}
	s := r.text[:n]
	r.text = r.text[n:]
	return s
}

func (r *reader) float() float64 {
	if len(r.text) < 8 {
		r.fail()
		return 0
	}
	bits := uint64(0)
	for i := range 8 {
		bits |= uint64(r.text[i]) << (8 * i)
	}
	r.text = r.text[8:]
	return math.Float64frombits(bits)
}

func appendInt(to []byte, n int64) []byte {
	return binary.AppendUvarint(to, uint64(n<<1)^uint64(n>>63))
}

func appendCount(to []byte, n int) []byte { return binary.AppendUvarint(to, uint64(n)) }

func appendString(to []byte, s string) []byte { return append(appendCount(to, len(s)), s...) }

// number is the coder of an integer type.
func number[T int | int8 | int16 | int32 | int64 | uint | uint8 | uint16 | uint32 | uint64]() coder {
	return coder{
		func(to []byte, at unsafe.Pointer) []byte { return appendInt(to, int64(*(*T)(at))) },
		func(r *reader, at unsafe.Pointer) { *(*T)(at) = T(r.int()) },
	}
}

// plain are the coders of kinds that hold nothing else.
var plain = map[reflect.Kind]coder{
	reflect.Int: number[int](), reflect.Int8: number[int8](), reflect.Int16: number[int16](),
	reflect.Int32: number[int32](), reflect.Int64: number[int64](),
	reflect.Uint: number[uint](), reflect.Uint8: number[uint8](), reflect.Uint16: number[uint16](),
	reflect.Uint32: number[uint32](), reflect.Uint64: number[uint64](),
	reflect.Bool: {
		func(to []byte, at unsafe.Pointer) []byte {
			if *(*bool)(at) {
				return append(to, 1)
			}
			return append(to, 0)
		},
		func(r *reader, at unsafe.Pointer) { *(*bool)(at) = r.byte() == 1 },
	},
	reflect.Float64: {
		func(to []byte, at unsafe.Pointer) []byte {
			return binary.LittleEndian.AppendUint64(to, math.Float64bits(*(*float64)(at)))
		},
		func(r *reader, at unsafe.Pointer) { *(*float64)(at) = r.float() },
	},
	reflect.String: {
		func(to []byte, at unsafe.Pointer) []byte { return appendString(to, *(*string)(at)) },
		func(r *reader, at unsafe.Pointer) { *(*string)(at) = r.string() },
	},
}

// times are the coders of instants and zones.
var times = map[reflect.Type]coder{
	reflect.TypeFor[time.Time](): {
		func(to []byte, at unsafe.Pointer) []byte { return appendTime(to, *(*time.Time)(at)) },
		func(r *reader, at unsafe.Pointer) { *(*time.Time)(at) = r.time() },
	},
	reflect.TypeFor[*time.Location](): {
		func(to []byte, at unsafe.Pointer) []byte { return appendZone(to, *(**time.Location)(at)) },
		func(r *reader, at unsafe.Pointer) { *(**time.Location)(at) = r.zone() },
	},
}

// rawBytes is the coder of bytes. They are copied: who has them may write to them.
var rawBytes = coder{
	func(to []byte, at unsafe.Pointer) []byte { return appendBytes(to, *(*[]byte)(at)) },
	func(r *reader, at unsafe.Pointer) { *(*[]byte)(at) = r.bytes() },
}

func appendBytes(to, b []byte) []byte {
	if b == nil {
		return append(to, 0)
	}
	return append(appendCount(append(to, 1), len(b)), b...)
}

func (r *reader) bytes() []byte {
	if r.byte() == 0 {
		return nil
	}
	return []byte(r.string())
}

// What kind of zone an instant is in.
const (
	never  = iota // the zero instant in UTC
	inUTC         // as time.UTC
	offset        // as in a text of RFC 3339: an offset, which is the computer's zone where that has it then
	fixed         // a name and an offset
	named         // of the zone database
	here          // the computer's zone, of a zone alone
)

func appendTime(to []byte, t time.Time) []byte {
	if t == (time.Time{}) {
		return append(to, never)
	}
	to = appendZoneAt(to, t)
	return binary.AppendUvarint(appendInt(to, t.Unix()), uint64(t.Nanosecond()))
}

func (r *reader) time() time.Time {
	kind := r.byte()
	if kind == never {
		return time.Time{}
	}
	zone, off := r.zoneOf(kind)
	t := time.Unix(r.int(), int64(r.uint())).UTC()
	switch {
	case kind != offset:
		return t.In(zone)
	case offsetOf(t.Local()) == off: // as time.Parse has it
		return t.Local()
	}
	return t.In(zoneAt("", off))
}

func offsetOf(t time.Time) int {
	_, off := t.Zone()
	return off
}

// appendZoneAt writes the zone of an instant.
func appendZoneAt(to []byte, t time.Time) []byte {
	zone, name := t.Location(), t.Location().String()
	switch {
	case zone == time.UTC:
		return append(to, inUTC)
	case zone == time.Local || name == "":
		return appendInt(append(to, offset), int64(offsetOf(t)))
	case load(name) != nil && offsetOf(t.In(load(name))) == offsetOf(t):
		return appendString(append(to, named), name)
	}
	return appendString(appendInt(append(to, fixed), int64(offsetOf(t))), name)
}

// zoneOf is the zone that was written as that kind, or an offset.
func (r *reader) zoneOf(kind byte) (*time.Location, int) {
	switch kind {
	case inUTC:
		return time.UTC, 0
	case offset:
		return nil, int(r.int())
	case fixed:
		off := int(r.int())
		return zoneAt(r.string(), off), off
	case named:
		if zone := load(r.string()); zone != nil {
			return zone, 0
		}
	}
	r.fail()
	return time.UTC, 0
}

// appendZone writes a zone that belongs to no instant.
func appendZone(to []byte, zone *time.Location) []byte {
	switch zone {
	case nil:
		return append(to, never)
	case time.Local:
		return append(to, here)
	}
	return appendZoneAt(to, time.Unix(0, 0).In(zone))
}

func (r *reader) zone() *time.Location {
	kind := r.byte()
	switch kind {
	case never:
		return nil
	case here:
		return time.Local
	}
	zone, off := r.zoneOf(kind)
	if zone == nil {
		return zoneAt("", off)
	}
	return zone
}

// Zones are made once: thousands of instants share a few.
var (
	zonesMu sync.Mutex
	loaded  = map[string]*time.Location{}
	atFixed = map[string]map[int]*time.Location{}
)

// load is a zone of the database, nil when it has none of that name.
func load(name string) *time.Location {
	zonesMu.Lock()
	defer zonesMu.Unlock()
	zone, known := loaded[name]
	if !known {
		zone, _ = time.LoadLocation(name)
		loaded[name] = zone
	}
	return zone
}

func zoneAt(name string, off int) *time.Location {
	zonesMu.Lock()
	defer zonesMu.Unlock()
	if atFixed[name] == nil {
		atFixed[name] = map[int]*time.Location{}
	}
	if atFixed[name][off] == nil {
		atFixed[name][off] = time.FixedZone(name, off)
	}
	return atFixed[name][off]
}

func sortedKeys(m reflect.Value) []reflect.Value {
	keys := m.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int { return cmp.Compare(a.String(), b.String()) })
	return keys
}
