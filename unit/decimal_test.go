package unit

import "testing"

func TestDecimalIsWhatPeopleWrite(t *testing.T) {
	for text, want := range map[string]float64{"8": 8, "-2.5": -2.5, "+.5": 0.5, "3.": 3, "1e3": 1000, "2.5E-1": 0.25, "007": 7} {
		if v, ok := Decimal(text); !ok || v != want {
			t.Errorf("%q is %v, %v", text, v, ok)
		}
	}
	for _, text := range []string{"", "-", ".", "0x10", "0b11", "0o7", "1_0", "NaN", "nan", "inf", "+Inf", "infinity", "1e", "1e999", "1,5",
		"15 ", "0x1p3", "1.2.3", "12OO"} {
		if v, ok := Decimal(text); ok {
			t.Errorf("%q is read as %v", text, v)
		}
	}
}
