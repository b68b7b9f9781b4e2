package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"gelwright/desk"
	"gelwright/working"
)

// standingWords say what has become of what was planned.
var standingWords = map[desk.Standing]string{
	desk.Holds: "holds", desk.HoldsSoFar: "holds so far", desk.Falls: "not sure enough", desk.Beyond: "not in the forecast yet",
	desk.Behind: "its day has gone by", desk.Changed: "the roof was changed", desk.Unplanned: "not planned before",
}

// tellMorning prints a line for each roof, and under one whose plan does not stand the programme in its place.
func tellMorning(out io.Writer, lines []morningLine) error {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "roof\tbegins\tchance\t\tagainst it")
	for i := range lines {
		x := &lines[i]
		if x.Fault != nil {
			fmt.Fprintf(w, "%s\t\t\tnot answered\t%s\n", x.Name, x.Wrong)
			continue
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\n", x.Name, begins(x), chances(x), standingWords[x.Stands], x.Against)
		if x.Replanned.Best != nil {
			fmt.Fprintf(w, "\t\t\t%s\n", instead(x))
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for row := range strings.Lines(b.String()) {
		if _, err := fmt.Fprintln(out, strings.TrimRight(row, " \n")); err != nil {
			return err
		}
	}
	return nil
}

// begins is the first start of what was planned, a dash for none.
func begins(x *morningLine) string {
	if x.Planned == nil {
		return "–"
	}
	return x.Planned.Begin.In(x.Zone).Format("Mon 2 Jan 15:04")
}

// chances are yesterday's and today's, as far as they are known.
func chances(x *morningLine) string {
	var text []string
	if x.Was > 0 {
		text = append(text, working.Chance(x.Was)+" %")
	}
	if x.Planned != nil {
		text = append(text, working.Chance(x.P)+" %")
	}
	return strings.Join(text, " → ")
}

// instead is the best programme in the place of one that does not stand.
func instead(x *morningLine) string {
	best, w := x.Best, x.Replanned.Best
	switch {
	case best == nil && w.Impossible != nil:
		return "on no day: " + w.Impossible.Error()
	case best == nil && w.Days == nil && w.Bound > 0:
		return fmt.Sprintf("nothing holds with %.0f %%", 100*w.Target)
	case best == nil:
		return "no time is found: " + w.Blocked
	}
	text := fmt.Sprintf("begin %s, finished %s: %s %%", best.Begin.In(x.Zone).Format("Mon 2 Jan 15:04"),
		best.Finish.In(x.Zone).Format("Mon 2 Jan 15:04"), working.Chance(best.P))
	switch {
	case w.NoBucket != "":
		text = "do not begin: " + w.NoBucket
	case !w.Order():
		text = fmt.Sprintf("do not begin yet, %.0f %% is wanted; likeliest: ", 100*w.Target) + text
	}
	return text
}
