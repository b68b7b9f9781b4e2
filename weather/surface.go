package weather

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"gelwright/conduction"
	"gelwright/working"
)

// Room is what lies under the roof.
type Room struct {
	// TempC of the air below and ResistanceM2KPerW between it and the build-up
	// (0.10 for heat that rises, EN ISO 6946).
	TempC, ResistanceM2KPerW float64
	// Insulated takes no heat through the inner face and ignores the rest.
	Insulated bool
	// Outdoor is a room at the outdoor air's temperature: a carport, a cold loft.
	Outdoor bool
}

// SurfaceInput is what the surface's temperature depends on.
type SurfaceInput struct {
	// Layers, outermost first. While a deck is bare the board is outermost; once
	// laminated, the laminate.
	Layers []conduction.Layer
	// Absorptance of sun (0–1) and long-wave Emissivity (0–1; 0 takes 0.9).
	Absorptance, Emissivity float64
	Plane                   Plane
	Site                    Site
	// Weather must be filled (Series.Fill) and hold the span asked for.
	Weather Series
	Shade   Shade
	Room    Room
	// From and To bound the answer, rounded outward to quarter hours; zero takes
	// the whole series. The hours before From, if there are any, warm the
	// build-up up; otherwise the first day is run twice before the answer begins.
	From, To time.Time
	// Model of the sky; empty is BerdahlMartin.
	Model SkyModel
	// Suns are the places of the sun, for several courses of the weather over one site; nil
	// where there is one.
	Suns *Suns
	// Store is where the courses of the weather are worked out one after another; nil where there is one.
	Store *Store
	// CentralOnly leaves out the low and the high, for speed: both are then equal
	// to the likely value.
	CentralOnly bool
	// CloudError is how far the cloud may be off for the low and the high, as a
	// share of the sky; 0 takes 0.2 (assumed).
	CloudError float64
}

// Quarter is the roof at the start of a quarter hour.
type Quarter struct {
	Time time.Time `json:"time"`
	// SurfaceC with the low and the high from the sky models' spread and the cloud.
	SurfaceC float64 `json:"surface_c"`
	LowC     float64 `json:"low_c"`
	HighC    float64 `json:"high_c"`
	// BoardC is the temperature under the outermost layer.
	BoardC float64 `json:"board_c"`
	// SunWPerM2 absorbed, LongwaveWPerM2 from sky and surroundings, and the wind's
	// coefficient, as they acted.
	SunWPerM2         float64 `json:"sun_w_m2"`
	LongwaveWPerM2    float64 `json:"longwave_w_m2"`
	ConvectionWPerM2K float64 `json:"convection_w_m2k"`
	AirC              float64 `json:"air_c"`
	DewPointC         float64 `json:"dew_point_c"`
	SunElevationDeg   float64 `json:"sun_elevation_deg"`
}

// Store is what following one course of the weather needs and the next can use again. It is not for
// several at a time.
type Store struct {
	forcing  forcing
	course   [sides][]float64
	under    []float64
	quarters []Quarter
}

// Surface is the answer of SurfaceTemps.
type Surface struct {
	// Quarters are lent where there is a Store: the next answer is written over them.
	Quarters []Quarter
	// Model is the sky model of the likely value.
	Model SkyModel
	// Assumptions are the figures behind it that nobody measured.
	Assumptions []*working.Figure
	Notes       []string
}

const quarterS = 900

// SurfaceTemps is the surface temperature of the roof by the quarter hour.
//
// At each quarter hour it finds sun, cloud, sky, wind and rain, and drives the
// layers with them, linear in between. Irradiance that the weather gives is spread
// over the hour in the form of the clear sky; otherwise the clear sky is dimmed by
// cloud. The sky that walls hide radiates at air temperature. Rain runs off at the
// surface's temperature, having arrived at the dew point (near the wet bulb of a
// rainy hour). The low takes the coldest sky model with the cloud off to the
// colder side by night and the duller by day; the high the opposite: an envelope,
// not a probability.
func SurfaceTemps(ctx context.Context, in SurfaceInput) (Surface, error) {
	if err := in.check(); err != nil {
		return Surface{}, err
	}
	in, from, n := in.defaults()
	if in.Store == nil {
		in.Store = &Store{}
	}
	f := &in.Store.forcing
	f.fill(&in, from, n)
	in.Store.quarters = slices.Grow(in.Store.quarters[:0], n+1)[:n+1]
	out := Surface{Quarters: in.Store.quarters, Model: in.Model, Assumptions: in.assumptions(), Notes: in.Weather.Notes}
	course, under, err := in.courses(ctx, f)
	if err != nil {
		return Surface{}, err
	}
	for i := range out.Quarters {
		j := i + f.lead
		e := &f.at[j]
		q := Quarter{Time: from.Add(time.Duration(i) * 15 * time.Minute), SurfaceC: course[Likely][j],
			BoardC: under[j], SunWPerM2: e.sun[Likely], LongwaveWPerM2: e.sky[Likely], ConvectionWPerM2K: e.h,
			AirC: e.airC, DewPointC: e.dewC, SunElevationDeg: e.elevation}
		q.LowC, q.HighC = q.SurfaceC, q.SurfaceC
		if !in.CentralOnly {
			q.LowC = min(q.SurfaceC, course[Low][j])
			q.HighC = max(q.SurfaceC, course[High][j])
		}
		out.Quarters[i] = q
	}
	return out, nil
}

// courses runs the likely course and, unless it is the only one, the low and the
// high beside it. They share nothing that changes, so the order does not matter.
func (in *SurfaceInput) courses(ctx context.Context, f *forcing) (course [sides][]float64, under []float64, err error) {
	in.Store.under = slices.Grow(in.Store.under[:0], f.n)[:f.n]
	under = in.Store.under
	last := High
	if in.CentralOnly {
		last = Likely
	}
	var faults [sides]error
	var all sync.WaitGroup
	for side := Likely; side <= last; side++ {
		in.Store.course[side] = slices.Grow(in.Store.course[side][:0], f.n)[:f.n]
		course[side] = in.Store.course[side]
		all.Go(func() {
			below := under
			if side != Likely {
				below = nil
			}
			faults[side] = in.run(ctx, f, side, course[side], below)
		})
	}
	all.Wait()
	return course, under, errors.Join(faults[:]...)
}

// defaults fills what was left out and gives the first quarter and their number.
func (in SurfaceInput) defaults() (SurfaceInput, time.Time, int) {
	if in.Model == "" {
		in.Model = BerdahlMartin
	}
	if in.Emissivity == 0 {
		in.Emissivity = 0.9
	}
	if in.CloudError == 0 {
		in.CloudError = 0.2
	}
	if in.From.IsZero() {
		in.From = in.Weather.Start
	}
	if in.To.IsZero() {
		in.To = in.Weather.End()
	}
	from := in.From.UTC().Truncate(15 * time.Minute)
	return in, from, int(math.Ceil(in.To.Sub(from).Seconds() / quarterS))
}

func (in *SurfaceInput) check() error {
	if err := in.Site.Check(); err != nil {
		return err
	}
	if err := in.Shade.Check(); err != nil {
		return err
	}
	switch need := Air | DewPoint | Wind | Cloud | Rain; {
	case len(in.Weather.Hours) == 0:
		return errors.New("surface temperature: the weather has no hours. Give a forecast, a file or norms")
	case in.Weather.Has()&need != need:
		return fmt.Errorf("surface temperature: the weather lacks %s. Fill its gaps first", need&^in.Weather.Has())
	case in.Model != "" && !slices.Contains(SkyModels(), in.Model):
		return fmt.Errorf("surface temperature: the sky model %q is not known. Leave it out, or give one of %q", in.Model, SkyModels())
	case !(in.Absorptance >= 0 && in.Absorptance <= 1):
		return fmt.Errorf("surface temperature: the solar absorptance is %g. Give 0.25 (white) to 0.95 (black)", in.Absorptance)
	case !(in.Emissivity >= 0 && in.Emissivity <= 1):
		return fmt.Errorf("surface temperature: the emissivity is %g. Give 0.9 for a laminate, 0 takes that", in.Emissivity)
	case !(in.Plane.SlopeDeg >= 0 && in.Plane.SlopeDeg <= 90):
		return fmt.Errorf("surface temperature: the slope is %g°. Give 0 to 90°", in.Plane.SlopeDeg)
	case !in.Room.Insulated && !(in.Room.ResistanceM2KPerW > 0):
		return fmt.Errorf("surface temperature: the resistance to the room is %g m²K/W. Give 0.10 for a ceiling under a roof, or mark "+
			"it insulated", in.Room.ResistanceM2KPerW)
	}
	from, to := in.From, in.To
	if from.IsZero() {
		from = in.Weather.Start
	}
	if to.IsZero() {
		to = in.Weather.End()
	}
	if from.Before(in.Weather.Start) || to.After(in.Weather.End()) || to.Before(from) {
		return fmt.Errorf("surface temperature: asked from %s to %s, the weather runs from %s to %s. Ask within it",
			from.UTC().Format(time.RFC3339), to.UTC().Format(time.RFC3339), in.Weather.Start.Format(time.RFC3339),
			in.Weather.End().Format(time.RFC3339))
	}
	return nil
}

// run drives one slab through the forcing and records the surface, and the
// temperature under the outermost layer where under is not nil.
func (in *SurfaceInput) run(ctx context.Context, f *forcing, side Side, ts, under []float64) error {
	slab, err := in.warm(ctx, f, side)
	if err != nil {
		return err
	}
	drive := f.drive(in, side)
	for k := 0; ; k++ {
		ts[k] = slab.SurfaceC()
		if under != nil {
			under[k] = slab.LayerBottomC(0)
		}
		if k == f.n-1 {
			return nil
		}
		if err := slab.Advance(ctx, float64(k)*quarterS, float64(k+1)*quarterS, drive); err != nil {
			return err
		}
	}
}

// surfaceTolK is how well the build-up is followed, K: far better than any forecast.
const surfaceTolK = 0.05

// warm is the build-up at the first instant of the forcing: settled there, and run
// through the first day where little weather comes before the span asked for.
func (in *SurfaceInput) warm(ctx context.Context, f *forcing, side Side) (*conduction.Slab, error) {
	slab, err := conduction.New(in.Layers, f.at[0].airC, conduction.Options{TolK: surfaceTolK})
	if err != nil {
		return nil, err
	}
	drive := f.drive(in, side)
	var outer, inner conduction.Face
	drive.Faces(0, &outer, &inner)
	if err := slab.Settle(outer, inner, nil); err != nil {
		return nil, err
	}
	return slab, slab.Advance(ctx, 0, float64(f.spinUp)*quarterS, drive)
}

// assumptions are the figures of the model itself.
func (in *SurfaceInput) assumptions() []*working.Figure {
	f := []*working.Figure{
		working.Choice("sky model", string(in.Model), working.Source{Title: string(in.Model), Standing: working.Remembered}).
			Noting("models of the clear sky differ by up to 7 K; low and high carry their spread"),
		working.Constant("hc", "convection, 4 + 4v", 4, "W/(m²·K)",
			working.Source{Title: "EN ISO 6946", Clause: "annex C", Standing: working.Remembered}),
		working.AssumedFigure("ε", "long-wave emissivity", in.Emissivity, "", "surface"),
		working.AssumedFigure("", "cloud may be off by", in.CloudError, "of the sky", "no record of forecasts for the site"),
	}
	if in.Site.WindFactor == 0 {
		f = append(f, working.AssumedFigure("", "wind at the roof over wind forecast", in.Site.windFactor(), "", "a house among houses"))
	}
	return f
}
