package runoff

import (
	"context"
	"fmt"
	"math"
	"strings"

	"gelwright/check"
	"gelwright/firring"
	"gelwright/plane"
	"gelwright/roof"
	"gelwright/steps"
)

// leastFirringMM is the height of a firring at its thin end: enough to nail without
// splitting (common practice).
const leastFirringMM = 20

// leastOnJoistMM is how much of a firring's width must lie on its joist, mm; below it a
// packer beside the joist carries it (common practice).
const leastOnJoistMM = 20

// taperBoardM is the side of a tapered insulation board as it is sold, m (common practice).
const taperBoardM = 1.2

// heights reads the finished deck on a grid that fits a page, and at its outlets.
func (out *Falls) heights(d *roof.Deck, g *Geometry) error {
	low, high := plane.BoundsOf(g.Net)
	for _, s := range []float64{0.5, 1, 2, 2.5, 5, 10, 20} {
		out.HeightStepM = s
		if (high.X-low.X)/s <= 15 && (high.Y-low.Y)/s <= 30 {
			break
		}
	}
	var err error
	if out.Heights, err = firring.Heights(g.Surface, out.HeightStepM); err != nil {
		return err
	}
	var outlets []plane.Point
	for _, p := range d.Penetrations {
		if p.Kind == "outlet" {
			outlets = append(outlets, p.At)
		}
	}
	out.OutletHeights = firring.HeightsAt(g.Surface, outlets)
	return nil
}

// Firring is one tapered timber with its number on the drawing.
type Firring struct {
	Number  string      `json:"number"`
	From    plane.Point `json:"from"`
	To      plane.Point `json:"to"`
	LengthM float64     `json:"length_m"`
	FromMM  float64     `json:"from_mm"`
	ToMM    float64     `json:"to_mm"`
	// CutFromM is the length of the timber it is cut from, skew ends included; SkewDeg
	// how far its ends are off square, positive where the left side, looking from From
	// to To, reaches further towards To.
	CutFromM float64    `json:"cut_from_m,omitempty"`
	SkewDeg  [2]float64 `json:"skew_deg,omitzero"`
	// Note says what is not plain about it: set in from the joist's middle, off the
	// designed fall, short.
	Note string `json:"note,omitempty"`
	// Stations are heights along it where a measured deck needs a scribed one.
	Stations []firring.Station `json:"stations,omitempty"`
}

// Levels is what measured spot heights say of a deck as found.
type Levels struct {
	ToleranceMM float64           `json:"tolerance_mm"`
	Ponds       []firring.Pond    `json:"ponds"`
	Contours    []firring.Contour `json:"contours"`
	StepMM      float64           `json:"contour_step_mm"`
	Finding     string            `json:"finding"`
}

// FallsInput is a deck with its geometry, and what makes its fall.
type FallsInput struct {
	Deck     roof.Deck
	Geometry steps.Made[Geometry]
	// New says that the whole roof is: firrings are cut for the joists of a new one.
	New bool
	// Tapered insulation of ThinMM at its thin end makes the fall.
	Tapered bool
	ThinMM  float64
	// WallGapMM is what boards and firrings keep from walls.
	WallGapMM float64
}

// Falls is how the fall of a deck is made, and what was measured of an old one.
type Falls struct {
	// LowPointFault says where water does not reach a drain; empty when it does.
	LowPointFault string
	HeightStepM   float64
	Heights       []firring.Height
	OutletHeights []firring.Height
	Levels        *Levels
	Tapered       []firring.Board
	Firrings      []Firring
	check.Notes
}

// MakeFalls works out the firrings of a deck that needs them, the ponds of one whose
// levels were measured, and whether the lowest point is at a drain.
func MakeFalls(_ context.Context, in FallsInput) (Falls, error) {
	var out Falls
	d, g := &in.Deck, &in.Geometry.Value
	if d.Falls.Kind == plane.Level {
		return out, nil
	}
	if err := firring.LowAtDrain(g.Surface, firring.DrainsOf(*d)); err != nil {
		out.LowPointFault = err.Error()
	}
	if err := out.heights(d, g); err != nil {
		return out, fmt.Errorf("deck %q: heights: %w", d.Name, err)
	}
	if len(d.Levels) > 0 {
		if err := out.measure(in); err != nil {
			return out, fmt.Errorf("deck %q: levels: %w", d.Name, err)
		}
		return out, nil
	}
	if in.Tapered {
		t, err := firring.TaperedBoards(g.Surface, taperBoardM, taperBoardM, in.ThinMM)
		if err != nil {
			return out, fmt.Errorf("deck %q: tapered insulation: %w", d.Name, err)
		}
		out.Tapered = t.Boards
		return out, nil
	}
	if !in.New || d.Base.Kind != "joists" {
		return out, nil
	}
	layout, err := firringLayout(d, in.WallGapMM)
	if err != nil {
		return out, err
	}
	p, err := firring.Cut(g.Surface, layout, leastFirringMM)
	if err != nil {
		return out, fmt.Errorf("deck %q: firrings: %w", d.Name, err)
	}
	for k, f := range p.Pieces {
		out.Firrings = append(out.Firrings, Firring{Number: fmt.Sprintf("F%d", k+1), From: f.From, To: f.To, LengthM: f.LengthM(),
			FromMM: f.FromMM, ToMM: f.ToMM,
			CutFromM: f.CutFromM, SkewDeg: f.SkewDeg, Note: firringNote(f, layout.WidthMM)})
	}
	if p.Least != nil {
		out.Figure(p.Least.Keyed("firring." + d.Name + ".least"))
	}
	if p.Greatest != nil {
		out.Figure(p.Greatest.Keyed("firring." + d.Name + ".greatest"))
	}
	return out, nil
}

// firringLayout is where a deck's firrings may lie: on its joists, clear of its walls by
// the boards' gap.
func firringLayout(d *roof.Deck, wallGapMM float64) (firring.Layout, error) {
	l := firring.LayoutOf(d.Base)
	gap := wallGapMM / 1000
	gapOf := func(o *roof.Opening) float64 {
		if o.Kind == "chimney" {
			return gap
		}
		return 0
	}
	var free []*roof.Opening
	var holes []plane.Ring
	var notches []plane.Polygon
	for i := range d.Openings {
		o := &d.Openings[i]
		// An opening at the edge of the deck, as a chimney at a wall, is a notch in it and no hole.
		if len(plane.Validate(d.Outline, []plane.Ring{o.Outline})) == 0 {
			free, holes = append(free, o), append(holes, o.Outline)
			continue
		}
		standing, err := plane.PolygonOf(o.Outline, nil, plane.ChordToleranceM)
		if err != nil {
			return l, fmt.Errorf("deck %q: firrings: opening %q: %w", d.Name, o.Name, err)
		}
		notch, err := standing.Outset(gapOf(o))
		if err != nil {
			return l, fmt.Errorf("deck %q: firrings: opening %q: %w", d.Name, o.Name, err)
		}
		notches = append(notches, notch...)
	}
	within, err := plane.InsetEdges(d.Outline, holes, plane.ChordToleranceM, func(ring, edge int) float64 {
		switch {
		case ring > 0:
			return gapOf(free[ring-1])
		case edge < len(d.Edges) && d.Edges[edge].Condition.HasUpstand():
			return gap
		}
		return 0
	})
	if err == nil && len(notches) > 0 {
		within, err = plane.Difference(within, notches)
	}
	if err != nil {
		return l, fmt.Errorf("deck %q: firrings: %w", d.Name, err)
	}
	l.Within = within
	return l, nil
}

// firringNote says what a carpenter must know of a firring beside its sizes.
func firringNote(f firring.Piece, joistMM float64) string {
	var notes []string
	if f.AsideMM > 0.5 {
		on := joistMM - f.AsideMM
		notes = append(notes, fmt.Sprintf("set in %.0f mm from the joist's middle, %.0f mm of it on the joist", f.AsideMM, on))
		if on < leastOnJoistMM {
			notes = append(notes, "screw a packer to the joist's side under it")
		}
	}
	notes = append(notes, skewWords(f)...)
	if f.OffMM > 0 {
		notes = append(notes, fmt.Sprintf("straight over a fold, %.1f mm off the fall", f.OffMM))
	}
	if f.Short() {
		notes = append(notes, "short: cut from an offcut and screwed")
	}
	return strings.Join(notes, "; ")
}

// skewWords says of a firring's ends that are cut off square by how much and which side is
// the longer, right and left as seen along it from its thin end; one of even height is
// seen from its first.
func skewWords(f firring.Piece) []string {
	ends, seen := [2]string{"thin end", "thick end"}, "from the thin end"
	order := [2]int{0, 1}
	switch {
	case f.Level():
		ends, seen = [2]string{"first end", "second end"}, "from the first end"
	case f.FromMM > f.ToMM:
		order = [2]int{1, 0}
	}
	var out []string
	for k, i := range order {
		a := f.SkewDeg[i]
		if math.Round(math.Abs(a)) == 0 {
			continue
		}
		// Whichever way it is seen along, a positive skew shortens the left side at the
		// near end and lengthens it at the far one.
		side := "left"
		if (a > 0) == (k == 0) {
			side = "right"
		}
		out = append(out, fmt.Sprintf("%s skew, %.0f° off square, longer on the %s seen %s", ends[k], math.Abs(a), side, seen))
	}
	return out
}

// CutM is the length of the timber that a firring is cut from, skew ends included, m.
func (f Firring) CutM() float64 { return math.Max(f.CutFromM, f.LengthM) }

// LengthMM and CutMM are a firring's length and that of its timber as they are written, mm:
// to the nearest, and up where skew ends make the timber the longer.
func (f Firring) LengthMM() int { return int(math.Round(f.LengthM * 1000)) }

// CutMM is the timber's length, see LengthMM.
func (f Firring) CutMM() int {
	if f.CutM() < f.LengthM+0.0005 {
		return f.LengthMM()
	}
	return int(math.Ceil(f.CutM()*1000 - 0.01))
}

// Shape is a firring of some width on plan, its ends as they are cut: anticlockwise from
// its right corner at From.
func (f Firring) Shape(widthM float64) []plane.Point {
	u := f.To.Sub(f.From).Unit()
	n := u.Left().Scale(widthM / 2)
	corner := func(end plane.Point, k int, side float64) plane.Point {
		return end.Add(n.Scale(side)).Add(u.Scale(side * widthM / 2 * math.Tan(f.SkewDeg[k]*math.Pi/180)))
	}
	return []plane.Point{corner(f.From, 0, -1), corner(f.To, 1, -1), corner(f.To, 1, 1), corner(f.From, 0, 1)}
}

// measure reads the surveyed levels: where water stands, and what cures it.
func (out *Falls) measure(in FallsInput) error {
	d, g := &in.Deck, &in.Geometry.Value
	l, err := firring.LevelsOf(d.Levels, d.LevelToleranceMM)
	if err != nil {
		return err
	}
	const step = 0.1
	grid, err := firring.GridOf(g.Net, step, func(p plane.Point) float64 {
		mm, _ := l.HeightMM(p)
		return mm
	})
	if err != nil {
		return err
	}
	ponds, err := firring.Ponds(grid, firring.DrainsOf(*d), d.LevelToleranceMM, 2)
	if err != nil {
		return err
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range grid.MM {
		if !math.IsNaN(v) {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	contour := 5.0
	for (high-low)/contour > 15 {
		contour *= 2
	}
	lines, err := firring.Contours(grid, contour)
	if err != nil {
		return err
	}
	lv := &Levels{ToleranceMM: d.LevelToleranceMM, Ponds: ponds, Contours: lines, StepMM: contour}
	area, deepest := 0.0, 0.0
	for k, p := range ponds {
		area += p.AreaM2
		deepest = math.Max(deepest, p.DepthMM.Value)
		out.Figure(p.DepthMM.Keyed(fmt.Sprintf("pond.%s.%d.depth", d.Name, k+1)))
		out.Figure(p.VolumeL.Keyed(fmt.Sprintf("pond.%s.%d.litres", d.Name, k+1)))
	}
	lv.Finding = "no water stands beyond what the readings can tell"
	if len(ponds) > 0 {
		lv.Finding = fmt.Sprintf("water stands on %.1f m², up to %.0f mm deep (± %.0f mm)", area, deepest, d.LevelToleranceMM)
	}
	out.Levels = lv
	if d.Base.Kind != "joists" {
		return nil
	}
	layout, err := firringLayout(d, in.WallGapMM)
	if err != nil {
		return err
	}
	cure, err := firring.CureOf(l, g.Surface, layout, 1.0, leastFirringMM)
	if err != nil {
		return err
	}
	out.Figure(cure.LiftMM.Keyed("firring." + d.Name + ".lift"))
	for k, f := range cure.Firrings {
		if len(f.Stations) < 2 {
			continue
		}
		a, b := f.Stations[0], f.Stations[len(f.Stations)-1]
		out.Firrings = append(out.Firrings, Firring{Number: fmt.Sprintf("F%d", k+1), From: a.At, To: b.At, LengthM: a.At.Distance(b.At),
			FromMM: a.AddMM, ToMM: b.AddMM, Stations: f.Stations})
	}
	return nil
}

// HeightMM is a firring's height at a distance from its From end.
func (f Firring) HeightMM(atM float64) float64 {
	if len(f.Stations) > 1 {
		s := f.Stations
		for i := 1; i < len(s); i++ {
			a, b := s[0].At.Distance(s[i-1].At), s[0].At.Distance(s[i].At)
			if atM <= b || i == len(s)-1 {
				if b-a < 1e-9 {
					return s[i].AddMM
				}
				return s[i-1].AddMM + (s[i].AddMM-s[i-1].AddMM)*math.Min(1, (atM-a)/(b-a))
			}
		}
	}
	if f.LengthM == 0 {
		return math.Max(f.FromMM, f.ToMM)
	}
	return f.FromMM + (f.ToMM-f.FromMM)*atM/f.LengthM
}

// FirringRange is the least and the greatest height of firrings, mm.
func FirringRange(firrings []Firring) (low, high float64) {
	low, high = math.Inf(1), 0
	note := func(h float64) { low, high = math.Min(low, h), math.Max(high, h) }
	for _, f := range firrings {
		note(f.FromMM)
		note(f.ToMM)
		for _, s := range f.Stations {
			note(s.AddMM)
		}
	}
	return low, high
}
