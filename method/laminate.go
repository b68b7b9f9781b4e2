package method

import (
	"fmt"
	"strings"

	"gelwright/cure"
	"gelwright/laminate"
	"gelwright/laying"
	"gelwright/mixing"
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
	w.do("dust off", nil)
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
		"rising": l.AirMin.Value + l.RisingBandK, "decks": w.decksWarm()})
	w.do("test cup", nil)
	w.do("mix", nil, "dose.habit")
}

// decksWarm says up to which temperature of the deck mat and top coat are laid; empty where nothing is mixed.
func (w *writer) decksWarm() string {
	out := ""
	for _, kind := range []string{"mat", "top coat"} {
		for _, p := range w.in.Buckets.Value.Passes {
			if p.Kind != kind || p.Decks == nil || !w.on(p.Deck) {
				continue
			}
			d := p.Decks
			text := said("deck limit", holes{"what": kind, "from": place(d.FromC, 0), "to": place(d.UpToC, 0)})
			if d.MixC < d.UpToC {
				text = said("deck limit of mixes", holes{"what": kind, "from": place(d.FromC, 0), "mix": place(d.MixC, 0),
					"pail": place(d.PailC, 0), "least": mixing.LeastLayMin})
			}
			if !strings.Contains(out, text) {
				out += " " + text
			}
			break
		}
	}
	return out
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
	takes := ""
	if x := w.lastWet("mat"); x != nil {
		takes = said("takes a foot and the sander", holes{"walk": laying.LastingRange(x.At(cure.Walk)),
			"sand": laying.LastingRange(x.At(cure.Sand))})
	}
	w.do("let it cure", holes{"takes": takes})
	w.hold("laminate hard", holes{"round": w.suffix})
	w.do("sand", nil)
	w.oneMore()
}

// lastWet is how the last pass of a kind on the decks now worked on hardens; nil where none does.
func (w *writer) lastWet(kind string) *laying.WetPass {
	wet := w.in.Hardening.Value.Wet
	for i := len(wet) - 1; i >= 0; i-- {
		if wet[i].Kind == kind && w.on(wet[i].Deck) {
			return &wet[i]
		}
	}
	return nil
}

// usualTissueGPerM2 is the tissue that is offered where the specification has none.
const usualTissueGPerM2 = 30

// oneMore offers one more layer of mat, or tissue, with its cost in resin and hours.
func (w *writer) oneMore() {
	s, m2 := w.in.Spec, 0.0
	for _, i := range w.decks {
		m2 += w.in.Decks[i].Fields.Value.FieldM2
	}
	pace := w.in.LayM2PerManHour * float64(max(1, w.in.People))
	if len(s.Layers) == 0 || !(m2 > 0 && pace > 0) {
		return
	}
	tissue := s.TissueGPerM2
	if tissue == 0 {
		tissue = usualTissueGPerM2
	}
	last := s.Layers[len(s.Layers)-1]
	more := 1 + s.WastePct.Resin/100
	h := place(m2/pace, 1)
	w.do("one more layer", holes{"glass": last, "mat_kg": place(m2*last/1000*s.ResinToGlass*more, 0), "mat_hours": h, "tissue": tissue,
		"tissue_kg": place(m2*tissue/1000*laminate.TissueRatio*more, 0), "tissue_hours": h})
}

// cutIn is the first act of a coat on a deck: masked, then cut in.
func (w *writer) cutIn(d *Deck) {
	for i := range w.in.Buckets.Value.Passes {
		p := &w.in.Buckets.Value.Passes[i]
		if p.Kind != laying.CuttingIn || p.Deck != d.Deck.Name || p.Layer != 1 || p.Plan == nil {
			continue
		}
		n := len(p.Plan.Mixes)
		words := "numbers " + laying.NumbersOf(p.Plan.Mixes)
		if n == 1 {
			words = fmt.Sprintf("number %d", p.Plan.Mixes[0].Number)
		}
		turns := ""
		if strings.Contains(words, ",") {
			turns = said("in turns", holes{"deck": d.Deck.Name})
		}
		w.do("cut in", holes{"deck": d.Deck.Name, "litres": laying.CutInL, "buckets": words, "turns": turns}, "topcoat."+d.Deck.Name+".cut_in")
	}
}

// tape is when the masking tape comes off: from the earliest gel of the last bucket, as its
// sheet tells it, until the coat is green.
func (w *writer) tape() {
	takes := ""
	if x := w.lastWet("top coat"); x != nil {
		low, high := w.gelOf(x.Bucket), x.At(cure.Trim)
		until := high.LikelyMin
		if until <= low {
			until = high.HighMin
		}
		takes = said("tape for this plan", holes{"low": laying.Lasting(low), "high": laying.Lasting(until)})
	}
	w.do("tape off", holes{"takes": takes})
}

// gelOf is the earliest gel of a bucket, min after mixing.
func (w *writer) gelOf(number int) float64 {
	for i := range w.in.Buckets.Value.Passes {
		if p := &w.in.Buckets.Value.Passes[i]; p.Plan != nil {
			for _, m := range p.Plan.Mixes {
				if m.Number == number {
					return m.Gel.LowMin
				}
			}
		}
	}
	return 0
}

// inTime says until when the laminate takes a coat, and what this plan makes of it.
func (w *writer) inTime() {
	takes := "24 h"
	if x := w.lastWet("mat"); x != nil {
		takes = laying.LastingRange(x.At(cure.OverCoatUntil))
	}
	w.do("coat in time", holes{"takes": takes, "plan": w.firstOf(1)})
}

// firstOf is what this plan does before a coat to what lies under it, a sentence; empty where nothing.
func (w *writer) firstOf(n int) string {
	for _, p := range w.in.Buckets.Value.Schedule.Passes {
		deck, coat := strings.CutSuffix(laying.StageOf(p.Key), fmt.Sprintf(".coat%d", n))
		if !coat || !w.on(deck) {
			continue
		}
		for _, part := range p.Parts {
			if part.First != "" {
				return " In this plan: " + part.First + "."
			}
		}
	}
	return ""
}

// moreCoats are the coats over the first, each on the one before it, and the aggregate in the one that takes it.
func (w *writer) moreCoats(antiSlip bool) {
	s := w.in.Spec
	grit := s.TopCoat.GritCoat()
	for n := 1; n <= s.TopCoat.Coats; n++ {
		if n > 1 {
			w.do("next coat", holes{"coat": n, "under": n - 1, "plan": w.firstOf(n)})
		}
		if n != grit || !antiSlip {
			continue
		}
		if s.TopCoat.Coats == 1 {
			w.do("anti-slip", holes{"grade": s.AggregateGrade, "rate": place(s.AggregateKGPerM2, 1)})
			continue
		}
		w.do("anti-slip, sealed", holes{"grade": s.AggregateGrade, "rate": place(s.AggregateKGPerM2, 1), "coat": n, "next": n + 1})
	}
}

func (w *writer) coat(again bool) {
	s := w.in.Spec
	w.stage = stageCoat
	antiSlip := false
	if !again {
		w.inTime()
	}
	w.do("mask", nil)
	for _, i := range w.decks {
		d := &w.in.Decks[i]
		w.cutIn(d)
		antiSlip = antiSlip || d.Deck.AntiSlipAll || len(d.Deck.AntiSlip) > 0
		w.do("top coat", holes{"deck": d.Deck.Name, "rate": place(s.TopCoat.KGPerM2, 2), "coats": coats(s.TopCoat.Coats),
			"in_buckets": place(coatInBuckets(s, d), 2),
			"waste":      s.WastePct.TopCoat}, "topcoat."+d.Deck.Name+".wet_film", "topcoat."+d.Deck.Name+".mass")
	}
	w.do("reach the edges", nil)
	w.tape()
	w.moreCoats(antiSlip && s.AggregateKGPerM2 > 0)
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
