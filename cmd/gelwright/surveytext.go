package main

import (
	"fmt"
	"io"

	"gelwright/desk"
	"gelwright/survey"
	"gelwright/unit"
)

func printSurveys(w io.Writer, list []desk.SurveyDeck) error {
	o := &printer{w: w}
	for i := range list {
		printSurvey(o, &list[i])
	}
	return o.err
}

func printSurvey(o *printer, s *desk.SurveyDeck) {
	r := &s.Result
	o.line("%s: %s", s.Deck, s.Walk)
	if s.GapM != nil {
		o.line("  drawn as it was called it misses its start by %.0f mm", *s.GapM*1000)
	}
	message, remedy := r.Trouble()
	switch {
	case message != "":
		o.line("  NO: %s. %s.", message, remedy)
	case r.Spare == 0:
		o.line("  nothing is measured twice over: a misreading would not show")
	default:
		o.line("  closes: weighted squares %.1f, of %.1f that chance allows once in twenty, %d readings to spare", r.Squares, r.Limit,
			r.Spare)
	}
	if r.Square {
		o.line("  corners that look square are taken as square: the tape does not deny it")
	}
	if r.Closes {
		printCorners(o, r)
	}
	o.line("  reading              read   adjusted      off   would show from   checked")
	for i := range r.Measured {
		o.line("  %s", readingLine(&r.Measured[i]))
	}
	// A survey that does not close is not worth proving further.
	if message, remedy := r.Doubt(); message != "" && r.Closes {
		o.line("  still open: %s; %s", message, remedy)
	}
}

// printCorners prints where the points lie, to the millimetre of the outline.
func printCorners(o *printer, r *survey.Result) {
	o.line("  corner        x m      y m   inside °   within mm")
	at := r.Outline()
	for i, c := range r.Corners {
		o.line("  %-6s   %8.3f %8.3f   %8.1f   %9.1f", c.Name, at[i].X, at[i].Y, c.InsideDeg, c.ErrorM*1000)
	}
	for _, c := range r.Others {
		o.line("  %-6s   %8.3f %8.3f              %9.1f", c.Name, c.At.X, c.At.Y, c.ErrorM*1000)
	}
}

// whole rounds to so many decimals, without a minus before nothing.
func whole(x float64, decimals int) string { return unit.Number(x, decimals, "en-GB") }

// readingLine is one reading: lengths in metres and millimetres, angles in degrees.
func readingLine(m *survey.Judged) string {
	read, off, shows := fmt.Sprintf("%8.3f m", m.Value), fmt.Sprintf("%4s mm", whole((m.Adjusted-m.Value)*1000, 0)), "           —"
	adjusted := fmt.Sprintf("%8.3f", m.Adjusted)
	if m.LeastBlunder > 0 && !m.Assumed {
		shows = fmt.Sprintf("%9.0f mm", m.LeastBlunder*1000)
	}
	if m.Angle {
		read, adjusted, off = fmt.Sprintf("%8.1f °", m.Value), fmt.Sprintf("%8.1f", m.Adjusted),
			fmt.Sprintf("%5s °", whole(m.Adjusted-m.Value, 2))
		if m.LeastBlunder > 0 && !m.Assumed {
			shows = fmt.Sprintf("%9.1f °", m.LeastBlunder)
		}
	}
	name := m.Name
	if m.Assumed {
		name += ", by eye"
	}
	return fmt.Sprintf("%-16s %s   %s  %s   %s      %s", name, read, adjusted, off, shows, m.Checked)
}
