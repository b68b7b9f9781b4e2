package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/settingout"
)

// decimal writes a number of the summary.
func decimal(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// cutLines says what is bought for a deck and how good its cuts are known to be.
func cutLines(d *plan.Deck) []string {
	var lines []string
	for _, m := range d.Materials() {
		cut := m.Kind == settingout.Board || m.Kind == settingout.Trim || m.Kind == settingout.Mat
		if !cut || m.Used == 0 {
			continue
		}
		unit := m.Unit
		if m.Kind == settingout.Mat {
			unit = "rolls"
		}
		if m.Items == 1 {
			unit = strings.TrimSuffix(unit, "s")
		}
		bought := fmt.Sprintf("%4d %s", m.Items, unit)
		if m.Items == 0 {
			bought = "   0 to buy"
		}
		lines = append(lines, fmt.Sprintf("  %-30s %s, waste %.1f %%, %s", d.Name+": "+m.Name, bought, m.WastePct, m.Proof(decimal)))
	}
	for _, c := range d.Choices() {
		if told := c.FewerIfBroken(); told != "" {
			lines = append(lines, fmt.Sprintf("  %-30s %s", d.Name+": turned down", told))
		}
	}
	return lines
}

// summary prints what a roofer wants first.
func summary(w io.Writer, p *plan.Plan, out string) error {
	t := p.Totals
	lines := []string{
		p.Job.Name,
		"  " + p.Schedule.Says(),
		fmt.Sprintf("  net roof        %.2f m² on %s", t.NetM2, count(len(p.Decks), "deck")),
		fmt.Sprintf("  boards          %d, trim %.1f m, bandage %.1f m, mat %.1f m²", t.Boards, t.TrimM, t.BandageM, t.MatM2),
		fmt.Sprintf("  resin           %.1f kg, top coat %.1f kg, catalyst %.0f g in %s", t.ResinKG, t.CoatKG, t.CatalystG,
			count(t.Buckets, "bucket")),
	}
	for _, d := range p.Decks {
		lines = append(lines, cutLines(&d)...)
	}
	counts := map[check.Verdict]int{}
	for _, r := range p.Checks {
		counts[r.Verdict]++
	}
	lines = append(lines, fmt.Sprintf("  checks          %d pass, %d fail, %d to answer, %d to look at; %d findings from the survey; %d "+
		"defaults taken",
		counts[check.Pass], counts[check.Fail], counts[check.Ask], counts[check.Caution], len(p.Findings), len(p.Job.Defaults)))
	for _, r := range p.Checks {
		if r.Verdict == check.Fail {
			where := ""
			if r.Where != "" {
				where = " (" + r.Where + ")"
			}
			lines = append(lines, "  fails           "+r.Title+where+" "+r.Finding)
		}
	}
	if out != "" {
		lines = append(lines, "  written to      "+out+" (begin with site.pdf)")
	}
	for _, l := range lines {
		if _, err := fmt.Fprintln(w, l); err != nil {
			return err
		}
	}
	return nil
}
