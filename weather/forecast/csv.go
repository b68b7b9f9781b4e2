package forecast

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"gelwright/unit"
	"gelwright/weather"
)

// Column is one column of an own CSV.
type Column struct {
	// Name as written in the first row, lower case; capitals are taken too.
	Name string
	// Is is the quantity, and Unit what its numbers are in.
	Is   weather.Quantity
	Unit string
	// Before marks a value that belongs to the hour before its time.
	Before bool
	scale  float64
	offset float64
}

// columns of the own CSV. The first of each quantity is the one written.
var columns = []Column{
	{"air_c", weather.Air, "°C", false, 1, 0},
	{"air_f", weather.Air, "°F", false, 5.0 / 9, -160.0 / 9},
	{"temp_c", weather.Air, "°C", false, 1, 0},
	{"dew_point_c", weather.DewPoint, "°C", false, 1, 0},
	{"dew_point_f", weather.DewPoint, "°F", false, 5.0 / 9, -160.0 / 9},
	{"rh_pct", weather.Humidity, "%", false, 1, 0},
	{"rhum_pct", weather.Humidity, "%", false, 1, 0},
	{"wind_ms", weather.Wind, "m/s", false, 1, 0},
	{"wind_kmh", weather.Wind, "km/h", false, 1 / 3.6, 0},
	{"wind_kt", weather.Wind, "kt", false, knotMS, 0},
	{"wdsp_kt", weather.Wind, "kt", false, knotMS, 0},
	{"wind_mph", weather.Wind, "mile/h", false, mphMS, 0},
	{"gust_ms", weather.Gust, "m/s", false, 1, 0},
	{"gust_kmh", weather.Gust, "km/h", false, 1 / 3.6, 0},
	{"gust_kt", weather.Gust, "kt", false, knotMS, 0},
	{"gust_mph", weather.Gust, "mile/h", false, mphMS, 0},
	{"wind_from_deg", weather.WindFrom, "°", false, 1, 0},
	{"wddir_deg", weather.WindFrom, "°", false, 1, 0},
	{"cloud_pct", weather.Cloud, "%", false, 0.01, 0},
	{"cloud_oktas", weather.Cloud, "eighths", false, 0.125, 0},
	{"rain_mm", weather.Rain, "mm in the hour that begins", false, 1, 0},
	{"rain_before_mm", weather.Rain, "mm in the hour before", true, 1, 0},
	{"rain_prob_pct", weather.RainProbability, "%", false, 0.01, 0},
	{"pressure_hpa", weather.Pressure, "hPa at the site", false, 1, 0},
	{"msl_hpa", weather.Pressure, "hPa at the sea's level", false, 1, 0},
	{"global_w_m2", weather.Global, "W/m² on the level, mean of the hour that begins", false, 1, 0},
	{"direct_w_m2", weather.Direct, "W/m² square to the sun", false, 1, 0},
	{"diffuse_w_m2", weather.Diffuse, "W/m² on the level", false, 1, 0},
	{"surface_c", weather.MeasuredSurface, "°C of the deck or laminate, measured", false, 1, 0},
	{"surface_f", weather.MeasuredSurface, "°F of the deck or laminate, measured", false, 5.0 / 9, -160.0 / 9},
}

const (
	knotMS = 1852.0 / 3600
	mphMS  = 1609.344 / 3600
)

// ReadCSV reads the own CSV: a first row of column names, then one row for each
// hour in order of time, on the hour. An empty cell or "-" is not known. Commas
// part the columns, or semicolons, and then decimals may have a comma.
//
// Local times follow the rules of o.Zone. In autumn the hour that comes twice is
// first summer time and then winter time, by the order of the rows; a time that
// spring leaves out is a fault. In a zone half an hour off, values are moved onto
// UTC's hours between their neighbours.
func ReadCSV(data []byte, o Options) (weather.Forecast, error) {
	if err := checkSize(data, o); err != nil {
		return weather.Forecast{}, err
	}
	data = bytes.TrimPrefix(data, bom)
	r := csv.NewReader(bytes.NewReader(data))
	r.ReuseRecord = true
	r.TrimLeadingSpace = true
	r.Comment = '#'
	firstLine, _, _ := bytes.Cut(data, []byte("\n"))
	european := bytes.Contains(firstLine, []byte(";")) && !bytes.Contains(firstLine, []byte(","))
	if european {
		r.Comma = ';'
	}
	c := csvReader{o: o, r: r, european: european, g: newGrid(o)}
	if err := c.header(); err != nil {
		return weather.Forecast{}, err
	}
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return weather.Forecast{}, c.bad(err)
		}
		if err := c.row(row); err != nil {
			return weather.Forecast{}, err
		}
	}
	s, err := c.g.series(o.Name)
	if err != nil {
		return weather.Forecast{}, err
	}
	return weather.Forecast{Members: []weather.Series{s}, Provider: "file"}, nil
}

type csvReader struct {
	o        Options
	r        *csv.Reader
	g        *grid
	european bool
	timeAt   int
	utc      bool
	cols     []*Column
	last     time.Time
}

func (c *csvReader) bad(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return &Error{File: c.o.Name, Line: p.Line, Column: p.Column, Fault: p.Err.Error(),
			Remedy: "Give each row as many cells as the first, and close every quotation mark"}
	}
	return err
}

func (c *csvReader) header() error {
	row, err := c.r.Read()
	if err != nil {
		if errors.Is(err, io.EOF) {
			return &Error{File: c.o.Name, Fault: "it is empty", Remedy: "Begin with a row of column names: time,air_c,rh_pct,wind_ms,rain_mm"}
		}
		return c.bad(err)
	}
	c.timeAt = -1
	seen := map[weather.Quantity]string{}
	c.cols = make([]*Column, len(row))
	for i, cell := range row {
		name := strings.ToLower(strings.TrimSpace(cell))
		at := func(what, remedy string) error {
			line, col := c.r.FieldPos(i)
			return &Error{File: c.o.Name, Line: line, Column: col, Fault: what, Remedy: remedy}
		}
		switch name {
		case "time", "time_utc":
			if c.timeAt >= 0 {
				return at("a second column of times", "Keep one of time and time_utc")
			}
			c.timeAt, c.utc = i, name == "time_utc"
			continue
		case "station":
			continue
		}
		k := slices.IndexFunc(columns, func(col Column) bool { return col.Name == name })
		if k < 0 {
			return at(fmt.Sprintf("the column %q is not known", clip(cell)), "Use "+columnNames())
		}
		col := columns[k]
		if other, twice := seen[col.Is]; twice {
			return at(fmt.Sprintf("%s stands in both %s and %s", col.Is, other, name), "Keep one of the two columns")
		}
		seen[col.Is] = name
		c.cols[i] = &columns[k]
	}
	line, col := c.r.FieldPos(0)
	if c.timeAt < 0 {
		return &Error{File: c.o.Name, Line: line, Column: col, Fault: "there is no column of times",
			Remedy: "Name one column time (local) or time_utc"}
	}
	if _, ok := seen[weather.Air]; !ok {
		return &Error{File: c.o.Name, Line: line, Column: col, Fault: "there is no column of air temperature", Remedy: "Name one column air_c"}
	}
	return nil
}

func columnNames() string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	return "time or time_utc, " + strings.Join(names, ", ")
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

func (c *csvReader) row(row []string) error {
	t, err := c.time(row[c.timeAt])
	if err != nil {
		line, col := c.r.FieldPos(c.timeAt)
		return &Error{File: c.o.Name, Line: line, Column: col, Fault: err.Error(),
			Remedy: "Write 2026-12-15 07:00 or 2026-12-15T07:00:00Z, on the hour, each later than the row before"}
	}
	c.last = t
	for i, col := range c.cols {
		if col == nil {
			continue
		}
		cell := strings.TrimSpace(row[i])
		if cell == "" || cell == "-" {
			continue
		}
		line, at := c.r.FieldPos(i)
		if c.european {
			cell = strings.Replace(cell, ",", ".", 1)
		}
		v, isNumber := unit.Decimal(cell)
		if !isNumber {
			return &Error{File: c.o.Name, Line: line, Column: at, Fault: fmt.Sprintf("%s: %q is not a number", col.Name, clip(row[i])),
				Remedy: "Write a number in " + col.Unit + ", or leave the cell empty"}
		}
		v = v*col.scale + col.offset
		if ok, lo, hi := col.Is.Possible(v); !ok {
			return &Error{File: c.o.Name, Line: line, Column: at,
				Fault:  fmt.Sprintf("%s: %s is outside what weather can be", col.Name, clip(row[i])),
				Remedy: fmt.Sprintf("Give %.4g to %.4g %s", (lo-col.offset)/col.scale, (hi-col.offset)/col.scale, col.Unit)}
		}
		when := t
		if col.Before {
			when = t.Add(-time.Hour)
		}
		if err := c.g.set(when, col.Is, v, false, fmt.Sprintf("line %d", line)); err != nil {
			return err
		}
	}
	return nil
}

var localForms = []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05"}

// time reads a cell's time as UTC.
func (c *csvReader) time(cell string) (time.Time, error) {
	cell = strings.TrimSpace(cell)
	zone := c.o.Zone
	if zone == nil || c.utc {
		zone = time.UTC
	}
	var t time.Time
	err := errors.New("")
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02 15:04Z07:00"} {
		if t, err = time.Parse(form, cell); err == nil {
			break
		}
	}
	if err != nil {
		var wall string
		for _, form := range localForms {
			if t, err = time.ParseInLocation(form, cell, zone); err == nil {
				wall = t.Format(form)
				break
			}
		}
		if err != nil {
			return t, fmt.Errorf("%q is not a time", clip(cell))
		}
		if wall != cell {
			return t, fmt.Errorf("%s does not exist in %s: the clock goes forward over it", clip(cell), zone)
		}
		t = c.summer(t)
	}
	onTheHour := t.Minute() == 0 && t.Second() == 0
	t = t.UTC()
	if t.Year() < 1900 || t.Year() > 2200 {
		return t, fmt.Errorf("the year of %s is outside 1900 to 2200", clip(cell))
	}
	if !onTheHour {
		return t, fmt.Errorf("%s is not on the hour", clip(cell))
	}
	if !c.last.IsZero() && !t.After(c.last) {
		return t, fmt.Errorf("%s does not come after the row before", clip(cell))
	}
	return t, nil
}

// summer picks, for a local time that comes twice, the first that comes after the
// row before.
func (c *csvReader) summer(t time.Time) time.Time {
	wall := t.Format("2006-01-02 15:04")
	for _, try := range []time.Time{t.Add(-time.Hour), t, t.Add(time.Hour)} {
		if try.Format("2006-01-02 15:04") == wall && (c.last.IsZero() || try.After(c.last)) {
			return try
		}
	}
	return t
}
