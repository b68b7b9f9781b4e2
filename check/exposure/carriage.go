package exposure

import (
	"fmt"

	"gelwright/check"
	"gelwright/working"
)

// Load is one kind of dangerous goods in the van.
type Load struct {
	Name string
	// Amount in litres for liquids, kg for peroxides.
	Amount float64
	// Factor of the transport category: 1 for class 3 packing group III, 3 for group II
	// and for organic peroxides of type D (ADR 1.1.3.6, from memory).
	Factor float64
}

// smallLoad is the limit of points under ADR 1.1.3.6.
const smallLoad = 1000

// Points returns the sum of amount times factor.
func Points(loads []Load) *working.Figure {
	source := working.Source{Title: "ADR", Clause: "1.1.3.6, small loads", Standing: working.Remembered}
	sum := 0.0
	var parts []*working.Figure
	for _, l := range loads {
		sum += l.Amount * l.Factor
		parts = append(parts, working.Calc("p", "points for "+l.Name, l.Amount*l.Factor, "", "amount × factor", source,
			working.GivenFigure("a", l.Name, l.Amount, "l or kg", "order"), working.Constant("f", "factor", l.Factor, "", source)))
	}
	return working.Calc("P", "dangerous-goods points", sum, "", "P = Σ amount × factor", source, parts...).Keyed("check.exposure.points")
}

// CheckCarriage returns the verdict on one delivery.
func CheckCarriage(loads []Load, inEurope bool) check.Result {
	p := Points(loads)
	r := check.Result{Key: "exposure.carriage", Title: "May it all ride in one van?", Clause: p.Source, Working: []*working.Figure{p}, Utilisation: p.Value / smallLoad,
		Flags: []string{"factors and limit from memory: read the current edition, and the relief for a trade's own use"}}
	r.Finding = fmt.Sprintf("%.0f points of %d for a small load", p.Value, smallLoad)
	if !inEurope {
		r.Verdict = check.Ask
		r.Finding += "; this country has rules of its own"
		return r
	}
	if p.Value <= smallLoad {
		r.Verdict = check.Pass
		r.Finding += ": a 2 kg extinguisher, documents, labels and awareness training still apply; peroxide apart from resin"
		return r
	}
	trips := int(p.Value/smallLoad) + 1
	r.Verdict = check.Fail
	r.Remedies = []check.Remedy{{Text: fmt.Sprintf("take it in %d deliveries of less than %d points, or have the supplier deliver under full rules", trips, smallLoad)}}
	return r
}
