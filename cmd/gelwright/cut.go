package main

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/cutting"
)

func cutCommand() *cobra.Command {
	var stocks []string
	var kerf, keep int
	var sheets sheetOrder
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "cut PIECES.csv --stock LENGTH[,…] | --sheet LENGTHxWIDTH[,…]",
		Short: "Cut any list of lengths or panels from stock with the least bought, and the proof",
		Long: `Cut lengths from stock lengths. PIECES.csv has lines "name,length_mm,count"; '-' reads
standard input. --stock takes lengths parted by commas, or is given again for each; one is LENGTH_MM, or LENGTH_MM:COST, or LENGTH_MM:COST:AVAILABLE
(an offcut in hand). Prints the plan, the proven lower bound and the gap.

With --sheet it cuts panels from sheets, edge to edge: PIECES.csv then has lines
"name,length_mm,width_mm,count", and each --sheet is LENGTHxWIDTH, with :COST and :AVAILABLE
as above. --rotate lets panels lie across the sheet; --out draws the cutting diagram.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			var p cutting.Problem
			p.KerfMM, p.KeepMM = kerf, keep
			for _, s := range strings.Split(strings.Join(stocks, ","), ",") {
				if strings.TrimSpace(s) == "" {
					continue
				}
				stock, err := parseStock(s)
				if err != nil {
					return coded{exitUsage, err}
				}
				p.Stocks = append(p.Stocks, stock)
			}
			if len(sheets.sheets) > 0 && len(p.Stocks) > 0 {
				return coded{exitUsage, errors.New("give either --stock lengths or --sheet sizes, not both")}
			}
			if len(p.Stocks) == 0 && len(sheets.sheets) == 0 {
				return coded{exitUsage, errors.New("give at least one --stock length in mm, or --sheet size: --stock 3000, --sheet 2440x1220")}
			}
			in := cmd.InOrStdin()
			if args[0] != "-" {
				f, err := os.Open(args[0])
				if err != nil {
					return opening("list of pieces", args[0], err)
				}
				defer f.Close()
				in = f
			}
			if len(sheets.sheets) > 0 {
				sheets.kerf, sheets.keep, sheets.asJSON = kerf, keep, asJSON
				return cutSheets(cmd.Context(), args[0], in, cmd.OutOrStdout(), sheets)
			}
			pieces, err := readPieces(args[0], in)
			if err != nil {
				return coded{exitFaults, err}
			}
			p.Pieces = pieces
			plan, err := cutting.Solve(cmd.Context(), p)
			if err != nil {
				return coded{exitFaults, err}
			}
			w := cmd.OutOrStdout()
			if asJSON {
				raw, err := json.MarshalIndent(plan, "", " ")
				if err != nil {
					return err
				}
				_, err = fmt.Fprintln(w, string(raw))
				return err
			}
			return printCut(w, plan)
		},
	}
	f := cmd.Flags()
	f.StringArrayVar(&stocks, "stock", nil, "stock lengths in mm, each with cost and how many in hand: 4800,3000:12.50:4")
	f.StringArrayVar(&sheets.sheets, "sheet", nil, "sheet sizes in mm, each with cost and how many in hand: 2440x1220:28.50:4")
	f.BoolVar(&sheets.rotate, "rotate", false, "panels may lie across the sheet")
	f.StringVar(&sheets.out, "out", "", "draw the cutting diagram of sheets into this SVG file")
	f.IntVar(&kerf, "kerf", 0, "width of the saw cut, mm")
	f.IntVar(&keep, "keep", 0, "shortest offcut worth keeping, mm")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

func printCut(w io.Writer, plan cutting.Plan) error {
	bars := 0
	for _, b := range plan.Bars {
		bars += b.Count
		var cuts []string
		for _, c := range b.Cuts {
			cuts = append(cuts, fmt.Sprintf("%d× %s %d", c.Count, c.Piece, c.LengthMM))
		}
		if _, err := fmt.Fprintf(w, "%4d × %d mm: %s; left %d mm\n", b.Count, b.LengthMM, strings.Join(cuts, ", "), b.OffcutMM); err != nil {
			return err
		}
	}
	proof := fmt.Sprintf("at most %g more than the least (bound %g)", plan.Gap, plan.LowerBound)
	if plan.Optimal {
		proof = "proven least"
	}
	_, err := fmt.Fprintf(w, "%d lengths, cost %g, %s; %s\n", bars, plan.Cost, proof, plan.Note)
	return err
}

func parseStock(text string) (cutting.Stock, error) {
	parts := strings.Split(text, ":")
	bad := func() (cutting.Stock, error) {
		return cutting.Stock{}, fmt.Errorf("stock %q: write LENGTH_MM, LENGTH_MM:COST or LENGTH_MM:COST:AVAILABLE, as 3000:12.50:4", text)
	}
	if len(parts) > 3 {
		return bad()
	}
	length, err := strconv.Atoi(strings.TrimSpace(parts[0]))
	if err != nil {
		return bad()
	}
	s := cutting.Stock{Name: parts[0], LengthMM: length, Cost: 1, Available: -1}
	if len(parts) > 1 {
		if s.Cost, err = strconv.ParseFloat(parts[1], 64); err != nil {
			return bad()
		}
	}
	if len(parts) > 2 {
		if s.Available, err = strconv.Atoi(parts[2]); err != nil {
			return bad()
		}
	}
	return s, nil
}

// readPieces reads name,length_mm,count; a first line without numbers is a head.
func readPieces(name string, r io.Reader) ([]cutting.Piece, error) {
	c := csv.NewReader(io.LimitReader(r, 8<<20))
	c.FieldsPerRecord = -1
	c.TrimLeadingSpace = true
	c.Comment = '#'
	var pieces []cutting.Piece
	var faults []string
	for {
		row, err := c.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		line, _ := c.FieldPos(0)
		if len(row) != 3 {
			faults = append(faults, fmt.Sprintf("%s:%d: %d fields: write name,length_mm,count", name, line, len(row)))
			continue
		}
		length, err1 := strconv.Atoi(strings.TrimSpace(row[1]))
		count, err2 := strconv.Atoi(strings.TrimSpace(row[2]))
		if err1 != nil || err2 != nil {
			if len(pieces) == 0 && line == 1 {
				continue
			}
			faults = append(faults, fmt.Sprintf("%s:%d: length %q and count %q must be whole numbers", name, line, row[1], row[2]))
			continue
		}
		pieces = append(pieces, cutting.Piece{Name: row[0], LengthMM: length, Count: count})
	}
	if len(faults) > 0 {
		return nil, errors.New(strings.Join(faults, "\n"))
	}
	if len(pieces) == 0 {
		return nil, fmt.Errorf("%s: no pieces: write lines name,length_mm,count", name)
	}
	return pieces, nil
}
