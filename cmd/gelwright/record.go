package main

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gelwright/record"
)

func recordCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "record",
		Short: "Keep what happened on the roof: buckets, gels, readings, holds",
		Long: `Keep what happened on a roof, event by event, in a file to which lines are only ever added. A correction is an event of
its own, and what it corrects stays readable. Each device chains its events by hashes, so that a later change shows:
'gelwright verify' tells. Copies of a record are joined in any order to the same one.`,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(recordAddCommand(), recordShowCommand(), recordJoinCommand(), recordGelsCommand())
	return cmd
}

// eventFlags are the facts of an event as they are written behind a command.
type eventFlags struct {
	record.Facts
	job, who, at, photo  string
	resinC, deckC, value float64
}

func (e *eventFlags) add(f *pflag.FlagSet) {
	f.StringVar(&e.job, "job", "", "name of the roof's record, for the first event of a new file")
	f.StringVar(&e.who, "who", "", "who says so")
	f.StringVar(&e.at, "at", "", "when, where not now: 2026-05-12T08:40 by this computer's zone, or with an offset")
	f.IntVar(&e.Bucket, "bucket", 0, "number of the bucket in the plan")
	f.Float64Var(&e.KG, "kg", 0, "kilograms of resin")
	f.Float64Var(&e.CatalystML, "ml", 0, "millilitres of catalyst")
	f.Float64Var(&e.resinC, "resin", 0, "°C of the resin in its pail")
	f.Float64Var(&e.deckC, "deck", 0, "°C of the deck")
	f.StringVar(&e.Measure, "measure", "", "what was read: 'deck moisture', 'humidity', 'hardness'")
	f.Float64Var(&e.value, "value", 0, "what it said")
	f.StringVar(&e.Unit, "unit", "", "its unit")
	f.IntVar(&e.Hold, "hold", 0, "number of the hold point")
	f.StringVar(&e.Reason, "reason", "", "why a hold point is passed without a reading")
	f.StringVar(&e.Batch, "batch", "", "batch, as the drum says it")
	f.StringVar(&e.Text, "text", "", "a sentence")
	f.StringVar(&e.photo, "photo", "", "a picture: its hash goes into the record, the file stays where it is")
	f.StringVar(&e.Of, "of", "", "id of the event that is corrected or taken back")
}

// facts are the flags that were given.
func (e *eventFlags) facts(f *pflag.FlagSet) (record.Facts, error) {
	for name, x := range map[string]struct {
		at   **float64
		from *float64
	}{"resin": {&e.ResinC, &e.resinC}, "deck": {&e.DeckC, &e.deckC}, "value": {&e.Value, &e.value}} {
		if f.Changed(name) {
			*x.at = x.from
		}
	}
	if e.photo != "" {
		file, err := os.Open(e.photo)
		if err != nil {
			return e.Facts, opening("photo", e.photo, err)
		}
		defer file.Close()
		sum := sha256.New()
		if _, err := io.Copy(sum, file); err != nil {
			return e.Facts, opening("photo", e.photo, err)
		}
		e.Photo = hex.EncodeToString(sum.Sum(nil))
	}
	return e.Facts, nil
}

// when is the event's time with the offset of a zone.
func (e *eventFlags) when(now time.Time) (string, error) {
	if e.at == "" {
		return now.Format(time.RFC3339), nil
	}
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(form, e.at, now.Location()); err == nil {
			return t.Format(time.RFC3339), nil
		}
	}
	return "", coded{exitUsage, fmt.Errorf("--at: %q is no time: write 2026-05-12T08:40", e.at)}
}

func recordAddCommand() *cobra.Command {
	var e eventFlags
	cmd := &cobra.Command{
		Use:   "add FILE WHAT",
		Short: "Add an event to a record",
		Long: `Add an event to a record; the file is made when it is not there. WHAT is one of

  mixed         --bucket --kg --ml, and --resin --deck --batch
  laid, hard    --bucket
  gelled        --bucket, and --kg of what was left in it: 'learn' wants it
  spilt, 'thrown away'        --kg, and --bucket where it came from one
  reading       --measure --value --unit
  hold          --hold, with --value --unit or with --reason
  note          --text or --photo
  corrected     --of, and all the facts as they should have been
  'taken back'  --of: it did not happen`,
		Args: arguments(cobra.ExactArgs(2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if e.who == "" {
				return coded{exitUsage, errors.New("--who: a record says who says so")}
			}
			facts, err := e.facts(cmd.Flags())
			if err != nil {
				return err
			}
			at, err := e.when(time.Now())
			if err != nil {
				return err
			}
			device, err := ownDevice()
			if err != nil {
				return err
			}
			lock, err := lockAt(args[0] + ".lock")
			if err != nil {
				return coded{exitFailed, fmt.Errorf("%s: %w", args[0], bare(err))}
			}
			defer lock.release()
			set, err := readRecord(args[0])
			switch {
			case errors.Is(err, fs.ErrNotExist) && e.job == "":
				return coded{exitUsage, fmt.Errorf("%s is not there: name the roof with --job, and it is begun", args[0])}
			case errors.Is(err, fs.ErrNotExist):
				set = record.New(e.job)
			case err != nil:
				return err
			case e.job != "" && e.job != set.Job():
				return coded{exitUsage, fmt.Errorf("--job: %s is the record of %q", args[0], set.Job())}
			}
			event, err := set.Append(device, at, e.who, record.What(args[1]), facts)
			if err != nil {
				return coded{exitUsage, err}
			}
			if err := place(args[0], []byte(set.Lines())); err != nil {
				return coded{exitFailed, fmt.Errorf("%s cannot be written (%w): the event is not kept", args[0], bare(err))}
			}
			fmt.Fprintf(cmd.OutOrStdout(), "kept as %s, hash %s\n", event.ID(), event.Hash())
			return nil
		},
	}
	e.add(cmd.Flags())
	return cmd
}

// readRecord reads a record in which nothing is wrong.
func readRecord(path string) (*record.Set, error) {
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if err != nil {
		return nil, opening("record", path, err)
	}
	defer file.Close()
	set, faults, err := record.ReadAll(file)
	if err != nil {
		return nil, opening("record", path, err)
	}
	if len(faults) > 0 {
		return nil, coded{exitFaults, fmt.Errorf("%s: %w\nNothing was added. 'gelwright verify %s' tells all that is wrong", path, faults[0],
			path)}
	}
	return set, nil
}

// existing reads a record that has to be there.
func existing(path string) (*record.Set, error) {
	set, err := readRecord(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, coded{exitFailed, fmt.Errorf("there is no record %s: 'gelwright record add' begins one", path)}
	case err == nil && set.Len() == 0:
		return nil, coded{exitFaults, fmt.Errorf("%s has no event", path)}
	}
	return set, err
}

// ownDevice is the name under which this computer writes events: drawn once and kept in the user's settings, since two devices of
// one name would write two events under one number.
func ownDevice() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", coded{exitFailed, fmt.Errorf("this computer's name in records has no place to be kept: %w", err)}
	}
	path := filepath.Join(dir, "gelwright", "device")
	raw, err := os.ReadFile(path)
	name := strings.TrimSpace(string(raw))
	switch {
	case err == nil && len(name) == 16:
		return name, nil
	case err == nil:
		return "", coded{exitFailed, fmt.Errorf("%s does not hold 16 letters: remove it, and a new name is drawn", path)}
	case !errors.Is(err, fs.ErrNotExist):
		return "", coded{exitFailed, err}
	}
	var drawn [8]byte
	if _, err := rand.Read(drawn[:]); err != nil {
		return "", coded{exitFailed, err}
	}
	name = hex.EncodeToString(drawn[:])
	if err := place(path, []byte(name+"\n")); err != nil {
		return "", coded{exitFailed, err}
	}
	return name, nil
}

func recordJoinCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "join FILE FILE…",
		Short: "Join copies of a record that were written apart",
		Args:  arguments(cobra.MinimumNArgs(2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if out == "" {
				return coded{exitUsage, errors.New("--out: where the joined record is written")}
			}
			var set *record.Set
			for _, path := range args {
				next, err := existing(path)
				if err != nil {
					return err
				}
				if set == nil {
					set = record.New(next.Job())
				}
				added := 0
				for _, e := range next.Events() {
					is, err := set.Add(e)
					if err != nil {
						return coded{exitFaults, fmt.Errorf("%s: %w", path, err)}
					}
					if is {
						added++
					}
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s: %d events, %d of them new\n", path, next.Len(), added)
			}
			if err := onlyAdded(out, set); err != nil {
				return err
			}
			if err := place(out, []byte(set.Lines())); err != nil {
				return coded{exitFailed, fmt.Errorf("%s cannot be written (%w): give another place", out, bare(err))}
			}
			fmt.Fprintf(cmd.OutOrStdout(), "%s: %d events\n", out, set.Len())
			return nil
		},
	}
	cmd.Flags().StringVarP(&out, "out", "o", "", "the joined record")
	return cmd
}

// onlyAdded says no where a file would lose what it has: it may be there when it is a copy of this record that is joined too.
func onlyAdded(path string, set *record.Set) error {
	old, err := readRecord(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err == nil {
		lost := 0
		for _, e := range old.Events() {
			if set.Witness(e.Hash()) != nil {
				lost++
			}
		}
		if lost == 0 && old.Len() > 0 {
			return nil
		}
	}
	return coded{exitUsage, fmt.Errorf("--out: %s is there already and holds something else: nothing was written; give another name", path)}
}

func verifyCommand() *cobra.Command {
	var heads []string
	cmd := &cobra.Command{
		Use:   "verify RECORD",
		Short: "Say whether a record of a roof was changed after it was written",
		Long: `Say whether a record was changed: each event's bytes against its hash, each device's events against one another. What was cut
off at the end of a device shows only to those who know the device's last hash: give it with --head, as 'record show' or a paper
printed it. docs/record.md describes the file for those who check it without this program.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			file, err := os.Open(args[0])
			if err != nil {
				return opening("record", args[0], err)
			}
			defer file.Close()
			set, faults, err := record.ReadAll(file)
			if err != nil {
				return opening("record", args[0], err)
			}
			for _, h := range heads {
				if f := set.Witness(h); f != nil {
					faults = append(faults, *f)
				}
			}
			w := cmd.OutOrStdout()
			for _, f := range faults {
				fmt.Fprintf(w, "%s: %s\n", args[0], f.Error())
			}
			if len(faults) > 0 {
				return said{coded{exitFaults, fmt.Errorf("%s does not hold", args[0])}}
			}
			if set.Len() == 0 {
				return coded{exitFaults, fmt.Errorf("%s has no event", args[0])}
			}
			fmt.Fprintf(w, "%s: %d events of %q hold together; nothing between the first and the last of each device was changed or left out\n",
				args[0], set.Len(), set.Job())
			for _, h := range set.Heads() {
				fmt.Fprintf(w, "  device %s  %d events, the last %s\n", h.Device, h.Events, h.Hash)
			}
			return nil
		},
	}
	cmd.Flags().StringArrayVar(&heads, "head", nil, "a hash that somebody has kept: it must be in the record")
	return cmd
}

func recordGelsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "gels FILE",
		Short: "Write the gels of a record as the log that 'learn' reads",
		Long: `Write the gels of a record as the CSV that 'gelwright learn' reads. A bucket teaches when one device was told of its mixing and its
gel, the resin was measured in its pail, and it was said how much was left. Which buckets teach nothing, and why, is told beside it.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			set, err := existing(args[0])
			if err != nil {
				return err
			}
			gels, others := set.Replay().Gels()
			for _, o := range others {
				fmt.Fprintln(cmd.ErrOrStderr(), o)
			}
			if len(gels) == 0 {
				return coded{exitNo, fmt.Errorf("%s has no gel that a law can be learned from", args[0])}
			}
			w := csv.NewWriter(cmd.OutOrStdout())
			_ = w.Write([]string{"drum", "temp_c", "catalyst_ml", "mix_kg", "gel_min"})
			for _, g := range gels {
				row := []string{g.Drum}
				for _, v := range []float64{g.TempC, g.CatalystML, g.MixKG, g.GelMin} {
					row = append(row, strconv.FormatFloat(v, 'g', 6, 64))
				}
				_ = w.Write(row)
			}
			w.Flush()
			return w.Error()
		},
	}
}
