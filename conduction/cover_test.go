package conduction

import (
	"math"
	"testing"
)

func TestCoverKeepsTheDecksHeat(t *testing.T) {
	deck := warmRoof[2:]
	s := mustNew(t, deck, 10, Options{})
	advance(t, s, 6*3600, 11*3600, Drive{Outer: day, Inner: func(float64) Face { return Room(20, 0.1) }})
	film := warmRoof[:2]
	c, err := s.Cover(film, 18)
	if err != nil {
		t.Fatal(err)
	}
	added := film[0].CapacityJPerM2K()*18 + film[1].CapacityJPerM2K()*18
	if got, want := c.HeatStoredJPerM2(), s.HeatStoredJPerM2()+added; math.Abs(got-want) > 1e-6*want {
		t.Errorf("heat %g, want %g J/m²", got, want)
	}
	for l := range deck {
		if got, want := c.LayerMeanC(l+2), s.LayerMeanC(l); math.Abs(got-want) > 1e-9 {
			t.Errorf("layer %d: mean %g, want %g °C", l, got, want)
		}
	}
	// The board's top, hot from the sun, is still there under the film.
	from, _ := c.LayerCells(2)
	if got, want := c.Temps()[from], s.Temps()[0]; math.Abs(got-want) > 1 {
		t.Errorf("top of the board %g, was %g °C", got, want)
	}
	if c.LayerMeanC(1) != 18 {
		t.Errorf("the film is at %g °C", c.LayerMeanC(1))
	}
	same, err := s.Cover(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range s.Temps() {
		if math.Abs(same.Temps()[i]-v) > 1e-9 {
			t.Fatalf("cell %d: %g, was %g °C", i, same.Temps()[i], v)
		}
	}
	if _, err := s.Cover([]Layer{{Name: "nothing"}}, 18); err == nil {
		t.Error("a layer without thickness")
	}
}
