package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/check"
	"gelwright/desk"
	"gelwright/working"
)

func checkCommand() *cobra.Command {
	var g givenFlags
	var only string
	var asJSON, unfold, all bool
	cmd := &cobra.Command{
		Use:   "check ROOF.yaml",
		Short: "Design checks: will it stay on, stay up, drain, stay dry and keep the heat in",
		Long:  "Run every design check on a roof and print verdict, finding and what would make it pass.\nExit code 4 when one fails.",
		Args:  arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			given, err := g.read(cmd, args[0])
			if err != nil {
				return err
			}
			a, err := desk.CheckRoof(cmd.Context(), given, only)
			if err != nil {
				return err
			}
			if asJSON {
				err = printJSON(cmd.OutOrStdout(), a.Results)
			} else {
				err = printChecks(cmd.OutOrStdout(), a, all, unfold)
			}
			if err != nil {
				return err
			}
			return a.Refused()
		},
	}
	f := cmd.Flags()
	g.addFirm(cmd, "")
	g.addGels(cmd)
	f.StringVar(&only, "only", "", "only checks whose name begins so: wind, drainage.fall …")
	f.BoolVar(&unfold, "explain", false, "unfold the workings")
	f.BoolVar(&all, "all", false, "show passes too")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	return cmd
}

// printChecks prints the results that ask for something; all of them, or with their
// workings, when wanted.
func printChecks(w io.Writer, a *desk.Checks, all, unfold bool) error {
	p := &printer{w: w}
	for _, r := range a.Results {
		if !all && !unfold && (r.Verdict == check.Pass || r.Verdict == check.NotApplicable) {
			continue
		}
		p.result(r)
		if !unfold || p.err != nil {
			continue
		}
		for _, f := range r.Working {
			if err := working.Unfold(w, f); err != nil {
				return err
			}
		}
	}
	p.line("%d checks, %d fail", len(a.Results), a.Failed)
	return p.err
}

// result prints one check.
func (p *printer) result(r check.Result) {
	where := ""
	if r.Where != "" {
		where = " [" + r.Where + "]"
	}
	p.line("%-14s %s%s\n    %s", strings.ToUpper(string(r.Verdict)), r.Title, where, r.Finding)
	for _, m := range r.Remedies {
		field := ""
		switch {
		case m.Field != "" && m.Value != "":
			field = fmt.Sprintf(" (%s: %s)", m.Field, m.Value)
		case m.Field != "": // the value is the reader's to say
			field = fmt.Sprintf(" (say it under %s)", m.Field)
		}
		p.line("    mend: %s%s", m.Text, field)
	}
	if r.CallFor != "" {
		p.line("    call: %s", r.CallFor)
	}
	for _, f := range r.Flags {
		p.line("    note: %s", f)
	}
}
