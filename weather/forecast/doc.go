// Package forecast reads weather from text: an own CSV of hours, the JSON answers
// of three public services as their open documentation defines them, and files of
// a year of hours (EPW, TMY3). It takes bytes and gives a [weather.Forecast] in
// UTC with the units of package weather; it opens no file and no connection.
//
// [Read] recognises the format; each format has its own function too:
//
//   - [ReadCSV]: one row for each hour, columns named with their unit; see
//     [Columns].
//   - [ReadMetNo]: MET Norway Locationforecast 2.0, complete and compact.
//   - [ReadOpenMeteo]: the hourly form, with ensemble members (…_memberNN).
//   - [ReadNWSHourly] and [ReadNWSGrid]: the US National Weather Service's hourly
//     periods and raw gridpoint layers.
//   - [ReadEPW] and [ReadTMY3]: years of hours for back-tests and norms.
//
// Every fault is an [Error] with file, line, column and remedy. Input is bounded
// ([MaxBytes], [MaxHours], [MaxMembers]); values that cannot be weather are faults.
//
// Values "of the hour" (rain, irradiance, gust) move to the hour they cover: rain
// that a service dates by the hour's end is put at its start.
package forecast
