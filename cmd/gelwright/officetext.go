package main

import (
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"gelwright/office"
)

// printChart prints jobs by where they stand.
func printChart(w io.Writer, c *office.Chart, today string) error {
	o := &printer{w: w}
	if len(c.Lines) == 0 {
		o.line("no job is found")
	}
	for i := range c.Lines {
		l := &c.Lines[i]
		next := l.Next
		if next == "" {
			next = "no day yet"
		}
		o.line("%s  %-11s  %-10s  %s", shortID(l.Job.ID), l.Sheet.Stage, next,
			strings.Join(filledIn(l.Job.Title, l.PlaceName, l.CustomerName), ", "))
		for _, x := range l.Sheet.Waits(nil, nil, today) {
			if x.For == office.Word {
				o.line("          waits: %s", waitWords(x))
			}
		}
	}
	return o.err
}

// filledIn are the texts that say something.
func filledIn(all ...string) []string {
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

// waitWords are what a job waits for by somebody's word.
func waitWords(w office.Wait) string {
	text := w.Text
	if w.Date != "" {
		text += " by " + w.Date
	}
	if w.Late {
		text += " (that day is past)"
	}
	return text
}

// printFound prints answers by kind.
func printFound(w io.Writer, found []office.Found) error {
	o := &printer{w: w}
	if len(found) == 0 {
		o.line("nothing is found")
	}
	for _, f := range found {
		o.line("%s, %d:", f.In, f.Total)
		for _, h := range f.Hits {
			name := h.Title
			if name == "" {
				name = string(h.Kind)
			}
			o.line("  %s  %s, %s: %s", shortID(h.ID), name, h.Place, h.Text)
		}
	}
	return o.err
}

// printSheets prints sheets, a line for each field that says something.
func printSheets(w io.Writer, list []office.Record) error {
	o := &printer{w: w}
	if len(list) == 0 {
		o.line("there is none yet")
	}
	for _, r := range list {
		o.line("%s %s, version %d", r.Kind, r.ID, r.Version)
		var fields map[string]any
		if err := json.Unmarshal(office.Written(r.Sheet), &fields); err != nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(fields)) {
			if text := fieldWords(fields[name]); text != "" {
				o.line("  %-9s  %s", name, text)
			}
		}
	}
	return o.err
}

// fieldWords are a field of a sheet on one line; empty where it says nothing.
func fieldWords(x any) string {
	switch v := x.(type) {
	case nil:
		return ""
	case bool:
		if !v {
			return ""
		}
		return "yes"
	case []any:
		var out []string
		for _, e := range v {
			out = append(out, fieldWords(e))
		}
		return strings.Join(out, "; ")
	case map[string]any:
		var out []string
		for _, name := range slices.Backward(slices.Sorted(maps.Keys(v))) {
			out = append(out, filledIn(fieldWords(v[name]))...)
		}
		return strings.Join(out, ", ")
	}
	return strings.ReplaceAll(fmt.Sprint(x), "\n", " / ")
}

// printVersions prints who changed a sheet.
func printVersions(w io.Writer, list []office.Record) error {
	o := &printer{w: w}
	if len(list) == 0 {
		o.line("nobody has written on it yet")
	}
	for _, r := range list {
		o.line("%5d  %s  %s  %s", r.Version, minute(r.When), r.Who, r.What)
	}
	return o.err
}
