package method

import (
	"fmt"

	"gelwright/laying"
	"gelwright/roof"
	"gelwright/weather"
)

func (w *writer) bandage() {
	w.stage = stageBandage
	var metres, resin []string
	for _, i := range w.decks {
		metres = append(metres, "setout."+w.in.Decks[i].Deck.Name+".bandage_m")
		resin = append(resin, "laminate."+w.in.Decks[i].Deck.Name+".upstand.resin")
	}
	w.do("bandage", holes{"bandage": w.in.Spec.BandageMM, "corner_strip": w.in.Spec.CornerStripMM}, metres...)
	w.do("upstands", nil, resin...)
}

func (w *writer) laminate(again bool) {
	s := w.in.Spec
	w.stage = stageMat
	if again {
		w.do("measure anew", nil, "dose.habit")
	} else {
		w.goAndMix()
	}
	var rate []string
	for i := range w.in.Buckets.Value.Passes {
		p := &w.in.Buckets.Value.Passes[i]
		if p.Kind != "mat" || !w.on(p.Deck) {
			continue
		}
		key := "laminate." + p.Deck + ".deck"
		rate = append(rate, key+".resin_rate")
		h := holes{"deck": p.Deck, "layer": p.Layer, "glass": s.Layers[p.Layer-1], "refusal": p.Refusal}
		if p.Refusal != "" {
			w.do("no bucket", h)
			continue
		}
		h["buckets"] = bucketsInOrder(p)
		w.do("layer", h, key+".resin_rate", key+".thickness")
	}
	if again {
		return
	}
	w.do("laps", holes{"side": s.SideLapMM, "end": s.EndLapMM})
	w.do("compare", holes{"net": w.in.netOfBuckets()}, rate[:min(1, len(rate))]...)
}

// bucketsInOrder names the buckets of a pass by their numbers.
func bucketsInOrder(p *laying.Pass) string {
	n := len(p.Plan.Mixes)
	h := holes{"count": n, "first": p.Plan.Mixes[0].Number, "last": p.Plan.Mixes[n-1].Number}
	if n == 1 {
		return said("one bucket", h)
	}
	return said("buckets", h)
}

// on reports whether a deck is among those now worked on.
func (w *writer) on(deck string) bool {
	for _, i := range w.decks {
		if w.in.Decks[i].Deck.Name == deck {
			return true
		}
	}
	return false
}

// goAndMix is what comes before the first bucket.
func (w *writer) goAndMix() {
	l := weather.LaminateLimits()
	w.do("measure", holes{"air": l.AirMin.Value, "dew": l.DewMargin.Value, "humidity": l.RHMax.Value, "ahead": hours(l.AheadH),
		"rain_free": hours(l.RainFreeH)})
	w.do("test cup", nil)
	w.do("mix", nil, "dose.habit")
}

// hours says whole hours in words: "an hour", "two hours".
func hours(h float64) string {
	switch h {
	case 1:
		return "an hour"
	case 2:
		return "two hours"
	}
	return fmt.Sprintf("%g hours", h)
}

// netOfBuckets says what of a mat bucket is net of the allowance for waste, with the
// first one as the example.
func (in *Input) netOfBuckets() string {
	waste := in.Spec.WastePct.Resin
	if waste == 0 {
		return said("no waste", nil)
	}
	for _, p := range in.Buckets.Value.Passes {
		if p.Kind == "mat" && p.Plan != nil && len(p.Plan.Mixes) > 0 {
			x := p.Plan.Mixes[0]
			return said("waste for example", holes{"waste": waste, "number": x.Number, "kg": place(x.ResinKG, 2),
				"net": place(x.ResinKG/(1+waste/100), 2), "area": place(x.AreaM2, 2)})
		}
	}
	return said("waste", holes{"waste": waste})
}

func (w *writer) cure() {
	w.stage = stageCure
	w.do("let it cure", nil)
	w.hold("laminate hard", holes{"round": w.suffix})
	w.do("sand", nil)
}

func (w *writer) coat(again bool) {
	s := w.in.Spec
	w.stage = stageCoat
	antiSlip := false
	for _, i := range w.decks {
		d := &w.in.Decks[i]
		antiSlip = antiSlip || d.Deck.AntiSlipAll || len(d.Deck.AntiSlip) > 0
		w.do("top coat", holes{"deck": d.Deck.Name, "rate": place(s.TopCoat.KGPerM2, 2), "coats": coats(s.TopCoat.Coats),
			"in_buckets": place(coatInBuckets(s, d), 2),
			"waste":      s.WastePct.TopCoat}, "topcoat."+d.Deck.Name+".wet_film", "topcoat."+d.Deck.Name+".mass")
	}
	if !again {
		w.do("coat in time", nil)
		if s.TopCoat.Coats > 1 {
			w.do("second coat", nil)
		}
	}
	if s.AggregateKGPerM2 > 0 && antiSlip {
		w.do("anti-slip", holes{"grade": s.AggregateGrade, "rate": place(s.AggregateKGPerM2, 1)})
	}
}

func coats(n int) string {
	if n == 1 {
		return "one full wet coat"
	}
	return fmt.Sprintf("%d coats", n)
}

// coatInBuckets is what the buckets of one coat hold for a square metre of deck, kg.
func coatInBuckets(s roof.Spec, d *Deck) float64 {
	if d.Fields.Value.FieldM2 == 0 {
		return s.TopCoat.KGPerM2
	}
	return s.TopCoat.KGPerM2 * d.Laminate.Value.CoatM2 / d.Fields.Value.FieldM2 * (1 + s.WastePct.TopCoat/100)
}
