package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"unicode"

	"github.com/spf13/cobra"

	"gelwright/plan"
	"gelwright/record"
)

func recordShowCommand() *cobra.Command {
	var planned string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "show FILE",
		Short: "Show what a record comes to, against the plan where one is given",
		Args:  arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			set, err := existing(args[0])
			if err != nil {
				return err
			}
			state := set.Replay()
			var p *plan.Plan
			if planned != "" {
				if p, err = readPlan(planned, cmd.InOrStdin()); err != nil {
					return err
				}
			}
			if asJSON {
				out := struct {
					*record.State
					Against []record.Against `json:"against,omitempty"`
					Left    []int            `json:"left,omitempty"`
				}{State: state}
				if p != nil {
					out.Against, out.Left = state.Against(plannedKG(p))
				}
				return printJSON(cmd.OutOrStdout(), out)
			}
			var b strings.Builder
			printRecord(&b, state, p)
			_, err = io.WriteString(cmd.OutOrStdout(), b.String())
			return err
		},
	}
	cmd.Flags().StringVar(&planned, "plan", "", "plan.json of the roof's papers: kilograms are held against it")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write the state as JSON")
	return cmd
}

// plannedKG are the kilograms of resin of each bucket.
func plannedKG(p *plan.Plan) map[int]float64 {
	out := map[int]float64{}
	for i := range p.Passes {
		if p.Passes[i].Plan == nil {
			continue
		}
		for _, m := range p.Passes[i].Plan.Mixes {
			out[m.Number] = m.ResinKG
		}
	}
	return out
}

func printRecord(w io.Writer, s *record.State, p *plan.Plan) {
	fmt.Fprintf(w, "%s: %s; %.2f kg of resin mixed with %.0f ml of catalyst, %.2f kg lost\n", oneLine(s.Job), count(s.Events, "event"),
		s.MixedKG, s.CatalystML, s.LostKG)
	against := map[int]record.Against{}
	var left []int
	if p != nil {
		var mixed []record.Against
		mixed, left = s.Against(plannedKG(p))
		for _, a := range mixed {
			against[a.Bucket] = a
		}
	}
	t := tabwriter.NewWriter(w, 0, 8, 2, ' ', 0)
	if len(s.Buckets) > 0 {
		fmt.Fprintln(t, "bucket\tmixed\tkg\tplanned\tml\tresin °C\tdeck °C\tlaid\tgelled\thard")
	}
	for _, b := range s.Buckets {
		at := "–"
		if len(b.Mixes) > 0 {
			at = clockOf(b.Mixes[0].At)
		}
		wanted := "–"
		if a, ok := against[b.Number]; ok {
			wanted = fmt.Sprintf("%.2f", a.PlannedKG)
			if a.Look {
				wanted += fmt.Sprintf(" (%+.0f %%: stop and look)", a.OffPct)
			}
		}
		gelled := clockOf(b.Gelled)
		if b.GelMin != nil {
			gelled += fmt.Sprintf(" (%.0f min)", *b.GelMin)
		}
		fmt.Fprintf(t, "%d\t%s\t%.2f\t%s\t%.0f\t%s\t%s\t%s\t%s\t%s\n", b.Number, at, b.KG, wanted, b.CatalystML, degreesOf(b.ResinC),
			degreesOf(b.DeckC), clockOf(b.Laid), gelled, clockOf(b.Hard))
	}
	t.Flush()
	if p != nil {
		fmt.Fprintf(w, "%d of %d buckets of the plan are not mixed yet\n", len(left), len(plannedKG(p)))
	}
	for _, x := range []struct {
		what string
		list []record.Said
	}{{"reading", s.Readings}, {"hold", s.Holds}, {"note", s.Notes}} {
		for _, e := range x.list {
			fmt.Fprintf(w, "%s %s, %s: %s\n", x.what, strings.Replace(e.At, "T", " ", 1), oneLine(e.Who), oneLine(factsOf(e.Facts)))
		}
	}
	for _, d := range s.Doubts {
		fmt.Fprintf(w, "look: %s\n", d)
	}
	for _, h := range s.Heads {
		fmt.Fprintf(w, "device %s: %s, the last %s\n", h.Device, count(h.Events, "event"), h.Hash)
	}
}

// oneLine is what somebody wrote, on one line and without what would steer a terminal.
func oneLine(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return '␣'
	}, text)
}

// clockOf is the day's time of a moment by its own clock.
func clockOf(at string) string {
	if len(at) < 16 {
		return "–"
	}
	return at[:10] + " " + at[11:16]
}

func degreesOf(c *float64) string {
	if c == nil {
		return "–"
	}
	return fmt.Sprintf("%.1f", *c)
}

// factsOf are the facts of a reading, a hold or a note in one line.
func factsOf(f record.Facts) string {
	var out []string
	if f.Hold > 0 {
		out = append(out, fmt.Sprintf("hold point %d", f.Hold))
	}
	if f.Measure != "" {
		out = append(out, f.Measure)
	}
	if f.Value != nil {
		out = append(out, strings.TrimSpace(fmt.Sprintf("%g %s", *f.Value, f.Unit)))
	}
	for _, x := range []string{f.Reason, f.Text} {
		if x != "" {
			out = append(out, x)
		}
	}
	if f.Photo != "" {
		out = append(out, "photo "+f.Photo[:12]+"…")
	}
	return strings.Join(out, ", ")
}
