// Package year is an invented year of hours, for timing what looks at many days.
package year

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Hours are the hours of a leap year from a time on, as a forecast file: warm summers, warm
// afternoons, showers on every fifth day or so, wind and cloud that come and go.
func Hours(from time.Time) string {
	var b strings.Builder
	b.WriteString("time_utc,air_c,rh_pct,wind_ms,rain_mm,cloud_pct\n")
	for h := range 24 * 366 {
		at := from.Add(time.Duration(h) * time.Hour)
		day := at.YearDay()
		season := 10 - 9*math.Cos(2*math.Pi*float64(day-20)/365)
		air := season + 4*math.Sin(float64(at.Hour()-9)/24*2*math.Pi)
		rain := 0.0
		if day*7919%5 == 0 && at.Hour()%7 < 3 {
			rain = 1.2
		}
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,%.1f,%d\n", at.Format("2006-01-02T15:04Z"), air, min(98, 85-2*(air-season)),
			2+float64(day*13%9)*0.6, rain, day*37%100)
	}
	return b.String()
}
