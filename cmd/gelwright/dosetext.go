package main

import (
	"fmt"
	"io"
	"strings"

	"gelwright/cure"
	"gelwright/desk"
	"gelwright/unit"
	"gelwright/working"
)

// printDose prints the answer for the man with the jug.
func printDose(w io.Writer, a desk.Dose, f doseFlags) error {
	p := &printer{w: w}
	if c := a.Cup; c != nil {
		p.line("Test cup: %g min at %g °C and %g %%. Before it %.0f–%.0f min were expected there, now %.0f–%.0f.", c.Min, c.TempC, c.Pct,
			c.Before.LowMin, c.Before.HighMin, c.After.LowMin, c.After.HighMin)
		if c.Surprise > 3 || c.Surprise < -3 {
			p.line("That cup is far from what was expected (%.1f standard deviations): check drum, thermometer and jug, and time another.",
				c.Surprise)
		}
	}
	if !a.Works {
		p.line("No: %s", a.Why)
		f.pair(p, &a)
		for _, m := range a.Remedies {
			p.line("  %s", m)
		}
		f.others(p, &a)
		return p.err
	}
	digits := unit.DoseDecimals(a.CatalystML)
	p.line("%.*f ml of catalyst (%.*f g) into %.2f l (%.2f kg) of %s", digits, a.CatalystML, digits, a.CatalystG, a.ResinL, a.ResinKG, a.Resin)
	f.pair(p, &a)
	p.line("%s; gels in %.0f–%.0f min, likely %.0f, %s", cure.DoseWords(a.PctByMass, a.MLPerLitre), a.GelLowMin, a.GelHighMin,
		a.GelLikelyMin, f.temps())
	if r := a.Ready; r != nil {
		p.line("Worked %s: laid before it gels in %s of 100 cases; %s within %g min in %s of 100.", r.Chosen.Technique,
			working.Chance(r.Chosen.Laid), r.Milestone, r.ByMin, working.Chance(r.Chosen.Ready))
	}
	outranks := "The data sheet and a timed test cup come before this."
	if a.Cup != nil {
		outranks = "Time another cup when the drum or the weather changes."
	}
	if a.Ready != nil && a.GelLowMin-f.ask.MarginMin < f.ask.NeedMin {
		p.line("Lay it within %.0f min; a gel as early as %.0f min leaves no margin. %s", f.ask.NeedMin, a.GelLowMin, outranks)
	} else {
		p.line("Lay it within %.0f min. %s (10 ml per kg is %.2f %% with this catalyst, not 1 %%.)", a.GelLowMin-f.ask.MarginMin, outranks,
			a.HabitPctOf10ML)
	}
	p.line("The habit would pour %.*f ml for this dose: %+.0f %%.", digits, a.HabitML, 100*(a.HabitML/a.CatalystML-1))
	if l := a.LeftOver; l != nil {
		p.line("Left over: %s.", l.Finding)
		for _, m := range l.Remedies {
			p.line("  %s", m)
		}
	}
	if p.err != nil || !f.explain {
		return p.err
	}
	// One tree, so that what several figures share is unfolded once.
	return working.Unfold(w, working.Choice("this mix", "as answered above",
		working.Source{Title: "figures of this answer", Standing: working.Derived}, a.Figures...))
}

// temps says how warm resin and deck are.
func (f *doseFlags) temps() string {
	if r := f.ask.ResinC; r != nil && *r != f.tempC {
		return fmt.Sprintf("with the resin at %g °C and the deck at %g °C", *r, f.tempC)
	}
	return fmt.Sprintf("at %g °C", f.tempC)
}

// pair names what is reckoned with, and says so where nobody named the catalyst: the plan of a roof picks its own.
func (f *doseFlags) pair(p *printer, a *desk.Dose) {
	text := fmt.Sprintf("Reckoned with %s (%s, %s)", a.With, a.ResinKey, a.CatalystKey)
	switch {
	case f.job != "" && !f.named && !strings.HasSuffix(f.job, ".json"):
		text += ": a roof file alone knows no forecast: give plan.json (--job) for the pair that a forecast settled"
	case f.ask.Catalyst == "":
		text += ": no catalyst is named, so the usual one; the card of a plan may name another, to be given with --catalyst"
	}
	p.line("%s.", text)
}

// mostOthers is how many other pairs are told: one is poured.
const mostOthers = 3

// others tells with which other catalyst or grade a dose works, or that none does.
func (f *doseFlags) others(p *printer, a *desk.Dose) {
	whose := "the catalogue"
	if len(f.ask.Keeps) > 0 {
		whose = "what the firm keeps"
	}
	switch {
	case !a.Sought:
		return
	case len(a.Others) == 0:
		p.line("  no other catalyst or grade of %s does it either", whose)
	}
	for _, o := range a.Others[:min(len(a.Others), mostOthers)] {
		p.line("  with %s (%s, %s) it works: %.*f ml for this bucket, %.0f ml to the litre; gels in %.0f–%.0f min", o.With, o.ResinKey,
			o.CatalystKey, unit.DoseDecimals(o.CatalystML), o.CatalystML, o.MLPerLitre, o.GelLowMin, o.GelHighMin)
	}
}
