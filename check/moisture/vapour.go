package moisture

import (
	"math"

	"gelwright/elementary"
)

// SaturationPa returns the saturation vapour pressure at tempC, Pa
// (ISO 13788 E.7 above and E.8 below freezing; constants from memory, agreeing with
// tables to 1 Pa from −20 to 40 °C).
func SaturationPa(tempC float64) float64 {
	if tempC >= 0 {
		return 610.5 * elementary.Exp(17.269*tempC/(237.3+tempC))
	}
	return 610.5 * elementary.Exp(21.875*tempC/(265.5+tempC))
}

// diffusion is the vapour permeability of still air, kg/(m·s·Pa) (ISO 13788).
const diffusion = 2e-10

// HumidityClass is the indoor moisture load of ISO 13788 annex A, 1 (storage) to 5
// (laundry, pool); dwellings of unknown occupancy are class 3.
type HumidityClass int

// excessPa returns the vapour pressure excess indoors at an outdoor temperature.
func (c HumidityClass) excessPa(outdoorC float64) float64 {
	top := [...]float64{0, 270, 540, 810, 1080, 1360}
	i := min(max(int(c), 1), 5)
	return top[i] * math.Min(math.Max(1-outdoorC/20, 0), 1)
}
