package main

import (
	"errors"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/rooffile"
)

func surveyCommand() *cobra.Command {
	var walk string
	var lengths []string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "survey ROOF.yaml | --walk SIDES [--length A-C=7.88 …]",
		Short: "Does the tape close: the outline that fits it best, and what to measure again",
		Long: `Adjusts the survey of a roof file, or a walk as it is called out, to the outline that fits all of it
best: whether it closes and by how much, how far each corner may be off, which reading is likeliest wrong, what no
reading checks, and which length would check it. --walk "7.20 left 3.20 left 4.00 right 2.40 left 3.20 left 5.60 left"
takes sides in metres (? for one out of reach) and turns: left and right for corners that look square, left 45° for
others, left free where only the side is known. Exit code 4: it does not close.`,
		Args: arguments(cobra.MaximumNArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			list, err := surveys(cmd, args, walk, lengths)
			if err != nil {
				return err
			}
			if asJSON {
				err = printJSON(cmd.OutOrStdout(), list)
			} else {
				err = printSurveys(cmd.OutOrStdout(), list)
			}
			if err != nil {
				return err
			}
			return desk.Closed(list)
		},
	}
	cmd.Flags().StringVar(&walk, "walk", "", "the sides and turns as they are called out, once round")
	cmd.Flags().StringArrayVar(&lengths, "length", nil, "a length measured besides, by its corners: A-C=7.88; may be given again")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// surveys are those of a file, or of the walk in the call.
func surveys(cmd *cobra.Command, args []string, walk string, lengths []string) ([]desk.SurveyDeck, error) {
	switch {
	case walk != "" && len(args) > 0:
		return nil, coded{exitUsage, errors.New("give either a roof file or --walk, not both")}
	case walk != "":
		s, err := desk.Walked(cmd.Context(), walk, lengths)
		return []desk.SurveyDeck{s}, err
	case len(args) == 0:
		return nil, coded{exitUsage, errors.New(
			`name a roof file with a survey, or call the walk: --walk "4.20 left 3.10 left 4.20 left 3.10 left"`)}
	case len(lengths) > 0:
		return nil, coded{exitUsage, errors.New("--length goes with --walk; in a roof file lengths stand under measured")}
	}
	name, reader, shut, err := open("roof file", args[0], cmd.InOrStdin())
	if err != nil {
		return nil, err
	}
	defer shut()
	taped, err := rooffile.Surveys(name, reader)
	if err != nil {
		return nil, coded{exitFaults, err}
	}
	var out []desk.SurveyDeck
	for _, t := range taped {
		out = append(out, desk.SurveyDeck{Deck: "deck " + t.Deck, Survey: t.Survey})
	}
	return out, nil
}
