package drawing

import (
	"fmt"

	"gelwright/plan"
	"gelwright/plane"
	"gelwright/scene"
)

func windSheet(p *plan.Plan, i int, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	hatches := map[string]scene.Hatch{"F": scene.Cross(45, 1.6), "G": scene.Diagonal(1.6), "H": scene.Diagonal(4), "I": {}}
	var key []KeyEntry
	for _, z := range d.Zones {
		key = append(key,
			KeyEntry{Words: fmt.Sprintf("%s (zone %s): uplift %s kN/m², %s fasteners to the m²", z.Words, z.Zone, num(t.Locale, z.NetKPa, 2),
				num(t.Locale, z.FastenersPerM2, 1)), Sign: sign(nil, hatches[z.Zone], "")})
	}
	s, err := SetOutSheet(&p.Job, i, t, 12, key)
	if err != nil {
		return nil, err
	}
	var shapes []LabelledShape
	for _, z := range d.Zones {
		for k, a := range z.Area {
			shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("zone-%s-%d", z.Zone, k), Label: z.Zone, Shape: a.Outer, Holes: a.Holes,
				Hatch: hatches[z.Zone], Class: "zone",
				Title: fmt.Sprintf("Wind zone %s, %s", z.Zone, z.Words)})
		}
	}
	PlacePieces(s, shapes)
	return s, nil
}

// waterSheet shows what ground drains where, and the falls.
func waterSheet(p *plan.Plan, i int, t Title) (*Sheet, error) {
	return keyed(func(arrows bool) (*Sheet, int, error) { return waterSheetWith(p, i, t, arrows) })
}

// waterSheetWith returns the sheet, its key telling of arrows or not, and how many
// arrows there are on it.
func waterSheetWith(p *plan.Plan, i int, t Title, arrows bool) (*Sheet, int, error) {
	d := &p.Decks[i]
	key := []KeyEntry{{Words: "ground that drains to one edge or outlet, with its area"}}
	if arrows {
		key = append(key, KeyEntry{Words: "fall: water runs this way", Sign: fallSign()})
	}
	if d.Blocked != nil {
		key = append(key,
			KeyEntry{Words: fmt.Sprintf("water that stands with the outlet blocked: %.0f mm deep, %s m², %.0f l", d.Blocked.DepthMM,
				num(t.Locale, d.Blocked.AreaM2, 1), d.Blocked.VolumeL), Sign: sign(nil, scene.Hatch{}, scene.Dashed)})
	}
	s, err := SetOutSheet(&p.Job, i, t, 12, key)
	if err != nil {
		return nil, 0, err
	}
	var shapes []LabelledShape
	for k, c := range d.Drains {
		for n, a := range c.Area {
			label, sub := "", ""
			if n == 0 {
				label, sub = c.To, num(t.Locale, c.AreaM2, 2)+" m²"
			}
			shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("water-%d-%d", k, n), Label: label, Sub: sub, Shape: a.Outer, Holes: a.Holes,
				Tint: tint(1 + k), Class: "catchment",
				Title: fmt.Sprintf("%.2f m² drain to %s", c.AreaM2, c.To)})
		}
	}
	if d.Blocked != nil {
		for n, a := range d.Blocked.Area {
			shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("blocked-%d", n), Shape: a.Outer, Holes: a.Holes, Dash: scene.Dashed,
				Class: "pond",
				Title: fmt.Sprintf("Water with the outlet blocked, %.0f mm deep", d.Blocked.DepthMM)})
		}
	}
	PlacePieces(s, shapes)
	return s, s.fallArrows(p.Job.Decks[i]), nil
}

// jointSheet shows where movement joints are proposed.
func jointSheet(p *plan.Plan, i int, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	heavy := scene.Stroke{WidthMM: scene.Thick, Dash: scene.DoubleChain}
	key := []KeyEntry{{Words: "movement joint proposed; the supplier's limits and the building's own joints come first",
		Sign: []scene.Item{scene.Line(scene.Meta{}, heavy, scene.Point{X: 0, Y: 2.5}, scene.Point{X: 14, Y: 2.5})}}}
	s, err := SetOutSheet(&p.Job, i, t, 16, key)
	if err != nil {
		return nil, err
	}
	low, high := plane.BoundsOf(d.Net)
	xs, ys := map[float64]bool{low.X: true, high.X: true}, map[float64]bool{low.Y: true, high.Y: true}
	for _, j := range d.JointsProposed {
		for _, part := range p.Job.Decks[i].Outline.ClipLine(j[0], j[1], plane.ChordToleranceM) {
			s.Add(scene.Line(scene.Meta{Class: "joint", Title: "proposed movement joint", Layer: "joints"}, heavy, s.At(part[0]), s.At(part[1])))
		}
		if j[0].X == j[1].X {
			xs[j[0].X] = true
		} else {
			ys[j[0].Y] = true
		}
	}
	RunningDimensions(s, low, 0, stations(xs, low.X), -6)
	RunningDimensions(s, low, 90, stations(ys, low.Y), 6)
	return s, nil
}

func taperSheet(p *plan.Plan, i int, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	key := []KeyEntry{{Words: "tapered insulation board: least and greatest thickness, mm"}}
	s, err := SetOutSheet(&p.Job, i, t, 14, key)
	if err != nil {
		return nil, err
	}
	var shapes []LabelledShape
	for k, b := range d.Tapered {
		for n, a := range b.Area {
			label := ""
			if n == 0 {
				label = fmt.Sprintf("%.0f–%.0f", b.LeastMM, b.MostMM)
			}
			shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("taper-%d-%d", k, n), Label: label, Shape: a.Outer, Holes: a.Holes,
				Tint: tint((b.Row + b.Column) % 2), Class: "insulation",
				Title: fmt.Sprintf("Insulation board row %d, column %d, %.0f to %.0f mm thick", b.Row+1, b.Column+1, b.LeastMM, b.MostMM)})
		}
	}
	PlacePieces(s, shapes)
	return s, nil
}

// firringSheet shows the firrings in their places, measured centre to centre line.
func firringSheet(p *plan.Plan, i int, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	key := []KeyEntry{{Words: "firring with its number and, where there is room, its heights at the ends, mm; all stand in the schedule"},
		{Words: "readings at the side: centre lines, mm"}}
	s, err := SetOutSheet(&p.Job, i, t, 16, key)
	if err != nil {
		return nil, err
	}
	s.firringCentres(d.Firrings, p.Job.Decks[i].Outline)
	half := 0.02
	if w := p.Job.Decks[i].Base.JoistWidthMM; w > 0 {
		half = w / 2000
	}
	var shapes []LabelledShape
	for _, f := range d.Firrings {
		title := fmt.Sprintf("Firring %s, %.0f mm long, %.0f to %.0f mm high", f.Number, f.LengthM*1000, f.FromMM, f.ToMM)
		if f.Note != "" {
			title += ", " + f.Note
		}
		shapes = append(shapes, LabelledShape{ID: f.Number, Label: f.Number, Sub: fmt.Sprintf("%.0f → %.0f", f.FromMM, f.ToMM),
			Shape: f.Shape(2 * half), Class: "firring", Title: title})
	}
	PlacePieces(s, shapes)
	return s, nil
}

func levelSheet(p *plan.Plan, i int, t Title) (*Sheet, error) {
	d := &p.Decks[i]
	key := []KeyEntry{{Words: fmt.Sprintf("line of equal level every %s mm; readings ± %s mm", plain(t.Locale, d.Levels.StepMM),
		plain(t.Locale, d.Levels.ToleranceMM))},
		{Words: "water stands here, greatest depth in mm", Sign: sign(nil, scene.Parallel(0, 1.4), "")}}
	s, err := SetOutSheet(&p.Job, i, t, 12, key)
	if err != nil {
		return nil, err
	}
	for _, c := range d.Levels.Contours {
		pts := make([]scene.Point, len(c.Line))
		for k, q := range c.Line {
			pts[k] = s.At(q)
		}
		s.Scene.Add(scene.Line(scene.Meta{Class: "contour", Title: fmt.Sprintf("level %g mm", c.MM), Layer: "contours"},
			scene.Pen(scene.Hairline), pts...))
	}
	var shapes []LabelledShape
	for k, w := range d.Levels.Ponds {
		for n, a := range w.Area {
			label := ""
			if n == 0 {
				label = fmt.Sprintf("%.0f", w.DepthMM.Value)
			}
			shapes = append(shapes, LabelledShape{ID: fmt.Sprintf("pond-%d-%d", k, n), Label: label, Shape: a.Outer, Holes: a.Holes,
				Hatch: scene.Parallel(0, 1.4), Class: "pond", Title: fmt.Sprintf("Water stands %.0f mm deep", w.DepthMM.Value)})
		}
	}
	PlacePieces(s, shapes)
	return s, nil
}
