package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/plan"
)

// doseFlags are the question as it was asked.
type doseFlags struct {
	named bool // the catalyst is given by name
	givenFlags
	ask           desk.DoseAsk
	tempC, kg     float64
	litres, left  float64
	resinC        float64
	resin, job    string
	json, explain bool
}

func doseCommand() *cobra.Command {
	var f doseFlags
	cmd := &cobra.Command{
		Use:   "dose --temp °C (--litres L | --kg KG) (--minutes MIN | --job ROOF.yaml)",
		Short: "How much catalyst for this bucket, or why not",
		Long: `The quick answer for the man with the jug: the temperature of the deck, and of the resin in its pail
where that is another, how much resin, and how many minutes it takes to lay. The warmer of the
two rules the working time, so that neither overstates it. Answers in millilitres and grams of
catalyst with the range of the gel time, or says why no dose works and what would help: with which other catalyst or grade one does.
It names the resin and the catalyst that it reckons with; where none is named they are the
usual ones. --job takes them from the plan of a roof, with its crew, test cups and margin, and gives the dose of its buckets and card:
name the roof file, or the plan.json of the papers in hand where a forecast settled them.

A test cup timed today outranks the data sheet: --cup "22 min at 18 C, 2 %" says that it
gelled in 22 minutes at 18 °C with 2 % by mass. --gel takes a law learned from the firm's own gels.
--ready rain-safe --by 240 weighs every dose: the chance of being laid before it gels
against that of being safe from rain 240 minutes after mixing, and names what would help
when no dose does both. --left 2 says how hot 2 kg left in the bucket get.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			firm, err := readFirm(f.firm, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			cat := desk.Catalogue(firm)
			if firm != nil {
				f.ask.Keeps = firm.Keeps
			}
			if err := f.read(cmd); err != nil {
				return err
			}
			if err := f.ofJob(cmd, firm); err != nil {
				return err
			}
			a, err := desk.DoseOf(cmd.Context(), cat, f.ask)
			if err != nil {
				return err
			}
			if f.json {
				err = printJSON(cmd.OutOrStdout(), a)
			} else {
				err = printDose(cmd.OutOrStdout(), a, f)
			}
			if err != nil {
				return err
			}
			return a.Refused()
		},
	}
	f.add(cmd)
	return cmd
}

func (f *doseFlags) add(cmd *cobra.Command) {
	g := cmd.Flags()
	addAmount(g, &f.tempC, "temp", 0, degrees, "temperature of the deck, °C")
	addAmount(g, &f.resinC, "resin-temp", 0, degrees, "temperature of the resin in its pail, °C (as the deck)")
	g.StringVar(&f.ask.Catalyst, "catalyst", "", "catalyst of the catalogue: catalyst.mekp, .slow, .fast")
	addAmount(g, &f.litres, "litres", 0, litres, "litres of resin")
	addAmount(g, &f.kg, "kg", 0, kilos, "kilograms of resin")
	addAmount(g, &f.ask.NeedMin, "minutes", 0, minutes, "minutes it takes to lay")
	addAmount(g, &f.ask.MarginMin, "margin", 5, minutes, "minutes kept between laying and gel")
	g.StringVar(&f.resin, "resin", desk.UsualResin, "resin of the catalogue")
	g.BoolVar(&f.ask.Coat, "coat", false, "top coat in place of laminating resin")
	g.StringVar(&f.job, "job", "", "a roof file, or a stored plan.json: its resin, catalyst, crew, cups and margin")
	f.addFirm(cmd, ", with its resin's gel points")
	g.StringVar(&f.gel, "gel", "", "a gel law that 'learn --json' has written")
	g.StringVar(&f.ask.Drum, "drum", "", "the drum in use, where the gel law knows it")
	g.StringVar(&f.cup, "cup", "", "a test cup of this drum: minutes, °C and % by mass, '23 min at 15 C, 2 %'")
	g.StringVar(&f.ask.Ready, "ready", "", "what must be reached: walk, sand, rain-safe, over-coat")
	addAmount(g, &f.ask.ByMin, "by", 0, minutes, "minutes after mixing by which --ready must be reached")
	addAmount(g, &f.ask.FilmKGPerM2, "film", 0, onMetre, "resin on a square metre for --ready, kg (1.125, of a top coat 0.6)")
	addAmount(g, &f.ask.SunK, "sun", 0, sunOver, "how many K of the deck's temperature are sun that shade would take away")
	addAmount(g, &f.left, "left", 0, leaving, "kilograms that may be left in the bucket")
	g.BoolVar(&f.explain, "explain", false, "unfold the workings")
	g.BoolVar(&f.json, "json", false, "print JSON")
}

// ofJob takes from the plan of a roof what the question leaves open.
func (f *doseFlags) ofJob(cmd *cobra.Command, firm *firmfile.Firm) error {
	if f.job == "" {
		return nil
	}
	p, err := f.planOf(cmd, firm)
	if err != nil {
		return err
	}
	f.named = cmd.Flags().Changed("catalyst")
	if !cmd.Flags().Changed("margin") {
		f.ask.MarginMin = -1 // the job's
	}
	f.ask, err = f.ask.OfPlan(p, firm)
	return err
}

// planOf reads the plan of the job, or plans its roof.
func (f *doseFlags) planOf(cmd *cobra.Command, firm *firmfile.Firm) (*plan.Plan, error) {
	if strings.HasSuffix(f.job, ".json") {
		return readPlan(f.job, cmd.InOrStdin())
	}
	job, err := readRoof(f.job, cmd.InOrStdin(), cmd.ErrOrStderr())
	if err != nil {
		return nil, err
	}
	g := desk.Given{Job: job, Firm: firm, Gel: f.ask.Gel}
	if f.ask.Coat {
		g.CoatCup = f.ask.Cup
	} else {
		g.Cup = f.ask.Cup
	}
	return g.Plan(cmd.Context())
}

// read puts the question together from its flags and files.
func (f *doseFlags) read(cmd *cobra.Command) error {
	a := &f.ask
	a.TempC, a.KG, a.Litres, a.LeftKG = given(cmd, "temp", &f.tempC), given(cmd, "kg", &f.kg), given(cmd, "litres", &f.litres),
		given(cmd, "left", &f.left)
	a.ResinC = given(cmd, "resin-temp", &f.resinC)
	for _, name := range []string{"by", "film"} {
		if cmd.Flags().Changed(name) && a.Ready == "" {
			return coded{exitUsage, fmt.Errorf("--%s says nothing without what must be reached: "+
				"give --ready walk, sand, rain-safe or over-coat too", name)}
		}
	}
	if cmd.Flags().Changed("resin") {
		a.Resin = f.resin
	}
	var err error
	if a.Gel, err = readGel(f.gel); err != nil {
		return err
	}
	a.Cup, err = cupOf("cup", f.cup)
	return err
}
