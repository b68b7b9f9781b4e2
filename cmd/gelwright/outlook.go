package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/firmfile"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/roof"
	"gelwright/weather"
	"gelwright/weather/fetch"
	"gelwright/weather/forecast"
)

// weatherFlags are what both when and now need to know.
type weatherFlags struct {
	forecast, firm, from, keep string
	rest                       []string
	fetch, norms               bool
	days, people, courses      int
	target                     float64
	overrides                  []string
}

func (w *weatherFlags) add(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&w.forecast, "forecast", "", "forecast file: CSV of hours, JSON of a weather service, or a year file")
	f.BoolVar(&w.fetch, "fetch", false, "ask the weather service that the firm file names")
	f.StringVar(&w.keep, "keep", "", "folder in which fetched answers are kept")
	f.BoolVar(&w.norms, "norms", false, "plan from rough monthly norms when there is no forecast")
	f.StringVar(&w.firm, "firm", "", "the firm's own file: rates, crew, weather service")
	f.IntVar(&w.days, "days", 14, "days to look at")
	f.IntVar(&w.people, "people", 0, "crew on the roof, in place of the file's")
	f.IntVar(&w.courses, "courses", 31, "courses of the weather made round a single forecast")
	f.StringSliceVar(&w.rest, "rest", nil, "days without work, 'Sat,Sun'")
	f.Float64Var(&w.target, "target", 0.9, "probability that counts as sure")
	f.StringArrayVar(&w.overrides, "override", nil, "lift a limit on your word, 'frost ahead: winter grade, tented'; recorded")
}

// outlook is a roof laid under its weather, ready to be asked.
type outlook struct {
	job      roof.Job
	prepared *programme.Prepared
	work     *works.Work
	credit   string
	notes    []string
	// norms: typical days stand in for a forecast.
	norms bool
}

// lookOut reads roof, firm and weather and prepares the programme.
func (w *weatherFlags) lookOut(cmd *cobra.Command, path string, at time.Time) (*outlook, error) {
	job, err := readRoof(path, cmd.InOrStdin(), cmd.ErrOrStderr())
	if err != nil {
		return nil, err
	}
	firm, err := readFirm(w.firm, cmd.ErrOrStderr())
	if err != nil {
		return nil, err
	}
	return w.lay(cmd, job, firm, at)
}

// lay plans a job and lays the weather on it.
func (w *weatherFlags) lay(cmd *cobra.Command, job roof.Job, firm *firmfile.Firm, at time.Time) (*outlook, error) {
	ctx := cmd.Context()
	in := inputOf(job, firm)
	p, err := plan.Make(ctx, in)
	if err != nil {
		return nil, err
	}
	zone, err := time.LoadLocation(p.Job.Site.TimeZone)
	if err != nil {
		return nil, coded{exitFaults, fmt.Errorf("site.time_zone: %q is not known. Write a name such as Europe/London", p.Job.Site.TimeZone)}
	}
	site := works.SiteOf(&p.Job, zone)
	o := &outlook{job: p.Job}
	f, err := w.weather(cmd, &p.Job, firm, site, at)
	if err != nil {
		return nil, err
	}
	if f, err = f.Fill(site); err != nil {
		return nil, coded{exitFaults, err}
	}
	from, err := w.begin(&p.Job, f, zone, at)
	if err != nil {
		return nil, err
	}
	to := from.AddDate(0, 0, w.days)
	if end := f.Members[0].End(); end.Before(to) {
		to = end
	}
	if !from.Before(to) {
		return nil, coded{exitFaults, fmt.Errorf("the weather runs from %s to %s, nothing is left from %s on. Give another --from", f.Members[0].Start.Format("2006-01-02"), f.Members[0].End().Format("2006-01-02"), from.Format("2006-01-02"))}
	}
	issued := f.Issued
	if issued.IsZero() {
		issued = from
	}
	if len(f.Members) == 1 && w.courses > 1 && !f.Members[0].Norms {
		notes, credit := f.Notes, f.Credit
		single := f.Members[0].Part(from.Add(-24*time.Hour), to)
		if f, err = single.Members(issued, min(w.courses, programme.MostMembers), weather.AssumedErrors()); err != nil {
			return nil, coded{exitUsage, err}
		}
		f.Notes, f.Credit = append(notes, f.Notes...), credit
	}
	if len(f.Members) > programme.MostMembers {
		o.notes = append(o.notes, fmt.Sprintf("the first %d of %d members are used", programme.MostMembers, len(f.Members)))
		f.Members = f.Members[:programme.MostMembers]
	}
	o.credit, o.norms = f.Credit, f.Members[0].Norms
	o.notes = append(append(o.notes, f.Notes...), f.Members[0].Notes...)
	if o.work, err = works.Of(ctx, p, in.Catalogue, ratesOf(firm), w.people); err != nil {
		return nil, err
	}
	surface, _ := works.SurfaceOf(&p.Job, site)
	courses, err := works.Courses(ctx, f, surface, from, to)
	if err != nil {
		return nil, err
	}
	overrides, err := overridesOf(w.overrides)
	if err != nil {
		return nil, err
	}
	for _, r := range w.rest {
		found := false
		for d := time.Sunday; d <= time.Saturday; d++ {
			if len(r) >= 2 && strings.HasPrefix(strings.ToLower(d.String()), strings.ToLower(r)) {
				o.work.Hours.Off[d], found = true, true
			}
		}
		if !found {
			return nil, coded{exitUsage, fmt.Errorf("--rest: %q is no day of the week. Write Sat,Sun", r)}
		}
	}
	ask := programme.Input{Stages: o.work.Stages, Members: courses, Site: site, Hours: o.work.Hours, Target: w.target, Overrides: overrides}
	if by := p.Job.Work.FinishBy; by != "" {
		if d, err := time.ParseInLocation("2006-01-02", by, zone); err == nil {
			ask.FinishBy = d.AddDate(0, 0, 1)
		}
	}
	if o.prepared, err = programme.Prepare(ctx, ask); err != nil {
		return nil, coded{exitUsage, err}
	}
	return o, nil
}

// begin is the first moment to look at.
func (w *weatherFlags) begin(j *roof.Job, f weather.Forecast, zone *time.Location, at time.Time) (time.Time, error) {
	start := f.Members[0].Start
	if !at.IsZero() {
		day := at.In(zone)
		midnight := time.Date(day.Year(), day.Month(), day.Day(), 0, 0, 0, 0, zone)
		if midnight.Before(start) {
			midnight = start
		}
		return midnight, nil
	}
	text := w.from
	if text == "" {
		text = j.Date
	}
	from, err := time.ParseInLocation("2006-01-02", text, zone)
	if err != nil {
		return from, coded{exitUsage, fmt.Errorf("--from %q is no date. Write 2026-05-31", w.from)}
	}
	switch {
	case w.from == "" && (from.Before(start) || !from.Before(f.Members[0].End())):
		return start, nil // the file's date is not in the forecast
	case from.Before(start):
		return start, nil
	}
	return from, nil
}

// weather reads, fetches or makes the forecast.
func (w *weatherFlags) weather(cmd *cobra.Command, j *roof.Job, firm *firmfile.Firm, site weather.Site, at time.Time) (weather.Forecast, error) {
	switch {
	case w.forecast != "":
		// A typical year is laid on the year that is asked for.
		year := 0
		for _, text := range []string{j.Date, w.from} {
			if d, err := time.Parse("2006-01-02", text); err == nil {
				year = d.Year()
			}
		}
		if !at.IsZero() {
			year = at.Year()
		}
		return readForecast(w.forecast, cmd.InOrStdin(), site, year)
	case w.fetch:
		if firm == nil || firm.Forecast.Address == "" {
			return weather.Forecast{}, coded{exitUsage, errors.New("--fetch: no firm file names a weather service. Give --firm with forecast: {address: …}")}
		}
		client := fetch.Client{Folder: w.keep}
		f, got, err := client.Forecast(cmd.Context(), fetch.Provider{Name: "the firm's weather service", Address: firm.Forecast.Address, Asker: firm.Forecast.Contact}, site)
		if err != nil {
			return f, err
		}
		if got.Stale {
			fmt.Fprintf(cmd.ErrOrStderr(), "the weather service does not answer; its answer of %s is used\n", got.Fetched.In(site.Zone).Format("2006-01-02 15:04"))
		}
		return f, nil
	case w.norms:
		day, err := time.Parse("2006-01-02", j.Date)
		if w.from != "" {
			day, err = time.Parse("2006-01-02", w.from)
		}
		if err != nil {
			return weather.Forecast{}, coded{exitUsage, fmt.Errorf("--from %q is no date. Write 2026-05-31", w.from)}
		}
		s, err := weather.NormsOfLatitude(site.LatDeg).Days(day.AddDate(0, 0, -1), 24*(min(max(w.days, 1), 60)+2), site)
		return weather.Forecast{Members: []weather.Series{s}}, err
	}
	return weather.Forecast{}, errNoWeather
}

var errNoWeather = coded{exitUsage, errors.New("there is no weather. Give --forecast FILE, or --fetch with the firm's weather service, or --norms for typical days")}

func readForecast(path string, in io.Reader, site weather.Site, year int) (weather.Forecast, error) {
	name := filepath.Base(path)
	var data []byte
	var err error
	if path == "-" {
		name = "standard input"
		data, err = io.ReadAll(io.LimitReader(in, forecast.MaxBytes+1))
	} else {
		data, err = os.ReadFile(path)
	}
	if err != nil {
		return weather.Forecast{}, opening("forecast", path, err)
	}
	f, err := forecast.Read(data, forecast.Options{Name: name, Zone: site.Zone, Year: year})
	if err != nil {
		return f, coded{exitFaults, err}
	}
	return f, nil
}

// ratesOf are the firm's rates of work.
func ratesOf(firm *firmfile.Firm) works.Rates {
	if firm == nil {
		return works.Rates{}
	}
	r := firm.Rates
	return works.Rates{StripM2: r.StripM2PerManHour, BoardM2: r.BoardM2PerManHour, TrimM: r.TrimMPerManHour, BandageM: r.BandageMPerManHour,
		CoatM2: r.TopCoatM2PerManHour, AbradeM2: r.AbradeM2PerManHour, FlashingM: r.FlashingMPerManHour, InsulateM2: r.InsulateM2PerManHour, LayM2: firm.Crew.LayM2PerManHour}
}

// limitNames are the limits that may be overridden, by their words.
var limitNames = []weather.Limit{weather.LimitAirMin, weather.LimitAirMax, weather.LimitDeckMin, weather.LimitDeckMax, weather.LimitRH, weather.LimitDew,
	weather.LimitRain, weather.LimitRainProb, weather.LimitWind, weather.LimitGust, weather.LimitFrost, weather.LimitLight}

func overridesOf(texts []string) ([]programme.Override, error) {
	var out []programme.Override
	for _, t := range texts {
		name, reason, _ := strings.Cut(t, ":")
		name, reason = strings.TrimSpace(name), strings.TrimSpace(reason)
		found := weather.LimitNone
		var known []string
		for _, l := range limitNames {
			known = append(known, string(l))
			if strings.EqualFold(name, string(l)) {
				found = l
			}
		}
		if found == weather.LimitNone {
			return nil, coded{exitUsage, fmt.Errorf("--override: there is no limit %q. The limits are %s", name, strings.Join(known, ", "))}
		}
		if reason == "" {
			return nil, coded{exitUsage, fmt.Errorf("--override %q: no reason. Write '%s: why'", t, found)}
		}
		out = append(out, programme.Override{Limit: found, Reason: reason})
	}
	return out, nil
}

// clockNear reads a time given as 15:04, on the day of another, or in full.
func clockNear(text string, near time.Time, zone *time.Location) (time.Time, error) {
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(form, text, zone); err == nil {
			return t, nil
		}
	}
	t, err := time.Parse("15:04", text)
	if err != nil || near.IsZero() {
		return time.Time{}, coded{exitUsage, fmt.Errorf("%q is no time. Write 2026-05-31T10:30, or 10:30 for the same day", text)}
	}
	d := near.In(zone)
	return time.Date(d.Year(), d.Month(), d.Day(), t.Hour(), t.Minute(), 0, 0, zone), nil
}
