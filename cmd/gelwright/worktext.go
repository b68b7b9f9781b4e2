package main

import (
	"fmt"
	"io"

	"gelwright/work"
)

func printWork(w io.Writer, list []work.Work) error {
	o := &printer{w: w}
	if len(list) == 0 {
		o.line("there is no work")
	}
	for i := range list {
		x := &list[i]
		parts := ""
		if x.Whole > 0 && x.Ended.IsZero() {
			parts = fmt.Sprintf(", %d of %d", x.Done, x.Whole)
		}
		o.line("%s  %s  %-9s  %s%s", shortID(x.ID), minute(x.Made), x.State, x.Title, parts)
		if x.Said != "" {
			o.line("          %s", x.Said)
		}
		if x.Result != "" {
			o.line("          %s", x.Result)
		}
	}
	return o.err
}

func printSky(w io.Writer, s *work.Sky) error {
	o := &printer{w: w}
	o.line("place %s (latitude, longitude, height in m)", s.Place)
	switch {
	case s.Fetched.IsZero():
		o.line("no forecast is kept")
	default:
		o.line("newest forecast fetched %s UTC, %s kept. %s", minute(s.Fetched), count(s.Forecasts, "forecast"), s.Credit)
	}
	o.line("%s of readings kept", count(s.Readings, "file"))
	if s.Learnt != "" {
		o.line("%s", s.Learnt)
	}
	return o.err
}

func printReminders(w io.Writer, list []work.Reminder) error {
	o := &printer{w: w}
	if len(list) == 0 {
		o.line("there is nothing to remind of")
	}
	for i := range list {
		o.line("%s  %s  %s: %s", list[i].Day, shortID(list[i].Job), list[i].Title, list[i].Said)
	}
	return o.err
}
