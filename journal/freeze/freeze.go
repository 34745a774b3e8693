// Package freeze writes Go values as bytes and reads them again, quickly and
// whole: unexported fields too, nil apart from empty, instants with their zones.
//
// Start with For, which makes the coder of a type, and Coder.Shape, which tells
// whether bytes were written by a program with the same types. It is for caches
// that are thrown away when the program changes: the bytes hold no names, and
// bytes of another shape are not to be read. It knows no journal.
//
// A type may hold what data holds: numbers, strings, times, and structs, slices,
// pointers and maps by strings of such; a field tagged freeze:"-" is left out. Two pointers to one thing come back as
// two things. Types that refer to themselves are refused.
package freeze

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"reflect"
	"unsafe"
)

// ErrBroken is the error of bytes that no coder of that type wrote.
var ErrBroken = errors.New("frozen bytes are broken")

// Coder writes and reads values of one type. It is safe for concurrent use.
type Coder[T any] struct {
	of    coder
	shape string
}

// For is the coder of a type. It panics where the type holds what cannot be
// frozen, so make it once, when the program starts. Maps that there are many of are
// named, to be read quickly.
func For[T any](quick ...Quick) *Coder[T] {
	b := builder{shape: sha256.New(), quick: quick}
	of := b.build(reflect.TypeFor[T](), nil)
	sum := b.shape
	return &Coder[T]{of, hex.EncodeToString(sum.Sum(nil)[:8])}
}

// Shape is the same for two types that are made alike, names of fields included.
func (c *Coder[T]) Shape() string { return c.shape }

// Append adds the value to the bytes.
func (c *Coder[T]) Append(to []byte, value *T) []byte {
	return c.of.write(to, unsafe.Pointer(value))
}

// Read is the value that was written. Its strings lie in the text that is given.
func (c *Coder[T]) Read(text string) (value *T, err error) {
	value = new(T)
	r := reader{text: text}
	c.of.read(&r, unsafe.Pointer(value))
	if r.bad || len(r.text) > 0 {
		return nil, ErrBroken
	}
	return value, nil
}

// coder writes what lies at a place, and reads into a place that is zero.
type coder struct {
	write func(to []byte, at unsafe.Pointer) []byte
	read  func(r *reader, at unsafe.Pointer)
}

// Quick is how a type of maps is read without reflection.
type Quick struct {
	of   reflect.Type
	read func(value coder) func(r *reader, at unsafe.Pointer)
}

// MapsOf reads maps from strings to V quickly; M is the type of such maps.
func MapsOf[M ~map[string]V, V any]() Quick {
	return Quick{reflect.TypeFor[M](), func(of coder) func(*reader, unsafe.Pointer) {
		return func(r *reader, at unsafe.Pointer) {
			n := r.count()
			if n == 0 || r.bad {
				return
			}
			m := make(M, n-1)
			var value, none V
			for i := 1; i < n && !r.bad; i++ {
				key := r.string()
				of.read(r, unsafe.Pointer(&value))
				m[key], value = value, none
			}
			*(*M)(at) = m
		}
	}}
}

// builder makes coders and notes the shape of what they are of.
type builder struct {
	shape hash.Hash
	quick []Quick
}

func (b *builder) build(t reflect.Type, above []reflect.Type) coder {
	for _, one := range above {
		if one == t {
			panic(fmt.Sprintf("freeze: %v refers to itself", t))
		}
	}
	fmt.Fprintf(b.shape, "%v %v;", t, t.Kind())
	if c, ok := times[t]; ok {
		return c
	}
	if c, ok := plain[t.Kind()]; ok {
		return c
	}
	above = append(above, t)
	switch t.Kind() {
	case reflect.Struct:
		return b.ofStruct(t, above)
	case reflect.Slice:
		if t.Elem().Kind() == reflect.Uint8 {
			return rawBytes
		}
		of := b.build(t.Elem(), above)
		if t.Elem().Kind() == reflect.Pointer {
			return ofPointers(t, of, b.build(t.Elem().Elem(), above))
		}
		return ofSlice(t, of)
	case reflect.Array:
		return ofArray(t, b.build(t.Elem(), above))
	case reflect.Pointer:
		return ofPointer(t, b.build(t.Elem(), above))
	case reflect.Map:
		if t.Key().Kind() == reflect.String {
			of := ofMap(t, b.build(t.Elem(), above))
			for _, q := range b.quick {
				if q.of == t {
					of.read = q.read(b.build(t.Elem(), above))
				}
			}
			return of
		}
	}
	panic(fmt.Sprintf("freeze: a %v cannot be frozen", t))
}

func (b *builder) ofStruct(t reflect.Type, above []reflect.Type) coder {
	type field struct {
		offset uintptr
		coder
	}
	var fields []field
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Tag.Get("freeze") == "-" {
			continue
		}
		fmt.Fprintf(b.shape, "%s:", f.Name)
		fields = append(fields, field{f.Offset, b.build(f.Type, above)})
	}
	return coder{
		func(to []byte, at unsafe.Pointer) []byte {
			for i := range fields {
				to = fields[i].write(to, unsafe.Add(at, fields[i].offset))
			}
			return to
		},
		func(r *reader, at unsafe.Pointer) {
			for i := range fields {
				fields[i].read(r, unsafe.Add(at, fields[i].offset))
			}
		},
	}
}

// slice is how a slice lies in memory.
type slice struct {
	data     unsafe.Pointer
	len, cap int
}

func ofSlice(t reflect.Type, of coder) coder {
	size := t.Elem().Size()
	return coder{
		func(to []byte, at unsafe.Pointer) []byte {
			s := (*slice)(at)
			if s.data == nil {
				return append(to, 0)
			}
			to = appendCount(to, s.len+1)
			for i := range s.len {
				to = of.write(to, unsafe.Add(s.data, uintptr(i)*size))
			}
			return to
		},
		func(r *reader, at unsafe.Pointer) {
			n := r.count()
			if n == 0 || r.bad {
				return
			}
			n--
			made := reflect.MakeSlice(t, n, n)
			reflect.NewAt(t, at).Elem().Set(made)
			first := made.UnsafePointer()
			for i := 0; i < n && !r.bad; i++ {
				of.read(r, unsafe.Add(first, uintptr(i)*size))
			}
		},
	}
}

// ofPointers is ofSlice of pointers, read into one piece of memory.
func ofPointers(t reflect.Type, of, each coder) coder {
	c := ofSlice(t, of)
	c.read = func(r *reader, at unsafe.Pointer) {
		n := r.count()
		if n == 0 || r.bad {
			return
		}
		made := reflect.MakeSlice(t, n-1, n-1)
		reflect.NewAt(t, at).Elem().Set(made)
		readTogether(r, t.Elem().Elem(), each, made.UnsafePointer(), n-1)
	}
	return c
}

// readTogether reads what many pointers point to into one piece of memory, which
// is much quicker than one by one, and lives as long as any of them.
func readTogether(r *reader, t reflect.Type, of coder, pointers unsafe.Pointer, n int) {
	all := reflect.MakeSlice(reflect.SliceOf(t), n, n)
	first := all.UnsafePointer()
	for i := 0; i < n && !r.bad; i++ {
		if r.byte() == 0 {
			continue
		}
		one := unsafe.Add(first, uintptr(i)*t.Size())
		of.read(r, one)
		*(*unsafe.Pointer)(unsafe.Add(pointers, uintptr(i)*unsafe.Sizeof(one))) = one
	}
}

func ofArray(t reflect.Type, of coder) coder {
	size := t.Elem().Size()
	return coder{
		func(to []byte, at unsafe.Pointer) []byte {
			for i := range t.Len() {
				to = of.write(to, unsafe.Add(at, uintptr(i)*size))
			}
			return to
		},
		func(r *reader, at unsafe.Pointer) {
			for i := range t.Len() {
				of.read(r, unsafe.Add(at, uintptr(i)*size))
			}
		},
	}
}

func ofPointer(t reflect.Type, of coder) coder {
	return coder{
		func(to []byte, at unsafe.Pointer) []byte {
			to0 := *(*unsafe.Pointer)(at)
			if to0 == nil {
				return append(to, 0)
			}
			return of.write(append(to, 1), to0)
		},
		func(r *reader, at unsafe.Pointer) {
			if r.byte() == 0 {
				return
			}
			one := reflect.New(t.Elem()).UnsafePointer()
			of.read(r, one)
			*(*unsafe.Pointer)(at) = one
		},
	}
}

// ofMap writes a map in the order of its keys, so that equal maps have equal bytes.
func ofMap(t reflect.Type, of coder) coder {
	return coder{
		func(to []byte, at unsafe.Pointer) []byte {
			m := reflect.NewAt(t, at).Elem()
			if m.IsNil() {
				return append(to, 0)
			}
			to = appendCount(to, m.Len()+1)
			for _, key := range sortedKeys(m) {
				to = appendString(to, key.String())
				value := reflect.New(t.Elem())
				value.Elem().Set(m.MapIndex(key))
				to = of.write(to, value.UnsafePointer())
			}
			return to
		},
		func(r *reader, at unsafe.Pointer) {
			n := r.count()
			if n == 0 || r.bad {
				return
			}
			m := reflect.MakeMapWithSize(t, n-1)
			reflect.NewAt(t, at).Elem().Set(m)
			key, value := reflect.New(t.Key()).Elem(), reflect.New(t.Elem())
			for i := 1; i < n && !r.bad; i++ {
				key.SetString(r.string())
				value.Elem().SetZero()
				of.read(r, value.UnsafePointer())
				m.SetMapIndex(key, value.Elem())
			}
		},
	}
}
