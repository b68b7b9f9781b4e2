package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/cure"
	"gelwright/elementary"
	"gelwright/material"
	"gelwright/working"
)

// gelFile is a learned gel law as 'learn --json' writes it and --gel reads it.
type gelFile struct {
	Version  int          `json:"version"`
	ResinKey string       `json:"resin"`
	Gel      cure.Gel     `json:"gel"`
	Learned  cure.Learned `json:"learned"`
}

const gelFileVersion = 1

// readGel reads a learned law; no path is no law.
func readGel(path string) (*gelFile, error) {
	if path == "" {
		return nil, nil
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, opening("gel law", path, err)
	}
	var g gelFile
	name := filepath.Base(path)
	if err := json.Unmarshal(raw, &g); err != nil {
		return nil, coded{exitFaults, fmt.Errorf("%s: not a gel law (%w): write one with 'gelwright learn LOG.csv --json'", name, err)}
	}
	if g.Version != gelFileVersion || g.ResinKey == "" {
		return nil, coded{exitFaults, fmt.Errorf("%s: version %d of a gel law for %q: this program reads version %d: write it anew with 'gelwright learn LOG.csv --json'", name, g.Version, g.ResinKey, gelFileVersion)}
	}
	if err := g.Gel.Check(); err != nil {
		return nil, coded{exitFaults, fmt.Errorf("%s: %w", name, err)}
	}
	return &g, nil
}

// lawFor is the law of a resin: the learned one, for its drum where it knows the drum,
// else that of the data sheet.
func lawFor(r material.Resin, learned *gelFile, drum string) (cure.Gel, error) {
	if learned == nil {
		if drum != "" {
			return cure.Gel{}, coded{exitUsage, fmt.Errorf("--drum %s: a drum is known only from its log: give --gel as well", drum)}
		}
		g, err := cure.NewGel(r)
		if err != nil {
			return g, coded{exitFaults, err}
		}
		return g, nil
	}
	if drum == "" {
		return learned.Gel, nil
	}
	g, ok := learned.Gel.ForDrum(drum)
	if !ok {
		var names []string
		for _, d := range learned.Gel.Drums {
			names = append(names, d.Name)
		}
		return g, coded{exitUsage, fmt.Errorf("--drum %s: the log knows %s", drum, strings.Join(names, ", "))}
	}
	return g, nil
}

func learnCommand() *cobra.Command {
	var resin, firmPath string
	var asJSON, explain bool
	cmd := &cobra.Command{
		Use:   "learn LOG.csv",
		Short: "Learn a resin's gel from the gels that were logged",
		Long: `Learn from gels seen on site. The log is a CSV file with a heading and one gel a row:

  drum          name of the batch; may be empty
  temp_c        °C of the resin
  catalyst_pct  % by mass, or catalyst_ml beside mix_kg
  mix_kg        kilograms in the bucket; empty for a test cup
  gel_min       minutes from mixing to gel

Further columns are passed over. A bucket heats itself, so its gel is first turned into
that of a cup. What is printed is how the gel range moved; entries that do not fit are
named. --json writes the learned law, which 'dose' and 'plan' take with --gel.`,
		Args: arguments(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			cat, err := catalogueOf(firmPath, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			r, err := cat.Resin(resin)
			if err != nil {
				return coded{exitUsage, err}
			}
			c, err := cat.Catalyst("catalyst.mekp")
			if err != nil {
				return err
			}
			name, in := "standard input", cmd.InOrStdin()
			if args[0] != "-" {
				f, err := os.Open(args[0])
				if err != nil {
					return opening("gel log", args[0], err)
				}
				defer f.Close()
				name, in = filepath.Base(args[0]), f
			}
			log, err := readLog(name, in, c.DensityGPerML)
			if err != nil {
				return coded{exitFaults, err}
			}
			before, err := cure.NewGel(r)
			if err != nil {
				return coded{exitFaults, err}
			}
			gels, err := log.asCups(cmd.Context(), before, r.DensityKGPerL)
			if err != nil {
				return err
			}
			after, learned, err := cure.Learn(before, gels)
			if err != nil {
				return coded{exitFaults, fmt.Errorf("%s: %w", name, err)}
			}
			w := cmd.OutOrStdout()
			if asJSON {
				raw, err := json.MarshalIndent(gelFile{gelFileVersion, r.Key, after, learned}, "", " ")
				if err != nil {
					return err
				}
				_, err = fmt.Fprintln(w, string(raw))
				return err
			}
			if err := printLearned(w, log, before, after, learned); err != nil || !explain {
				return err
			}
			for _, fig := range learned.Figures {
				if err := working.Unfold(w, fig); err != nil {
					return err
				}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&resin, "resin", "resin.all-season", "resin of the catalogue that was logged")
	f.StringVar(&firmPath, "firm", "", "the firm's own file, with its resin's gel points")
	f.BoolVar(&asJSON, "json", false, "write the learned law as JSON")
	f.BoolVar(&explain, "explain", false, "unfold the workings")
	return cmd
}

// gelLog is a log as read: the gels, the mix of each in kg (0 for a cup) and its line.
type gelLog struct {
	name  string
	gels  []cure.GelLog
	kg    []float64
	lines []int
}

// asCups takes the bucket's own heat out of each gel.
func (l *gelLog) asCups(ctx context.Context, g cure.Gel, densityKGPerL float64) ([]cure.GelLog, error) {
	out := slices.Clone(l.gels)
	for i, kg := range l.kg {
		if kg == 0 {
			continue
		}
		var err error
		if out[i], err = cure.Roof().AsCup(ctx, g, l.gels[i], kg, densityKGPerL); err != nil {
			return nil, coded{exitFaults, fmt.Errorf("%s:%d: %w", l.name, l.lines[i], err)}
		}
	}
	return out, nil
}

// column is one thing that a log holds, with the range that is taken for no slip.
type column struct {
	name      string
	low, high float64
	remedy    string
}

var logColumns = [...]column{
	{"temp_c", -10, 50, "give °C of the resin, such as 14.5"},
	{"catalyst_pct", 0.2, 10, "give % by mass of resin, such as 2"},
	{"catalyst_ml", 0.1, 5000, "give millilitres, and the mix in mix_kg"},
	{"mix_kg", 0.01, 250, "give kilograms of resin, or leave it empty for a test cup"},
	{"gel_min", 1, 24 * 60, "give the minutes from mixing to gel"},
}

// readLog reads a gel log; it reports all faults at once, each with line and column.
func readLog(name string, in io.Reader, catalystGPerML float64) (*gelLog, error) {
	raw, err := io.ReadAll(io.LimitReader(in, 16<<20))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	text := strings.TrimPrefix(string(raw), "\ufeff")
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comment, reader.FieldsPerRecord, reader.TrimLeadingSpace = '#', -1, true
	comma := false
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		if strings.Contains(line, ";") {
			reader.Comma, comma = ';', true
		}
		break
	}
	d := &logDoor{name: name, reader: reader, comma: comma, at: map[string]int{}}
	if err := d.heading(); err != nil {
		return nil, err
	}
	out := &gelLog{name: name}
	for {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				d.fault(bad.Line, bad.Column, "%v: quote whole fields or none", bad.Err)
				break
			}
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		if gel, kg, ok := d.row(record, catalystGPerML); ok {
			line, _ := reader.FieldPos(0)
			out.gels, out.kg, out.lines = append(out.gels, gel), append(out.kg, kg), append(out.lines, line)
		}
	}
	if len(d.faults) > 0 {
		return nil, errors.New(strings.Join(d.faults, "\n"))
	}
	if len(out.gels) == 0 {
		return nil, fmt.Errorf("%s:2:1: no gels under the heading: add a row for each gel that was timed", name)
	}
	return out, nil
}

// logDoor turns rows of text into gels and gathers faults.
type logDoor struct {
	name   string
	reader *csv.Reader
	comma  bool // decimal commas
	at     map[string]int
	faults []string
}

func (d *logDoor) fault(line, col int, format string, args ...any) {
	d.faults = append(d.faults, fmt.Sprintf("%s:%d:%d: ", d.name, line, col)+fmt.Sprintf(format, args...))
}

func (d *logDoor) heading() error {
	record, err := d.reader.Read()
	if errors.Is(err, io.EOF) {
		return fmt.Errorf("%s:1:1: the log is empty: begin with the heading drum,temp_c,catalyst_pct,mix_kg,gel_min", d.name)
	}
	if err != nil {
		return fmt.Errorf("%s:1:1: %w", d.name, err)
	}
	for i, field := range record {
		key := strings.ToLower(strings.TrimSpace(field))
		line, col := d.reader.FieldPos(i)
		if _, twice := d.at[key]; twice && key != "" {
			d.fault(line, col, "column %q comes twice: keep one", key)
		}
		d.at[key] = i
	}
	head, _ := d.reader.FieldPos(0)
	has := func(key string) bool { _, ok := d.at[key]; return ok }
	for _, key := range []string{"temp_c", "gel_min"} {
		if !has(key) {
			d.fault(head, 1, "there is no column %s: the heading is drum,temp_c,catalyst_pct,mix_kg,gel_min", key)
		}
	}
	if !has("catalyst_pct") && !(has("catalyst_ml") && has("mix_kg")) {
		d.fault(head, 1, "there is no dose: add a column catalyst_pct, or catalyst_ml and mix_kg")
	}
	if len(d.faults) > 0 {
		return errors.New(strings.Join(d.faults, "\n"))
	}
	return nil
}

// field is a number of a row: missing, at fault, or a value.
type field struct {
	v        float64
	has, bad bool
}

func (d *logDoor) number(record []string, c column) field {
	i, there := d.at[c.name]
	if !there || i >= len(record) {
		return field{}
	}
	text := strings.TrimSpace(record[i])
	if text == "" {
		return field{}
	}
	if d.comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	line, col := d.reader.FieldPos(i)
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil || math.IsNaN(v):
		d.fault(line, col, "%s %q is no number: %s", c.name, record[i], c.remedy)
		return field{bad: true}
	case v < c.low || v > c.high:
		d.fault(line, col, "%s %g is not between %g and %g: %s", c.name, v, c.low, c.high, c.remedy)
		return field{bad: true}
	}
	return field{v: v, has: true}
}

func (d *logDoor) row(record []string, catalystGPerML float64) (cure.GelLog, float64, bool) {
	before := len(d.faults)
	line, _ := d.reader.FieldPos(0)
	var f [len(logColumns)]field
	for i, c := range logColumns {
		f[i] = d.number(record, c)
	}
	temp, pct, ml, kg, min := f[0], f[1], f[2], f[3], f[4]
	g := cure.GelLog{TempC: temp.v, CatalystPct: pct.v, Min: min.v}
	if i, ok := d.at["drum"]; ok && i < len(record) {
		g.Drum = strings.TrimSpace(record[i])
	}
	need := func(ok bool, what, remedy string) {
		if !ok {
			col := 1
			if i, there := d.at[what]; there && i < len(record) {
				_, col = d.reader.FieldPos(i)
			}
			d.fault(line, col, "no %s: %s", what, remedy)
		}
	}
	need(temp.has || temp.bad, "temp_c", logColumns[0].remedy)
	need(min.has || min.bad, "gel_min", logColumns[4].remedy)
	switch {
	case pct.has || pct.bad || ml.bad || kg.bad:
	case ml.has && kg.has:
		if g.CatalystPct = 100 * ml.v * catalystGPerML / (1000 * kg.v); g.CatalystPct > 10 {
			_, col := d.reader.FieldPos(d.at["catalyst_ml"])
			d.fault(line, col, "%g ml in %g kg is %.1f %%: check both", ml.v, kg.v, g.CatalystPct)
		}
	default:
		need(false, "catalyst_pct", "give % by mass, or catalyst_ml and mix_kg")
	}
	return g, kg.v, len(d.faults) == before
}

// learnedAt are the temperatures at which the ranges are compared, °C.
var learnedAt = [...]float64{10, 15, 20, 25}

func printLearned(w io.Writer, log *gelLog, before, after cure.Gel, learned cure.Learned) error {
	p := &printer{w: w}
	p.line("%s, %s of %s", count(learned.Gels, "gel"), count(learned.Drums, "drum"), after.Resin)
	pct := math.Max(after.MinPct, math.Min(after.MaxPct, 2))
	p.line("%-8s %-24s %s", "", fmt.Sprintf("before, at %g %%", pct), "with the log")
	for _, t := range learnedAt {
		a, err := before.Time(t, pct)
		if err != nil {
			continue // the resin is not laid then
		}
		b, err := after.Time(t, pct)
		if err != nil {
			continue
		}
		p.line("%3.0f °C   %-24s %s", t, span(a), span(b))
	}
	for _, d := range after.Drums {
		way, share := "later", elementary.Exp(d.Offset)-1
		if share < 0 {
			way = "sooner"
		}
		p.line("drum %s: gels %.0f %% %s than the resin's own (within %.0f %% in nine of ten), %s", d.Name, 100*math.Abs(share), way, 100*(elementary.Exp(1.645*d.OffsetSD)-1), count(d.Gels, "gel"))
	}
	doubtful := 0
	for i, e := range learned.Entries {
		if !e.Doubtful {
			continue
		}
		doubtful++
		l := log.gels[i]
		way := "later"
		if e.Miss < 0 {
			way = "sooner"
		}
		p.line("%s:%d: %g min at %g °C and %.2f %% is much %s than the other gels say (%.1f times the spread), so it counts for little: check thermometer, jug and pen", log.name, log.lines[i], l.Min, l.TempC, l.CatalystPct, way, math.Abs(e.Miss))
	}
	if doubtful == 0 {
		p.line("no entry stands out")
	}
	return p.err
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func span(r cure.Range) string {
	return fmt.Sprintf("%.0f–%.0f min, likely %.0f", r.LowMin, r.HighMin, r.LikelyMin)
}
