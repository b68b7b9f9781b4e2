package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/programme"
	"gelwright/steps"
)

func morningCommand() *cobra.Command {
	var l lookFlags
	var asJSON bool
	var before, seek string
	cmd := &cobra.Command{
		Use:   "morning ROOF.yaml…",
		Short: "What today's forecast has made of the plans of several roofs",
		Long: `What has this morning's forecast made of the plans of several roofs? Each roof has a line: when
its work begins, the chance that all of it holds, yesterday's beside it, and what stands
against it. Starts that stood yesterday are judged by today's weather; where they fall, or
where nothing stood, the best programme is looked for as 'when' does. Yesterday's answer is
the file that --json wrote: keep one of each morning and give it with --before. The weather
is that of one place for all roofs: ask apart about roofs that lie far from one another.`,
		Args: arguments(cobra.MinimumNArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			lines, err := l.morning(cmd, args, before, seek)
			if err != nil {
				return err
			}
			if asJSON {
				if err := printJSON(cmd.OutOrStdout(), lines); err != nil {
					return err
				}
			} else if err := tellMorning(cmd.OutOrStdout(), lines); err != nil {
				return err
			}
			return faultOf(lines)
		},
	}
	l.add(cmd)
	f := cmd.Flags()
	f.StringVar(&l.look.From, "from", "", "the morning's day, 2026-05-31; that of the forecast's beginning when left out")
	f.StringVar(&before, "before", "", "yesterday's answer, as --json wrote it")
	f.StringVar(&seek, "seek", "best", "what is looked for in the place of what falls: best, sure (quicker), or nothing (quickest)")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// morningLine is the answer for one roof file.
type morningLine struct {
	File string `json:"file"`
	*desk.Replanned
	// Starts that stand from now on, and the chance of all of it.
	Starts []programme.Fixed `json:"starts,omitempty"`
	Chance float64           `json:"chance"`
	// Best programme alone, in the place of all that When tells; Order is whether it may be begun.
	Best  *programme.Plan `json:"best,omitempty"`
	Order bool            `json:"order"`
	Wrong string          `json:"fault,omitempty"`
}

// morningOf is the answer for one roof file.
func morningOf(path string, r *desk.Replanned) morningLine {
	x := morningLine{File: path, Replanned: r, Starts: r.Starts(), Chance: r.Chance(), Order: r.Stands == desk.Holds}
	if r.Fault != nil {
		x.Wrong = r.Fault.Error()
	}
	if r.Best != nil {
		x.Best, x.Order = r.Best.Best(), r.Best.Order()
	}
	return x
}

// morning re-plans the roofs of some files.
func (l *lookFlags) morning(cmd *cobra.Command, paths []string, before, seek string) ([]morningLine, error) {
	if l.none() {
		return nil, errNoWeather
	}
	what, known := map[string]desk.Seek{"best": desk.SeekBest, "sure": desk.SeekSure, "nothing": desk.SeekNothing}[seek]
	if !known {
		return nil, &desk.Error{Kind: desk.Asked, Place: "seek", Found: fmt.Sprintf("%q is not known", seek),
			Remedy: "Write best, sure or nothing"}
	}
	stood, err := readMorning(before)
	if err != nil {
		return nil, err
	}
	if err := l.words(); err != nil {
		return nil, err
	}
	allowFor(l.look.Days)
	roofs := make([]desk.Planned, len(paths))
	kept := steps.NewCache(desk.KeptSteps)
	for i, path := range paths {
		if roofs[i].Given, err = l.read(cmd, path); err != nil {
			return nil, err
		}
		roofs[i].Steps, roofs[i].Seek = kept, what
		if k := slices.IndexFunc(stood, func(x morningLine) bool { return x.File == path }); k >= 0 {
			roofs[i].Starts, roofs[i].Was = stood[k].Starts, stood[k].Chance
		}
	}
	if err := l.record(cmd, &roofs[0].Job); err != nil {
		return nil, err
	}
	answers, err := l.zoneByZone(cmd, roofs)
	if err != nil {
		return nil, err
	}
	lines := make([]morningLine, len(paths))
	for i, path := range paths {
		lines[i] = morningOf(path, &answers[i])
	}
	return lines, nil
}

// zoneByZone re-plans roofs under a forecast that is read once for each time zone: a file of hours is in the roof's own.
func (l *lookFlags) zoneByZone(cmd *cobra.Command, roofs []desk.Planned) ([]desk.Replanned, error) {
	out := make([]desk.Replanned, len(roofs))
	zones := map[string][]int{}
	var order []string
	for i := range roofs {
		zone := roofs[i].Job.Site.TimeZone
		if zones[zone] == nil {
			order = append(order, zone)
		}
		zones[zone] = append(zones[zone], i)
	}
	for _, zone := range order {
		var group []desk.Planned
		for _, i := range zones[zone] {
			group = append(group, roofs[i])
		}
		f, err := l.weather(cmd, &group[0].Job, group[0].Firm)
		if err != nil {
			return nil, err
		}
		answers, err := desk.Replan(cmd.Context(), group, f, l.look, desk.NewShared(len(roofs)))
		if err != nil {
			return nil, err
		}
		for k, i := range zones[zone] {
			out[i] = answers[k]
		}
	}
	return out, nil
}

// readMorning reads an answer of another morning; no path is none.
func readMorning(path string) ([]morningLine, error) {
	if path == "" {
		return nil, nil
	}
	_, raw, err := readWhole("answer of yesterday", path)
	if err != nil {
		return nil, err
	}
	var out []morningLine
	if err := json.Unmarshal(raw, &out); err != nil {
		return nil, coded{exitFaults, errors.New(filepath.Base(path) + ": it is no answer of morning --json. Give the file that it wrote")}
	}
	return out, nil
}

// faultOf is the first fault of a roof or its weather; nil where all are answered.
func faultOf(lines []morningLine) error {
	for _, x := range lines {
		if x.Fault != nil {
			return coded{exitFaults, errors.New(x.File + ": " + x.Wrong)}
		}
	}
	return nil
}
