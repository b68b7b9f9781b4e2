package laying

import (
	"fmt"
	"math"
	"strings"

	"gelwright/mixing"
	"gelwright/plane"
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
	places     []plane.Point
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
			c.places = along(p.Shape)
			out = append(out, c)
		}
	}
	return out
}

// placeEveryM is how far apart the places are at which a piece is held against the strips beside it, m.
const placeEveryM = 0.25

// along are places on the middle line of a piece, evenly spaced.
func along(l plane.Loop) []plane.Point {
	u := l.LongAxis()
	low, high := l.Extent(u)
	mid := l.Centroid()
	n := max(1, int(math.Round((high-low)/placeEveryM)))
	out := make([]plane.Point, n)
	for i := range out {
		at := low + (high-low)*(float64(i)+0.5)/float64(n)
		out[i] = mid.Add(u.Scale(at - mid.Dot(u)))
	}
	return out
}

// cutIns are the details that one coat is cut in on, kg with the allowance for waste.
func (in *WetWorkInput) cutIns() []mixing.Detail {
	var out []mixing.Detail
	perM2 := in.Spec.TopCoat.KGPerM2 * (1 + in.Spec.WastePct.TopCoat/100)
	for _, c := range cutsIn(in) {
		out = append(out, mixing.Detail{Name: c.number, Of: c.of, KG: c.m2 * perM2, ManMinutes: c.m2 / cutInM2PerManHour * 60,
			Places: c.places})
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

// inTurns says of a coat which buckets are cut in and which rolled after them, turn by turn; empty where all edges are cut in
// before all of the field.
func inTurns(edges, field *mixing.Plan) string {
	var turns []string
	e := edges.Mixes
	for from := 0; from < len(field.Mixes); {
		to := from + 1
		for to < len(field.Mixes) && field.Mixes[to].Number == field.Mixes[to-1].Number+1 {
			to++
		}
		n := 0
		for n < len(e) && e[n].Number < field.Mixes[from].Number {
			n++
		}
		turn := "roll " + spanOf(field.Mixes[from:to])
		if n > 0 {
			turn = clockText(e[0].MixAtMin) + " cut in " + spanOf(e[:n]) + ", " + turn
		}
		turns, e, from = append(turns, turn), e[n:], to
	}
	if len(turns) < 2 {
		return ""
	}
	return "edges and field in turns, each edge gone over while it is wet or has just gelled: " + strings.Join(turns, "; ")
}

// NumbersOf are the numbers of buckets, those that follow one another together: "3–7, 12–14".
func NumbersOf(mixes []mixing.Mix) string {
	var out []string
	for from := 0; from < len(mixes); {
		to := from + 1
		for to < len(mixes) && mixes[to].Number == mixes[to-1].Number+1 {
			to++
		}
		out, from = append(out, spanOf(mixes[from:to])), to
	}
	return strings.Join(out, ", ")
}

// spanOf are the numbers of buckets that follow one another: "3", "3–7".
func spanOf(mixes []mixing.Mix) string {
	first, last := mixes[0].Number, mixes[len(mixes)-1].Number
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d–%d", first, last)
}

// closes says of a coat's edges which the field reaches after their wax may have closed.
func closes(edges *mixing.Plan) string {
	late, which := 0.0, []string(nil)
	for _, e := range edges.Mixes {
		if e.OverMin > cutInOpenMin {
			late = max(late, e.OverMin)
			which = append(which, fmt.Sprint(e.Number))
		}
	}
	if late == 0 {
		return ""
	}
	name := "bucket "
	if len(which) > 1 {
		name = "buckets "
	}
	return fmt.Sprintf("abrade the edges of %s before the field goes over them: it reaches them up to %s after they are cut in, and the wax "+
		"of a cut-in edge may close in an hour", name+strings.Join(which, ", "), Lasting(late))
}
