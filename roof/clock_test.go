package roof

import (
	"encoding/json"
	"testing"
)

func TestClockReadsTheDayAndNothingElse(t *testing.T) {
	for text, min := range map[string]float64{"00:00": 0, "08:30": 510, "10:00": 600, "23:59": 1439} {
		c, err := ParseClock(text)
		if err != nil || c.Min() != min || c.String() != text || !c.Given() {
			t.Errorf("%q: %v min, %q, %v", text, c.Min(), c, err)
		}
	}
	for _, text := range []string{"", "8:30", "24:00", "23:60", "08.30", "0830", "08:3o", "ab:cd", "-1:30", "08:30:00", "08:-1", "/9:00", "00::0"} {
		if c, err := ParseClock(text); err == nil || c.Given() {
			t.Errorf("%q was taken for %v", text, c)
		}
	}
	if got := Clock(0).Or(ClockAt(480)); got.String() != "08:00" {
		t.Errorf("none given: %v", got)
	}
	if got := ClockAt(0).Or(ClockAt(480)); got.Min() != 0 || !got.Given() {
		t.Errorf("midnight: %v", got)
	}
}

func TestClockInJSON(t *testing.T) {
	var h struct{ A, B Clock }
	if err := json.Unmarshal([]byte(`{"A":"07:45","B":""}`), &h); err != nil {
		t.Fatal(err)
	}
	out, err := json.Marshal(h)
	if err != nil || string(out) != `{"A":"07:45","B":""}` {
		t.Errorf("%s, %v", out, err)
	}
	if err := json.Unmarshal([]byte(`{"A":"25:00"}`), &h); err == nil {
		t.Error("25:00 was taken")
	}
}
