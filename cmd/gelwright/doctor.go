package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"gelwright/doctor"
	"gelwright/scene/lettering"
	"gelwright/store/bucket"
	"gelwright/store/folder"
	"gelwright/store/postgres"
	"gelwright/store/sqlite"
	"gelwright/store/tables"
	"gelwright/web"
)

// sampleFiles are read of those that are kept where nothing else is said.
const sampleFiles = 200

func doctorCommand() *cobra.Command {
	var where keeping
	var patient doctor.Patient
	var most int
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "doctor --data DIR",
		Short: "Say what is wrong with a server, and how to mend it",
		Long: `Looks at what the server stands on and says in plain words what is wrong and how to mend it: the data folder and
its disk, the database and a sample of the files, whether somebody has an account, the clock, the firm's authority, names, the port,
the weather service, and what is built into the program. It changes nothing and may be run while the server runs, as the user
who runs it. The exit code is 0 where nothing is wrong and 1 where something is.`,
		Args: arguments(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := where.examined(&patient, most); err != nil {
				return err
			}
			patient.Built, patient.Parts = builtOn(debug.ReadBuildInfo()), parts()
			list := doctor.Examine(cmd.Context(), patient)
			print := printFindings
			if asJSON {
				print = func(out io.Writer, list []doctor.Finding) error { return printJSON(out, list) }
			}
			if err := print(cmd.OutOrStdout(), list); err != nil {
				return err
			}
			if !doctor.Sound(list) {
				return coded{exitFailed, said{errors.New("something is wrong")}}
			}
			return nil
		},
	}
	addKeeping(cmd, &where)
	cmd.Flags().StringSliceVar(&patient.Names, "name", nil, "name by which the server is to be found, as 'serve' has it; may be given again")
	cmd.Flags().StringVar(&patient.Listen, "listen", "", "address and port on which 'serve' listens")
	cmd.Flags().StringVar(&patient.Weather, "weather", "", "address of the weather service, as the firm file has it")
	cmd.Flags().IntVar(&most, "sample", sampleFiles, "files to read and hold against their hashes")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print as JSON")
	return cmd
}

// examined says how what is kept there is looked at.
func (p *keeping) examined(patient *doctor.Patient, most int) error {
	address, err := p.address()
	if err != nil {
		return err
	}
	patient.Data = p.folder()
	where := p.files
	if where == "" && p.data == "" {
		where = os.Getenv(filesVariable)
	}
	if where == "" {
		where = filepath.Join(patient.Data, "files")
	}
	if !strings.HasPrefix(where, bucket.Scheme) { // a bucket holds its own against their hashes
		patient.Files = func(ctx context.Context) (int, []error) { return folder.Examine(ctx, where, most) }
	}
	patient.Store = func(ctx context.Context) (doctor.Kept, error) {
		examine := func() (tables.Gist, error) { return sqlite.Examine(ctx, patient.Data) }
		if address != "" {
			examine = func() (tables.Gist, error) { return postgres.Examine(ctx, address) }
		}
		gist, err := examine()
		return doctor.Kept(gist), err
	}
	return nil
}

// builtOn is when the commit was made that the program was built from; zero where it is not known.
func builtOn(info *debug.BuildInfo, known bool) time.Time {
	if known {
		for _, s := range info.Settings {
			if at, err := time.Parse(time.RFC3339, s.Value); s.Key == "vcs.time" && err == nil {
				return at
			}
		}
	}
	return time.Time{}
}

// parts are what is built into this program.
func parts() []doctor.Part {
	const again = "Take the program as it is given away, or build it with 'bash scripts/build.sh'"
	return []doctor.Part{{Name: "the page and its engine for browsers", Err: web.Built(), Remedy: again},
		{Name: "the letters of the papers", Err: letters(), Remedy: again}}
}

// letters says which of the papers' letters are not in the program.
func letters() error {
	for _, bold := range []bool{false, true} {
		for _, r := range "Aø9" {
			if i, err := lettering.Font(bold).GlyphIndex(nil, r); err != nil || i == 0 {
				return errors.Join(fmt.Errorf("%q is not among them", r), err)
			}
		}
	}
	return nil
}

// printFindings prints a line for each, and what to do below it.
func printFindings(out io.Writer, list []doctor.Finding) error {
	for _, f := range list {
		if _, err := fmt.Fprintf(out, "%-12s  %-15s  %s\n", f.State, f.Check, f.Found); err != nil {
			return err
		}
		if f.Remedy != "" {
			if _, err := fmt.Fprintf(out, "%-12s  %-15s  → %s\n", "", "", f.Remedy); err != nil {
				return err
			}
		}
	}
	return nil
}
