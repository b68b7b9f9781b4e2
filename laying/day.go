package laying

import (
	"context"
	"fmt"
	"math"
	"strings"
	"time"

	"gelwright/check"
	"gelwright/mixing"
	"gelwright/roof"
	"gelwright/weather"
	"gelwright/working"
)

// DaysInput is the day that the roof file describes, and the crew's hours.
type DaysInput struct {
	Date       string
	Site       weather.Site
	Day        roof.Day
	Start, End roof.Clock // of the crew's day
	// DeckSilent and ResinSilent say that nobody gave the temperature of deck or resin, so that
	// the air's stands for it.
	DeckSilent, ResinSilent bool
}

// Days is the working day with its temperatures, and whether it will do.
type Days struct {
	Work mixing.Day
	check.Notes
}

// MakeDays judges the day that the roof file describes against the limits of weather:
// whether, and when, laminate and top coat may go down. Hours that a gauge or a
// forecast gave are judged quarter hour by quarter hour with their look-ahead; a day
// of one temperature is judged as it stands, and says that it cannot look ahead.
func MakeDays(ctx context.Context, in DaysInput) (Days, error) {
	out := Days{Work: in.hours()}
	for _, s := range []struct {
		key, title string
		limits     weather.StageLimits
	}{
		{"day.laminate", "Can the laminate go down on this day?", weather.LaminateLimits()},
		{"day.coat", "Can the top coat go down on this day?", weather.TopCoatLimits()},
	} {
		r, err := in.judge(ctx, s.key, s.title, s.limits)
		if err != nil {
			return out, err
		}
		out.Answer(r, "")
	}
	return out, nil
}

// unknownSunK is how much warmer than the air a deck whose temperature nobody gave may be
// without a bucket's working time being overstated, K: a deck under thin cloud (common practice,
// no source). Beyond it the thermometer and the dose card rule on the day.
const unknownSunK = 3

// Of a bright noon, for what the deck may then reach: its sun by R. E. Bird's clear sky, a grey
// or boarded deck that takes in 0.6 of it and gives it off at 20 W/(m²·K) in a light wind, and
// 4 K lost to the sky (sol-air temperature, ASHRAE Fundamentals, at second hand).
const sunTakenIn, givenOffWPerM2K, lostToSkyK = 0.6, 20, 4

// sun says that the air does not stand for a deck under sun, where nobody gave the deck's
// temperature; nothing where somebody did.
func (in *DaysInput) sun(date time.Time) string {
	if !in.unknownDeck() {
		return ""
	}
	noon := date.Add(time.Duration((12 - in.Site.LonDeg/15) * float64(time.Hour)))
	sun := weather.SunAt(noon, in.Site)
	sky := weather.Bird(sun.ZenithDeg, weather.ExtraterrestrialWPerM2(sun.DistanceAU), weather.Atmosphere{})
	atNoon := in.Day.AirC + math.Max(0, sunTakenIn*sky.GlobalWPerM2/givenOffWPerM2K-lostToSkyK)
	return fmt.Sprintf("nobody gave the deck's temperature (day.deck_c), and the air does not stand for a deck under sun, which may reach "+
		"about %.0f °C at noon of that date: the buckets allow for %d K more than the air, beyond that read the dose card", atNoon, unknownSunK)
}

// unknownDeck reports whether the air stands for the deck.
func (in *DaysInput) unknownDeck() bool { return in.DeckSilent && len(in.Day.Hours) == 0 }

// hours gives the working day and the temperatures of deck and resin: hour by hour where the
// file has them, else one figure each.
func (in *DaysInput) hours() mixing.Day {
	d := mixing.Day{StartMin: in.Start.Or(roof.ClockAt(8 * 60)).Min(), EndMin: in.End.Or(roof.ClockAt(17 * 60)).Min()}
	for _, h := range in.Day.Hours {
		d.Temps = append(d.Temps, mixing.TempAt{Min: h.Time.Min(), TempC: h.DeckC})
		if in.ResinSilent {
			// The pail stands in the shade and is as warm as the air.
			d.Resin = append(d.Resin, mixing.TempAt{Min: h.Time.Min(), TempC: h.AirC})
		}
	}
	if len(d.Temps) == 0 {
		d.Temps = []mixing.TempAt{{Min: 0, TempC: in.Day.DeckC}}
	}
	if len(d.Resin) == 0 {
		d.Resin = []mixing.TempAt{{Min: 0, TempC: in.Day.ResinC}}
	}
	if in.unknownDeck() {
		d.SunK = unknownSunK
	}
	return d
}

func (in *DaysInput) judge(ctx context.Context, key, title string, l weather.StageLimits) (check.Result, error) {
	j := in.Day
	r := check.Result{Key: key, Title: title,
		Clause: working.Source{Title: "limits of weather for hand lay-up", Clause: "dew margin after ISO 8502-4; the rest common practice",
			Standing: working.CommonPractice}}
	for _, f := range []*working.Figure{l.AirMin, l.SurfaceMin, l.SurfaceMax, l.RHMax, l.DewMargin} {
		if f != nil {
			r.Working = append(r.Working, f)
		}
	}
	// The file's clock has no date's sun: daylight is judged with a forecast.
	l.Light, l.BeforeSunsetH = false, 0
	date, err := time.Parse(time.DateOnly, in.Date)
	if err != nil {
		return r, fmt.Errorf("date %q: %w", in.Date, err)
	}
	if len(j.Hours) == 0 {
		return r, in.judgeOne(ctx, &r, l, date)
	}
	return r, in.judgeHours(ctx, &r, l, date)
}

var (
	dewPoint  = working.MustFormula("Td = 243.12·(ln(φ/100) + 17.62·T/(243.12 + T))/(17.62 − (ln(φ/100) + 17.62·T/(243.12 + T)))")
	dewMargin = working.MustFormula("ΔT = Ts − Td")
)

// margin is how far the deck is above the dew point, K, as a figure.
func (in *DaysInput) margin() *working.Figure {
	const day = "day of the roof file"
	source := working.Source{Title: "D. Sonntag, Z. Meteorol. 70 (1990) 340; WMO-No. 8", Clause: "annex 4.B", Standing: working.Remembered}
	return dewMargin.Figure("deck above dew point", "K", working.Source{Title: "difference of temperatures", Standing: working.Derived},
		working.Measured("Ts", "temperature of the deck", in.Day.DeckC, "°C", day),
		dewPoint.Figure("dew point of the air", "°C", source, working.Measured("T", "temperature of the air", in.Day.AirC, "°C", day),
			working.Measured("φ", "relative humidity", in.Day.RelativeHumidityPct, "%", day)))
}

// judgeOne judges a day of one temperature as it stands, without looking ahead.
func (in *DaysInput) judgeOne(ctx context.Context, r *check.Result, l weather.StageLimits, date time.Time) error {
	j := in.Day
	l.AheadH, l.RainFreeH, l.FrostFreeH, l.RisingBandK = 0, 0, 0, 0
	now := weather.Measured(date.Add(12*time.Hour), j.AirC, j.DeckC, j.RelativeHumidityPct, 0)
	got, err := weather.Judge(ctx, []weather.Moment{now}, l, in.Site)
	if err != nil {
		return err
	}
	if j.RelativeHumidityPct > 0 {
		r.Working = append([]*working.Figure{in.margin().Keyed(r.Key + ".dew_margin")}, r.Working...)
	}
	if hot := in.sun(date); hot != "" && r.Key == "day.laminate" {
		r.Flags = append(r.Flags, hot)
	}
	r.Finding = fmt.Sprintf("at %g °C in the air, %g °C on the deck and %g %% humidity the deck is %.1f K above the dew point",
		j.AirC, j.DeckC, j.RelativeHumidityPct, now.DewMarginK())
	if got[0].Verdict == weather.Go {
		r.Verdict = check.Pass
		r.Flags = append(r.Flags, "one temperature for the day: the hours, the rain and the night need a forecast")
		return nil
	}
	r.Verdict, r.Utilisation = check.Fail, 1.01
	r.Finding += ": " + broken(got[0].Broken)
	r.Remedies = []check.Remedy{{
		Text: "wait for a drier or warmer day, or tent and warm the deck; give the hours or a forecast to find the time"}}
	return nil
}

// judgeHours judges a day given hour by hour, quarter hour by quarter hour.
func (in *DaysInput) judgeHours(ctx context.Context, r *check.Result, l weather.StageLimits, date time.Time) error {
	var moments []weather.Moment
	for _, h := range in.Day.Hours {
		at := weather.Measured(date.Add(time.Duration(h.Time.Min())*time.Minute), h.AirC, h.DeckC, h.RelativeHumidityPct, h.WindMS)
		at.RainMMPerH = h.RainMM
		moments = append(moments, at)
	}
	if r.Key == "day.coat" {
		l.AheadH = tackFreeH(workable(moments))
		r.Working = append(r.Working, working.Constant("t", "top coat tack-free after", l.AheadH, "h",
			working.Source{Title: "2 h at 20 °C, 4 h at 10 °C, 6 h at 5 °C", Standing: working.CommonPractice}).Keyed("day.coat.tack_free"))
	}
	moments = weather.QuarterHours(moments)
	whole, err := weather.Judge(ctx, moments, l, in.Site)
	if err != nil {
		return err
	}
	window, stop := span(whole)
	if window != "" {
		r.Verdict = check.Pass
		r.Finding = "start between " + window
		if stop != "" {
			r.Finding += "; then stop: " + stop
		}
		return nil
	}
	// Would it do but for the night's frost?
	but := l
	but.FrostFreeH = 0
	eased, err := weather.Judge(ctx, moments, but, in.Site)
	if err != nil {
		return err
	}
	r.Verdict, r.Utilisation = check.Fail, 1.01
	if window, stop = span(eased); window != "" {
		r.Finding = fmt.Sprintf("the hours allow a start between %s, but frost within %g h stops even that", window, l.FrostFreeH)
		if stop != "" {
			r.Finding += " (" + stop + ")"
		}
		r.Remedies = []check.Remedy{{
			Text: "tent and warm it through the night, or a winter grade by its data sheet; whoever overrides this writes down the reason"}}
		return nil
	}
	r.Finding = "no hour of the day will do: " + broken(whole[len(whole)/2].Broken)
	r.Remedies = []check.Remedy{{Text: "another day; more than 48 hours after the laminate it must be abraded first"}}
	if r.Key == "day.laminate" {
		r.Remedies = []check.Remedy{{Text: "another day, or tent and warm the deck"}}
	}
	return nil
}

// workable is the mean deck temperature of the hours that are warm enough to lay at all.
func workable(hours []weather.Moment) float64 {
	sum, n := 0.0, 0
	for _, h := range hours {
		if h.SurfaceC >= 5 && h.SurfaceC <= 35 {
			sum, n = sum+h.SurfaceC, n+1
		}
	}
	if n == 0 {
		return 5
	}
	return sum / float64(n)
}

// tackFreeH is how long a top coat must stay dry and clear of dew: 2 h at 20 °C, 4 h at
// 10 °C, 6 h at 5 °C, linear between (common practice, no source).
func tackFreeH(deckC float64) float64 {
	switch {
	case deckC <= 5:
		return 6
	case deckC <= 10:
		return 6 - 2*(deckC-5)/5
	case deckC <= 20:
		return 4 - 2*(deckC-10)/10
	}
	return 2
}

// span names the stretches of go, and what ends the last.
func span(all []weather.Judgement) (window, stop string) {
	var parts []string
	for i := 0; i < len(all); i++ {
		if all[i].Verdict != weather.Go {
			continue
		}
		from := i
		for i+1 < len(all) && all[i+1].Verdict == weather.Go {
			i++
		}
		parts = append(parts, all[from].Time.Format("15:04")+" and "+all[i].Time.Format("15:04"))
		stop = ""
		if i+1 < len(all) && len(all[i+1].Broken) > 0 {
			stop = all[i+1].Broken[0].Text(time.UTC)
		}
	}
	return strings.Join(parts, ", or between "), stop
}

func broken(reasons []weather.Reason) string {
	var parts []string
	for _, r := range reasons {
		parts = append(parts, r.Text(time.UTC))
	}
	return strings.Join(parts, "; ")
}
