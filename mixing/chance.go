package mixing

import (
	"math"

	"gelwright/cure"
	"gelwright/elementary"
)

// shared is the part of the variance of pace, and of gel time, that all buckets of
// a day have in common: the crew's form and the drum's age. Assumed.
const shared = 0.5

// points of the Halton sequence used for what the buckets share.
const points = 1024

// chances sets each bucket's probability of being laid before it gels, that of all
// buckets of each day, and that of all days, taken as independent.
//
// Laying time and gel time are taken as log-normal: laying with the crew's spread
// about its expected time, gel with its low and high as the 5 % and 95 % points.
// Half the variance of each is common to all buckets of a day. What is common is
// sampled at fixed Halton points in bases 2 and 3; what is a bucket's own is
// integrated exactly, so the figures have no noise of their own.
func (p *Plan) chances(paceCV float64) {
	σp := math.Sqrt(math.Log(1 + paceCV*paceCV))
	odds := make([]odd, len(p.Mixes))
	for i, m := range p.Mixes {
		σg := gelSigma(m.Gel)
		odds[i] = odd{
			// Expected laying time is the mean: its logarithm's centre lies σ²/2 lower.
			gap:    math.Log(m.Gel.LikelyMin/m.LayingMin) + σp*σp/2,
			common: math.Sqrt(shared) * σg, own: math.Sqrt((1 - shared) * (σp*σp + σg*σg)),
		}
	}
	pace := math.Sqrt(shared) * σp
	each := make([]float64, len(odds))
	p.ChanceOfDay, p.ChanceDay = nil, 1
	for from := 0; from < len(odds); {
		to := from + 1
		for to < len(odds) && p.Mixes[to].Day == p.Mixes[from].Day {
			to++
		}
		all := 0.0
		for k := 1; k <= points; k++ {
			zp, zg := quantile(halton(k, 2)), quantile(halton(k, 3))
			product := 1.0
			for i := from; i < to; i++ {
				o := odds[i]
				q := normal((o.gap + o.common*zg - pace*zp) / o.own)
				each[i] += q
				product *= q
			}
			all += product
		}
		p.ChanceOfDay = append(p.ChanceOfDay, all/points)
		p.ChanceDay *= all / points
		from = to
	}
	for i := range p.Mixes {
		p.Mixes[i].ChanceLaid = each[i] / points
	}
}

// odd is one bucket's race between laying and gel, in logarithms of minutes: how
// far gel is ahead, the spread of gel that the day shares, and the bucket's own.
type odd struct{ gap, common, own float64 }

// z95 is the 95 % point of the normal distribution.
const z95 = 1.6448536269514722

func gelSigma(g cure.Range) float64 { return math.Log(g.HighMin/g.LowMin) / (2 * z95) }

func normal(z float64) float64 { return 0.5 * elementary.Erfc(-z/math.Sqrt2) }

func quantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// halton returns the k-th point of the van der Corput sequence in a base.
func halton(k, base int) float64 {
	f, r := 1.0, 0.0
	for ; k > 0; k /= base {
		f /= float64(base)
		r += f * float64(k%base)
	}
	return r
}
