// Command warm plans a roof again and again in one process and prints how long the third
// time took: as a page does that is open already. With "temperature" each time has other
// air, and what does not hang on it is kept.
//
//	warm plan|temperature ROOF.yaml
package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"gelwright/material"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/steps"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "warm plan|temperature ROOF.yaml")
		os.Exit(1)
	}
	if err := run(os.Args[1] == "temperature", os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "warm:", err)
		os.Exit(1)
	}
}

func run(otherAir bool, path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	job, faults, err := rooffile.Read(filepath.Base(path), text)
	if err != nil {
		return fmt.Errorf("%s: %w: %v", path, err, faults)
	}
	in := plan.Input{Job: job, Catalogue: material.Generic()}
	if otherAir {
		in.Cache = steps.NewCache(256)
	}
	var took time.Duration
	for range 3 {
		began := time.Now()
		if _, err := plan.Make(context.Background(), in); err != nil {
			return err
		}
		took = time.Since(began)
		if otherAir {
			in.Job.Day.AirC++
		}
	}
	fmt.Println(took)
	return nil
}
