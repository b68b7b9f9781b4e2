package conduction

// Cover is the build-up with layers laid on top at topC, such as a fresh laminate
// on a deck that the morning has warmed. The temperatures below are carried over:
// linear between the old cells' middles, each layer keeping its heat exactly. The
// old build-up is not changed.
func (s *Slab) Cover(top []Layer, topC float64) (*Slab, error) {
	layers := append(append(make([]Layer, 0, len(top)+len(s.layers)), top...), s.layers...)
	c, err := New(layers, topC, s.opts)
	if err != nil {
		return nil, err
	}
	thick := 0.0
	for _, l := range top {
		thick += l.ThicknessMM
	}
	for layer := range s.layers {
		from, to := s.LayerCells(layer)
		newFrom, newTo := c.LayerCells(layer + len(top))
		heat, capacity := 0.0, 0.0
		for i := from; i < to; i++ {
			heat += s.capacity[i] * s.temp[i]
		}
		for i, k := newFrom, from; i < newTo; i++ {
			depth := c.cells[i].DepthMM - thick
			for k+1 < to && s.cells[k+1].DepthMM < depth {
				k++
			}
			t := s.temp[k]
			if k+1 < to && depth > s.cells[k].DepthMM {
				u := (depth - s.cells[k].DepthMM) / (s.cells[k+1].DepthMM - s.cells[k].DepthMM)
				t += u * (s.temp[k+1] - s.temp[k])
			}
			c.temp[i] = t
			heat -= c.capacity[i] * t
			capacity += c.capacity[i]
		}
		for i := newFrom; i < newTo; i++ {
			c.temp[i] += heat / capacity
		}
	}
	c.outerTs, c.innerTs = topC, s.innerTs
	if len(top) == 0 {
		c.outerTs = s.outerTs
	}
	return c, nil
}
