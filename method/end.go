package method

import (
	"strings"

	"gelwright/framing"
	"gelwright/roof"
	"gelwright/settingout"
)

// end closes joints, flashes what there is to flash, tests and hands over.
func (w *writer) end() {
	w.stage = stageEnd
	f := w.in.fittings()
	for _, i := range w.decks {
		w.caps(&w.in.Decks[i])
	}
	w.do("first test", nil)
	if what := joined(f.fitted); what != "" {
		w.do("fit", holes{"what": what})
	}
	if f.flashed {
		w.do("flash", holes{"lap": settingout.FlashingLapMM})
	}
	where, look := f.test()
	w.do("water test", holes{"where": where, "look": look})
	w.hold("no ponding", nil)
	w.do("hand over", nil)
}

// fittings is what of edges and holes a roof has.
type fittings struct {
	flashed, gutter, outlet, overflow bool
	fitted                            []string
}

// test says where water is poured, and what it should do.
func (f fittings) test() (where, look string) {
	var out []string
	if f.gutter {
		out = append(out, "that it runs into the gutter")
	}
	if f.outlet {
		out = append(out, "down the outlet")
	}
	if f.overflow {
		out = append(out, "out of the overflow when the outlet is stopped")
	}
	where = "at every edge"
	if f.outlet {
		where += " and outlet"
	}
	if look = joined(out); look == "" {
		look = "where it goes"
	}
	return where, look
}

// fittings looks at what there is to flash and to fit.
func (in *Input) fittings() fittings {
	var f fittings
	has := map[string]bool{}
	for i := range in.Decks {
		d := &in.Decks[i].Deck
		for _, e := range d.Edges {
			switch {
			case framing.Chased(e):
				f.flashed = true
			case e.Condition == roof.Drip:
				f.gutter = true
			}
		}
		for _, o := range d.Openings {
			has[o.Kind] = true
			f.flashed = f.flashed || o.Kind == "chimney"
		}
		for _, p := range d.Penetrations {
			has[p.Kind] = true
		}
	}
	f.outlet, f.overflow = has["outlet"], has["overflow"]
	for _, k := range [][2]string{
		{"outlet", "outlets"}, {"overflow", "overflows"}, {"pipe", "pipe collars"}, {"flue", "flue collars"}, {"rooflight",
			"rooflights"}, {"hatch", "hatches"},
	} {
		if has[k[0]] {
			f.fitted = append(f.fitted, k[1])
		}
	}
	if f.gutter {
		f.fitted = append(f.fitted, "gutters")
	}
	return f
}

// joined lists words as a person says them: "a, b and c".
func joined(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
