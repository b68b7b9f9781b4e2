package mixing

import "math"

// shared is the part of the variance of pace, and of gel time, that all buckets of
// a day have in common: the crew's form and the drum's age. Assumed.
const shared = 0.5

// points of the Halton sequence used for what the buckets share.
const points = 1024

// chances sets each bucket's probability of being laid before it gels, and that of all.
//
// Laying time and gel time are taken as log-normal: laying with the crew's spread
// about its expected time, gel with its low and high as the 5 % and 95 % points.
// Half the variance of each is common to all buckets of a day. What is common is
// sampled at fixed Halton points in bases 2 and 3; what is a bucket's own is
// integrated exactly, so the figures have no noise of their own.
func (p *Plan) chances(paceCV float64) {
	σp := math.Sqrt(math.Log(1 + paceCV*paceCV))
	all := 0.0
	each := make([]float64, len(p.Mixes))
	for k := 1; k <= points; k++ {
		zp, zg := quantile(halton(k, 2)), quantile(halton(k, 3))
		product := 1.0
		for i, m := range p.Mixes {
			σg := gelSigma(m.Gel)
			own := math.Sqrt((1 - shared) * (σp*σp + σg*σg))
			// Expected laying time is the mean: its logarithm's centre lies σ²/2 lower.
			gap := math.Log(m.Gel.LikelyMin/m.LayingMin) + σp*σp/2 + math.Sqrt(shared)*(σg*zg-σp*zp)
			q := normal(gap / own)
			each[i] += q
			product *= q
		}
		all += product
	}
	for i := range p.Mixes {
		p.Mixes[i].ChanceLaid = each[i] / points
	}
	p.ChanceDay = all / points
}

// z95 is the 95 % point of the normal distribution.
const z95 = 1.6448536269514722

func gelSigma(g GelRange) float64 { return math.Log(g.HighMin/g.LowMin) / (2 * z95) }

func normal(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

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
