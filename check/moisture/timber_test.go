package moisture

import (
	"context"
	"strings"
	"testing"

	"gelwright/check/country"
)

func TestEquilibriumMoistureOfTheWoodHandbook(t *testing.T) {
	for _, row := range []struct {
		name string
		temp float64
		want []float64 // at 5, 10, … 95 %
	}{
		{"Wood Handbook table 4-2, 30 °F (from memory)", -1.111, []float64{1.4, 2.6, 3.7, 4.6, 5.5, 6.3, 7.1, 7.9, 8.7, 9.5, 10.4, 11.3, 12.4, 13.5, 14.9, 16.5, 18.5, 21.0, 24.3}},
		{"Wood Handbook table 4-2, 70 °F (from memory)", 21.111, []float64{1.3, 2.5, 3.5, 4.5, 5.4, 6.2, 6.9, 7.7, 8.5, 9.2, 10.1, 11.0, 12.0, 13.1, 14.4, 16.0, 17.9, 20.5, 23.9}},
		{"Wood Handbook table 4-2, 80 °F (from memory)", 26.667, []float64{1.3, 2.4, 3.5, 4.4, 5.3, 6.1, 6.8, 7.6, 8.3, 9.1, 9.9, 10.8, 11.7, 12.9, 14.2, 15.7, 17.7, 20.2, 23.6}},
	} {
		for i, want := range row.want {
			got, err := wood(row.temp, float64(5*(i+1)))
			if err != nil {
				t.Fatal(err)
			}
			near(t, row.name, got, want, 0.1)
		}
	}
	// A public worked example: 140 °F and 55 % give 8.4 %.
	got, err := wood(60, 55)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "60 °C, 55 %", got, 8.4, 0.05)
	// An Irish winter's air keeps an open deck wet: about 20 % (regression only).
	got, _ = wood(6, 88)
	near(t, "6 °C, 88 %", got, 20, 0.6)
}

func TestWetDeckIsRefusedWithDaysOrAReason(t *testing.T) {
	r := CheckDeck([]float64{15, 16, 21, 27}, 18, 20, 60, nil)
	if r.Verdict != "fail" || !strings.Contains(r.Remedies[0].Text, "days") {
		t.Errorf("%+v", r)
	}
	r = CheckDeck([]float64{15, 16, 21, 27}, 18, 6, 90, nil)
	if r.Verdict != "fail" || !strings.Contains(r.Remedies[0].Text, "never reaches") {
		t.Errorf("%+v", r)
	}
	if r = CheckDeck([]float64{14, 15}, 18, 6, 90, nil); r.Verdict != "pass" {
		t.Errorf("%+v", r)
	}
}

func TestColdRoofVentilation(t *testing.T) {
	for _, c := range []struct {
		v    Void
		want string
	}{{Void{}, "ask"}, {Void{ClearMM: 50, BothEnds: "yes", PathM: 4}, "pass"}, {Void{ClearMM: 30, BothEnds: "yes", PathM: 4}, "fail"},
		{Void{ClearMM: 50, BothEnds: "yes", PathM: 7}, "fail"}, {Void{ClearMM: 80, BothEnds: "yes", PathM: 12}, "fail"}, {Void{ClearMM: 50, BothEnds: "no"}, "fail"}} {
		if r := CheckVentilation(c.v, country.Recommended()); string(r.Verdict) != c.want {
			t.Errorf("%+v: %s, want %s", c.v, r.Verdict, c.want)
		}
	}
}

func TestCondensationRemedyPasses(t *testing.T) {
	ctx := context.Background()
	r, _, err := CheckCondensation(ctx, warmRoof(false, 4), dublin(), "Dublin", false)
	if err != nil || r.Verdict != "fail" || r.Remedies[0].Field != "spec.vapour_control_layer" {
		t.Fatalf("%+v %v", r, err)
	}
	if r, _, _ = CheckCondensation(ctx, warmRoof(true, 4), dublin(), "Dublin", false); r.Verdict != "pass" {
		t.Errorf("with the control layer: %+v", r)
	}
}

// wood is the equilibrium moisture by numbers.
func wood(tempC, rhPct float64) (float64, error) {
	f, err := equilibrium("moisture of wood", tempC, rhPct, nil)
	if err != nil {
		return 0, err
	}
	return f.Value, nil
}
