package main

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"gelwright/material"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/working"
)

// answer is the dose command's answer as JSON.
type answer struct {
	Works          bool     `json:"works"`
	ResinKG        float64  `json:"resin_kg"`
	ResinL         float64  `json:"resin_l"`
	CatalystML     float64  `json:"catalyst_ml,omitempty"`
	CatalystG      float64  `json:"catalyst_g,omitempty"`
	PctByMass      float64  `json:"pct_by_mass,omitempty"`
	PctByVolume    float64  `json:"pct_by_volume,omitempty"`
	GelLowMin      float64  `json:"gel_low_min,omitempty"`
	GelLikelyMin   float64  `json:"gel_likely_min,omitempty"`
	GelHighMin     float64  `json:"gel_high_min,omitempty"`
	Why            string   `json:"why,omitempty"`
	Remedies       []string `json:"remedies,omitempty"`
	HabitPctOf10ML float64  `json:"pct_of_10_ml_per_kg"`
}

func doseCommand() *cobra.Command {
	var temp, litres, kg, minutes, margin float64
	var resinKey, firmPath string
	var coat, asJSON, explain bool
	cmd := &cobra.Command{
		Use:   "dose --temp °C (--litres L | --kg KG) --minutes MIN",
		Short: "How much catalyst for this bucket, or why not",
		Long: `The quick answer for the man with the jug: the temperature of resin and deck (the lower
of the two), how much resin, and how many minutes it takes to lay. Answers in millilitres
and grams of catalyst with the range of the gel time, or says why no dose works and what
would help.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			firm, err := readFirm(firmPath, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			cat := material.Generic()
			if firm != nil {
				cat = firm.Over(cat)
			}
			if coat && !cmd.Flags().Changed("resin") {
				resinKey = "topcoat.waxed"
			}
			r, err := cat.Resin(resinKey)
			if err != nil {
				return coded{exitUsage, err}
			}
			c, err := cat.Catalyst("catalyst.mekp")
			if err != nil {
				return err
			}
			if !cmd.Flags().Changed("temp") {
				return coded{exitUsage, errors.New("give the temperature of resin and deck, the lower of the two: --temp 12")}
			}
			switch {
			case cmd.Flags().Changed("litres") == cmd.Flags().Changed("kg"):
				return coded{exitUsage, errors.New("give how much resin, once: --litres 5 or --kg 5")}
			case cmd.Flags().Changed("litres"):
				kg = litres * r.DensityKGPerL
			}
			if !(kg > 0 && kg <= 250) {
				return coded{exitUsage, fmt.Errorf("%g kg of resin: give more than 0 and no more than a drum", kg)}
			}
			if !(minutes > 0 && minutes <= 600) {
				return coded{exitUsage, fmt.Errorf("%g minutes to lay it: give --minutes, more than 0", minutes)}
			}
			charge, dose, err := plan.Quick(r, c, temp, kg, minutes, margin)
			a := answer{ResinKG: kg, ResinL: kg / r.DensityKGPerL, HabitPctOf10ML: c.DensityGPerML}
			var no *mixing.Refusal
			switch {
			case errors.As(err, &no):
				a.Why = no.Finding
				for _, m := range no.Remedies {
					a.Remedies = append(a.Remedies, m.Text)
				}
			case err != nil:
				return coded{exitNo, err}
			default:
				a.Works = true
				a.CatalystML, a.CatalystG, a.PctByMass, a.PctByVolume = charge.CatalystML, charge.CatalystG, charge.DosePct, charge.DoseVolPct
				a.GelLowMin, a.GelLikelyMin, a.GelHighMin = dose.Gel.LowMin, dose.Gel.LikelyMin, dose.Gel.HighMin
			}
			w := cmd.OutOrStdout()
			if asJSON {
				raw, err := json.MarshalIndent(a, "", " ")
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintln(w, string(raw)); err != nil {
					return err
				}
			} else if a.Works {
				fmt.Fprintf(w, "%.0f ml of catalyst (%.0f g) into %.2f l (%.2f kg) of %s\n", a.CatalystML, a.CatalystG, a.ResinL, a.ResinKG, r.Name)
				fmt.Fprintf(w, "%.2f %% by mass, %.2f %% by volume; gels in %.0f–%.0f min, likely %.0f, at %g °C\n", a.PctByMass, a.PctByVolume, a.GelLowMin, a.GelHighMin, a.GelLikelyMin, temp)
				fmt.Fprintf(w, "Lay it within %.0f min. The data sheet and a timed test cup come before this. (10 ml per kg is %.2f %% with this catalyst, not 1 %%.)\n", a.GelLowMin-margin, a.HabitPctOf10ML)
				if explain {
					for _, f := range charge.Figures {
						if err := working.Unfold(w, f); err != nil {
							return err
						}
					}
				}
			} else {
				fmt.Fprintf(w, "No: %s\n", a.Why)
				for _, m := range a.Remedies {
					fmt.Fprintf(w, "  %s\n", m)
				}
			}
			if !a.Works {
				return coded{exitNo, errors.New("no dose works")}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.Float64Var(&temp, "temp", 0, "temperature of resin and deck, °C")
	f.Float64Var(&litres, "litres", 0, "litres of resin")
	f.Float64Var(&kg, "kg", 0, "kilograms of resin")
	f.Float64Var(&minutes, "minutes", 0, "minutes it takes to lay")
	f.Float64Var(&margin, "margin", 5, "minutes kept between laying and gel")
	f.StringVar(&resinKey, "resin", "resin.all-season", "resin of the catalogue")
	f.BoolVar(&coat, "coat", false, "top coat in place of laminating resin")
	f.StringVar(&firmPath, "firm", "", "the firm's own file, with its resin's gel points")
	f.BoolVar(&explain, "explain", false, "unfold the workings")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}
