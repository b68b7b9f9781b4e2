package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/office"
	"gelwright/store"
)

// sheetField is a flag that writes a field of a sheet; an empty text given as "-" empties it.
type sheetField[S office.Sheet] struct {
	name, usage string
	// set writes what is given; refer finds the sheet of a kind that a text names.
	set func(s *S, given []string, refer func(office.Kind, string) (store.ID, error)) error
}

// lineOf is a field of one line.
func lineOf[S office.Sheet](name, usage string, at func(*S) *string) sheetField[S] {
	return sheetField[S]{name, usage, func(s *S, given []string, _ func(office.Kind, string) (store.ID, error)) error {
		*at(s) = emptied(given[len(given)-1])
		return nil
	}}
}

// linesOf is a field of several lines, one each time that the flag is given.
func linesOf[S office.Sheet](name, usage string, at func(*S) *[]string) sheetField[S] {
	set := func(s *S, given []string, _ func(office.Kind, string) (store.ID, error)) error {
		*at(s) = nil
		for _, g := range given {
			if g = emptied(g); g != "" {
				*at(s) = append(*at(s), g)
			}
		}
		return nil
	}
	return sheetField[S]{name, usage + "; once for each line", set}
}

// sheetOf is a field that names another sheet.
func sheetOf[S office.Sheet](kind office.Kind, usage string, at func(*S) *store.ID) sheetField[S] {
	return sheetField[S]{string(kind), usage, func(s *S, given []string, refer func(office.Kind, string) (store.ID, error)) (err error) {
		*at(s) = ""
		if text := emptied(given[len(given)-1]); text != "" {
			*at(s), err = refer(kind, text)
		}
		return err
	}}
}

// yesOf is a field that is yes or no.
func yesOf[S office.Sheet](name, usage string, at func(*S) *bool) sheetField[S] {
	return sheetField[S]{name, usage + ": yes or no", func(s *S, given []string, _ func(office.Kind, string) (store.ID, error)) error {
		text := given[len(given)-1]
		if text != "yes" && text != "no" {
			return coded{exitUsage, fmt.Errorf("--%s is yes or no, not %q", name, text)}
		}
		*at(s) = text == "yes"
		return nil
	}}
}

// emptied is a text, or none where it is given as "-".
func emptied(s string) string {
	if s == "-" {
		return ""
	}
	return s
}

func jobFields() []sheetField[office.Job] {
	return []sheetField[office.Job]{
		sheetOf(office.KindCustomer, "name or id of the customer", func(j *office.Job) *store.ID { return &j.Customer }),
		sheetOf(office.KindSite, "name or id of the site", func(j *office.Job) *store.ID { return &j.Site }),
		lineOf("ordered", "day on which the goods were ordered", func(j *office.Job) *string { return &j.Ordered }),
		lineOf("note", "note", func(j *office.Job) *string { return &j.Note }),
		{"waits", "what it waits for, with a day behind a bar: \"customer decides|2026-06-03\"; once for each line",
			func(j *office.Job, given []string, _ func(office.Kind, string) (store.ID, error)) error {
				j.Awaits = nil
				for _, g := range given {
					if what, by, _ := strings.Cut(emptied(g), "|"); what != "" {
						j.Awaits = append(j.Awaits, office.Awaited{What: strings.TrimSpace(what), By: strings.TrimSpace(by)})
					}
				}
				return nil
			}},
	}
}

func customerFields() []sheetField[office.Customer] {
	return []sheetField[office.Customer]{
		lineOf("name", "name", func(c *office.Customer) *string { return &c.Name }),
		linesOf("address", "address", func(c *office.Customer) *[]string { return &c.Address }),
		lineOf("telephone", "telephone", func(c *office.Customer) *string { return &c.Telephone }),
		lineOf("mail", "address for mail", func(c *office.Customer) *string { return &c.Mail }),
		lineOf("note", "note", func(c *office.Customer) *string { return &c.Note }),
		yesOf("away", "put away, no longer offered", func(c *office.Customer) *bool { return &c.Away }),
	}
}

func siteFields() []sheetField[office.Site] {
	return []sheetField[office.Site]{
		lineOf("name", "name", func(s *office.Site) *string { return &s.Name }),
		linesOf("address", "address", func(s *office.Site) *[]string { return &s.Address }),
		lineOf("access", "how one gets on the roof", func(s *office.Site) *string { return &s.Access }),
		lineOf("place", "latitude and longitude in degrees, \"51.5010, -0.1416\"", func(s *office.Site) *string { return &s.Place }),
		lineOf("note", "note", func(s *office.Site) *string { return &s.Note }),
		yesOf("away", "put away, no longer offered", func(s *office.Site) *bool { return &s.Away }),
	}
}

func crewFields() []sheetField[office.Crew] {
	return []sheetField[office.Crew]{
		lineOf("name", "name", func(c *office.Crew) *string { return &c.Name }),
		linesOf("people", "who is in it", func(c *office.Crew) *[]string { return &c.People }),
		linesOf("works", "day of the week on which it works, as Mon (without any: Monday to Friday)",
			func(c *office.Crew) *[]string { return &c.Works }),
		lineOf("mark", "1 to 3 letters or digits that stand for it", func(c *office.Crew) *string { return &c.Mark }),
		lineOf("note", "note", func(c *office.Crew) *string { return &c.Note }),
		yesOf("away", "put away, no longer offered", func(c *office.Crew) *bool { return &c.Away }),
	}
}

func dayFields() []sheetField[office.Day] {
	return []sheetField[office.Day]{
		sheetOf(office.KindJob, "id of the job", func(d *office.Day) *store.ID { return &d.Job }),
		sheetOf(office.KindCrew, "mark, name or id of the crew", func(d *office.Day) *store.ID { return &d.Crew }),
		lineOf("date", "day, as 2026-06-03", func(d *office.Day) *string { return &d.Date }),
		lineOf("part", "whole, morning or afternoon", func(d *office.Day) *string { return (*string)(&d.Part) }),
		lineOf("note", "note", func(d *office.Day) *string { return &d.Note }),
		yesOf("off", "taken off the calendar", func(d *office.Day) *bool { return &d.Off }),
	}
}

// sheetCommand lists the sheets of a kind, shows one, begins one, or changes one.
func sheetCommand[S office.Sheet](kind office.Kind, short string, fields []sheetField[S]) *cobra.Command {
	var where keeping
	var who, what string
	var asJSON bool
	given := make([][]string, len(fields))
	cmd := &cobra.Command{
		Use:   string(kind) + " [ID] --data DIR",
		Short: short,
		Long: short + `. Without an ID and without a field all are listed, or one is begun of the fields that are
given; with an ID it is shown, or the fields that are given are changed. A field that is given as - is emptied. A name, a mark or
the beginning of an id will do for an ID where no other has it.`,
		Args: arguments(cobra.MaximumNArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return withOffice(cmd.Context(), &where, func(jobs store.Store, desk office.Keeper) error {
				w := writer[S]{kind: kind, fields: fields, given: given, jobs: jobs, desk: desk, who: who, what: what}
				list, err := w.run(cmd.Context(), args)
				if err != nil {
					return err
				}
				if asJSON {
					return printJSON(cmd.OutOrStdout(), list)
				}
				return printSheets(cmd.OutOrStdout(), list)
			})
		},
	}
	addKeeping(cmd, &where)
	addWho(cmd, &who)
	cmd.Flags().StringVar(&what, "what", "", "what was done, in a few words")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	for i, f := range fields {
		cmd.Flags().StringArrayVar(&given[i], f.name, nil, f.usage)
	}
	return cmd
}

// writer does what a call for sheets of a kind asks.
type writer[S office.Sheet] struct {
	kind      office.Kind
	fields    []sheetField[S]
	given     [][]string
	jobs      store.Store
	desk      office.Keeper
	who, what string
}

// run lists, shows, begins or changes, and gives the sheets to be shown.
func (w *writer[S]) run(ctx context.Context, args []string) ([]office.Record, error) {
	var names []string
	for i, g := range w.given {
		if len(g) > 0 {
			names = append(names, w.fields[i].name)
		}
	}
	switch {
	case len(args) == 0 && len(names) == 0 && w.kind != office.KindJob:
		return w.desk.Sheets(ctx, office.Ask{Kind: w.kind})
	case len(args) == 0 && w.kind == office.KindJob:
		return nil, coded{exitUsage, errNoFields}
	}
	change := office.Change{ID: store.NewID(), When: time.Now(), Who: w.who, What: "begun"}
	now := office.Record{}
	if len(args) == 1 {
		id, err := theSheet(ctx, w.jobs, w.desk, w.kind, args[0])
		if err != nil {
			return nil, err
		}
		if now, err = w.desk.Sheet(ctx, w.kind, id); err != nil || len(names) == 0 {
			return []office.Record{now}, err
		}
		change.ID, change.BasedOn, change.What = id, now.Version, "changed: "+strings.Join(names, ", ")
	}
	if w.what != "" {
		change.What = w.what
	}
	err := w.fill(ctx, &change, now)
	if err != nil {
		return nil, err
	}
	kept, err := w.desk.Put(ctx, change)
	return []office.Record{kept}, err
}

// fill puts the fields that are given on top of a sheet as it is now.
func (w *writer[S]) fill(ctx context.Context, change *office.Change, now office.Record) error {
	sheet, _ := now.Sheet.(S)
	refer := func(kind office.Kind, text string) (store.ID, error) {
		return theSheet(ctx, w.jobs, w.desk, kind, text)
	}
	for i, f := range w.fields {
		if len(w.given[i]) == 0 {
			continue
		}
		if err := f.set(&sheet, w.given[i], refer); err != nil {
			return err
		}
	}
	change.Sheet = sheet
	return nil
}
