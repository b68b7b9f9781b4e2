package weather

import (
	"testing"
	"time"
)

// dampCourse is days of a mild spring by the quarter hour with rain from one hour to
// another of the first day.
func dampCourse(days int, airC, dewC float64, fromH, toH, mmPerH float64) []Moment {
	m := make([]Moment, days*96)
	for i := range m {
		h := float64(i) / 4
		sun := 0.0
		if d := i % 96; d > 28 && d < 76 {
			sun = 8
		}
		m[i] = Moment{Time: time.Date(2027, 4, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i) * 15 * time.Minute), AirC: airC,
			SurfaceC: airC + sun, DewPointC: dewC, WindMS: 3}
		if h >= fromH && h < toH {
			m[i].RainMMPerH, m[i].SurfaceC = mmPerH, airC
		}
	}
	return m
}

// dryAgainH is how long after the rain boards are dry to 18 %, h.
func dryAgainH(m []Moment, endH float64) float64 {
	d := BareBoards().Damp(m, 18, 0, Site{})
	last := -1
	for i, r := range d.Since {
		if r >= 0 {
			last = i
		}
	}
	return float64(last+1)/4 - endH
}

// Rain on bare boards costs one to three drying days after a soaking (common practice, no
// source); a shower of a quarter hour costs little, and in November days more than in spring.
func TestRainOnBareBoardsCostsDays(t *testing.T) {
	soaked := dryAgainH(dampCourse(6, 13, 7, 0, 33, 2), 33)
	if soaked < 20 || soaked > 72 {
		t.Errorf("after 33 h of rain dry again in %.1f h, want one to three days", soaked)
	}
	four := dryAgainH(dampCourse(4, 13, 7, 4, 8, 2), 8)
	if four < 4 || four > 30 || four >= soaked {
		t.Errorf("after 4 h of rain dry again in %.1f h", four)
	}
	if shower := dryAgainH(dampCourse(4, 13, 7, 9, 9.25, 1), 9.25); shower > 2 {
		t.Errorf("after a shower dry again in %.1f h", shower)
	}
	if july := dryAgainH(dampCourse(4, 24, 13, 4, 8, 2), 8); july >= four {
		t.Errorf("in July after %.1f h, in spring after %.1f h", july, four)
	}
	if november := dryAgainH(dampCourse(5, 7, 6, 4, 12, 2), 12); november < 24 || november < four {
		t.Errorf("in a damp November after %.1f h", november)
	}
}

// Boards laid after the rain were never in it.
func TestBoardsLaidAfterTheRainAreDry(t *testing.T) {
	d := BareBoards().Damp(dampCourse(2, 13, 7, 4, 8, 2), 18, 0, Site{})
	if r := d.Since[9*4]; r < 7*4 || r >= 8*4 {
		t.Errorf("at 09:00 the last rain that counts was at quarter %d", r)
	}
	if d.Since[0] != -1 || d.Pct[9*4] < 20 || d.Pct[9*4] > 30 {
		t.Errorf("at midnight %d, at 09:00 %.0f %%", d.Since[0], d.Pct[9*4])
	}
	// Boards that dry fast and drink little are dry sooner.
	quick := BareBoards().Damp(dampCourse(2, 13, 7, 4, 8, 2), 18, 1, Site{})
	if quick.Since[17*4] > d.Since[17*4] {
		t.Error("quick boards are wetter")
	}
}
