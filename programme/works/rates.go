package works

import "gelwright/working"

// Rates of work of one person, an hour; 0 takes common practice. MaskM is of edges taped, RoughenM of bandage and joints abraded
// and wiped.
type Rates struct {
	StripM2, InsulateM2, FirringM, BoardM2, TrimM, BandageM float64
	LayM2, SecondLayerM2, AbradeM2, CoatM2, AggregateM2     float64
	FlashingM, MaskM, RoughenM                              float64
	// Man-hours for each.
	CornerH, KerbH, OutletH, PipeH, SetUpH, HandOverH float64
}

// CommonRates are the middles of common practice.
func CommonRates() Rates {
	return Rates{
		StripM2: 8, InsulateM2: 6.5, FirringM: 10, BoardM2: 5, TrimM: 7.5, BandageM: 30,
		LayM2: 6, SecondLayerM2: 8, AbradeM2: 35, CoatM2: 15, AggregateM2: 25, FlashingM: 2.5, MaskM: 60, RoughenM: 40,
		CornerH: 0.25, KerbH: 1.25, OutletH: 0.75, PipeH: 0.5, SetUpH: 0.9, HandOverH: 1.5,
	}
}

// Over lays the rates that are given over others.
func (r Rates) Over(base Rates) Rates {
	for _, x := range []struct{ at, own *float64 }{
		{&base.StripM2, &r.StripM2}, {&base.InsulateM2, &r.InsulateM2}, {&base.FirringM, &r.FirringM}, {&base.BoardM2, &r.BoardM2},
		{&base.TrimM, &r.TrimM}, {&base.BandageM, &r.BandageM}, {&base.LayM2, &r.LayM2}, {&base.SecondLayerM2, &r.SecondLayerM2},
		{&base.AbradeM2, &r.AbradeM2}, {&base.CoatM2, &r.CoatM2}, {&base.AggregateM2, &r.AggregateM2}, {&base.FlashingM, &r.FlashingM},
		{&base.CornerH, &r.CornerH}, {&base.KerbH, &r.KerbH}, {&base.OutletH, &r.OutletH}, {&base.PipeH, &r.PipeH},
		{&base.SetUpH, &r.SetUpH}, {&base.HandOverH, &r.HandOverH}, {&base.MaskM, &r.MaskM}, {&base.RoughenM, &r.RoughenM},
	} {
		if *x.own > 0 {
			*x.at = *x.own
		}
	}
	return base
}

var habit = working.Source{Title: "rates of work in the trade", Standing: working.CommonPractice}

// rate is the figure of one rate: the firm's own, or common practice.
func rate(name string, own, common float64, unit string) *working.Figure {
	if own > 0 && own != common {
		return working.GivenFigure("r", name, own, unit, "the firm's rates")
	}
	return working.Constant("r", name, common, unit, habit)
}
