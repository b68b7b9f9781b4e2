package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"gelwright/firmfile"
	"gelwright/plan"
	"gelwright/rooffile"
)

func schemaCommand() *cobra.Command {
	var page bool
	cmd := &cobra.Command{
		Use:   "schema [roof|firm|plan]",
		Short: "Print the JSON Schema of the roof file, the firm file or a stored plan",
		Long: `Print the JSON Schema of the roof file (or of the firm file, or of a stored plan), for editors that complete and
check. --page prints the same as a page for people, in Markdown: every field with what it
means, its unit, what may be written, what is taken when it is left out, and an example.`,
		ValidArgs: []string{"roof", "firm", "plan"},
		Args:      arguments(cobra.MatchAll(cobra.MaximumNArgs(1), cobra.OnlyValidArgs)),
		RunE: func(cmd *cobra.Command, args []string) error {
			schema, read := rooffile.Schema, rooffile.Page
			switch {
			case len(args) == 1 && args[0] == "firm":
				schema, read = firmfile.Schema, firmfile.Page
			case len(args) == 1 && args[0] == "plan" && page:
				return coded{exitUsage, errors.New("a stored plan is written by programs: it has a schema and no page")}
			case len(args) == 1 && args[0] == "plan":
				schema = plan.Schema
			}
			if page {
				text, err := read()
				if err != nil {
					return err
				}
				_, err = fmt.Fprint(cmd.OutOrStdout(), text)
				return err
			}
			raw, err := schema()
			if err != nil {
				return err
			}
			_, err = fmt.Fprintln(cmd.OutOrStdout(), string(raw))
			return err
		},
	}
	cmd.Flags().BoolVar(&page, "page", false, "print a page for people, in Markdown")
	return cmd
}
