package exposure

import (
	"fmt"
	"math"

	"gelwright/check"
	"gelwright/working"
)

// smallLoad is the limit of points under ADR 1.1.3.6.
const smallLoad = 1000

// CheckCarriage returns the verdict on one delivery of so many points: litres or
// kilograms times the factor of the transport category (ADR 1.1.3.6, from memory).
func CheckCarriage(points *working.Figure, inEurope bool) check.Result {
	source := working.Source{Title: "ADR", Clause: "1.1.3.6, small loads", Standing: working.Remembered}
	r := check.Result{Key: "exposure.carriage", Title: "May it all ride in one van?", Clause: source, Working: []*working.Figure{points},
		Utilisation: points.Value / smallLoad,
		Flags:       []string{"factors and limit from memory: read the current edition, and the relief for a trade's own use"}}
	r.Finding = fmt.Sprintf("%.0f points of %d for a small load", points.Value, smallLoad)
	switch {
	case !inEurope:
		r.Verdict = check.Ask
		r.Finding += "; this country has rules of its own"
	case points.Value <= smallLoad:
		r.Verdict = check.Pass
		r.Finding += ": a 2 kg extinguisher, documents, labels and awareness training still apply; peroxide apart from resin"
	default:
		r.Verdict = check.Fail
		r.Remedies = []check.Remedy{
			{Text: fmt.Sprintf("take it in %.0f deliveries of less than %d points, or have the supplier deliver under full rules",
				math.Ceil(points.Value/smallLoad), smallLoad)}}
	}
	return r
}
