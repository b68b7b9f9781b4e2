package desk

import (
	"reflect"
	"testing"

	"gelwright/firmfile"
)

// Every rate of work of a firm file reaches the programme, each as another.
func TestEveryRateOfTheFirmFileIsHandedOver(t *testing.T) {
	seen := map[string]string{}
	for i := range reflect.TypeFor[firmfile.Rates]().NumField() {
		var firm firmfile.Firm
		reflect.ValueOf(&firm.Rates).Elem().Field(i).SetFloat(123)
		name, taken := reflect.TypeFor[firmfile.Rates]().Field(i).Name, ""
		rates := reflect.ValueOf((&Given{Firm: &firm}).rates())
		for k := range rates.NumField() {
			if rates.Field(k).Float() == 123 {
				taken += rates.Type().Field(k).Name
			}
		}
		if taken == "" || seen[taken] != "" {
			t.Errorf("%s of the firm file is the programme's %q, as %s is", name, taken, seen[taken])
		}
		seen[taken] = name
	}
}
