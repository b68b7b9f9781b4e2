package conduction

import "math"

const (
	// StefanBoltzmann is σ in W/(m²·K⁴) (CODATA 2018).
	StefanBoltzmann = 5.670374419e-8
	// ZeroCelsiusK is 0 °C in kelvin.
	ZeroCelsiusK = 273.15
)

// waterJPerKgK is the specific heat of water (15 °C).
const waterJPerKgK = 4186

// The balance of a surface is found by Newton's method, from no colder than coldestGuessC, in no more rounds than
// balanceRounds.
const (
	coldestGuessC = -200
	balanceRounds = 30
)

// Face is what one surface meets, inner or outer, at one moment. The heat into
// the build-up is
//
//	q = h(Ta−Ts) + gain + ε(L−σTs⁴) + hr(Tr−Ts) + hw(Tw−Ts)   W/m²
//
// The zero value is a perfectly insulated (adiabatic) face.
type Face struct {
	// AirC and ConvectionWPerM2K are the air's temperature Ta and the
	// coefficient h; for a room, h is one over the surface resistance.
	AirC, ConvectionWPerM2K float64
	// GainWPerM2 is heat that does not depend on the surface's temperature:
	// absorbed sun; negative for heat drawn off, such as evaporation.
	GainWPerM2 float64
	// Emissivity ε (0–1) and IncomingWPerM2 L, the long-wave radiation that
	// falls on the face, for the exchange in full.
	Emissivity, IncomingWPerM2 float64
	// RadiantC and RadiationWPerM2K are Tr and hr of a linearised exchange. Use
	// one form or the other.
	RadiantC, RadiationWPerM2K float64
	// RainC and RainWPerM2K are the rain's temperature Tw and its coefficient hw:
	// rain in kg/(m²·s) × 4186 J/(kg·K) when it leaves at the surface's temperature.
	RainC, RainWPerM2K float64
	// Held fixes the surface at AirC and ignores the rest.
	Held bool
}

// Adiabatic is a face that no heat passes.
func Adiabatic() Face { return Face{} }

// Room is a face towards air at airC behind a surface resistance Rs > 0 in m²K/W
// (ISO 6946: 0.10 upward, 0.13 horizontal, 0.17 downward heat flow).
func Room(airC, resistanceM2KPerW float64) Face {
	return Face{AirC: airC, ConvectionWPerM2K: 1 / resistanceM2KPerW}
}

// RainCoefficient is hw in W/(m²·K) for rain at mmPerHour that runs off at the
// surface's temperature: 1 mm/h is 1 kg/(m²·h), and water's specific heat is
// 4186 J/(kg·K).
func RainCoefficient(mmPerHour float64) float64 { return mmPerHour / 3600 * waterJPerKgK }

// Heat is the heat into the build-up, W/m², at surface temperature ts °C.
// For a held face it is not defined and 0 is returned.
func (f Face) Heat(ts float64) float64 {
	if f.Held {
		return 0
	}
	q := f.GainWPerM2 + f.ConvectionWPerM2K*(f.AirC-ts) + f.RadiationWPerM2K*(f.RadiantC-ts) + f.RainWPerM2K*(f.RainC-ts)
	if f.Emissivity != 0 {
		k := ts + ZeroCelsiusK
		q += f.Emissivity * (f.IncomingWPerM2 - StefanBoltzmann*k*k*k*k)
	}
	return q
}

func (f *Face) valid() bool {
	// A sum is finite only when every term is.
	sum := f.AirC + f.ConvectionWPerM2K + f.GainWPerM2 + f.Emissivity + f.IncomingWPerM2 +
		f.RadiantC + f.RadiationWPerM2K + f.RainC + f.RainWPerM2K
	return sum-sum == 0 &&
		f.ConvectionWPerM2K >= 0 && f.RadiationWPerM2K >= 0 && f.RainWPerM2K >= 0 &&
		f.Emissivity >= 0 && f.Emissivity <= 1
}

// balance finds the surface temperature that balances the face against a cell at
// cellC behind conductance g, starting from guess. It returns the surface
// temperature, the heat into the cell and the slope of that heat with cellC.
func (f *Face) balance(cellC, g, guess float64) (ts, q, slope float64) {
	if f.Held {
		return f.AirC, g * (f.AirC - cellC), -g
	}
	k := f.ConvectionWPerM2K + f.RadiationWPerM2K + f.RainWPerM2K
	fixed := f.GainWPerM2 + f.ConvectionWPerM2K*f.AirC + f.RadiationWPerM2K*f.RadiantC + f.RainWPerM2K*f.RainC + g*cellC
	if f.Emissivity == 0 {
		ts = fixed / (k + g)
		return ts, g * (ts - cellC), g * (g/(k+g) - 1)
	}
	es := f.Emissivity * StefanBoltzmann
	fixed += f.Emissivity * f.IncomingWPerM2
	ts = max(guess, coldestGuessC)
	down := k + g
	for range balanceRounds {
		abs := ts + ZeroCelsiusK
		cube := es * abs * abs * abs
		down = k + g + 4*cube
		step := (fixed - (k+g)*ts - cube*abs) / down
		ts = max(ts+step, -ZeroCelsiusK)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return ts, g * (ts - cellC), g * (g/down - 1)
}
