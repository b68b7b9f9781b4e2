package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"gelwright/cutting"
	"gelwright/desk"
	"gelwright/scene/svg"
)

// cutFlags are what is asked of lengths or of sheets.
type cutFlags struct {
	stocks, sheets []string
	kerf, keep     int
	effort         int
	rotate, asJSON bool
	noKerf         bool // nobody gave one
	out            string
}

func cutCommand() *cobra.Command {
	var c cutFlags
	cmd := &cobra.Command{
		Use:   "cut PIECES.csv --stock LENGTH[,…] | --sheet LENGTHxWIDTH[,…]",
		Short: "Cut any list of lengths or panels from stock with the least bought, and the proof",
		Long: `Cut lengths from stock lengths. PIECES.csv has lines "name,length_mm,count"; '-' reads
standard input. --stock takes lengths parted by commas, or is given again for each; one is
LENGTH_MM, or LENGTH_MM:COST, or LENGTH_MM:COST:AVAILABLE (an offcut in hand). Prints the
plan, the proven lower bound and the gap.

With --sheet it cuts panels from sheets, edge to edge: PIECES.csv then has lines
"name,length_mm,width_mm,count", and each --sheet is LENGTHxWIDTH, with :COST and :AVAILABLE
as above. --rotate lets panels lie across the sheet; --out draws the cutting diagram.

A plan that is not proven says how far from the least it may be: --effort 10 looks ten times
as long for a better plan or a better bound.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			c.noKerf = !cmd.Flags().Changed("kerf")
			stocks, err := stocksOf(c.stocks)
			if err != nil {
				return err
			}
			sheets, err := sheetsOf(c.sheets)
			switch {
			case err != nil:
				return err
			case len(sheets) > 0 && len(stocks) > 0:
				return coded{exitUsage, errors.New("give either --stock lengths or --sheet sizes, not both")}
			case len(sheets) == 0 && len(stocks) == 0:
				return coded{exitUsage, errors.New("give at least one --stock length in mm, or --sheet size: --stock 3000, --sheet 2440x1220")}
			}
			if c.out != "" && len(sheets) == 0 {
				return coded{exitUsage, errors.New("--out draws sheets: give it with --sheet, or leave it out")}
			}
			name, in, shut, err := open("list of pieces", args[0], cmd.InOrStdin())
			if err != nil {
				return err
			}
			defer shut()
			if len(sheets) > 0 {
				return c.cutSheets(cmd, name, in, sheets)
			}
			return c.cutLengths(cmd, name, in, stocks)
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&c.stocks, "stock", nil, "stock lengths in mm, each with cost and how many in hand: 4800,3000:12.50:4")
	f.StringArrayVar(&c.sheets, "sheet", nil, "sheet sizes in mm, each with cost and how many in hand: 2440x1220:28.50:4")
	f.BoolVar(&c.rotate, "rotate", false, "panels may lie across the sheet")
	f.StringVar(&c.out, "out", "", "draw the cutting diagram of sheets into this SVG file")
	addCount(f, &c.kerf, "kerf", 0, sawCut, "width of the saw cut, mm, such as 3 (none is reckoned with)")
	addCount(f, &c.keep, "keep", 0, offcut, fmt.Sprintf("shortest offcut worth keeping, mm (of lengths none is sought; of sheets what is "+
		"narrower than %d is not listed, 0 lists all)", desk.LeastKeepMM))
	addCount(f, &c.effort, "effort", 1, effort, "how many times the usual steps are spent before a hard order is left open, 1 to 100")
	f.BoolVar(&c.asJSON, "json", false, "print JSON")
	return cmd
}

// cutLengths reads pieces, cuts them from lengths and prints the plan.
func (c *cutFlags) cutLengths(cmd *cobra.Command, name string, in io.Reader, stocks []cutting.Stock) error {
	pieces, err := readPieces(name, in)
	if err != nil {
		return coded{exitFaults, err}
	}
	plan, err := desk.Cut(cmd.Context(), cutting.Problem{Pieces: pieces, Stocks: stocks, KerfMM: c.kerf, KeepMM: c.keep,
		Effort: c.effort})
	if err != nil {
		return err
	}
	if c.asJSON {
		return printJSON(cmd.OutOrStdout(), plan)
	}
	return c.printCut(cmd.OutOrStdout(), plan)
}

// cutSheets reads panels, cuts them from sheets and prints or draws the plan.
func (c *cutFlags) cutSheets(cmd *cobra.Command, name string, in io.Reader, sheets []cutting.Sheet) error {
	panels, err := readPanels(name, in, c.rotate)
	if err != nil {
		return coded{exitFaults, err}
	}
	keep := c.keep
	if !cmd.Flags().Changed("keep") {
		keep = desk.LeastKeepMM
	}
	plan, err := desk.CutSheets(cmd.Context(), cutting.SheetProblem{Panels: panels, Sheets: sheets,
		KerfMM: c.kerf, KeepLengthMM: keep, KeepWidthMM: keep, Effort: c.effort})
	if err != nil {
		return err
	}
	if c.out != "" {
		if err := deliverFile(c.out, svg.Bytes(drawSheets(plan), svg.Options{}), "<title>Cutting of sheets</title>"); err != nil {
			return err
		}
	}
	if c.asJSON {
		return printJSON(cmd.OutOrStdout(), plan)
	}
	return c.printSheets(cmd.OutOrStdout(), plan)
}
