package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"gelwright/firmfile"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/web"
)

func schemaCommand() *cobra.Command {
	var page bool
	cmd := &cobra.Command{
		Use:   "schema [roof|firm|plan|api]",
		Short: "Print the JSON Schema of the roof file, the firm file or a stored plan, or the description of the API",
		Long: `Print the JSON Schema of the roof file (or of the firm file, or of a stored plan), for editors that complete and
check. api prints the description of what a server can be asked, OpenAPI 3.1. --page prints a schema
as a page for people, in Markdown: every field with what it means, its unit, what may be written,
what is taken when it is left out, and an example.`,
		ValidArgs: []string{"roof", "firm", "plan", "api"},
		Args:      arguments(cobra.MatchAll(cobra.MaximumNArgs(1), cobra.OnlyValidArgs)),
		RunE: func(cmd *cobra.Command, args []string) error {
			what := "roof"
			if len(args) == 1 {
				what = args[0]
			}
			print := schemas[what].text
			if page {
				if print = schemas[what].page; print == nil {
					return coded{exitUsage, errors.New(schemas[what].noPage)}
				}
			}
			text, err := print()
			if err != nil {
				return err
			}
			_, err = fmt.Fprint(cmd.OutOrStdout(), text)
			return err
		},
	}
	cmd.Flags().BoolVar(&page, "page", false, "print a page for people, in Markdown")
	return cmd
}

// schemas are what can be printed: as JSON, and as a page for people or why there is none.
var schemas = map[string]struct {
	text, page func() (string, error)
	noPage     string
}{
	"roof": {line(rooffile.Schema), rooffile.Page, ""},
	"firm": {line(firmfile.Schema), firmfile.Page, ""},
	"plan": {line(plan.Schema), nil, "a stored plan is written by programs: it has a schema and no page"},
	"api":  {line(web.Description), nil, "the API has a description and no page: docs/api.md tells how to ask"},
}

// line is a text that ends as a line does.
func line(of func() ([]byte, error)) func() (string, error) {
	return func() (string, error) {
		raw, err := of()
		return string(raw) + "\n", err
	}
}
