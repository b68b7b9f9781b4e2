package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"gelwright/cure"
	"gelwright/firmfile"
	"gelwright/material"
	"gelwright/plan"
	"gelwright/quantity"
	"gelwright/roof"
	"gelwright/rooffile"
)

// readRoof reads a roof file; "-" is standard input. Warnings go to errs.
func readRoof(path string, in io.Reader, errs io.Writer) (roof.Job, error) {
	name, reader := filepath.Base(path), in
	if path == "-" {
		name = "standard input"
	} else {
		f, err := os.Open(path)
		if err != nil {
			return roof.Job{}, opening("roof file", path, err)
		}
		defer f.Close()
		reader = f
	}
	job, warnings, err := rooffile.ReadFrom(name, reader)
	for _, w := range warnings {
		fmt.Fprintln(errs, w.String())
	}
	if err != nil {
		return job, coded{exitFaults, err}
	}
	return job, nil
}

func opening(what, path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return coded{exitFaults, fmt.Errorf("%s: there is no such %s: check the name, or begin from one of the examples", path, what)}
	}
	return coded{exitFaults, fmt.Errorf("%s: %w", path, err)}
}

// readFirm reads a firm file; no path is no firm.
func readFirm(path string, errs io.Writer) (*firmfile.Firm, error) {
	if path == "" {
		return nil, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, opening("firm file", path, err)
	}
	defer f.Close()
	firm, warnings, err := firmfile.ReadFrom(filepath.Base(path), f)
	for _, w := range warnings {
		fmt.Fprintln(errs, w.String())
	}
	if err != nil {
		return nil, coded{exitFaults, err}
	}
	return &firm, nil
}

// inputOf lays the firm over catalogue and job.
func inputOf(job roof.Job, firm *firmfile.Firm) plan.Input {
	in := plan.Input{Job: job, Catalogue: material.Generic()}
	if firm == nil {
		return in
	}
	in.Catalogue = firm.Over(in.Catalogue)
	firm.Fill(&in.Job)
	in.Stock = plan.Stock{TrimLengthsM: firm.Stock.TrimLengthsM, KerfMM: firm.Stock.SawKerfMM, KeepOffcutM: firm.Stock.KeepOffcutM}
	for _, o := range firm.Offcuts {
		in.Stock.Offcuts = append(in.Stock.Offcuts, plan.Offcut{Item: o.Item, LengthM: o.LengthM, WidthM: o.WidthM, Count: o.Count, Where: o.Where})
	}
	if len(firm.Prices) > 0 {
		in.Prices = quantity.Prices{}
		for _, p := range firm.Prices {
			in.Prices[quantity.PriceKey{Material: p.Item, Quantity: p.Quantity}] = p.CostMinor
		}
	}
	return in
}

// withGel lays a learned gel law over the data sheet's.
func withGel(in *plan.Input, path string) error {
	learned, err := readGel(path)
	if err != nil || learned == nil {
		return err
	}
	if _, err := in.Catalogue.Resin(learned.ResinKey); err != nil {
		return coded{exitFaults, fmt.Errorf("%s: %w", filepath.Base(path), err)}
	}
	in.Gels = map[string]cure.Gel{learned.ResinKey: learned.Gel}
	return nil
}

// write puts a file in place whole or not at all: to a temporary name beside it, then
// renamed.
func write(path string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".writing-*")
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	defer os.Remove(f.Name())
	if _, err := f.Write(content); err != nil {
		f.Close()
		return fmt.Errorf("%s: %w", path, err)
	}
	if err := f.Close(); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}
