package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"gelwright/document"
	"gelwright/plan"
)

func papersCommand() *cobra.Command {
	var out, tongue string
	var quiet, pictures bool
	cmd := &cobra.Command{
		Use:   "papers PLAN.json --out FOLDER",
		Short: "Make the papers of a stored plan again, as they were when it was planned",
		Long: `Make the job pack, the drawings, the labels and the lists of a plan that 'gelwright plan --out' has
stored as plan.json, as they were when it was planned: nothing is worked out anew.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return coded{exitUsage, errors.New("give the folder for the papers: --out FOLDER")}
			}
			p, err := readPlan(args[0], cmd.InOrStdin())
			if err != nil {
				return err
			}
			if err := speak(&p.Job, tongue); err != nil {
				return err
			}
			o := document.Options{Pictures: pictures}
			if !quiet {
				o.Progress = func(step string) { fmt.Fprintf(cmd.ErrOrStderr(), "  %s …\n", step) }
			}
			return writePack(cmd.Context(), p, out, o)
		},
	}
	f := cmd.Flags()
	f.StringVarP(&out, "out", "o", "", "folder to write the papers into")
	addLanguage(f, &tongue)
	f.BoolVarP(&quiet, "quiet", "q", false, "no progress")
	f.BoolVar(&pictures, "png", false, "write every drawing as a PNG picture too")
	_ = cmd.MarkFlagDirname("out")
	return cmd
}

// readPlan reads a stored plan; "-" is standard input.
func readPlan(path string, in io.Reader) (*plan.Plan, error) {
	name, reader, shut, err := open("plan", path, in)
	if err != nil {
		return nil, err
	}
	defer shut()
	raw, err := io.ReadAll(io.LimitReader(reader, plan.MostBytes+1))
	if err != nil {
		return nil, opening("plan", path, err)
	}
	p, err := plan.Read(bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf")))
	if err != nil {
		return nil, coded{exitFaults, fmt.Errorf("%s: %w", name, err)}
	}
	return p, nil
}
