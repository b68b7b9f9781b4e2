package settingout

import (
	"math"

	"gelwright/plane"
)

// cover names what lies over a joint.
func (j MovementJoint) cover() string {
	if j.Raised {
		return "joint cap"
	}
	return "flexible joint strip"
}

// caps lays cap or strip along the joints, and forms their ends and crossings.
func (r *trimRunner) caps(joints []MovementJoint) {
	count := len(r.out.Of(Corner))
	corner := func(at, along plane.Point, role, serves, note string) {
		h := along.Scale(cornerLegMM / 2000.0)
		n := along.Left().Scale(cornerLegMM / 2000.0)
		p := Piece{Kind: Corner, Number: number(Corner, count), Order: count + 1, Edge: -1, Serves: serves, LengthMM: cornerLegMM,
			WidthMM: cornerLegMM,
			Corner:  at.Sub(h).Sub(n), Along: along, Role: role, Material: "site-formed corner", Note: note, AreaM2: cornerLegMM * cornerLegMM / 1e6,
			Shape: []plane.Point{at.Sub(h).Sub(n), at.Add(h).Sub(n), at.Add(h).Add(n), at.Sub(h).Add(n)}}
		r.out.Pieces = append(r.out.Pieces, p)
		count++
	}
	for i, j := range joints {
		material, wide := j.cover(), JointGapMM+2*(JointBattenMM+JointCapOverMM)
		note := "fixed on one side only, so that it slides"
		if !j.Raised {
			wide, note = JointStripMM, "bedded on both sides, free over the gap"
		}
		for _, b := range j.Built {
			e := plane.Edge{A: b[0], B: b[1]}
			r.stretchOf(e, Piece{Role: jointRole, Edge: -1, Serves: j.Name, Material: material, WidthMM: wide, Note: note})
		}
		u := j.To.Sub(j.From).Unit()
		for k, p := range [2]plane.Point{j.From, j.To} {
			note := "at " + j.Ends[k]
			if e := j.edge[k]; e >= 0 {
				t, _ := along(r.d.Outline.Edge(e), p)
				if math.Abs(r.d.Outline.Edge(e).Tangent(t).Dot(u)) > 0.005 {
					note += ", which it meets at a slant: cut trim and bandage to its line"
				}
			}
			corner(p, u.Scale(float64(1-2*k)), "site-formed joint end", j.Name, note)
		}
		for _, o := range joints[:i] {
			t, along, ok := crossAt(j.From, u, [2]plane.Point{o.From, o.To})
			if ok && t > 1e-6 && t < j.LengthM()-1e-6 && along > 1e-6 && along < o.LengthM()-1e-6 {
				corner(j.From.Add(u.Scale(t)), u, "site-formed joint crossing", j.Name, "with "+o.Name)
			}
		}
	}
}

// stretchOf lays one stretch of cap or strip.
func (r *trimRunner) stretchOf(e plane.Edge, as Piece) {
	lengths, _ := trimLengths(undivided{total: upMM(e.Chord()), lap: r.lap, stock: r.stock}, r.shortest, r.wishes[len(r.runs)])
	r.runs = append(r.runs, trimRun{material: as.Material, lengths: lengths})
	u := e.B.Sub(e.A).Unit()
	half := u.Left().Scale(float64(as.WidthMM) / 2000)
	at := 0
	for k, length := range lengths {
		r.count++
		p := as
		p.Number, p.Kind, p.Order, p.LengthMM, p.Along = number(Trim, r.count-1), Trim, r.count, length, u
		a := e.A.Add(u.Scale(float64(at) / 1000))
		b := a.Add(u.Scale(math.Min(float64(length)/1000, a.Distance(e.B))))
		p.Corner = a.Sub(half)
		p.Shape = []plane.Point{a.Sub(half), b.Sub(half), b.Add(half), a.Add(half)}
		if k > 0 {
			p.EndLapMM = float64(r.lap)
		}
		p.AreaM2 = p.Shape.SignedArea()
		p.Cuts = r.cuts(p)
		r.out.Pieces = append(r.out.Pieces, p)
		at += length - r.lap
	}
}

// jointStrips bandages the foot of the battens of raised joints.
func (b *bandager) jointStrips(joints []MovementJoint) {
	for _, j := range joints {
		for _, e := range j.feet() {
			h := float64(b.wide) / 2000
			p := Piece{Role: jointRole, Serves: j.Name, Edge: -1, WidthMM: b.wide, LengthMM: upMM(e.Chord()), Along: e.Tangent(0), Corner: e.A,
				Shape: stripAlong(e, 0, 1, -h, h)}
			b.add(p)
		}
	}
}

// feet are the lines along the feet of a raised joint's battens, the field on their left.
func (j MovementJoint) feet() []plane.Edge {
	if !j.Raised {
		return nil
	}
	var out []plane.Edge
	for _, s := range j.Built {
		n := s[1].Sub(s[0]).Unit().Left().Scale(j.FieldMM / 1000)
		out = append(out, plane.Edge{A: s[0].Add(n), B: s[1].Add(n)}, plane.Edge{A: s[1].Sub(n), B: s[0].Sub(n)})
	}
	return out
}

// parts reports whether a joint passes between two points.
func parts(joints []MovementJoint, a, b plane.Point) bool {
	for _, j := range joints {
		u := j.To.Sub(j.From).Unit()
		n := u.Left()
		p, q := n.Dot(a.Sub(j.From)), n.Dot(b.Sub(j.From))
		if p*q >= 0 {
			continue
		}
		at := u.Dot(a.Sub(j.From)) + (u.Dot(b.Sub(a)))*p/(p-q)
		if at > -1e-9 && at < j.LengthM()+1e-9 {
			return true
		}
	}
	return false
}

// cutAtJoints trims what ends at a slanting joint to its line: trims, bandage and
// upstands lie square to their edge, and a corner of them would reach across.
func (s *SetOut) cutAtJoints() {
	for i := range s.Pieces {
		p := &s.Pieces[i]
		ofDeck := p.Kind == Trim || (p.Kind == Bandage || p.Kind == Mat && p.Upright) && p.Opening == ""
		if !ofDeck || p.Role == jointRole || p.Role == "joint end" {
			continue
		}
		for _, j := range s.MovementJoints {
			j.cut(p)
		}
	}
}

// cut keeps of a piece what lies on its own side of the joint's gap.
func (j MovementJoint) cut(p *Piece) {
	const half = JointGapMM / 2000.0
	u := j.To.Sub(j.From).Unit()
	n := u.Left()
	low, high := p.Bounds()
	if n.Dot(low.Add(high).Scale(0.5).Sub(j.From)) < 0 {
		n = n.Scale(-1)
	}
	c := n.Dot(j.From)
	shape := plane.Region{p.Shape}
	over := shape.HalfPlane(n.Scale(-1), -c-half+1e-6)
	if over.Area() < 1e-7 {
		return
	}
	from, to := math.Inf(1), math.Inf(-1)
	for _, l := range over {
		for _, q := range l {
			from, to = min(from, u.Dot(q.Sub(j.From))), max(to, u.Dot(q.Sub(j.From)))
		}
	}
	if to < 0 || from > j.LengthM() {
		return
	}
	kept := shape.HalfPlane(n, c+half).Parts()
	if len(kept) == 0 {
		return
	}
	best := kept[0]
	for _, k := range kept {
		if k.Area() > best.Area() {
			best = k
		}
	}
	p.Shape = best.Outer
	p.Note = joinNote(p.Note, "cut to the line of "+j.Name)
}
