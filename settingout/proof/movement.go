package proof

import (
	"fmt"
	"math"
	"strings"

	"gelwright/plane"
	"gelwright/settingout"
)

// Sizes of movement joints as the trade builds them (common practice, no source), m:
// half the gap between boards, and how far off its line the field ends where the joint
// is raised on battens 38 mm wide.
const (
	halfGapM     = 0.005
	raisedFieldM = 0.043
)

// isJointPiece: the piece belongs to a movement joint, and may lie over its line.
func isJointPiece(p settingout.Piece) bool {
	return p.Role == "movement joint" || strings.HasPrefix(p.Role, "site-formed joint")
}

// partFields takes the strips along movement joints out of the ground that mat covers.
func (c *checker) partFields() {
	c.fields = ground{outline: c.ground.outline, openings: append([][]segment(nil), c.ground.openings...)}
	for _, j := range c.plan.MovementJoints {
		u := j.To.Sub(j.From).Unit()
		n := u.Left().Scale(j.FieldMM / 1000)
		a, b := j.From, j.To
		if c.offDeck(a.Sub(u.Scale(0.004+0.006*c.slant(a, u))), u) {
			a = a.Sub(u.Scale(0.02 + j.FieldMM/1000*c.slant(a, u)))
		}
		if c.offDeck(b.Add(u.Scale(0.004+0.006*c.slant(b, u))), u) {
			b = b.Add(u.Scale(0.02 + j.FieldMM/1000*c.slant(b, u)))
		}
		ring := []plane.Point{a.Sub(n), b.Sub(n), b.Add(n), a.Add(n)}
		var sides []segment
		for i, p := range ring {
			sides = append(sides, segment{p, ring[(i+1)%4]})
		}
		c.fields.openings = append(c.fields.openings, sides)
	}
}

// offDeck: no deck lies beside p on either side of a line along u.
func (c *checker) offDeck(p, u plane.Point) bool {
	for _, side := range []float64{0.004, -0.004} {
		if on, _ := c.ground.open(p.Add(u.Left().Scale(side))); on {
			return false
		}
	}
	return true
}

// slant is how far along u the edge of the deck runs at p while it goes one across.
func (c *checker) slant(p, u plane.Point) float64 {
	best, out := math.Inf(1), 0.0
	for _, s := range c.ground.outline {
		way := s.b.Sub(s.a).Unit()
		// At a corner the edge that is squarer to the joint is the one it comes to.
		if d := s.distance(p) + 0.003*math.Abs(way.Dot(u)); d < best {
			best, out = d, math.Min(3, math.Abs(way.Dot(u))/math.Max(1e-9, math.Abs(way.Cross(u))))
		}
	}
	return out
}

// movement: every joint of the survey is built, from edge to edge, raised only where no
// water runs against it; nothing but its cap lies across it.
func (c *checker) movement(boards []shape) {
	if len(c.deck.MovementJoints) == 0 {
		return
	}
	for i, l := range c.deck.MovementJoints {
		c.surveyed(fmt.Sprintf("movement joint %d", i+1), segment{l[0], l[1]})
	}
	x := c.atJoints()
	for _, j := range c.plan.MovementJoints {
		c.jointBuilt(j)
		length := j.From.Distance(j.To)
		u := j.To.Sub(j.From).Unit()
		for k := range max(4, int(length/0.04)) {
			p := j.From.Add(u.Scale(length * (float64(k) + 0.5) / math.Max(4, math.Floor(length/0.04))))
			if on, _ := c.ground.open(p); !on {
				c.fault("joint.outside", j.Name+" "+place(p), "it leaves the deck")
				continue
			}
			c.jointAt(j, p, u.Left(), x)
		}
	}
	c.capLaps()
}

// atJoints are the pieces about movement joints: those that must not lie across one,
// the caps and strips that lie over, and all that belongs to a joint.
type atJoints struct {
	across, over, own        []shape
	crossers, covers, others index
}

func (c *checker) atJoints() atJoints {
	var across, over []shape
	for _, p := range c.plan.Pieces {
		switch {
		case isJointPiece(p) && (p.Kind == settingout.Trim || p.Kind == settingout.Corner):
			over = append(over, shapeOf(p))
		case isJointPiece(p):
		case p.Kind == settingout.Board || p.Kind == settingout.Trim || p.Kind == settingout.Bandage && p.Opening == "" ||
			p.Kind == settingout.Mat && p.Opening == "":
			across = append(across, shapeOf(p))
		}
	}
	// Cap, batten and laminate of one joint break where another meets it.
	var own []shape
	for _, p := range c.plan.Pieces {
		if p.Role == "movement joint" && p.Kind != settingout.Noggin {
			own = append(own, shapeOf(p))
		}
	}
	return atJoints{across, over, own, indexOf(across, 0), indexOf(over, 0.002), indexOf(own, 0)}
}

// jointBuilt checks that a joint dams no water and that the fields end where it is built.
func (c *checker) jointBuilt(j settingout.MovementJoint) {
	want := halfGapM
	if j.Raised {
		want = raisedFieldM
		if why := c.dams(j); why != "" {
			c.fault("joint.dams", j.Name, "%s", why)
		}
	}
	if math.Abs(j.FieldMM/1000-want) > 1e-6 {
		c.fault("joint.field", j.Name, "the field ends %.0f mm off its line, %.0f mm are built", j.FieldMM, want*1000)
	}
}

// jointAt checks one place of a joint: covered, and nothing tied across it. n is the
// unit vector across.
func (c *checker) jointAt(j settingout.MovementJoint, p, n plane.Point, x atJoints) {
	under := false
	for _, i := range x.covers.at(p) {
		under = under || contains(x.over[i].sides, p)
	}
	if !under {
		c.fault("joint.cap", j.Name+" "+place(p), "neither cap nor strip lies over it")
	}
	for _, i := range x.others.at(p) {
		if o := x.own[i]; o.piece.Serves != j.Name && contains(o.sides, p) {
			c.fault("joint.tied", o.piece.Number+" "+place(p), "%s of %s lies across %s", o.piece.Kind, o.piece.Serves, j.Name)
		}
	}
	for _, off := range []float64{-1, 0, 1} {
		q := p.Add(n.Scale(off * (halfGapM - 0.001)))
		for _, i := range x.crossers.at(q) {
			if a := x.across[i]; contains(a.sides, q) {
				c.fault("joint.crossed", a.piece.Number+" "+place(q), "%s lies across %s", a.piece.Kind, j.Name)
			}
		}
	}
}

// beyondJoint: the boards lie on different sides of a movement joint that passes p.
func (c *checker) beyondJoint(p plane.Point, a, b shape) bool {
	for _, j := range c.plan.MovementJoints {
		if (segment{j.From, j.To}).distance(p) > 2*halfGapM+0.001 {
			continue
		}
		n := j.To.Sub(j.From).Unit().Left()
		if n.Dot(a.low.Add(a.high).Scale(0.5).Sub(j.From))*n.Dot(b.low.Add(b.high).Scale(0.5).Sub(j.From)) < 0 {
			return true
		}
	}
	return false
}

// surveyed: a line of the survey is built wherever it lies on the deck.
func (c *checker) surveyed(name string, l segment) {
	if l.length() < 0.05 {
		return
	}
	n := int(l.length() / 0.04)
	for k := 0; k < n; k++ {
		p := l.a.Add(l.b.Sub(l.a).Scale((float64(k) + 0.5) / float64(n)))
		if on, clear := c.ground.open(p); !on || clear < 0.06 {
			continue
		}
		near := math.Inf(1)
		for _, j := range c.plan.MovementJoints {
			near = min(near, (segment{j.From, j.To}).distance(p))
		}
		if near > 0.035 {
			c.fault("joint.missing", name+" "+place(p), "no joint is built here")
		}
	}
}

// dams says where water runs against a raised joint, worked out from the falls of one
// plane or two.
func (c *checker) dams(j settingout.MovementJoint) string {
	f := c.deck.Falls
	if len(f.Planes) == 0 || f.Kind == plane.ToPoint || f.Kind == plane.Level {
		return ""
	}
	u := j.To.Sub(j.From).Unit()
	wet, n := 0, 40
	for k := range n {
		p := j.From.Add(j.To.Sub(j.From).Scale((float64(k) + 0.5) / float64(n)))
		for _, side := range []plane.Point{u.Left(), u.Left().Scale(-1)} {
			q := p.Add(side.Scale(0.05))
			down := f.Planes[0].Down
			if len(f.Planes) > 1 && f.Line[1].Sub(f.Line[0]).Cross(q.Sub(f.Line[0])) < 0 {
				down = f.Planes[1].Down
			}
			if down.Length() > 0 && down.Unit().Dot(side) < -0.12 {
				wet++
				break
			}
		}
	}
	if wet > n/20+1 {
		return fmt.Sprintf("water runs against it over %.1f m and it is raised", j.From.Distance(j.To)*float64(wet)/float64(n))
	}
	return ""
}

// capLaps: pieces of cap that follow each other lap by what trims do.
func (c *checker) capLaps() {
	var before *settingout.Piece
	for i := range c.plan.Pieces {
		p := &c.plan.Pieces[i]
		if p.Kind != settingout.Trim || p.Role != "movement joint" {
			continue
		}
		if p.EndLapMM > 0 && before != nil {
			reached := before.Corner.Add(before.Along.Scale(float64(before.LengthMM) / 1000))
			if lap := reached.Sub(p.Corner).Dot(p.Along) * 1000; lap < c.spec.TrimLapMM-2 {
				c.fault("joint.cap-lap", p.Number, "laps %.0f mm", lap)
			}
		}
		before = p
	}
}
