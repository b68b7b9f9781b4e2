package weather_test

import (
	"context"
	"fmt"
	"time"

	"gelwright/conduction"
	"gelwright/weather"
)

// Is the dark laminate fit for the next layer on a clear evening in May?
func Example() {
	site := weather.Site{LatDeg: 53.4, LonDeg: -1.5, ElevM: 80, Zone: time.FixedZone("BST", 3600)}
	forecast := weather.Series{Start: time.Date(2026, 5, 12, 0, 0, 0, 0, time.UTC)}
	for i := range 48 {
		var h weather.Hour
		h.Set(weather.Air, []float64{8, 7, 6, 7, 11, 15, 17, 18, 17, 14, 11, 9}[i/2%12])
		h.Set(weather.DewPoint, 6)
		h.Set(weather.Wind, 2)
		h.Set(weather.Cloud, 0.1)
		forecast.Hours = append(forecast.Hours, h)
	}
	forecast, err := forecast.Fill(site)
	if err != nil {
		fmt.Println(err)
		return
	}
	surface, err := weather.SurfaceTemps(context.Background(), weather.SurfaceInput{
		Layers: []conduction.Layer{
			{Name: "laminate", ThicknessMM: 2.5, ConductivityWPerMK: 0.20, DensityKgPerM3: 1450, HeatJPerKgK: 1200},
			{Name: "board", ThicknessMM: 18, ConductivityWPerMK: 0.13, DensityKgPerM3: 650, HeatJPerKgK: 1700},
			{Name: "insulation", ThicknessMM: 120, ConductivityWPerMK: 0.022, DensityKgPerM3: 32, HeatJPerKgK: 1400},
		},
		Absorptance: 0.9, Site: site, Weather: forecast, Room: weather.Room{TempC: 20, ResistanceM2KPerW: 0.10},
		From: forecast.Start.Add(24 * time.Hour),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	limits := weather.LaminateLimits()
	limits.FrostFreeH = 0
	judged, err := weather.Judge(context.Background(), surface.Moments(forecast), limits, site)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, hour := range []int{7, 12, 18} {
		q, j := surface.Quarters[hour*4], judged[hour*4]
		fmt.Printf("%s surface %.0f °C: %s, %s\n", q.Time.In(site.Zone).Format("15:04"), q.SurfaceC, j.Verdict, j.Binding.Limit)
	}
	// Output:
	// 08:00 surface 20 °C: wait, humidity
	// 13:00 surface 58 °C: wait, surface too hot
	// 19:00 surface 27 °C: go, dew margin ahead
}
