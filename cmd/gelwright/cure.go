package main

import (
	"github.com/spf13/cobra"

	"gelwright/desk"
)

func cureCommand() *cobra.Command {
	var g givenFlags
	var out string
	var asJSON, explain bool
	cmd := &cobra.Command{
		Use:   "cure ROOF.yaml",
		Short: "When each pass is hard: to walk on, to sand, to coat, safe from rain",
		Long: `How the laminate and the top coat of a roof harden at the day's temperatures: for each
pass the range of every milestone, counted from the mixing of its last bucket, the film's
own warmth, and what its largest bucket does when it is left standing. With --out the
curves and the weighing of doses are written as SVG, PNG and PDF.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			given, err := g.read(cmd, args[0])
			if err != nil {
				return err
			}
			given.Weigh = out != ""
			a, err := desk.Hardens(cmd.Context(), given)
			if err != nil {
				return err
			}
			if out != "" {
				if err := writeCure(cmd.Context(), a.Plan, out); err != nil {
					return err
				}
			}
			if asJSON {
				err = printJSON(cmd.OutOrStdout(), a)
			} else {
				err = printCure(cmd.OutOrStdout(), a, out, explain)
			}
			if err != nil {
				return err
			}
			return a.Refused()
		},
	}
	f := cmd.Flags()
	f.StringVarP(&out, "out", "o", "", "folder to write the drawings into")
	g.addFirm(cmd, ": resin data, crew")
	g.addDay(cmd)
	f.BoolVar(&explain, "explain", false, "unfold the workings")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}
