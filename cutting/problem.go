package cutting

import (
	"errors"
	"fmt"
	"math"
)

// Stock is one kind of bar that can be bought or lies in hand.
type Stock struct {
	Name string
	// LengthMM is the usable length of one bar, in mm, more than 0.
	LengthMM int
	// Cost of one bar, 0 or more. If all stock costs 0, cost is the length in mm.
	Cost float64
	// Available is how many bars there are; negative means as many as wanted.
	Available int
}

// Piece is a length to be cut, and how many.
type Piece struct {
	Name string
	// LengthMM is the finished length, in mm, more than 0.
	LengthMM int
	// Count is how many pieces are wanted, 0 or more.
	Count int
}

// Problem is a one-dimensional cutting order.
type Problem struct {
	Stocks []Stock
	Pieces []Piece
	// KerfMM is the width lost at each saw cut, in mm; 0 for a knife.
	KerfMM int
	// KeepMM is the shortest leftover worth keeping, in mm; 0 when none is. It
	// never costs money: it only chooses among plans of equal cost.
	KeepMM int
	// Effort is how many times the usual number of steps is spent before a hard order is
	// left open; 0 is 1.
	Effort int
}

// Cut is a number of equal pieces from one bar.
type Cut struct {
	Piece    string
	LengthMM int
	Count    int
}

// Bar is a bar cut in one way, Count times.
type Bar struct {
	Stock    string
	LengthMM int
	// Cuts lists the pieces of one bar, longest first.
	Cuts []Cut
	// OffcutMM is what is left of one bar behind the last saw cut, in mm.
	OffcutMM int
	Count    int
}

// Plan is the answer to a Problem.
type Plan struct {
	Bars []Bar
	// Cost is the sum over all bars; LowerBound is proven: no plan costs less.
	Cost, LowerBound float64
	// Gap is (Cost − LowerBound) / Cost, a fraction; 0 when Optimal.
	Gap     float64
	Optimal bool
	// Note says in words how the search ended.
	Note string
}

// Kinds of fault; test with errors.Is. A *Fault says which piece or stock.
var (
	ErrInput     = errors.New("a number is out of range")
	ErrTooLong   = errors.New("a piece fits no stock")
	ErrNotEnough = errors.New("the stock in hand does not suffice")
	ErrTooBig    = errors.New("the order is too big to count")
)

// Fault is a problem with the order: what, where and how to mend it.
type Fault struct {
	Kind   error
	Where  string // the piece or stock as the caller named it
	Text   string
	Remedy string
}

func (f *Fault) Error() string {
	s := f.Text
	if f.Where != "" {
		s = f.Where + ": " + s
	}
	if f.Remedy != "" {
		s += ". " + f.Remedy
	}
	return s
}

func (f *Fault) Unwrap() error { return f.Kind }

// maxMM and maxCount keep every sum in the package within 64 bits.
const (
	maxMM    = 1 << 31
	maxCount = 1 << 31
	maxTotal = 1 << 53
)

func name(kind, given string, index int) string {
	if given == "" {
		return fmt.Sprintf("%s %d", kind, index+1)
	}
	return fmt.Sprintf("%s %q", kind, given)
}

// check reports all faults of the order at once, joined.
func (p Problem) check() error {
	var faults []error
	bad := func(kind error, where, text, remedy string) {
		faults = append(faults, &Fault{kind, where, text, remedy})
	}
	if p.KerfMM < 0 || p.KerfMM > maxMM {
		bad(ErrInput, "kerf", fmt.Sprintf("%d mm is out of range", p.KerfMM), "Give the width of the saw cut, 0 or more")
	}
	if p.KeepMM < 0 || p.KeepMM > maxMM {
		bad(ErrInput, "leftover worth keeping", fmt.Sprintf("%d mm is out of range", p.KeepMM), "Give 0 or more")
	}
	longest, longestName := 0, ""
	for i, s := range p.Stocks {
		where := name("stock", s.Name, i)
		if s.LengthMM <= 0 || s.LengthMM > maxMM {
			bad(ErrInput, where, fmt.Sprintf("length %d mm is out of range", s.LengthMM), "Give a length of at least 1 mm")
		} else if s.Available != 0 && s.LengthMM > longest {
			longest, longestName = s.LengthMM, where
		}
		if !(s.Cost >= 0 && s.Cost <= maxCost) {
			bad(ErrInput, where, fmt.Sprintf("cost %v is out of range", s.Cost), "Give a cost of 0 or more")
		}
	}
	total := 0
	for i, q := range p.Pieces {
		where := name("piece", q.Name, i)
		switch {
		case q.LengthMM <= 0 || q.LengthMM > maxMM:
			bad(ErrInput, where, fmt.Sprintf("length %d mm is out of range", q.LengthMM), "Give a length of at least 1 mm")
		case q.Count < 0 || q.Count > maxCount:
			bad(ErrInput, where, fmt.Sprintf("count %d is out of range", q.Count), "Give 0 or more")
		case q.Count == 0:
		case longest == 0:
			bad(ErrTooLong, where, "there is no stock to cut it from", "Add a stock length")
		case q.LengthMM > longest:
			bad(ErrTooLong, where, fmt.Sprintf("%d mm is %d mm longer than the longest stock (%s, %d mm)",
				q.LengthMM, q.LengthMM-longest, longestName, longest), "Add a longer stock, or make the piece in two")
		default:
			unit := q.LengthMM + p.KerfMM
			if q.Count > (maxTotal-total)/unit {
				bad(ErrTooBig, where, fmt.Sprintf("%d pieces of %d mm are more than can be counted", q.Count, q.LengthMM), "Split the order")
				continue
			}
			total += q.Count * unit
		}
	}
	return errors.Join(faults...)
}

// gapOf returns (cost − bound)/cost, 0 when cost is 0.
func gapOf(cost, bound float64) float64 {
	if cost <= 0 {
		return 0
	}
	return math.Max(0, (cost-bound)/cost)
}
