package laying

import (
	"fmt"

	"gelwright/mixing"
	"gelwright/settingout"
	"gelwright/working"
)

// Cutting in is the first act of a top coat, each with a brush and a small mix. It goes on the
// undersides of trims, the upstands, the corners and a brush's width of the deck along them;
// then the field goes over all of it again, so that glass and edges do not show through.
const (
	// cutInBandM is the brush's width along a trim, m (common practice, no source).
	cutInBandM = 0.1
	// CutInL is a mix for cutting in, litres (common practice, no source).
	CutInL = 0.5
	// cutInM2PerManHour is how fast it goes by brush: the slow end of a coat's 12 to 18 m² a
	// man-hour (common practice, no source).
	cutInM2PerManHour = 12
	// cutInOpenMin is when the wax of a cut-in edge may begin to close, min: one to two hours
	// (common practice, no source). The field reaches it before, or it is abraded.
	cutInOpenMin = 60
)

// cutIn is one piece that is cut in before the field.
type cutIn struct {
	number, of string
	m2         float64
}

// cutsIn are the pieces that a coat is cut in on, in their order: the face and underside of
// every trim with a brush's width of deck along it, and every upstand.
func cutsIn(in *WetWorkInput) []cutIn {
	var out []cutIn
	for _, p := range in.SetOut.Value.Upper.Pieces {
		c := cutIn{number: p.Number, of: DetailName(p, &in.Deck)}
		switch {
		case p.Kind == settingout.Trim && !p.MovementJoint():
			c.m2 = float64(p.LengthMM) / 1000 * (trimFaceM + cutInBandM)
		case p.Kind == settingout.Mat && p.Upright && p.Layer <= 1:
			c.m2 = p.AreaM2
		}
		if c.m2 > 1e-6 {
			out = append(out, c)
		}
	}
	return out
}

// cutIns are the details that one coat is cut in on, kg with the allowance for waste.
func (in *WetWorkInput) cutIns() []mixing.Detail {
	var out []mixing.Detail
	perM2 := in.Spec.TopCoat.KGPerM2 * (1 + in.Spec.WastePct.TopCoat/100)
	for _, c := range cutsIn(in) {
		out = append(out, mixing.Detail{Name: c.number, Of: c.of, KG: c.m2 * perM2, ManMinutes: c.m2 / cutInM2PerManHour * 60})
	}
	return out
}

var cutInArea = working.MustFormula("Ai = Σ a")

// cutInM2 is the area that is cut in as a figure.
func cutInM2(in *WetWorkInput) *working.Figure {
	takeOff := working.Source{Title: "edges are coated twice: cut in by brush, then with the field", Standing: working.CommonPractice}
	var parts []*working.Figure
	for _, c := range cutsIn(in) {
		parts = append(parts, working.Measured("a", "cut in on "+c.number, c.m2, "m²", "pieces as set out"))
	}
	if len(parts) == 0 {
		return nil
	}
	return cutInArea.Figure("area that is cut in on deck "+in.Deck.Name, "m²", takeOff,
		parts...).Keyed("topcoat." + in.Deck.Name + ".cut_in")
}

// closes says of a coat's field which of its edges it reaches after their wax may have closed.
func closes(edges, field *Pass) string {
	late, from, to := 0.0, 0, 0
	for _, e := range edges.Plan.Mixes {
		// The field's last bucket may be the one that comes to this edge.
		age := 0.0
		for _, f := range field.Plan.Mixes {
			age = max(age, float64(f.Day-e.Day)*dayMin+f.MixAtMin+f.LayingMin-e.MixAtMin)
		}
		if age <= cutInOpenMin {
			continue
		}
		if late = max(late, age); from == 0 {
			from = e.Number
		}
		to = e.Number
	}
	if late == 0 {
		return ""
	}
	which := fmt.Sprintf("bucket %d", from)
	if to > from {
		which = fmt.Sprintf("buckets %d to %d", from, to)
	}
	return fmt.Sprintf("cut in just ahead of the field, strip by strip: it goes on for %s after the first edges, and the wax of a cut-in "+
		"edge may close in an hour; an edge of %s that it reaches later is abraded first", Lasting(late), which)
}
