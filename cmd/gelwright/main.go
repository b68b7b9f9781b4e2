// Command gelwright plans hand-laid fibreglass flat roofs: from a roof file to a
// job pack to build from, and quick answers for the man with the jug.
//
// Exit codes: 0 done; 1 it could not be done; 2 the call is wrong; 3 a file has
// faults; 4 the answer is no (no dose works, or a check fails under --strict).
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/desk"
)

// Exit codes that scripts can use.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
	exitFaults = 3
	exitNo     = 4
)

// coded is an error with the exit code it stands for.
type coded struct {
	code int
	err  error
}

func (c coded) Error() string { return c.err.Error() }
func (c coded) Unwrap() error { return c.err }

func main() {
	tuneMemory()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run is the whole program but for the process around it.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	fmt.Fprintln(errs, err)
	return exitOf(err)
}

// exitOf is the exit code that an error stands for.
func exitOf(err error) int {
	var c coded
	var d *desk.Error
	switch {
	case errors.As(err, &c):
		return c.code
	case errors.As(err, &d):
		return map[desk.Kind]int{desk.Asked: exitUsage, desk.Faulty: exitFaults, desk.No: exitNo}[d.Kind]
	}
	return exitFailed
}

func rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:           "gelwright",
		Short:         "Plan hand-laid fibreglass flat roofs",
		Long:          "gelwright plans hand-laid fibreglass (GRP) flat roofs: from a roof file to a job pack to build from.",
		Version:       versionText(),
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.Args = func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		text := fmt.Sprintf("there is no command %q", args[0])
		if like := root.SuggestionsFor(args[0]); len(like) > 0 {
			text += "; did you mean " + strings.Join(like, " or ") + "?"
		}
		return coded{exitUsage, fmt.Errorf("%s (gelwright --help names all)", text)}
	}
	root.SuggestionsMinimumDistance = 2
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return coded{exitUsage, err} })
	root.AddCommand(manualCommand(), planCommand(), papersCommand(), doseCommand(), learnCommand(), cureCommand(), checkCommand(),
		schemaCommand(),
		cutCommand(), whenCommand(), nowCommand())
	return root
}

// arguments wraps a cobra argument check so that a wrong call has its own exit code.
func arguments(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			return coded{exitUsage, fmt.Errorf("%w\n\n%s", err, cmd.UseLine())}
		}
		return nil
	}
}
