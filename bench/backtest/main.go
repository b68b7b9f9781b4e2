// Command backtest plans every day of real years of hourly weather as if the forecast
// were that weather with an error, and counts how often what was called safe was safe,
// and how many days were used, beside the simple rule 'above 5 °C and no rain today'.
//
//	go run ./bench/backtest FILE[@lat,lon,zone] …
//
// Files: CSV of hours, EPW or TMY3. Place and zone are needed where the file has none.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"gelwright/conduction"
	"gelwright/cure"
	"gelwright/laying"
	"gelwright/material"
	"gelwright/programme"
	"gelwright/programme/works"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

func main() {
	members := flag.Int("members", 31, "courses of the weather round each forecast")
	lead := flag.Float64("lead", 12, "hours from the forecast to the morning it is for")
	worse := flag.Float64("worse", 1, "how many times as large as assumed the forecasts' errors truly are")
	every := flag.Int("every", 1, "take every so many days")
	usual := flag.Bool("usual", false, "forecasts with errors of their own kind, not the model's: see README")
	seed := flag.Uint64("seed", 1, "which draws of these")
	foreign := flag.String("foreign", "", "the hours of another station, FILE, as the forecast")
	mix := flag.String("mix", "", "shut the hours in which no bucket leaves eight minutes: 'brand' of a resin of which only the example "+
		"is known, 'cup' with a test cup of the day that gels as expected")
	learn := flag.Int("learn", 0, "days of earlier forecasts held against what came, to correct and spread the next")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, flag.Args(), options{*members, *lead, *worse, *every, *usual, *seed, *foreign, *learn, *mix}); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

type options struct {
	members     int
	leadH       float64
	worse       float64
	everyNthDay int
	usual       bool
	seed        uint64
	foreign     string
	learnDays   int
	// mix shuts the hours in which no bucket can be mixed: "brand", "cup", or "" for none.
	mix string
}

// place is a file of weather and where it was taken.
type place struct {
	name string
	f    weather.Forecast
	site weather.Site
	// said are forecasts for all the year, each hour as the day before told it; nil where each
	// day has its own.
	said *weather.Series
}

func run(ctx context.Context, args []string, o options) error {
	if len(args) == 0 {
		return errors.New("no weather. Give files of hours: FILE, or FILE@lat,lon,zone")
	}
	jobs, err := trials(ctx, o.mix)
	if err != nil {
		return err
	}
	fmt.Printf("%-26s %-9s %5s %9s | %5s %6s %8s | %5s %6s %8s\n", "", "", "", "days that", "ours:", "limits", "nothing", "rule:", "limits",
		"nothing")
	fmt.Printf("%-26s %-9s %5s %9s | %5s %6s %8s | %5s %6s %8s\n", "place", "work", "days", "had a go", "used", "kept", "spoiled", "used",
		"kept", "spoiled")
	for _, a := range args {
		p, err := read(a)
		if err != nil {
			return err
		}
		if p.said, err = p.foretoldYear(o); err != nil {
			return err
		}
		for _, j := range jobs {
			c, err := j.test(ctx, p, o)
			if err != nil {
				return fmt.Errorf("%s: %w", p.name, err)
			}
			fmt.Printf("%-26s %-9s %5d %9d | %5d %5.1f%% %7.1f%% | %5d %5.1f%% %7.1f%%\n", p.name, j.name, c.days, c.possible,
				c.ours.used, c.ours.share(c.ours.kept), c.ours.share(c.ours.sound), c.rule.used, c.rule.share(c.rule.kept), c.rule.share(c.rule.sound))
		}
	}
	return nil
}

// read opens FILE[@lat,lon,zone].
func read(arg string) (place, error) {
	path, where, _ := strings.Cut(arg, "@")
	data, err := os.ReadFile(path)
	if err != nil {
		return place{}, err
	}
	p := place{name: strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))}
	if p.f, err = forecast.Read(data, forecast.Options{Name: filepath.Base(path)}); err != nil {
		return p, err
	}
	p.site = weather.Site{LatDeg: p.f.LatDeg, LonDeg: p.f.LonDeg, ElevM: p.f.ElevM}
	if where != "" {
		parts := strings.Split(where, ",")
		if len(parts) != 3 {
			return p, fmt.Errorf("%s: write the place as @lat,lon,zone", arg)
		}
		for i, at := range []*float64{&p.site.LatDeg, &p.site.LonDeg} {
			if *at, err = strconv.ParseFloat(parts[i], 64); err != nil {
				return p, fmt.Errorf("%s: %q is no number of degrees", arg, parts[i])
			}
		}
		if p.site.Zone, err = time.LoadLocation(parts[2]); err != nil {
			return p, err
		}
	} else {
		h := int(p.site.LonDeg/15 + 24.5)
		p.site.Zone = time.FixedZone("standard time", (h-24)*3600)
	}
	if p.f, err = p.f.Fill(p.site); err != nil {
		return p, err
	}
	return p, nil
}

// trial is a piece of wet work to be done on one day.
type trial struct {
	name  string
	stage programme.Stage
	// sound has the limits that only say whether the work is spoiled: laid on a deck
	// below 5 °C, rained on or wetted by dew before it is safe.
	sound programme.Stage
}

// marginMin is kept between the last of a bucket and gel.
const marginMin = 5

// The cup that the crew has timed: °C and per cent by mass.
const cupC, cupPct = 15, 2

// trials: two people laminate 20 m², and coat them. Dry work lies behind them.
func trials(ctx context.Context, mix string) ([]trial, error) {
	cat := material.Generic()
	resin, err := cat.Resin("resin.all-season")
	if err != nil {
		return nil, err
	}
	coat, err := cat.Resin("topcoat.waxed")
	if err != nil {
		return nil, err
	}
	board := []conduction.Layer{cure.Board(18)}
	known := func(r material.Resin) (works.Resin, error) {
		g, err := cure.NewGel(r)
		if err != nil {
			return works.Resin{}, err
		}
		// What is held against the sky is the weather: the crew has timed a cup, which gelled as expected.
		t, err := g.Time(cupC, cupPct)
		if err != nil {
			return works.Resin{}, err
		}
		g, err = g.WithCup(cupC, cupPct, t.LikelyMin)
		return works.Resin{Law: g, Coat: r.Coat, MarginMin: marginMin}, err
	}
	lay, err := known(resin)
	if err != nil {
		return nil, err
	}
	finish, err := known(coat)
	if err != nil {
		return nil, err
	}
	mat, err := works.FilmOf(ctx, "laminate", lay, 1.05, 0.45, board)
	if err != nil {
		return nil, err
	}
	top, err := works.FilmOf(ctx, "top coat", finish, 0.5, 0, board)
	if err != nil {
		return nil, err
	}
	wet, dry := weather.LaminateLimits(), weather.TopCoatLimits()
	dry.BeforeSunsetH = 0 // the evening's dew is computed
	if wet.Mix, err = hottest(cat, resin.Key, mix); err != nil {
		return nil, err
	}
	if dry.Mix, err = hottest(cat, coat.Key, mix); err != nil {
		return nil, err
	}
	zero := *wet.DewMargin
	zero.Value = 0
	spoil := weather.StageLimits{Stage: "spoiled", SurfaceMin: wet.SurfaceMin, DewMargin: &zero, RainTrace: wet.RainTrace}
	jobs := []trial{
		{name: "laminate", stage: programme.Stage{Name: "laminate", Kind: programme.Laminate, Quarters: 7, Limits: &wet, Film: mat,
			SafeAt: programme.RainSafe}},
		{name: "top coat", stage: programme.Stage{Name: "top coat", Kind: programme.TopCoat, Quarters: 3, Limits: &dry, Film: top,
			SafeAt: programme.RainSafe}},
	}
	for i := range jobs {
		jobs[i].sound = jobs[i].stage
		jobs[i].sound.Limits = &spoil
	}
	return jobs, nil
}

// hottest are the hottest decks on which a bucket leaves eight minutes, of the pair of resin grade
// and catalyst that is mixed on most of them, as a plan takes it; nil for no such limit.
func hottest(cat material.Catalogue, key, mix string) (*weather.Mixable, error) {
	if mix == "" {
		return nil, nil
	}
	if mix != "brand" && mix != "cup" {
		return nil, fmt.Errorf("-mix %s: give brand or cup", mix)
	}
	store := laying.Store{Catalogue: cat, Law: cure.NewGel}
	among, err := store.Pairs(laying.Wish{Resin: key, Catalyst: material.UsualCatalyst})
	if err != nil {
		return nil, err
	}
	law := laying.Widest(among, marginMin, nil).Law
	if mix == "cup" {
		t, err := law.Time(cupC, cupPct)
		if err != nil {
			return nil, err
		}
		if law, err = law.WithCup(cupC, cupPct, t.LikelyMin); err != nil {
			return nil, err
		}
	}
	return laying.HottestDecks(law, marginMin), nil
}

// score of one way of deciding.
type score struct{ used, kept, sound int }

func (s score) share(n int) float64 {
	if s.used == 0 {
		return 100
	}
	return 100 * float64(n) / float64(s.used)
}

type counts struct {
	days, possible int
	ours, rule     score
}

var hours = programme.Hours{StartMin: 8 * 60, EndMin: 17 * 60}

// surface is a warm roof's bare deck.
func surface(site weather.Site) weather.SurfaceInput {
	return weather.SurfaceInput{Layers: []conduction.Layer{cure.Board(18), cure.Insulant(100)}, Absorptance: 0.65, Site: site,
		Room: weather.Room{TempC: 20, ResistanceM2KPerW: 0.10}, CentralOnly: true}
}

// truth is what the weather that came allows: the starts at which limits were kept
// and nothing spoiled.
func truth(ctx context.Context, p place, s programme.Stage) (map[time.Time]bool, error) {
	c, err := works.Courses(ctx, weather.Forecast{Members: p.f.Members[:1]}, surface(p.site), time.Time{}, time.Time{})
	if err != nil {
		return nil, err
	}
	pr, err := programme.Prepare(ctx, programme.Input{Stages: []programme.Stage{s}, Members: c, Site: p.site, Hours: hours})
	if err != nil {
		return nil, err
	}
	at, _ := pr.Ready(0)
	ok := map[time.Time]bool{}
	for _, t := range at {
		ok[t.UTC()] = true
	}
	return ok, nil
}

func (j trial) test(ctx context.Context, p place, o options) (counts, error) {
	var c counts
	real := p.f.Members[0]
	kept, err := truth(ctx, p, j.stage)
	if err != nil {
		return c, err
	}
	sound, err := truth(ctx, p, j.sound)
	if err != nil {
		return c, err
	}
	had := map[string]bool{}
	for t := range kept {
		had[t.In(p.site.Zone).Format("2006-01-02")] = true
	}
	for k := 2; k < len(real.Hours)/24-2; k += o.everyNthDay {
		t := real.TimeOf(24 * k).In(p.site.Zone)
		midnight := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, p.site.Zone)
		c.days++
		if had[midnight.Format("2006-01-02")] {
			c.possible++
		}
		said, err := p.foretold(midnight, k, o)
		if err != nil {
			return c, err
		}
		count := func(s *score, at time.Time) {
			s.used++
			if kept[at.UTC()] {
				s.kept++
			}
			if sound[at.UTC()] {
				s.sound++
			}
		}
		if simpleRule(said, midnight) {
			count(&c.rule, midnight.Add(9*time.Hour))
		}
		at, ok, err := j.decide(ctx, p, said, midnight, o)
		if err != nil {
			return c, err
		}
		if ok {
			count(&c.ours, at)
		}
	}
	return c, nil
}

// foretold is a forecast for the day: the weather that came, with one course of errors,
// another one each day; or what was said of the year.
func (p *place) foretold(midnight time.Time, k int, o options) (weather.Series, error) {
	from, to := midnight.Add(-24*time.Hour), midnight.Add(42*time.Hour)
	if p.said != nil {
		return p.said.Part(from, to), nil
	}
	part := p.f.Members[0].Part(from, to)
	model := weather.AssumedErrors()
	for _, g := range []*weather.Growth{&model.Air, &model.Gap, &model.Wind, &model.Cloud, &model.RainShiftH, &model.RainAmount,
		&model.SurpriseRain} {
		g.First *= o.worse
		g.PerDay *= o.worse
		g.Most *= o.worse
	}
	const draws = 97
	f, err := part.Members(issued(midnight, o), draws, model)
	if err != nil {
		return part, err
	}
	return f.Members[1+(k*37)%(draws-1)], nil
}

func issued(midnight time.Time, o options) time.Time {
	return midnight.Add(8*time.Hour - time.Duration(o.leadH*float64(time.Hour)))
}

// simpleRule: above 5 °C through the working day and no rain today.
func simpleRule(s weather.Series, midnight time.Time) bool {
	for h := range 24 {
		x, ok := s.At(midnight.Add(time.Duration(h) * time.Hour))
		if !ok || x.RainMM >= 0.1 || h >= 8 && h < 17 && x.AirC <= 5 {
			return false
		}
	}
	return true
}

// decide looks for a start on the day that holds with nine in ten.
func (j trial) decide(ctx context.Context, p place, said weather.Series, midnight time.Time, o options) (time.Time, bool, error) {
	model := weather.AssumedErrors()
	if r := p.record(midnight, o); r != nil {
		said, model = r.Correct(said, p.site), r.Errors(model)
	}
	f, err := said.Members(issued(midnight, o), o.members, model)
	if err != nil {
		return midnight, false, err
	}
	c, err := works.Courses(ctx, f, surface(p.site), midnight, midnight.Add(42*time.Hour))
	if err != nil {
		return midnight, false, err
	}
	pr, err := programme.Prepare(ctx, programme.Input{Stages: []programme.Stage{j.stage}, Members: c, Site: p.site, Hours: hours})
	if err != nil {
		return midnight, false, err
	}
	best, start := 0.0, midnight
	at, share := pr.Ready(0)
	for i, t := range at {
		if t.Before(midnight.Add(24*time.Hour)) && share[i] > best {
			best, start = share[i], t
		}
	}
	return start, best >= 0.9, nil
}
