package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"gelwright/firmfile"
	"gelwright/rooffile"
)

func schemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:       "schema [roof|firm]",
		Short:     "Print the JSON Schema of the roof file or the firm file",
		ValidArgs: []string{"roof", "firm"},
		Args:      arguments(cobra.MatchAll(cobra.MaximumNArgs(1), cobra.OnlyValidArgs)),
		RunE: func(cmd *cobra.Command, args []string) error {
			make := rooffile.Schema
			if len(args) == 1 && args[0] == "firm" {
				make = firmfile.Schema
			}
			raw, err := make()
			if err != nil {
				return err
			}
			_, err = fmt.Fprintln(cmd.OutOrStdout(), string(raw))
			return err
		},
	}
}
