package works

import (
	"context"
	"fmt"
	"math"

	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/mixing"
	"gelwright/programme"
)

// Temperatures of the table: a step of 5 K with straight lines between logarithms is
// within some per cent of the film itself.
const (
	filmLowC, filmStepK, filmSteps = -10, 5.0, 16
	spreadShape                    = 0.18 // of the thresholds and the kinetics' shape beside the gel law, assumed
)

// bondsMin is how long a laminate without wax takes a coat whatever the heat: its
// surface stays tacky by the air (common practice: best within 2 to 24 h). The
// thresholds of the cure model are fitted at 5 to 20 °C and would close the window of a
// deck in the sun within the hour.
const bondsMin = 24 * 60

// Resin is a resin by its gel law: the one that the plan doses by.
type Resin struct {
	Law  cure.Gel
	Coat bool
	// MarginMin is what the crew keeps between the last of a bucket and gel, min.
	MarginMin float64
}

// FilmOf tabulates how a film of resin hardens on its deck over steady temperatures
// from −10 to 65 °C, dosed as a crew would at each.
func FilmOf(ctx context.Context, name string, r Resin, resinKGPerM2, glassKGPerM2 float64,
	deck []conduction.Layer) (*programme.Film, error) {
	g := r.Law
	const refPct = 2
	f := &programme.Film{Name: name, RefPct: refPct}
	th := cure.RoofThresholds()
	if r.Coat {
		th = cure.TopCoatThresholds()
	}
	run := func(tempC, pct float64) (cure.Hardening, error) {
		k := cure.Roof().Matched(g, tempC, pct)
		capless := th
		capless.LatestMin[cure.OverCoatUntil] = 0
		run, err := k.Film(ctx, cure.Film{ResinKGPerM2: resinKGPerM2, GlassKGPerM2: glassKGPerM2, Deck: deck,
			Base: []cure.Reading{{Min: 0, TempC: tempC}}}, pct, capless)
		return run.Hardening, err
	}
	for i := range filmSteps {
		c := filmLowC + filmStepK*float64(i)
		h, err := run(c, refPct)
		if err != nil {
			return nil, fmt.Errorf("%s at %g °C: %w", name, c, err)
		}
		f.TempsC = append(f.TempsC, c)
		f.DosePct = append(f.DosePct, dose(g, c, r.MarginMin))
		for m := cure.AtGel; m <= cure.OverCoatUntil; m++ {
			t := math.Min(h.At(m), 60*24*60)
			if m == cure.OverCoatUntil {
				t = math.Max(t, bondsMin)
			}
			f.Min[programme.After(m)] = append(f.Min[programme.After(m)], t)
		}
	}
	weak, err := run(20, 1.25)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	strong, err := run(20, 2.5)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	for m := cure.AtGel; m <= cure.OverCoatUntil; m++ {
		f.DoseExponent[programme.After(m)] = math.Log(weak.At(m)/strong.At(m)) / math.Log(2)
	}
	f.MostMin[programme.OverCoatUntil] = th.LatestMin[cure.OverCoatUntil]
	f.LeastMin[programme.OverCoatUntil] = bondsMin
	f.SD = math.Hypot(g.SD(20, refPct), spreadShape)
	return f, nil
}

// dose is what its buckets get at a temperature; outside the sheet's temperatures, and where
// no bucket is mixed, that of the nearer end.
func dose(g cure.Gel, tempC, marginMin float64) float64 {
	at := math.Max(g.MinC, math.Min(g.MaxC, tempC))
	pct, can := mixing.Advised(&g, cure.At(at), cure.Aim{}, marginMin)
	switch {
	case can:
		return pct
	case at < 20:
		return g.MaxPct
	}
	return g.MinPct
}
