package weather

import (
	"math"
	"testing"
	"time"
)

// Norms hold at the middle of each month and go straight between, and the day's warmth at
// sunrise, three hours after noon and halfway between, worked by hand.
func TestNormsBlendFromMiddleToMiddle(t *testing.T) {
	var n Norms
	for m := range n.Months {
		n.Months[m].MeanC = 10 * float64(m)
	}
	for day, want := range map[int]float64{1: 10 * (1.5 + 0.5/30.44), 16: 10 * (1.5 + 15.5/30.44), 31: 10 * (1.5 + 30.5/30.44)} {
		got := n.on(time.Date(2026, 3, day, 12, 0, 0, 0, time.UTC)).MeanC
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%d March: %.4f, want %.4f", day, got, want)
		}
	}
	at := func(h float64) time.Time {
		return time.Date(2026, 3, 20, 0, 0, 0, 0, time.UTC).Add(time.Duration(h * float64(time.Hour)))
	}
	sun := Daylight{Rise: at(6), Noon: at(12)}
	for h, want := range map[float64]float64{6: 0, 10.5: 0.5, 15: 1, 22.5: 0.5, 12: 0.75} {
		if got := dayShape(at(h), sun); math.Abs(got-want) > 1e-9 {
			t.Errorf("%g h: %.4f, want %.4f", h, got, want)
		}
	}
}
