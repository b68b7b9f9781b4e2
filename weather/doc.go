// Package weather knows what the sky does to a roof: the hours of a forecast, the
// sun on its slope, the cold of the night sky, the dew point, the temperature of
// its surface by the quarter hour, and whether a stage of work may go ahead.
//
// It takes a [Series] of hours (or a [Forecast] of several, the members of an
// ensemble), a [Site], the layers of the roof with the colour of its surface, the
// shade on it, and the limits of a stage. It gives [Surface] temperatures with a
// low and a high, and a judgement for each quarter hour: go, wait or no-go, with
// the limit that binds. Units: °C, %, m/s, mm of rain in the hour, hPa, W/m²,
// degrees clockwise from north; cloud and probability from 0 to 1.
//
// # Time
//
// Every time inside is UTC. A local hour exists only at the edges: readers turn
// local times into UTC by the zone's rules, and judgements about daylight and
// working days use Site.Zone. An [Hour] holds the values at its start (air, dew
// point, wind, cloud, pressure) and the sums or means over the sixty minutes that
// follow (rain, probability of rain, irradiance, gust); each reader shifts what
// its format means otherwise.
//
// # What is known and what is not
//
// Hour.Has says which quantities the source gave; Hour.Filled which were put in by
// [Series.Fill], between neighbours or from other quantities. A series made from
// monthly norms or from the assumed error model says so in its notes, and a view
// must show them.
//
// # Methods
//
// Sun: the low-precision theory of J. Meeus, Astronomical Algorithms, with
// planetary terms (within 0.01°; see [SunAt]). Clear sky: R. E. Bird and
// R. L. Hulstrom (SERI/TR-642-761, 1981). Cloud: F. Kasten and G. Czeplak (Solar
// Energy 24, 1980). Slope: J. E. Hay and J. A. Davies (1980), or isotropic. Sky:
// P. Berdahl and M. Martin (1984), W. C. Swinbank (1963), Clark–Allen–Walton; they
// differ by up to 7 K, so the one used is named and the spread is carried. Wind:
// EN ISO 6946, hc = 4 + 4v. Surface: package conduction.
//
// # What it does not do
//
// It reads no file and fetches nothing: see weather/forecast for the formats and
// weather/fetch for live answers. Snow on the roof and standing water are not
// modelled; rain cools, its evaporation afterwards does not.
package weather
