package programme

import (
	"context"
	"reflect"
	"sync"

	"gelwright/weather"
)

// Common is what programmes of one site under the same courses of the weather have in common: how films that are alike harden,
// the hours in which limits that are alike are kept, how long rain on bare boards counts. What one has worked out the next takes. It is
// safe for concurrent use; whoever comes while another works something out waits for it. Its zero value knows nothing yet.
type Common struct {
	mu    sync.Mutex
	sound bool // the courses were looked through

	warmths map[scale][]warmth
	films   []*filmCourse
	fits    []*commonFit
	damps   map[float64][]weather.Damp
	nexts   map[nextKey][][]int32
}

// commonFit is the members whose weather is within limits, by quarter, and what tells of the frost that a film meets.
type commonFit struct {
	limits weather.StageLimits
	film   *Film
	fit    []uint64
}

// nextKey is what happens next: what is looked for, and its limit.
type nextKey struct {
	what  event
	limit float64
}

// event is what a film is to be spared.
type event int

const (
	rainComes event = iota
	dewComes
	frostComes
)

// checked looks the courses through where that was not done before.
func (c *Common) checked(look func() error) error {
	if c == nil {
		return look()
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.sound {
		return nil
	}
	err := look()
	c.sound = err == nil
	return err
}

// warm is the warmth of all courses for films of a scale.
func (c *Common) warm(p *Prepared, s scale) []warmth {
	if on := c.warmths[s]; on != nil {
		return on
	}
	on := make([]warmth, len(p.in.Members))
	temps := make([]float32, p.n)
	for m, course := range p.in.Members {
		for q := range course {
			temps[q] = float32(course[q].SurfaceC)
		}
		on[m] = s.warm(temps)
	}
	if c.warmths == nil {
		c.warmths = map[scale][]warmth{}
	}
	c.warmths[s] = on
	return on
}

// follow has a film followed to the marks that are needed, by one that is alike where there is one.
func (c *Common) follow(ctx context.Context, p *Prepared, fc *filmCourse, need map[Mark]bool) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	var known *filmCourse
	for _, x := range c.films {
		if x.film == fc.film || reflect.DeepEqual(x.film, fc.film) {
			known = x
			break
		}
	}
	if known == nil {
		known = &filmCourse{film: fc.film}
		c.films = append(c.films, known)
	}
	for mark := range marks {
		if !need[mark] {
			continue
		}
		if known.reach[mark] == nil {
			if err := ctx.Err(); err != nil {
				return err
			}
			known.follow(mark, c.warm(p, known.film.scale()))
		}
		fc.reach[mark], fc.first[mark] = known.reach[mark], known.first[mark]
	}
	return nil
}

// fit finds the members whose weather is within limits with those that a person lifted taken away, and without frost on a film where
// one is followed.
func (c *Common) fit(lifted weather.StageLimits, film *Film, judge func() ([]uint64, error)) ([]uint64, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, x := range c.fits {
		if reflect.DeepEqual(x.film, film) && reflect.DeepEqual(x.limits, lifted) {
			return x.fit, nil
		}
	}
	fit, err := judge()
	if err == nil {
		c.fits = append(c.fits, &commonFit{lifted, film, fit})
	}
	return fit, err
}

// damp follows bare boards through the weather of every member.
func (c *Common) damp(p *Prepared, limit float64) []weather.Damp {
	c.mu.Lock()
	defer c.mu.Unlock()
	if d := c.damps[limit]; d != nil {
		return d
	}
	n := len(p.in.Members)
	out := make([]weather.Damp, n)
	for m, course := range p.in.Members {
		// Another order than the resin's luck: the two have nothing to do with each other.
		out[m] = weather.BareBoards().Damp(course, limit, -luck((n-m)%n, n), p.in.Site)
	}
	if c.damps == nil {
		c.damps = map[float64][]weather.Damp{}
	}
	c.damps[limit] = out
	return out
}

// next finds, by member, the first quarter from each on at which something is so.
func (c *Common) next(p *Prepared, key nextKey, so func(*weather.Moment, float64) bool) [][]int32 {
	c.mu.Lock()
	defer c.mu.Unlock()
	if out, ok := c.nexts[key]; ok {
		return out
	}
	out := make([][]int32, len(p.in.Members))
	for m, course := range p.in.Members {
		row := make([]int32, p.n+1)
		row[p.n] = never
		for q := p.n - 1; q >= 0; q-- {
			row[q] = row[q+1]
			if so(&course[q], key.limit) {
				row[q] = int32(q)
			}
		}
		out[m] = row
	}
	if c.nexts == nil {
		c.nexts = map[nextKey][][]int32{}
	}
	c.nexts[key] = out
	return out
}
