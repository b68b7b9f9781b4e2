package country

import (
	"reflect"
	"strings"
	"testing"

	"gelwright/working"
)

func TestEveryValueIsNamedAndEveryKnownOneHasASource(t *testing.T) {
	for _, s := range append(sets(), Recommended()) {
		v := reflect.ValueOf(s)
		for i := 0; i < v.NumField(); i++ {
			value, ok := v.Field(i).Interface().(Value)
			if !ok {
				continue
			}
			field := v.Type().Field(i).Name
			if value.Name == "" {
				t.Errorf("%s %s has no name", s.Name, field)
			}
			if value.Known && (value.Source.Title == "" || value.Source.Standing == "") {
				t.Errorf("%s %s has no source", s.Name, field)
			}
			if !value.Known && value.Value != 0 {
				t.Errorf("%s %s is unknown and yet %g", s.Name, field, value.Value)
			}
		}
	}
}

func TestACountryWithoutASetSaysSo(t *testing.T) {
	s, cautions := For("PT")
	if s.National || len(cautions) == 0 || !strings.Contains(cautions[0], "Portugal on wind (EN 1991-1-4") {
		t.Errorf("PT: national %v, cautions %q", s.National, cautions)
	}
	if s.Rain.Known {
		t.Error("a rainfall was guessed for PT")
	}
	if _, cautions := For("GB-ENG"); len(cautions) != 0 {
		t.Errorf("England has cautions %q", cautions)
	}
}

func TestARememberedValueIsFlagged(t *testing.T) {
	s, _ := For("IE")
	if f := s.UNew.Flag(); !strings.Contains(f, string(working.Remembered)) {
		t.Errorf("flag %q", f)
	}
	e, _ := For("GB-ENG")
	if f := e.AirDensity.Flag(); f != "" {
		t.Errorf("published value flagged: %q", f)
	}
}
