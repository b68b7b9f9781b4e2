package roof

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestCupIsReadAsPeopleWriteIt(t *testing.T) {
	for text, want := range map[string]Cup{
		"23 min at 15 C, 2 %": {23, 15, 2}, "23@15,2": {23, 15, 2}, " 23.5 minutes at 15.5 °C , 1.75% ": {23.5, 15.5, 1.75},
		"44min@-2C,4%": {44, -2, 4},
	} {
		got, err := ParseCup(text)
		if err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
		if back, err := ParseCup(got.String()); err != nil || back != got {
			t.Errorf("%q comes back as %v, %v", got, back, err)
		}
	}
	for text, says := range map[string]string{
		"": "23 min at 15 C, 2 %", "23": "such as", "23 at 15": "such as", "23,5 at 15, 2": "such as", "0 at 15, 2": "minutes", "700 at 15, 2": "minutes",
		"23 at 59, 2": "°C", "23 at 15, 0.02": "% by mass", "23 at 15, 20": "% by mass",
	} {
		if _, err := ParseCup(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", text, err, says)
		}
	}
	raw, err := json.Marshal(Day{})
	if err != nil || strings.Contains(string(raw), "cup") {
		t.Errorf("a day without a cup: %s, %v", raw, err)
	}
	var day Day
	if err := json.Unmarshal([]byte(`{"cup":"23 min at 15 C, 2 %"}`), &day); err != nil || day.Cup != (Cup{23, 15, 2}) || !day.Cup.Given() || day.CoatCup.Given() {
		t.Errorf("%+v, %v", day, err)
	}
}
