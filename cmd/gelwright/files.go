package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/gelfile"
	"gelwright/material"
	"gelwright/roof"
	"gelwright/rooffile"
)

// givenFlags are what a question about a roof is asked on, besides the roof file.
type givenFlags struct {
	firm, gel    string
	cup, coatCup string
	tempC        float64
}

// addFirm adds --firm.
func (g *givenFlags) addFirm(cmd *cobra.Command, what string) {
	cmd.Flags().StringVar(&g.firm, "firm", "", "the firm's own file"+what)
}

// addGels adds what is known of the drums in use: --gel, --cup and --coat-cup.
func (g *givenFlags) addGels(cmd *cobra.Command) {
	cmd.Flags().StringVar(&g.gel, "gel", "", "a gel law that 'learn --json' has written")
	cmd.Flags().StringVar(&g.cup, "cup", "", "a test cup of the laminating resin, timed today: '23 min at 15 C, 2 %'")
	cmd.Flags().StringVar(&g.coatCup, "coat-cup", "", "a test cup of the top coat, in the same words")
}

// addDay adds what addGels does, and --temp.
func (g *givenFlags) addDay(cmd *cobra.Command) {
	g.addGels(cmd)
	addAmount(cmd.Flags(), &g.tempC, "temp", 0, degrees, "temperature of deck and resin, °C, in place of the file's")
}

// read reads the roof file and what its flags name.
func (g *givenFlags) read(cmd *cobra.Command, path string) (desk.Given, error) {
	var out desk.Given
	var err error
	if f := cmd.Flags().Lookup("forecast"); path == "-" && f != nil && f.Value.String() == "-" {
		return out, coded{exitUsage, errors.New("roof file and forecast cannot both be read from standard input: name one of them")}
	}
	if out.Job, err = readRoof(path, cmd.InOrStdin(), cmd.ErrOrStderr()); err != nil {
		return out, err
	}
	if out.Firm, err = readFirm(g.firm, cmd.ErrOrStderr()); err != nil {
		return out, err
	}
	if out.Gel, err = readGel(g.gel); err != nil {
		return out, err
	}
	if out.Cup, err = cupOf("cup", g.cup); err != nil {
		return out, err
	}
	if out.CoatCup, err = cupOf("coat-cup", g.coatCup); err != nil {
		return out, err
	}
	out.TempC = given(cmd, "temp", &g.tempC)
	return out, nil
}

// cupOf reads a test cup; no text is no cup.
func cupOf(option, text string) (*roof.Cup, error) {
	if text == "" {
		return nil, nil
	}
	c, err := roof.ParseCup(text)
	if err != nil {
		return nil, coded{exitUsage, fmt.Errorf("--%s: %w", option, err)}
	}
	return &c, nil
}

// given is the value of a flag that was set, nil of one that was not.
func given[V any](cmd *cobra.Command, name string, value *V) *V {
	if cmd.Flags().Changed(name) {
		return value
	}
	return nil
}

// readRoof reads a roof file; "-" is standard input. Warnings go to errs.
func readRoof(path string, in io.Reader, errs io.Writer) (roof.Job, error) {
	name, reader, shut, err := open("roof file", path, in)
	if err != nil {
		return roof.Job{}, err
	}
	defer shut()
	job, warnings, err := rooffile.ReadFrom(name, reader)
	for _, w := range warnings {
		fmt.Fprintln(errs, w.String())
	}
	if err != nil {
		return job, coded{exitFaults, err}
	}
	return job, nil
}

// open opens a file to read under the name that its faults bear; "-" is standard input.
func open(what, path string, in io.Reader) (name string, r io.Reader, shut func(), err error) {
	if path == "-" {
		return "standard input", in, func() {}, nil
	}
	f, err := os.Open(path)
	if err != nil {
		return "", nil, nil, opening(what, path, err)
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return "", nil, nil, coded{exitFaults, fmt.Errorf("%s is a folder: give the %s in it", path, what)}
	}
	return filepath.Base(path), f, func() { f.Close() }, nil
}

// readWhole reads a file that is there; standard input is no such file.
func readWhole(what, path string) (name string, raw []byte, err error) {
	name, r, shut, err := open(what, path, nil)
	if err != nil {
		return "", nil, err
	}
	defer shut()
	if raw, err = io.ReadAll(r); err != nil {
		return "", nil, opening(what, path, err)
	}
	return name, raw, nil
}

func opening(what, path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return coded{exitFaults, fmt.Errorf("%s: there is no such %s: check the name, or begin from one of the examples", path, what)}
	}
	return coded{exitFaults, fmt.Errorf("%s: the %s cannot be read: %w. Check the name and its permissions", path, what, bare(err))}
}

// bare is what the system says of a file, without the call and the name.
func bare(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// readFirm reads a firm file; no path is no firm.
func readFirm(path string, errs io.Writer) (*firmfile.Firm, error) {
	if path == "" {
		return nil, nil
	}
	name, f, shut, err := open("firm file", path, nil)
	if err != nil {
		return nil, err
	}
	defer shut()
	firm, warnings, err := firmfile.ReadFrom(name, f)
	for _, w := range warnings {
		fmt.Fprintln(errs, w.String())
	}
	if err != nil {
		return nil, coded{exitFaults, err}
	}
	return &firm, nil
}

// catalogueOf is the generic catalogue with the firm's file laid over it.
func catalogueOf(firmPath string, errs io.Writer) (material.Catalogue, error) {
	firm, err := readFirm(firmPath, errs)
	return desk.Catalogue(firm), err
}

// readGel reads a learned law; no path is no law.
func readGel(path string) (*gelfile.Law, error) {
	if path == "" {
		return nil, nil
	}
	name, raw, err := readWhole("gel law", path)
	if err != nil {
		return nil, err
	}
	law, err := gelfile.ReadLaw(name, raw)
	if err != nil {
		return nil, coded{exitFaults, err}
	}
	return law, nil
}

// write puts a file in place whole or not at all: to a temporary name beside it, then
// renamed.
func write(path string, content []byte) error {
	if err := place(path, content); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

func place(path string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".writing-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if _, err := f.Write(content); err != nil {
		f.Close()
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := os.Chmod(f.Name(), 0o644); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
