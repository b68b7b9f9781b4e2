package working

// weakness orders standings from what may be relied on to what somebody supposed. What
// is derived is as good as what it is derived from.
var weakness = map[Standing]int{
	"": 0, Derived: 0, Published: 1, Given: 2, Supplier: 3, CommonPractice: 4, Remembered: 5, Assumed: 6,
}

// Weaker returns the weaker of two standings.
func Weaker(a, b Standing) Standing {
	if weakness[b] > weakness[a] {
		return b
	}
	return a
}

// Standing is that of the figure's own source or of its weakest input, whichever is
// weaker: a published formula fed with an assumption gives an assumption.
func (f *Figure) Standing() Standing {
	return f.standing(map[*Figure]Standing{})
}

func (f *Figure) standing(known map[*Figure]Standing) Standing {
	if s, ok := known[f]; ok {
		return s
	}
	s := f.Source.Standing
	known[f] = s
	for _, in := range f.Inputs {
		if in != nil {
			s = Weaker(s, in.standing(known))
		}
	}
	known[f] = s
	return s
}

// restsOn is the standing to show beside the source: that of the weakest input, where it
// is weaker than the source and a person should know.
func (f *Figure) restsOn() string {
	s := f.Standing()
	if s == f.Source.Standing || weakness[s] <= weakness[Given] {
		return ""
	}
	return string(s)
}
