package work

import (
	"os"
	"reflect"
	"testing"

	"gelwright/desk"
	"gelwright/rooffile"
	"gelwright/working"
)

// TestWorkThatIsKeptIsTheWorkItself packs the work of examples and reads it again: nothing of it is lost.
func TestWorkThatIsKeptIsTheWorkItself(t *testing.T) {
	all := []string{"../examples/r01-garage.yaml", "../examples/r06-balcony.yaml", "../examples/r10-terrace.yaml"}
	for _, path := range all {
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		job, _, err := rooffile.Read(path, raw)
		if err != nil {
			t.Fatal(err)
		}
		made, err := desk.WorkOf(t.Context(), desk.Given{Job: job}, 0)
		if err != nil || made.Fault != nil {
			t.Fatal(err, made)
		}
		parts := map[string][]byte{}
		packed, err := packWork(made, parts)
		if err != nil {
			t.Fatal(err)
		}
		k, err := unpackRoof(packed)
		if err != nil {
			t.Fatal(err)
		}
		got, err := newParts().worked(k, parts)
		if err != nil {
			t.Fatal(err)
		}
		if !same(reflect.ValueOf(made), reflect.ValueOf(got)) {
			t.Errorf("%s: what is read is not what was kept", path)
		}
		if _, err := newParts().worked(k, nil); err == nil && len(parts) > 0 {
			t.Error("parts that are missing are not missed")
		}
	}
}

// same compares values as reflect.DeepEqual does, but takes empty for none and leaves out by what formula a figure was computed.
func same(a, b reflect.Value) bool {
	if a.Kind() != b.Kind() {
		return false
	}
	switch a.Kind() {
	case reflect.Pointer, reflect.Interface:
		return a.IsNil() == b.IsNil() && (a.IsNil() || same(a.Elem(), b.Elem()))
	case reflect.Slice, reflect.Array:
		for i := range min(a.Len(), b.Len()) {
			if !same(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return a.Len() == b.Len()
	case reflect.Struct:
		for i := range a.NumField() {
			if a.Type() == reflect.TypeFor[working.Figure]() && !a.Type().Field(i).IsExported() {
				continue
			}
			if !same(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Map:
		for _, k := range a.MapKeys() {
			if v := b.MapIndex(k); !v.IsValid() || !same(a.MapIndex(k), v) {
				return false
			}
		}
		return a.Len() == b.Len()
	default:
		return a.Equal(b)
	}
}
