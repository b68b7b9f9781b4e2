package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/check"
	"gelwright/plan"
	"gelwright/working"
)

func checkCommand() *cobra.Command {
	var firmPath, only string
	var asJSON, unfold, all bool
	cmd := &cobra.Command{
		Use:   "check ROOF.yaml",
		Short: "Design checks: will it stay on, stay up, drain, stay dry and keep the heat in",
		Long:  "Run every design check on a roof and print verdict, finding and what would make it pass.\nExit code 4 when one fails.",
		Args:  arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			job, err := readRoof(args[0], cmd.InOrStdin(), cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			firm, err := readFirm(firmPath, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			p, err := plan.Make(cmd.Context(), inputOf(job, firm))
			if err != nil {
				return err
			}
			var results []check.Result
			failed := 0
			for _, r := range p.Checks {
				if only != "" && !strings.HasPrefix(r.Key, only) {
					continue
				}
				if r.Verdict == check.Fail {
					failed++
				}
				results = append(results, r)
			}
			if only != "" && len(results) == 0 {
				return coded{exitUsage, fmt.Errorf("no check begins with %q: wind, snow, deck, drainage, thermal, moisture, movement, exposure, detailing, laminate", only)}
			}
			w := cmd.OutOrStdout()
			if asJSON {
				raw, err := json.MarshalIndent(results, "", " ")
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintln(w, string(raw)); err != nil {
					return err
				}
			} else {
				for _, r := range results {
					if !all && (r.Verdict == check.Pass || r.Verdict == check.NotApplicable) && !unfold {
						continue
					}
					where := ""
					if r.Where != "" {
						where = " [" + r.Where + "]"
					}
					fmt.Fprintf(w, "%-14s %s%s\n    %s\n", strings.ToUpper(string(r.Verdict)), r.Title, where, r.Finding)
					for _, m := range r.Remedies {
						field := ""
						if m.Field != "" {
							field = " (" + m.Field + ": " + m.Value + ")"
						}
						fmt.Fprintf(w, "    mend: %s%s\n", m.Text, field)
					}
					if r.CallFor != "" {
						fmt.Fprintf(w, "    call: %s\n", r.CallFor)
					}
					for _, f := range r.Flags {
						fmt.Fprintf(w, "    note: %s\n", f)
					}
					if unfold {
						for _, f := range r.Working {
							if err := working.Unfold(w, f); err != nil {
								return err
							}
						}
					}
				}
				fmt.Fprintf(w, "%d checks, %d fail\n", len(results), failed)
			}
			if failed > 0 {
				return coded{exitNo, fmt.Errorf("%d of %d checks fail", failed, len(results))}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&firmPath, "firm", "", "the firm's own file")
	f.StringVar(&only, "only", "", "only checks whose name begins so: wind, drainage.fall …")
	f.BoolVar(&unfold, "explain", false, "unfold the workings")
	f.BoolVar(&all, "all", false, "show passes too")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}
