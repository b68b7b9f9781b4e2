package plane

// Frame turns plan coordinates into those of the work: first along the pieces'
// length, second across them. Either may be mirrored, so that the work always
// starts at the low corner. U and V are unit vectors square to each other.
type Frame struct {
	U, V Point
}

// In returns a point of the plan in the work's coordinates, Out the converse.
func (f Frame) In(p Point) Point  { return Point{X: f.U.Dot(p), Y: f.V.Dot(p)} }
func (f Frame) Out(p Point) Point { return f.U.Scale(p.X).Add(f.V.Scale(p.Y)) }

// Mirrored reports whether the frame is left-handed.
func (f Frame) Mirrored() bool { return f.U.Cross(f.V) < 0 }

// LoopIn returns a loop of the plan in the work's coordinates, its interior still
// on the left; LoopOut the converse.
func (f Frame) LoopIn(l Loop) Loop  { return f.mapped(l, f.In) }
func (f Frame) LoopOut(l Loop) Loop { return f.mapped(l, f.Out) }

// RegionIn returns a region of the plan in the work's coordinates.
func (f Frame) RegionIn(r Region) Region {
	out := make(Region, len(r))
	for i, l := range r {
		out[i] = f.LoopIn(l)
	}
	return out
}

// mapped turns the loop round when the frame is mirrored.
func (f Frame) mapped(l Loop, by func(Point) Point) Loop {
	out := make(Loop, len(l))
	mirrored := f.Mirrored()
	for i, p := range l {
		if mirrored {
			out[len(l)-1-i] = by(p)
		} else {
			out[i] = by(p)
		}
	}
	return out
}
