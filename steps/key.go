package steps

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"math"
	"reflect"
	"slices"
	"strings"
)

// Key is the hash of a step's name and its input.
type Key [sha256.Size]byte

// keyOf hashes an input; false for one that holds what has no value to hash: a function, a
// channel, or a Made that no step made.
func keyOf(name string, in any) (Key, bool) {
	e := encoder{seen: map[seenAt]int{}}
	e.text(name)
	v := reflect.ValueOf(in)
	e.text(v.Type().String())
	if !e.value(v) {
		return Key{}, false
	}
	return sha256.Sum256(e.buf.Bytes()), true
}

// encoder writes a value so that two values are alike when and only when their bytes are:
// fields in the order of their struct, unexported ones too, lengths before what they count,
// maps in the order of their keys' bytes, pointers as what they point to, or, met again, as
// when they were met first.
type encoder struct {
	buf  bytes.Buffer
	seen map[seenAt]int
}

type seenAt struct {
	at uintptr
	of reflect.Type
}

func (e *encoder) number(n uint64) {
	e.buf.Write(binary.LittleEndian.AppendUint64(e.buf.AvailableBuffer(), n))
}

func (e *encoder) text(s string) {
	e.number(uint64(len(s)))
	e.buf.WriteString(s)
}

func (e *encoder) bit(b bool) {
	if b {
		e.buf.WriteByte(1)
		return
	}
	e.buf.WriteByte(0)
}

func (e *encoder) value(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Bool:
		e.bit(v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		e.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		e.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		e.number(math.Float64bits(v.Float()))
	case reflect.Complex64, reflect.Complex128:
		e.number(math.Float64bits(real(v.Complex())))
		e.number(math.Float64bits(imag(v.Complex())))
	case reflect.String:
		e.text(v.String())
	case reflect.Slice:
		if v.IsNil() {
			e.bit(false)
			return true
		}
		e.bit(true)
		e.number(uint64(v.Len()))
		return e.elements(v)
	case reflect.Array:
		return e.elements(v)
	case reflect.Struct:
		return e.fields(v)
	case reflect.Map:
		return e.entries(v)
	case reflect.Pointer:
		return e.pointer(v)
	case reflect.Interface:
		if v.IsNil() {
			e.bit(false)
			return true
		}
		e.bit(true)
		e.text(v.Elem().Type().String())
		return e.value(v.Elem())
	default: // functions, channels, bare memory
		e.bit(v.IsNil())
		return v.IsNil()
	}
	return true
}

func (e *encoder) elements(v reflect.Value) bool {
	for i := range v.Len() {
		if !e.value(v.Index(i)) {
			return false
		}
	}
	return true
}

var here = reflect.TypeFor[Key]().PkgPath()

func (e *encoder) fields(v reflect.Value) bool {
	t := v.Type()
	if t.PkgPath() == here && strings.HasPrefix(t.Name(), "Made[") {
		made := false
		for _, f := range v.Field(0).Seq2() {
			made = made || f.Uint() != 0
			e.buf.WriteByte(byte(f.Uint()))
		}
		return made
	}
	for i := range v.NumField() {
		if !e.value(v.Field(i)) {
			return false
		}
	}
	return true
}

func (e *encoder) entries(v reflect.Value) bool {
	if v.IsNil() {
		e.bit(false)
		return true
	}
	e.bit(true)
	e.number(uint64(v.Len()))
	all := make([][]byte, 0, v.Len())
	for it := v.MapRange(); it.Next(); {
		// On its own, so that what it points to is written out wherever it stands.
		one := encoder{seen: map[seenAt]int{}}
		if !one.value(it.Key()) || !one.value(it.Value()) {
			return false
		}
		all = append(all, one.buf.Bytes())
	}
	slices.SortFunc(all, bytes.Compare)
	for _, b := range all {
		e.number(uint64(len(b)))
		e.buf.Write(b)
	}
	return true
}

func (e *encoder) pointer(v reflect.Value) bool {
	if v.IsNil() {
		e.buf.WriteByte(0)
		return true
	}
	is := seenAt{v.Pointer(), v.Type()}
	if n, met := e.seen[is]; met {
		e.buf.WriteByte(2)
		e.number(uint64(n))
		return true
	}
	e.seen[is] = len(e.seen)
	e.buf.WriteByte(1)
	return e.value(v.Elem())
}
