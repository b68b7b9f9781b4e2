package plan_test

import (
	"strings"
	"testing"

	"gelwright/check"
)

// The winter and the summer job of the acceptance roofs, hour by hour.
func TestDaysOfTheWinterAndTheSummerJob(t *testing.T) {
	find := func(roof, key string) check.Result {
		for _, r := range planned(t, roof).Checks {
			if r.Key == key {
				return r
			}
		}
		t.Fatalf("%s has no check %s", roof, key)
		return check.Result{}
	}
	lam := find("r08-winter.yaml", "day.laminate")
	if lam.Verdict != check.Fail || !strings.Contains(lam.Finding, "between 10:00 and 12:15") || !strings.Contains(lam.Finding, "frost") ||
		!strings.Contains(lam.Remedies[0].Text, "reason") {
		t.Errorf("winter laminate: %+v", lam)
	}
	coat := find("r08-winter.yaml", "day.coat")
	if coat.Verdict != check.Fail || !strings.Contains(coat.Finding, "no hour") || !strings.Contains(coat.Remedies[0].Text, "abraded") {
		t.Errorf("winter top coat: %+v", coat)
	}
	for _, key := range []string{"day.laminate", "day.coat"} {
		r := find("r09-summer.yaml", key)
		if r.Verdict != check.Pass || !strings.Contains(r.Finding, "06:00 and 08:30") || !strings.Contains(r.Finding, "19:00") {
			t.Errorf("summer %s: %+v", key, r)
		}
	}
}
