package main

import (
	"io"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/gelfile"
	"gelwright/material"
	"gelwright/working"
)

func learnCommand() *cobra.Command {
	var g givenFlags
	var resin string
	var asJSON, explain bool
	cmd := &cobra.Command{
		Use:   "learn LOG.csv",
		Short: "Learn a resin's gel from the gels that were logged",
		Long: `Learn from gels seen on site. The log is a CSV file with a heading and one gel a row:

  drum          name of the batch; may be empty
  temp_c        °C of the resin
  catalyst_pct  % by mass, or catalyst_ml beside mix_kg
  mix_kg        kilograms in the bucket; empty for a test cup
  gel_min       minutes from mixing to gel
  catalyst      slow, standard, fast, or its key; empty is the standard one

Further columns are passed over. A bucket heats itself, so its gel is first turned into
that of a cup. What is printed is how the gel range moved; entries that do not fit are
named. --json writes the learned law, which 'dose' and 'plan' take with --gel.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			cat, err := catalogueOf(g.firm, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			log, err := readLog(args[0], cmd.InOrStdin(), cat)
			if err != nil {
				return err
			}
			a, err := desk.Learn(cmd.Context(), cat, resin, log)
			if err != nil {
				return err
			}
			if asJSON {
				return printJSON(cmd.OutOrStdout(), a.Law)
			}
			if err := printLearned(cmd.OutOrStdout(), a); err != nil || !explain {
				return err
			}
			for _, fig := range a.Law.Learned.Figures {
				if err := working.Unfold(cmd.OutOrStdout(), fig); err != nil {
					return err
				}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&resin, "resin", desk.UsualResin, "resin of the catalogue that was logged")
	g.addFirm(cmd, ", with its resin's gel points")
	f.BoolVar(&asJSON, "json", false, "write the learned law as JSON")
	f.BoolVar(&explain, "explain", false, "unfold the workings")
	return cmd
}

// readLog reads a log of gels; "-" is standard input.
func readLog(path string, in io.Reader, cat material.Catalogue) (*gelfile.Log, error) {
	name, r, shut, err := open("gel log", path, in)
	if err != nil {
		return nil, err
	}
	defer shut()
	density, err := desk.CatalystGPerML(cat)
	if err != nil {
		return nil, err
	}
	log, err := gelfile.ReadLog(name, r, density)
	if err != nil {
		return nil, coded{exitFaults, err}
	}
	return log, nil
}
