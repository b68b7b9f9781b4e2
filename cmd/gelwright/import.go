package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/rooffile"
	"gelwright/tracing"
)

func importCommand() *cobra.Command {
	var unit, layer, out string
	cmd := &cobra.Command{
		Use:   "import DRAWING.dxf|OUTLINE.geojson|POINTS.csv|LENGTHS.csv",
		Short: "Begin a roof file from a drawing, an outline, a list of points or of lengths",
		Long: `Takes the closed outlines of a drawing (DXF, text form: lines, polylines with arcs, arcs, circles, blocks), GeoJSON
polygons (degrees or metres), a list of points (x,y or name,x,y) or of taped lengths (from,to,length: the sides once
round, then diagonals), and writes the beginning of a roof file: an outline within another is an opening, and "ask" stands
for what a drawing does not say. What is not understood is named with its line and left out. --unit says the unit where the
file does not; --layer takes one layer alone.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, err := importFile(args[0], unit, layer, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			if out == "" {
				_, err = cmd.OutOrStdout().Write(text)
				return err
			}
			if err := writeNew(out, text); err != nil {
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "%s is begun; gelwright check %s says what is still missing\n", out, out)
			return err
		},
	}
	cmd.Flags().StringVar(&unit, "unit", "", "unit of the coordinates or lengths, where the file names none: "+
		strings.Join(tracing.Units(), ", "))
	cmd.Flags().StringVar(&layer, "layer", "", "the one layer of the drawing that holds the outline")
	cmd.Flags().StringVarP(&out, "out", "o", "", "roof file to write; one that is there is never written over")
	return cmd
}

// mostImported is how large a drawing may be, bytes.
const mostImported = 64 << 20

func importFile(path, unit, layer string, notes io.Writer) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, opening("drawing", path, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostImported+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", filepath.Base(path), err)
	}
	if len(data) > mostImported {
		return nil, coded{exitFaults, fmt.Errorf("%s is larger than 64 MB: save the roof's layer alone", filepath.Base(path))}
	}
	text, err := imported(filepath.Base(path), data, unit, layer, notes)
	var fault *tracing.Fault
	if errors.As(err, &fault) {
		return nil, coded{exitFaults, fmt.Errorf("%s: %w", filepath.Base(path), err)}
	}
	return text, err
}

// imported is the roof file that a file of a kind begins.
func imported(file string, data []byte, unit, layer string, notes io.Writer) ([]byte, error) {
	kind := strings.ToLower(filepath.Ext(file))
	name, date := strings.TrimSuffix(file, filepath.Ext(file)), time.Now().Format(time.DateOnly)
	var t tracing.Traced
	var err error
	switch {
	case kind == ".dxf":
		t, err = tracing.DXF(data, unit, layer)
	case kind == ".geojson" || kind == ".json":
		t, err = tracing.GeoJSON(data)
	case kind != ".csv" && kind != ".txt":
		return nil, coded{exitUsage, fmt.Errorf("%s: a %q is not read here: give a .dxf, .geojson or .csv", file, kind)}
	case tracing.Taped(data):
		walk, more, err := tracing.Lengths(bytes.NewReader(data), unit)
		if err != nil {
			return nil, err
		}
		return rooffile.SketchWalk(walk, more, name, date, file), nil
	default:
		t, err = tracing.Points(bytes.NewReader(data), unit)
	}
	const told = 10
	for _, l := range t.Left[:min(len(t.Left), told)] {
		fmt.Fprintf(notes, "%s: left out: %s\n", file, l)
	}
	if more := len(t.Left) - told; more > 0 {
		fmt.Fprintf(notes, "%s: left out: %d things more; --layer takes the layer of the roof alone\n", file, more)
	}
	if err != nil {
		return nil, err
	}
	return rooffile.Sketch(t, name, date, file), nil
}

// writeNew writes a file that is not there yet, whole or not at all.
func writeNew(path string, text []byte) error {
	return newFile(path, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// newFile has a file written that is not there yet, whole or not at all.
func newFile(path string, content func(w io.Writer) error) error {
	return keepFile(path, 0o644, func(f *os.File) error { return content(f) })
}

// keepFile writes a file that may be read by those that mode says, whole and through to the disk or not at all.
func keepFile(path string, mode os.FileMode, content func(f *os.File) error) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s is there already: name another file", path)
	}
	tmp, err := os.CreateTemp(filepath.Dir(path), ".writing-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	err = content(tmp)
	if err := errors.Join(err, tmp.Chmod(mode), tmp.Sync(), tmp.Close()); err != nil {
		return err
	}
	// A link fails where a file has come meanwhile; a rename would write over it.
	if err := os.Link(tmp.Name(), path); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}
