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
	"syscall"
	_ "time/tzdata" // a roof has a time zone, whatever machine it is planned on

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gelwright/desk"
	"gelwright/store"
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
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	root := rootCommand()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errs)
	cmd, err := root.ExecuteContextC(ctx)
	if s, speaks := cmd.OutOrStdout().(*speaking); speaks {
		err = errors.Join(err, s.last())
	}
	if err == nil {
		return exitDone
	}
	if ctx.Err() != nil && errors.Is(err, context.Canceled) {
		err = errStopped
	}
	if !errors.As(err, new(said)) {
		fmt.Fprintln(errs, saidLines(speakerFor(cmd), inFlags(cmd, err)))
	}
	return exitOf(err)
}

// said is an answer of no whose words stand on standard output already: only its exit code is left.
type said struct{ error }

func (s said) Unwrap() error { return s.error }

// inFlags is what an error says; the part of the question that it names is a flag here.
func inFlags(cmd *cobra.Command, err error) string {
	var d *desk.Error
	text := err.Error()
	if !errors.As(err, &d) || d.Kind != desk.Asked || d.Place == "" || !strings.HasPrefix(text, d.Place) {
		return text
	}
	if cmd.Flags().Lookup(d.Place) != nil {
		return "--" + text
	}
	return text
}

// errStopped is what a run says that was asked to end.
var errStopped = errors.New("stopped as asked; no papers were written")

// exitOf is the exit code that an error stands for.
func exitOf(err error) int {
	var c coded
	var d *desk.Error
	switch {
	case errors.As(err, &c):
		return c.code
	case store.KindOf(err) != 0:
		return exitOfStore(store.KindOf(err))
	case errors.As(err, &d):
		return map[desk.Kind]int{desk.Asked: exitUsage, desk.Faulty: exitFaults, desk.No: exitNo}[d.Kind]
	}
	return exitFailed
}

// exitOfStore is the exit code that an error of the kept jobs stands for.
func exitOfStore(kind store.Kind) int {
	switch kind {
	case store.Unknown, store.Refused:
		return exitUsage
	case store.TooLarge, store.Damaged, store.Newer:
		return exitFaults
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
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		if err := noEmptyFlag(cmd); err != nil {
			return err
		}
		return answerIn(cmd)
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return coded{exitUsage, err} })
	root.AddCommand(manualCommand(), planCommand(), papersCommand(), doseCommand(), learnCommand(), cureCommand(), checkCommand(),
		schemaCommand(), morningCommand(), doctorCommand(),
		cutCommand(), whenCommand(), nowCommand(), surveyCommand(), importCommand(), serveCommand(), authorityCommand(), jobsCommand(),
		workCommand(), weatherCommand(),
		backupCommand(), restoreCommand(), moveCommand(), officeCommand(), peopleCommand(),
		recordCommand(), verifyCommand())
	for _, cmd := range root.Commands() {
		if answers[cmd.Name()] && cmd.Flags().Lookup("language") == nil {
			addAnswerLanguage(cmd.Flags())
		}
	}
	return root
}

// noEmptyFlag refuses a flag that was given nothing: --out "" would plan and write nothing.
func noEmptyFlag(cmd *cobra.Command) error {
	var err error
	cmd.Flags().Visit(func(f *pflag.Flag) {
		if f.Value.Type() == "string" && f.Value.String() == "" {
			err = coded{exitUsage, fmt.Errorf("--%s has no name after it: give one, or leave the flag out", f.Name)}
		}
	})
	return err
}

// arguments wraps a cobra argument check so that a wrong call has its own exit code.
func arguments(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			what := err.Error()
			if strings.HasPrefix(what, "accepts ") {
				what = fmt.Sprintf("%d names of files are given, another number is wanted", len(args))
			}
			return coded{exitUsage, fmt.Errorf("%s\n\n%s", what, cmd.UseLine())}
		}
		return nil
	}
}
