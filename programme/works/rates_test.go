package works

import (
	"reflect"
	"testing"
)

// Every rate that a firm gives takes the place of common practice, and no other.
func TestEveryRateOfTheFirmIsTaken(t *testing.T) {
	common := CommonRates()
	for i := range reflect.TypeFor[Rates]().NumField() {
		var own Rates
		reflect.ValueOf(&own).Elem().Field(i).SetFloat(123)
		got := own.Over(common)
		want := common
		reflect.ValueOf(&want).Elem().Field(i).SetFloat(123)
		if got != want {
			t.Errorf("%s of 123 gives %+v", reflect.TypeFor[Rates]().Field(i).Name, got)
		}
	}
}
