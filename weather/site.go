package weather

import (
	"fmt"
	"time"

	"gelwright/elementary"
)

// Site is where the roof is.
type Site struct {
	// LatDeg north and LonDeg east, degrees.
	LatDeg, LonDeg float64
	// ElevM above the sea, m.
	ElevM float64
	// Zone is the local time; nil is UTC. Load it at the edge.
	Zone *time.Location `json:"-"`
	// WindFactor turns the forecast's wind (10 m up, in the open) into wind at the
	// roof's surface; 0 takes 0.7, a house among houses (assumed).
	WindFactor float64
	// GroundAlbedo is the share of sun the surroundings reflect; 0 takes 0.2.
	GroundAlbedo float64
}

// Check tells what is wrong with the site, and what to write.
func (s Site) Check() error {
	switch {
	case !(s.LatDeg >= -90 && s.LatDeg <= 90):
		return fmt.Errorf("site: the latitude is %g°. Give degrees north, -90 to 90", s.LatDeg)
	case !(s.LonDeg >= -180 && s.LonDeg <= 180):
		return fmt.Errorf("site: the longitude is %g°. Give degrees east, -180 to 180", s.LonDeg)
	case !(s.ElevM >= -430 && s.ElevM <= 6000):
		return fmt.Errorf("site: the height above the sea is %g m. Give -430 to 6000 m", s.ElevM)
	case !(s.WindFactor >= 0 && s.WindFactor <= 2):
		return fmt.Errorf("site: the wind factor is %g. Give 0.3 (sheltered) to 1 (open), or leave it out", s.WindFactor)
	case !(s.GroundAlbedo >= 0 && s.GroundAlbedo <= 1):
		return fmt.Errorf("site: the ground's albedo is %g. Give 0 to 1, or leave it out", s.GroundAlbedo)
	}
	return nil
}

func (s Site) zone() *time.Location {
	if s.Zone == nil {
		return time.UTC
	}
	return s.Zone
}

func (s Site) windFactor() float64 {
	if s.WindFactor == 0 {
		return 0.7
	}
	return s.WindFactor
}

func (s Site) albedo() float64 {
	if s.GroundAlbedo == 0 {
		return 0.2
	}
	return s.GroundAlbedo
}

// StandardPressureHPa is the pressure of the standard atmosphere at a height above
// the sea, hPa (ISO 2533:1975).
func StandardPressureHPa(elevM float64) float64 {
	return 1013.25 * elementary.Pow(1-2.25577e-5*elevM, 5.25588)
}
