package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// manualCommand writes the manual pages and the completions of the shells; a build calls
// it, people need not see it.
func manualCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:    "manual --out DIR",
		Short:  "Write the manual pages and the completions of the shells",
		Hidden: true,
		Args:   arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			root := cmd.Root()
			for _, c := range paged(root) {
				if err := write(filepath.Join(out, "man", pageOf(c)+".1"), manualPage(c)); err != nil {
					return err
				}
			}
			return writeCompletions(root, filepath.Join(out, "completion"))
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "out", "folder to write man/ and completion/ into")
	return cmd
}

// paged are a command and those under it that have a page.
func paged(c *cobra.Command) []*cobra.Command {
	if c.Hidden || c.Name() == "help" || c.Name() == "completion" {
		return nil
	}
	out := []*cobra.Command{c}
	for _, sub := range c.Commands() {
		out = append(out, paged(sub)...)
	}
	return out
}

func writeCompletions(root *cobra.Command, dir string) error {
	for name, make := range map[string]func(b *bytes.Buffer) error{
		"gelwright.bash": func(b *bytes.Buffer) error { return root.GenBashCompletionV2(b, true) },
		"_gelwright":     func(b *bytes.Buffer) error { return root.GenZshCompletion(b) },
		"gelwright.fish": func(b *bytes.Buffer) error { return root.GenFishCompletion(b, true) },
		"gelwright.ps1":  func(b *bytes.Buffer) error { return root.GenPowerShellCompletionWithDesc(b) },
	} {
		var b bytes.Buffer
		if err := make(&b); err != nil {
			return fmt.Errorf("completion %s: %w", name, err)
		}
		if err := write(filepath.Join(dir, name), b.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// pageOf is the name of a command's page: gelwright-plan.
func pageOf(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manualPage is a command's page in the macros of man(7). It bears no date, so that the
// same program gives the same page.
func manualPage(c *cobra.Command) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH %q 1 \"\" %q \"Flat roofs\"\n", strings.ToUpper(pageOf(c)), "gelwright "+version)
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(pageOf(c)), roff(c.Short))
	fmt.Fprintf(&b, ".SH SYNOPSIS\n.nf\n.B %s\n.fi\n", roff(c.UseLine()))
	b.WriteString(".SH DESCRIPTION\n")
	for i, paragraph := range strings.Split(strings.TrimSpace(longOf(c)), "\n\n") {
		if i > 0 {
			b.WriteString(".PP\n")
		}
		if strings.HasPrefix(paragraph, "  ") {
			fmt.Fprintf(&b, ".nf\n%s\n.fi\n", roff(paragraph))
			continue
		}
		fmt.Fprintln(&b, roff(paragraph))
	}
	if flags := flagsOf(c); flags != "" {
		b.WriteString(".SH OPTIONS\n" + flags)
	}
	b.WriteString(".SH EXIT STATUS\n0 done; 1 it could not be done; 2 the call is wrong; 3 a file has faults; 4 the answer is no.\n")
	b.WriteString(".SH SEE ALSO\n" + strings.Join(besides(c), ",\n") + "\n")
	return []byte(b.String())
}

func longOf(c *cobra.Command) string {
	if c.Long != "" {
		return c.Long
	}
	return c.Short
}

func flagsOf(c *cobra.Command) string {
	var b strings.Builder
	c.NonInheritedFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name := "\\-\\-" + roff(f.Name)
		if f.Shorthand != "" {
			name = "\\-" + f.Shorthand + ", " + name
		}
		kind, usage := pflag.UnquoteUsage(f)
		fmt.Fprintf(&b, ".TP\n.B %s %s\n%s\n", name, kind, roff(usage))
		if d := f.DefValue; d != "" && d != "false" && d != "0" && d != "[]" {
			fmt.Fprintf(&b, "(%s when not given)\n", roff(d))
		}
	})
	return b.String()
}

// besides are the pages to read on with.
func besides(c *cobra.Command) []string {
	var out []string
	for _, o := range paged(c.Root()) {
		if o == c {
			continue
		}
		out = append(out, ".BR "+roff(pageOf(o))+" (1)")
	}
	for i, line := range out[:len(out)-1] {
		out[i] = line + " ,"
	}
	return []string{strings.Join(out, "\n")}
}

// roff writes text so that no word of it is taken for a macro.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			lines[i] = `\&` + line
		}
	}
	return strings.Join(lines, "\n")
}
