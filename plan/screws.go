package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gelwright/check/wind"
	"gelwright/material"
	"gelwright/roof"
	"gelwright/working"
)

// Screws by what lies between head and joist (common practice throughout).
const (
	holdInJoistMM = 35  // screw in the joist, mm
	boardTimes    = 2.5 // a screw of a board that lies on the joist, times its thickness
	leastScrewMM  = 50
	coveringMM    = 5   // one covering of felt left in place, mm
	firringFixM   = 0.6 // greatest centres of fixings along a firring, m
	timberFixM    = 0.3 // centres along battens and kerb timbers, m
	longestMM     = 180 // longest screw driven straight through a timber; above it two are driven askew
	skewMM        = 100 // length of a screw driven askew
)

// screw is what holds a board: its length, and why.
type screw struct {
	key, into, note string
	mm              float64
}

// throughInsulation reports whether the boards of the upper deck lie on insulation.
func (m *maker) throughInsulation() bool {
	return m.job.Spec.Build == "warm" && m.job.Spec.Insulation != nil
}

// onJoists is the screw of a board that lies on joists or firrings themselves: two and a
// half times the board, 50 mm at least.
func (m *maker) onJoists() screw {
	b := m.job.Spec.Board.ThicknessMM
	mm := math.Max(leastScrewMM, screwLengthMM(boardTimes*b))
	return screw{key: deckScrewKey(mm), into: "the joists", mm: mm, note: fmt.Sprintf("%g times the board of %g mm, %d mm at least", boardTimes, b, leastScrewMM)}
}

// overDeck is the screw of a board over a deck that stays: through the new board, what
// is left of the old covering and the old deck, and 35 mm into the joist below.
func (m *maker) overDeck() screw {
	b := m.job.Spec.Board.ThicknessMM
	least, parts := 2*b+holdInJoistMM, []string{fmt.Sprintf("new board %g", b)}
	if n := m.job.Work.OldCoverings; m.job.Work.Kind == "overlay" {
		n = max(1, n)
		least += float64(n) * coveringMM
		parts = append(parts, fmt.Sprintf("old covering %d", n*coveringMM))
	}
	mm := screwLengthMM(least)
	parts = append(parts, fmt.Sprintf("old deck %g, taken as thick as the new boards: measure it", b), fmt.Sprintf("%d mm held in the joist", holdInJoistMM))
	return screw{key: deckScrewKey(mm), into: "the joists below the old deck", mm: mm, note: strings.Join(parts, " + ")}
}

// boardScrew is the screw of the boards that the laminate lies on, where they do not lie
// on insulation.
func (m *maker) boardScrew(job *roof.Deck) screw {
	if job.Base.Kind == "sound deck" {
		return m.overDeck()
	}
	return m.onJoists()
}

func deckScrewKey(mm float64) string { return fmt.Sprintf("screw.5x%g", mm) }

// deckScrew is the item of a board's screw, described where the catalogue has none of its
// length for boards.
func (o *orderMaker) deckScrew(s screw) string {
	if s.mm == leastScrewMM {
		return s.key
	}
	return o.item(material.Item{Key: "screw.deck." + strings.TrimPrefix(s.key, "screw."), Name: fmt.Sprintf("Deck screws 5.0 × %g mm, into %s", s.mm, s.into), Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 100, Name: "box of 100"}, {Quantity: 200, Name: "box of 200"}}, Standing: working.CommonPractice, Note: s.note})
}

// fixTimber books the screws of a timber of so many mm to drive through: straight where
// a screw of that length is sold, else two askew at each place.
func (o *orderMaker) fixTimber(number string, throughMM float64, places float64) {
	mm, each := screwLengthMM(throughMM+holdInJoistMM), 1.0
	if mm > longestMM {
		mm, each = skewMM, 2
	}
	key := o.item(material.Item{Key: fmt.Sprintf("screw.timber.5x%g", mm), Name: fmt.Sprintf("Screws 5.0 × %g mm, for firrings, battens and edge timbers", mm), Kind: material.KindFixing, Unit: "piece",
		Packs: []material.Pack{{Quantity: 100, Name: "box of 100"}, {Quantity: 200, Name: "box of 200"}}, Standing: working.CommonPractice, Note: "timber and what lies below it to its bearing + 35 mm held; two askew where that is more than 180 mm"})
	o.use(number, key, "piece", places*each)
}

// places is how many fixings a timber takes at centres: one near each end too.
func places(lengthM, centresM float64) float64 { return math.Ceil(lengthM/centresM-1e-9) + 1 }

// firringCentresM is how far apart a deck's firrings are fixed to its joists, m: every 600 mm,
// or closer where the uplift of the roof, which all passes through them, asks for it.
func (m *maker) firringCentresM(d *Deck, job *roof.Deck) (float64, error) {
	_, _, demands, err := wind.Check(m.windSite(job), m.plan.Set, m.boardFixing(job, d))
	if err != nil {
		return 0, err
	}
	centres := firringFixM
	for _, x := range demands {
		if perM := x.Needed * job.Base.JoistSpacingMM / 1000; perM > 0 {
			centres = math.Min(centres, math.Floor(1/perM/0.05+1e-9)*0.05)
		}
	}
	return math.Max(centres, 0.1), nil
}

// firrings books a deck's firrings with the screws that hold each down to its joist, as
// long as it is high there.
func (o *orderMaker) firrings(d *Deck, job *roof.Deck, prefix string) error {
	if len(d.Firrings) == 0 {
		return nil
	}
	centres, err := o.m.firringCentresM(d, job)
	if err != nil {
		return err
	}
	for _, f := range d.Firrings {
		o.use(prefix+f.Number, "timber.firring", "m", f.CutM())
		byLength := map[float64]float64{}
		n := places(f.LengthM, centres)
		for k := range int(n) {
			h := f.heightMM(f.LengthM * float64(k) / (n - 1))
			// Few lengths in the order: steps of 20 mm.
			byLength[20*math.Ceil((h+holdInJoistMM)/20-1e-9)-holdInJoistMM]++
		}
		var through []float64
		for h := range byLength {
			through = append(through, h)
		}
		slices.Sort(through)
		for _, h := range through {
			o.fixTimber(prefix+f.Number, h, byLength[h])
		}
	}
	return nil
}

// heightMM is a firring's height at a distance from its From end.
func (f Firring) heightMM(atM float64) float64 {
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

// firringRange is the least and the greatest height of a deck's firrings, mm.
func (d *Deck) firringRange() (low, high float64) {
	low, high = math.Inf(1), 0
	note := func(h float64) { low, high = math.Min(low, h), math.Max(high, h) }
	for _, f := range d.Firrings {
		note(f.FromMM)
		note(f.ToMM)
		for _, s := range f.Stations {
			note(s.AddMM)
		}
	}
	return low, high
}
