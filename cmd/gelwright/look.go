package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/roof"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/weather/fetch"
	"gelwright/weather/forecast"
)

// lookFlags are how both when and now look at the days.
type lookFlags struct {
	givenFlags
	forecast, keep string
	fetch, norms   bool
	rest           []string
	overrides      []string
	earlier        []string
	readings       string
	look           desk.Look
	// text is the forecast's file once it is read.
	text []byte
}

func (l *lookFlags) add(cmd *cobra.Command) {
	usual := desk.UsualLook()
	f := cmd.Flags()
	f.StringVar(&l.forecast, "forecast", "", "forecast file: CSV of hours, JSON of a weather service, or a year file")
	f.BoolVar(&l.fetch, "fetch", false, "ask the weather service that the firm file names")
	f.StringArrayVar(&l.earlier, "earlier", nil, "an earlier forecast, as it was kept; several")
	f.StringVar(&l.readings, "readings", "", "readings on site, a CSV of hours, against which the earlier forecasts are held")
	f.StringVar(&l.keep, "keep", "", "folder in which fetched answers are kept")
	f.BoolVar(&l.norms, "norms", false, "plan from rough monthly norms when there is no forecast")
	l.addFirm(cmd, ": rates, crew, weather service")
	l.addGels(cmd)
	addCount(f, &l.look.Days, "days", usual.Days, ahead, "days to look at")
	addCount(f, &l.look.People, "people", usual.People, heads, "crew on the roof, in place of the file's")
	addCount(f, &l.look.Courses, "courses", usual.Courses, tries, "courses of the weather made round a single forecast")
	f.StringSliceVar(&l.rest, "rest", nil, "days without work, 'Sat,Sun'")
	f.BoolVar(&l.look.Sheeted, "sheeted", false, "bare boards are sheeted whenever nobody works on them")
	addAmount(f, &l.look.Target, "target", usual.Target, chance, "probability that counts as sure")
	f.StringArrayVar(&l.overrides, "override", nil, "lift a limit on your word, 'frost ahead: winter grade, tented'; recorded")
}

// words reads the flags that are lists of words.
func (l *lookFlags) words() error {
	var err error
	if l.look.Rest, err = desk.Rest(l.rest); err != nil {
		return err
	}
	for _, text := range l.overrides {
		limit, reason, _ := strings.Cut(text, ":")
		o, err := desk.Lift(limit, reason)
		if err != nil {
			return err
		}
		l.look.Overrides = append(l.look.Overrides, o)
	}
	return nil
}

// out reads roof, firm and weather and lays them out.
func (l *lookFlags) out(cmd *cobra.Command, path string) (*desk.Outlook, error) {
	g, err := l.read(cmd, path)
	if err != nil {
		return nil, err
	}
	return l.outOf(cmd, g)
}

// outOf lays a roof out under its weather.
func (l *lookFlags) outOf(cmd *cobra.Command, g desk.Given) (*desk.Outlook, error) {
	allowFor(l.look.Days)
	if err := l.words(); err != nil {
		return nil, err
	}
	f, err := l.weather(cmd, &g.Job, g.Firm)
	if err != nil {
		return nil, err
	}
	if err := l.record(cmd, &g.Job); err != nil {
		return nil, err
	}
	// The best programme's buckets are made after the stages: boards are not cut again.
	g.Steps = steps.NewCache(desk.KeptSteps)
	return desk.LookOut(cmd.Context(), g, f, l.look)
}

// record reads the earlier forecasts and what came of them.
func (l *lookFlags) record(cmd *cobra.Command, j *roof.Job) error {
	switch {
	case l.readings == "" && len(l.earlier) == 0:
		return nil
	case l.readings == "" || len(l.earlier) == 0:
		return &desk.Error{Kind: desk.Asked, Place: "readings", Found: "earlier forecasts and readings go together",
			Remedy: "Give --readings FILE and --earlier FILE, one for each forecast kept"}
	}
	site, err := desk.SiteOf(j)
	if err != nil {
		return err
	}
	year := desk.YearOf(j, l.look.From, l.look.At)
	came, err := readForecast(l.readings, cmd.InOrStdin(), site, year)
	if err != nil {
		return err
	}
	var earlier []weather.Forecast
	for _, path := range l.earlier {
		f, err := readForecast(path, cmd.InOrStdin(), site, year)
		if err != nil {
			return err
		}
		earlier = append(earlier, f)
	}
	l.look.Record, err = desk.RecordOf(earlier, came, site)
	return err
}

// none is true when no flag names any weather.
func (l *lookFlags) none() bool { return l.forecast == "" && !l.fetch && !l.norms }

var errNoWeather = coded{exitUsage,
	errors.New("there is no weather. Give --forecast FILE, or --fetch with the firm's weather service, or --norms for typical days")}

// weather reads, fetches or makes the forecast.
func (l *lookFlags) weather(cmd *cobra.Command, j *roof.Job, firm *firmfile.Firm) (weather.Forecast, error) {
	site, err := desk.SiteOf(j)
	if err != nil {
		return weather.Forecast{}, err
	}
	switch {
	case l.forecast != "":
		return l.fromFile(cmd.InOrStdin(), site, desk.YearOf(j, l.look.From, l.look.At))
	case l.fetch:
		return l.fetched(cmd.Context(), firm, site, cmd.ErrOrStderr())
	case l.norms:
		return desk.Norms(j, l.look.From, l.look.Days)
	}
	return weather.Forecast{}, errNoWeather
}

// fetched asks the firm's weather service.
func (l *lookFlags) fetched(ctx context.Context, firm *firmfile.Firm, site weather.Site, errs io.Writer) (weather.Forecast, error) {
	if firm == nil || firm.Forecast.Address == "" {
		return weather.Forecast{}, coded{exitUsage,
			errors.New("--fetch: no firm file names a weather service. Give --firm with forecast: {address: …}")}
	}
	client := fetch.Client{Folder: l.keep}
	from := fetch.Provider{Name: "the firm's weather service", Address: firm.Forecast.Address, Asker: firm.Forecast.Contact}
	f, got, err := client.Forecast(ctx, from, site)
	if err != nil {
		return f, err
	}
	if got.Stale {
		fmt.Fprintf(errs, "the weather service does not answer; its answer of %s is used\n", got.Fetched.In(site.Zone).Format("2006-01-02 15:04"))
	}
	return f, nil
}

// fromFile reads the forecast's file, once however often it is asked for: standard input can
// be read but once.
func (l *lookFlags) fromFile(in io.Reader, site weather.Site, year int) (weather.Forecast, error) {
	if l.text == nil {
		var err error
		if l.text, err = readWeather(l.forecast, in); err != nil {
			return weather.Forecast{}, err
		}
	}
	return told(l.forecast, l.text, site, year)
}

// readForecast reads a forecast or readings from a file, "-" for standard input.
func readForecast(path string, in io.Reader, site weather.Site, year int) (weather.Forecast, error) {
	text, err := readWeather(path, in)
	if err != nil {
		return weather.Forecast{}, err
	}
	return told(path, text, site, year)
}

func readWeather(path string, in io.Reader) (text []byte, err error) {
	if path != "-" {
		_, text, err = readWhole("forecast", path)
		return text, err
	}
	if text, err = io.ReadAll(io.LimitReader(in, forecast.MaxBytes+1)); err != nil {
		return nil, opening("forecast", path, err)
	}
	return text, nil
}

// told reads weather from its text; path names it.
func told(path string, text []byte, site weather.Site, year int) (weather.Forecast, error) {
	name := filepath.Base(path)
	if path == "-" {
		name = "standard input"
	}
	f, err := forecast.Read(text, forecast.Options{Name: name, Zone: site.Zone, Year: year})
	if err != nil {
		return f, coded{exitFaults, err}
	}
	return f, nil
}
