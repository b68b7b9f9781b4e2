package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gelwright/desk"
	"gelwright/plan"
)

// With the job of a roof, its file or its stored plan, dose answers as the bucket table does: same resin, catalyst, cup and margin, and
// no more at once than the crew's experience allows. Without it the usual pair is reckoned with.
func TestDoseOfAJob(t *testing.T) {
	roof, folder := "../../examples/r01-garage.yaml", t.TempDir()
	code, out, errs := call(t, "", "plan", roof, "--json", "--cup", "19 min at 15 C, 2 %", "--coat-cup", "30 min at 20 C, 2 %")
	if code != exitDone {
		t.Fatal(errs)
	}
	var p plan.Plan
	if err := json.Unmarshal([]byte(out), &p); err != nil {
		t.Fatal(err)
	}
	stored := filepath.Join(folder, "plan.json")
	if err := os.WriteFile(stored, []byte(out), 0o600); err != nil {
		t.Fatal(err)
	}
	told, differs := 0, false
	for _, x := range p.Passes {
		if x.Plan == nil {
			continue
		}
		m := x.Plan.Mixes[len(x.Plan.Mixes)-1]
		usual := []string{"dose", "--json", "--temp", fmt.Sprint(m.TempC), "--resin-temp", fmt.Sprint(m.ResinC), "--kg", fmt.Sprint(m.ResinKG)}
		cup := []string{"--cup", "19 min at 15 C, 2 %"}
		if x.Coat() {
			usual, cup[1] = append(usual, "--coat"), "30 min at 20 C, 2 %"
		}
		for _, job := range [][]string{{"--job", stored}, append([]string{"--job", roof}, cup...)} {
			var a desk.Dose
			_, out, errs := call(t, "", append(usual, job...)...)
			if err := json.Unmarshal([]byte(out), &a); err != nil {
				t.Fatal(err, errs)
			}
			if math.Abs(a.CatalystML-m.CatalystML) > 0.01 || math.Abs(a.PctByMass-m.DosePct) > 1e-6 {
				t.Errorf("bucket %d of %s, %v: %.1f ml in the table, %.1f ml of %s by dose (%s)", m.Number, x.Key(), job, m.CatalystML, a.CatalystML,
					a.CatalystKey, a.Why)
			}
			told++
		}
		var a desk.Dose
		_, out, _ := call(t, "", append(usual, "--minutes", "8")...)
		if err := json.Unmarshal([]byte(out), &a); err != nil {
			t.Fatal(err)
		}
		differs = differs || math.Abs(a.CatalystML-m.CatalystML) > 0.01
	}
	if told < 6 || !differs {
		t.Errorf("%d buckets asked; without the job the answers differ: %v", told, differs)
	}
	code, _, errs = call(t, "", "dose", "--job", stored, "--temp", "15", "--kg", "5")
	_, words, _ := call(t, "", "dose", "--job", stored, "--temp", "15", "--kg", "5")
	if code != exitNo || !strings.Contains(words, "regular mixes no more than 4 kg") || !strings.Contains(words, "2 buckets of 2.5 kg") {
		t.Errorf("5 kg by a crew that is regular: %d %s %s", code, words, errs)
	}
}
