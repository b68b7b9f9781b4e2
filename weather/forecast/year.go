package forecast

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"gelwright/unit"
	"gelwright/weather"
)

// field is one column of a year file: where it stands, what it is, the value from
// which on it is missing, and the scale to our unit.
type field struct {
	at      int
	is      weather.Quantity
	missing func(float64) bool
	scale   float64
	// before marks sums and means over the hour that the row closes.
	before bool
	name   string
}

func from(limit float64) func(float64) bool { return func(v float64) bool { return v >= limit } }

// epwFields counts columns from 0.
var epwFields = []field{
	{6, weather.Air, from(99.9), 1, false, "dry bulb"}, {7, weather.DewPoint, from(99.9), 1, false, "dew point"},
	{8, weather.Humidity, from(999), 1, false, "relative humidity"}, {9, weather.Pressure, from(999999), 0.01, false, "pressure"},
	{13, weather.Global, from(9999), 1, true, "global horizontal radiation"},
	{14, weather.Direct, from(9999), 1, true, "direct normal radiation"},
	{15, weather.Diffuse, from(9999), 1, true, "diffuse horizontal radiation"}, {20, weather.WindFrom, from(999), 1, false, "wind direction"},
	{21, weather.Wind, from(999), 1, false, "wind speed"}, {22, weather.Cloud, from(99), 0.1, false, "total sky cover"},
	{33, weather.Rain, from(999), 1, true, "liquid precipitation"},
}

// ReadEPW reads an EnergyPlus weather file: a year of hours in local standard
// time. Row "hour 1" closes the hour from 00 to 01: its instants are put at 01:00
// and its rain and irradiance at the hour from 00:00.
//
// Source: EnergyPlus Auxiliary Programs, "EPW data dictionary".
func ReadEPW(data []byte, o Options) (weather.Forecast, error) {
	y, err := newYear(data, o)
	if err != nil {
		return weather.Forecast{}, err
	}
	head, err := y.read()
	if err != nil || len(head) < 10 || head[0] != "LOCATION" {
		return weather.Forecast{}, y.fault(0, "the first row is not LOCATION with ten cells", "Give an EPW file")
	}
	place := head[1]
	var p [4]float64
	var isNumber bool
	for i := range p {
		if p[i], isNumber = unit.Decimal(strings.TrimSpace(head[6+i])); !isNumber {
			return weather.Forecast{}, y.fault(6+i, fmt.Sprintf("%q is not a number", clip(head[6+i])),
				"Give latitude, longitude, time zone and elevation")
		}
	}
	if err := y.place(p[0], p[1], p[2], p[3]); err != nil {
		return weather.Forecast{}, err
	}
	for range 7 {
		if _, err := y.read(); err != nil {
			return weather.Forecast{}, y.fault(0, "the file ends within its eight header rows", "Give a whole EPW file")
		}
	}
	return y.rows(place, "EPW", epwFields, func(row []string) (yy, m, d, h int, ok bool) {
		if len(row) < 32 {
			return 0, 0, 0, 0, false
		}
		var n [4]int
		for i := range n {
			v, err := strconv.Atoi(strings.TrimSpace(row[i]))
			if err != nil {
				return 0, 0, 0, 0, false
			}
			n[i] = v
		}
		return n[0], n[1], n[2], n[3], true
	})
}

// ReadTMY3 reads a typical year in NREL's TMY3 form, local standard time; −9900 is
// missing. Hours are dated by their end, as in an EPW file.
//
// Source: S. Wilcox and W. Marion, Users Manual for TMY3 Data Sets, NREL/TP-581-43156, 2008.
func ReadTMY3(data []byte, o Options) (weather.Forecast, error) {
	y, err := newYear(data, o)
	if err != nil {
		return weather.Forecast{}, err
	}
	head, err := y.read()
	if err != nil || len(head) < 7 {
		return weather.Forecast{}, y.fault(0, "the first row is not station, name, state, zone, latitude, longitude, elevation",
			"Give a TMY3 file")
	}
	place := head[1]
	var p [4]float64
	var isNumber bool
	for i := range p {
		if p[i], isNumber = unit.Decimal(strings.TrimSpace(head[3+i])); !isNumber {
			return weather.Forecast{}, y.fault(3+i, fmt.Sprintf("%q is not a number", clip(head[3+i])),
				"Give time zone, latitude, longitude and elevation")
		}
	}
	if err := y.place(p[1], p[2], p[0], p[3]); err != nil {
		return weather.Forecast{}, err
	}
	names, err := y.read()
	if err != nil {
		return weather.Forecast{}, y.fault(0, "there is no row of column names", "Give a whole TMY3 file")
	}
	miss := func(v float64) bool { return v <= -9900 }
	var fields []field
	for _, c := range []field{
		{0, weather.Air, miss, 1, false, "Dry-bulb (C)"}, {0, weather.DewPoint, miss, 1, false, "Dew-point (C)"},
		{0, weather.Humidity, miss, 1, false, "RHum (%)"},
		{0, weather.Pressure, miss, 1, false, "Pressure (mbar)"}, {0, weather.Global, miss, 1, true, "GHI (W/m^2)"},
		{0, weather.Direct, miss, 1, true, "DNI (W/m^2)"},
		{0, weather.Diffuse, miss, 1, true, "DHI (W/m^2)"}, {0, weather.WindFrom, miss, 1, false, "Wdir (degrees)"},
		{0, weather.Wind, miss, 1, false, "Wspd (m/s)"},
		{0, weather.Cloud, miss, 0.1, false, "TotCld (tenths)"}, {0, weather.Rain, miss, 1, true, "Lprecip depth (mm)"},
	} {
		for i, n := range names {
			if strings.TrimSpace(n) == c.name {
				c.at = i
				fields = append(fields, c)
				break
			}
		}
	}
	if len(fields) == 0 || fields[0].is != weather.Air {
		return weather.Forecast{}, y.fault(0, "there is no column Dry-bulb (C)", "Give a TMY3 file with its second row")
	}
	return y.rows(place, "TMY3", fields, func(row []string) (yy, m, d, h int, ok bool) {
		if len(row) < 2 {
			return 0, 0, 0, 0, false
		}
		t, err := time.Parse("01/02/2006", strings.TrimSpace(row[0]))
		hh, _, found := strings.Cut(strings.TrimSpace(row[1]), ":")
		n, err2 := strconv.Atoi(hh)
		if err != nil || err2 != nil || !found {
			return 0, 0, 0, 0, false
		}
		return t.Year(), int(t.Month()), t.Day(), n, true
	})
}

// year reads the rows of a year file.
type year struct {
	o    Options
	r    *csv.Reader
	f    weather.Forecast
	zone time.Duration
	// width is the number of cells of the latest row.
	width int
}

func (y *year) read() ([]string, error) {
	row, err := y.r.Read()
	y.width = len(row)
	return row, err
}

func newYear(data []byte, o Options) (*year, error) {
	if err := checkSize(data, o); err != nil {
		return nil, err
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, bom)))
	r.FieldsPerRecord = -1
	r.ReuseRecord = true
	r.LazyQuotes = true
	return &year{o: o, r: r}, nil
}

func (y *year) fault(cell int, what, remedy string) error {
	e := &Error{File: y.o.Name, Fault: what, Remedy: remedy}
	if cell < y.width {
		e.Line, e.Column = y.r.FieldPos(cell)
	}
	return e
}

func (y *year) place(lat, lon, zoneH, elev float64) error {
	site := weather.Site{LatDeg: lat, LonDeg: lon, ElevM: elev}
	if err := site.Check(); err != nil {
		return y.fault(0, err.Error(), "")
	}
	if !(zoneH >= -14 && zoneH <= 14) {
		return y.fault(0, fmt.Sprintf("the time zone is %g h", zoneH), "Give hours from UTC, -14 to 14")
	}
	y.f.LatDeg, y.f.LonDeg, y.f.ElevM = lat, lon, elev
	y.zone = time.Duration(zoneH * float64(time.Hour))
	return nil
}

// rows reads all rows. The year of the first (or Options.Year) holds for all:
// typical years are put together from months of several.
func (y *year) rows(place, kind string, fields []field, date func([]string) (yy, m, d, h int, ok bool)) (weather.Forecast, error) {
	g := newGrid(y.o)
	firstYear := y.o.Year
	years := map[int]bool{}
	leap, absurd := 0, 0
	for {
		row, err := y.read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return y.f, &Error{File: y.o.Name, Fault: err.Error(), Remedy: "Mend the row"}
		}
		yy, m, d, h, ok := date(row)
		if !ok || yy < 1 || yy > 9999 || m < 1 || m > 12 || d < 1 || d > 31 || h < 0 || h > 24 {
			return y.f, y.fault(0, "the row does not begin with a date and an hour of 1 to 24", "Give one row for each hour")
		}
		years[yy] = true
		if firstYear == 0 {
			firstYear = yy
		}
		day := time.Date(firstYear, time.Month(m), d, 0, 0, 0, 0, time.UTC)
		if day.Day() != d {
			leap++ // 29 February of another year
			continue
		}
		end := day.Add(time.Duration(h)*time.Hour - y.zone)
		for _, f := range fields {
			if f.at >= len(row) {
				continue
			}
			v, isNumber := unit.Decimal(strings.TrimSpace(row[f.at]))
			if !isNumber {
				return y.f, y.fault(f.at, fmt.Sprintf("%s: %q is not a number", f.name, clip(row[f.at])), "Write a number")
			}
			if f.missing(v) {
				continue
			}
			t := end
			if f.before {
				t = end.Add(-time.Hour)
			}
			if okay, lo, hi := f.is.Possible(v * f.scale); !okay {
				if f.is == weather.Rain {
					// Sums of several hours, and worse, stand in this column of real files.
					absurd++
					continue
				}
				return y.f, y.fault(f.at, fmt.Sprintf("%s: %g is outside %g to %g", f.name, v, lo/f.scale, hi/f.scale), "Check the value")
			}
			if err := g.set(t, f.is, v*f.scale, false, f.name); err != nil {
				return y.f, err
			}
		}
	}
	if len(years) > 1 {
		g.notes = append(g.notes, fmt.Sprintf("a typical year of months from %d years, put into %d", len(years), firstYear))
	}
	if absurd > 0 {
		g.notes = append(g.notes, fmt.Sprintf("rain: %d hours with impossible amounts taken as not known", absurd))
	}
	if leap > 0 {
		g.notes = append(g.notes, fmt.Sprintf("%d hours of 29 February left out", leap))
	}
	s, err := g.series(strings.TrimSpace(place) + " (" + kind + ")")
	if err != nil {
		return y.f, err
	}
	y.f.Provider = kind
	y.f.Members = []weather.Series{s}
	return y.f, nil
}
