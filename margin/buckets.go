package margin

import (
	"fmt"
	"math"
	"strings"

	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/plane"
)

// clockOf is a minute of a day as people say it: "09:05".
func clockOf(min float64) string {
	m := int(math.Floor(min + 1e-6))
	return fmt.Sprintf("%02d:%02d", (m/60)%24, m%60)
}

// passWords name a pass.
func passWords(x *laying.Pass) string {
	switch x.Kind {
	case "mat":
		return "mat layer " + itoa(x.Layer)
	case "details":
		return "bandage and details"
	}
	if x.Layer > 1 {
		return x.Kind + " " + itoa(x.Layer)
	}
	return x.Kind
}

// hoursOf says when a piece is laid: the hours of the buckets that it lies in.
func hoursOf(p *plan.Plan, deck, number string) string {
	var said []string
	for i := range p.Passes {
		x := &p.Passes[i]
		if x.Deck != deck || x.Plan == nil {
			continue
		}
		for k := range x.Plan.Mixes {
			m := &x.Plan.Mixes[k]
			for _, part := range m.Parts {
				if part.Name == number {
					said = append(said, fmt.Sprintf("%s, bucket %d", when(p, m), m.Number))
					break
				}
			}
		}
	}
	return strings.Join(said, "; ")
}

// when is the day and hour of a bucket.
func when(p *plan.Plan, m *mixing.Mix) string {
	at := clockOf(m.MixAtMin)
	if p.Schedule.Forecast() {
		return p.Schedule.DateOf(m.Day) + " " + at
	}
	return fmt.Sprintf("day %d, %s", m.Day, at)
}

// bucketOf is a bucket as a piece, by its number: "12" or "bucket 12".
func bucketOf(p *plan.Plan, deck, number string) *Piece {
	for i := range p.Passes {
		x := &p.Passes[i]
		if x.Deck != deck || x.Plan == nil {
			continue
		}
		for k := range x.Plan.Mixes {
			m := &x.Plan.Mixes[k]
			if n := itoa(m.Number); number == n || number == "bucket "+n || number == "bucket-"+n {
				return bucketPiece(p, x, k)
			}
		}
	}
	return nil
}

func bucketPiece(p *plan.Plan, x *laying.Pass, k int) *Piece {
	m := &x.Plan.Mixes[k]
	b := &Piece{Number: "bucket " + itoa(m.Number), Title: fmt.Sprintf("Bucket %d, %s", m.Number, passWords(x)), Neighbours: []string{},
		Shapes: [][][2]float64{}, Figure: bucketKey(m)}
	b.Facts = []Fact{
		{"mix at", when(p, m)},
		{"resin", fmt.Sprintf("%s kg (%s l) at %s °C", fixed(m.ResinKG, 2), fixed(m.ResinL, 2), fixed(m.ResinC, 0))},
		{"catalyst", fmt.Sprintf("%s, %s %% by mass", dosed(m.CatalystG, m.CatalystML), fixed(m.DosePct, 2))},
		{"deck", fixed(m.TempC, 0) + " °C"},
		{"gels", fmt.Sprintf("%s–%s min", fixed(math.Floor(m.Gel.LowMin), 0), fixed(math.Ceil(m.Gel.HighMin), 0))},
		{"lay by", fmt.Sprintf("%s min after mixing, %s", fixed(math.Floor(m.LayByMin), 0), clockOf(m.MixAtMin+m.LayByMin))},
		{"as large as", m.LimitedBy + " allows"},
	}
	if m.AreaM2 >= 0.005 {
		b.Facts = append(b.Facts, Fact{"covers", fixed(m.AreaM2, 2) + " m²"})
	}
	if !p.Schedule.Order() && p.Schedule.Forecast() {
		b.Facts = append([]Fact{{"do not begin", p.Schedule.Headline()}}, b.Facts...)
	}
	for _, r := range m.Ladder {
		b.Facts = append(b.Facts, Fact{fmt.Sprintf("%+.0f K", r.OffK), rungWords(&r)})
	}
	for _, part := range m.Parts {
		if len(part.Shape) > 0 {
			b.Shapes = append(b.Shapes, loopOf(part.Shape))
		}
		b.Neighbours = append(b.Neighbours, part.Name)
	}
	if b.Shapes == nil {
		b.Shapes = [][][2]float64{}
	}
	return b
}

func rungWords(r *mixing.Rung) string {
	if r.DosePct == 0 {
		return "do not mix: read the card"
	}
	return fmt.Sprintf("%s, lay by %s min", dosed(r.CatalystG, r.CatalystML), fixed(math.Floor(r.LayByMin), 0))
}

// bucketKey is the key of a bucket's first figure that has one.
func bucketKey(m *mixing.Mix) string {
	for _, f := range m.Working {
		if f != nil && f.Key != "" {
			return f.Key
		}
	}
	return ""
}

func loopOf(shape plane.Loop) [][2]float64 {
	out := make([][2]float64, len(shape))
	for i, v := range shape {
		out[i] = [2]float64{v.X, v.Y}
	}
	return out
}
