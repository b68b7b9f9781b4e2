package laminate

import (
	"fmt"

	"gelwright/check"
	"gelwright/working"
)

// CheckGlass answers whether the laminate has the right glass for its resin: below
// a quarter it is resin-rich and brittle, above 38 % it cannot be wetted by hand;
// 28 to 33 % is aimed at.
func CheckGlass(b *Build) check.Result {
	x := b.GlassFraction.Value
	r := check.Result{
		Key: "laminate.glass", Title: "Is there the right resin for the mat?", Where: b.Zone.Name,
		Working: []*working.Figure{b.GlassFraction},
		Clause:  working.Source{Title: "hand lay-up of chopped strand mat, 25 to 38 % glass", Standing: working.CommonPractice},
	}
	finding := fmt.Sprintf("%.1f %% glass by mass in %s", 100*x, b.Zone.Name)
	aim := check.Remedy{Text: "set the resin to glass ratio to 2.3", Field: "spec.resin_to_glass", Value: "2.3"}
	switch {
	case x < 0.25:
		r.Verdict, r.Finding = check.Fail, finding+": resin-rich and brittle"
		r.Remedies = []check.Remedy{aim}
	case x > 0.38:
		r.Verdict, r.Finding = check.Fail, finding+": too dry to wet out by hand"
		r.Remedies = []check.Remedy{aim}
	case x < 0.275 || x > 0.335:
		r.Verdict, r.Finding = check.Caution, finding+": aim for 28 to 33 %"
		r.Remedies = []check.Remedy{aim}
	default:
		r.Verdict, r.Finding = check.Pass, finding
	}
	return r
}

// CheckFilm answers whether the top coat is thick enough for its wax to close the
// surface and thin enough not to craze: 0.4 to 0.8 kg/m² a coat.
func CheckFilm(f *Film) check.Result {
	w := f.Coat.KGPerM2.Value
	r := check.Result{
		Key: "laminate.top_coat", Title: "Is the top coat thick enough to cure?", Where: f.Coat.Name,
		Working: []*working.Figure{f.WetMM, f.DryMM, f.Coat.KGPerM2},
		Clause:  working.Source{Title: "waxed top coat, 0.4 to 0.8 kg/m² a coat", Standing: working.CommonPractice},
		Finding: fmt.Sprintf("%.2f kg/m² a coat is a wet film of %.2f mm", w, f.WetMM.Value),
		Verdict: check.Pass,
	}
	switch {
	case w < 0.4:
		r.Verdict = check.Fail
		r.Finding += ": the wax cannot close it, it stays tacky and the mat shows"
		r.Remedies = []check.Remedy{{Text: "give each coat 0.5 kg/m²", Field: "spec.top_coat.kg_per_m2", Value: "0.5"}}
	case w > 0.8:
		r.Verdict = check.Fail
		r.Finding += ": thick enough to craze and wrinkle"
		r.Remedies = []check.Remedy{{Text: "lay 0.5 kg/m² in more coats", Field: "spec.top_coat.kg_per_m2", Value: "0.5"}}
	case w < 0.5 || w > 0.6:
		r.Verdict = check.Caution
		r.Finding += ": the habit is 0.5 to 0.6"
	}
	return r
}
