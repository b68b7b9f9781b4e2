// Command samebytes plans roofs and prints each plan as JSON, the same program on every kind of machine: scripts/same-bytes.sh
// builds it for this processor, for WebAssembly and for arm64, and compares what they print.
//
//	samebytes OUT ROOF.yaml…
//
// writes OUT-ROOF.json for each roof.
package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/rooffile"
)

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "samebytes OUT ROOF.yaml…")
		os.Exit(1)
	}
	for _, path := range os.Args[2:] {
		if err := one(os.Args[1], path); err != nil {
			fmt.Fprintln(os.Stderr, "samebytes:", err)
			os.Exit(1)
		}
	}
}

func one(out, path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	job, faults, err := rooffile.Read(filepath.Base(path), text)
	if err != nil {
		return fmt.Errorf("%s: %w: %v", path, err, faults)
	}
	made, err := plan.Make(context.Background(), plan.Input{Job: job, Catalogue: material.Generic()})
	if err != nil {
		return err
	}
	written, err := json.MarshalIndent(made, "", " ")
	if err != nil {
		return err
	}
	name := strings.TrimSuffix(filepath.Base(path), ".yaml")
	return os.WriteFile(out+"-"+name+".json", append(written, '\n'), 0o644)
}
