package working

// weakness orders standings from what may be relied on to what somebody supposed. What
// is derived is as good as what it is derived from.
var weakness = map[Standing]int{
	"": 0, Derived: 0, Published: 1, Quoted: 2, Given: 3, Supplier: 4, CommonPractice: 5, Remembered: 6, Assumed: 7, Example: 8,
}

// Weaker returns the weaker of two standings.
func Weaker(a, b Standing) Standing {
	if weakness[b] > weakness[a] {
		return b
	}
	return a
}

// Standings remembers the standing of figures, so that what goes into many is looked at
// once. Make it with Standings{}.
type Standings map[*Figure]Standing

// Of is the standing of a figure's own source or of its weakest input, whichever is
// weaker: a published formula fed with an assumption gives an assumption.
func (known Standings) Of(f *Figure) Standing {
	if s, ok := known[f]; ok {
		return s
	}
	s := f.Source.Standing
	known[f] = s
	for _, in := range f.Inputs {
		if in != nil {
			s = Weaker(s, known.Of(in))
		}
	}
	known[f] = s
	return s
}

// RestsOn is the standing to show beside the source: that of the weakest input, where it
// is weaker than the source and a person should know. Else it is empty.
func (known Standings) RestsOn(f *Figure) Standing {
	s := known.Of(f)
	if s == f.Source.Standing || weakness[s] <= weakness[Given] {
		return ""
	}
	return s
}

// Standing is that of [Standings.Of] for one figure.
func (f *Figure) Standing() Standing { return Standings{}.Of(f) }
