package main

import (
	"encoding/json"
	"strings"
	"testing"

	"gelwright/desk"
)

func askDose(t *testing.T, want int, args ...string) desk.Dose {
	t.Helper()
	code, out, errs := call(t, "", append([]string{"dose", "--kg", "5", "--json"}, args...)...)
	var a desk.Dose
	if code != want {
		t.Fatalf("%v: exit %d, want %d: %s", args, code, want, errs)
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatal(err)
	}
	return a
}

// A timed cup outranks the sheet: the range narrows and moves to it.
func TestACupNarrowsTheRange(t *testing.T) {
	sheet := askDose(t, exitDone, "--temp", "15", "--minutes", "10")
	cup := askDose(t, exitDone, "--temp", "15", "--minutes", "10", "--cup", "44@15,2")
	if cup.Cup == nil || !(cup.Cup.After.HighMin/cup.Cup.After.LowMin < cup.Cup.Before.HighMin/cup.Cup.Before.LowMin) {
		t.Errorf("%+v", cup.Cup)
	}
	if !(cup.Cup.After.LikelyMin > 40 && cup.Cup.After.LikelyMin < 45) {
		t.Errorf("after a cup of 44 min the likely gel is %.1f", cup.Cup.After.LikelyMin)
	}
	if cup.PctByMass <= sheet.PctByMass {
		t.Errorf("a slow drum is dosed %.2f %%, the sheet's %.2f", cup.PctByMass, sheet.PctByMass)
	}
	for _, bad := range []string{"36", "36@15", "x@15,2", "36@15,2,1", "1.2.3@15,2"} {
		if code, _, errs := call(t, "", "dose", "--kg", "5", "--temp", "15", "--minutes", "10", "--cup", bad); code != exitUsage || !strings.Contains(errs, "23 min at 15 C, 2 %") {
			t.Errorf("--cup %s: %d, %s", bad, code, errs)
		}
	}
	if code, _, errs := call(t, "", "dose", "--kg", "5", "--temp", "15", "--minutes", "10", "--cup", "36@1,2"); code != exitNo || !strings.Contains(errs, "below") {
		t.Errorf("a frozen cup: %d, %s", code, errs)
	}
	_, out, _ := call(t, "", "dose", "--kg", "5", "--temp", "15", "--minutes", "10", "--cup", "150@15,2")
	if !strings.Contains(out, "time another") {
		t.Errorf("a cup that cannot be is believed:\n%s", out)
	}
}

// The frontier's dose keeps both targets, which the habit of the rule alone does not; and
// where none does, a measure is named.
func TestReadyByADeadline(t *testing.T) {
	a := askDose(t, exitDone, "--temp", "15", "--minutes", "14", "--ready", "rain-safe", "--by", "240", "--cup", "29 min at 15 C, 2 %")
	if r := a.Ready; r == nil || !r.Chosen.Meets || r.Chosen.Laid < 0.95 || r.Chosen.Ready < 0.90 || r.Chosen.Pct != a.PctByMass || len(r.Frontier) < 10 {
		t.Errorf("%+v", a)
	}
	cold := askDose(t, exitNo, "--temp", "8", "--minutes", "14", "--ready", "rain-safe", "--by", "240")
	if cold.Works || cold.Ready == nil || len(cold.Ready.Measures) == 0 || !strings.Contains(strings.Join(cold.Remedies, " "), "warmed resin") {
		t.Errorf("%+v", cold)
	}
	hot := askDose(t, exitNo, "--temp", "29", "--minutes", "14", "--ready", "walk", "--by", "120", "--sun", "8", "--cup", "15 min at 29 C, 1 %")
	text := strings.Join(hot.Remedies, " ")
	for _, want := range []string{"half the size", "shade"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q among %s", want, text)
		}
	}
	coat := askDose(t, exitDone, "--coat", "--temp", "20", "--minutes", "9", "--ready", "rain-safe", "--by", "300")
	if coat.Ready == nil || !coat.Ready.Chosen.Meets {
		t.Errorf("%+v", coat)
	}
	frost := askDose(t, exitNo, "--temp", "1", "--minutes", "14", "--ready", "walk", "--by", "120")
	if frost.Works || !strings.Contains(frost.Why, "below") {
		t.Errorf("%+v", frost)
	}
	for _, args := range [][]string{{"--ready", "hard", "--by", "60"}, {"--ready", "walk"}, {"--ready", "walk", "--by", "60", "--film", "-1"}} {
		if code, _, _ := call(t, "", append([]string{"dose", "--kg", "5", "--temp", "15", "--minutes", "10"}, args...)...); code != exitUsage {
			t.Errorf("%v: exit %d", args, code)
		}
	}
}

// A large rest is named a danger with its act.
func TestWhatIsLeftOver(t *testing.T) {
	a := askDose(t, exitDone, "--temp", "22", "--minutes", "8", "--left", "3")
	l := a.LeftOver
	if l == nil || l.Verdict != "fail" || l.PeakC < 100 || !l.Runaway || !strings.Contains(strings.Join(l.Remedies, " "), "dry sand") {
		t.Errorf("%+v", l)
	}
	if code, _, errs := call(t, "", "dose", "--kg", "5", "--temp", "15", "--minutes", "10", "--left", "6"); code != exitUsage || !strings.Contains(errs, "no more than the mix") {
		t.Errorf("more left than mixed: %d %s", code, errs)
	}
	code, out, _ := call(t, "", "dose", "--kg", "5", "--temp", "22", "--minutes", "8", "--left", "3", "--explain")
	for _, want := range []string{"Left over:", "t = exp(a", "gel points of the catalogue's example", "heat of cure", "The habit would pour"} {
		if code != exitDone || !strings.Contains(out, want) {
			t.Errorf("no %q", want)
		}
	}
}
