package gelfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"gelwright/cure"
	"gelwright/internal/words"
	"gelwright/unit"
)

// Log is a log as read: the gels, the mix of each in kg (0 for a cup) and its line.
type Log struct {
	Name  string
	Gels  []cure.GelLog
	KG    []float64
	Lines []int
	// Catalysts that the gels were made with, as they are written: a key of the catalogue or its
	// speed; empty is the usual one.
	Catalysts []string
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

// ReadLog reads a gel log; it reports all faults at once, each with line and column. Millilitres
// are weighed by the density of the catalyst that their row names, "" for none, g/ml.
func ReadLog(name string, in io.Reader, gPerML func(catalyst string) float64) (*Log, error) {
	raw, err := io.ReadAll(io.LimitReader(in, 16<<20))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	reader, comma, err := rowsOf(name, raw)
	if err != nil {
		return nil, err
	}
	d := &logDoor{name: name, reader: reader, comma: comma, at: map[string]int{}}
	if err := d.heading(); err != nil {
		return nil, err
	}
	out := &Log{Name: name}
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
		if gel, kg, ok := d.row(record, gPerML); ok {
			line, _ := reader.FieldPos(0)
			out.Gels, out.KG, out.Lines = append(out.Gels, gel), append(out.KG, kg), append(out.Lines, line)
			out.Catalysts = append(out.Catalysts, d.text(record, "catalyst"))
		}
	}
	if len(d.faults) > 0 {
		return nil, errors.New(strings.Join(d.faults, "\n"))
	}
	if len(out.Gels) == 0 {
		return nil, fmt.Errorf("%s:2:1: no gels under the heading: add a row for each gel that was timed", name)
	}
	return out, nil
}

// rowsOf opens the rows of a text, parted by commas, semicolons or tabs; comma is true where
// numbers may have a decimal comma.
func rowsOf(name string, raw []byte) (reader *csv.Reader, comma bool, err error) {
	if !utf8.Valid(raw) || bytes.IndexByte(raw, 0) >= 0 {
		return nil, false, fmt.Errorf("%s:1:1: the file is not UTF-8 text: save it as plain text in UTF-8", name)
	}
	text := strings.TrimPrefix(string(raw), "\ufeff")
	reader = csv.NewReader(strings.NewReader(text))
	reader.Comment, reader.FieldsPerRecord, reader.TrimLeadingSpace = '#', -1, true
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		switch {
		case strings.Contains(line, ";"):
			reader.Comma, comma = ';', true
		case strings.Contains(line, "\t") && !strings.Contains(line, ","):
			reader.Comma, reader.TrimLeadingSpace, comma = '\t', false, true
		}
		break
	}
	return reader, comma, nil
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
	v, isNumber := unit.Decimal(text)
	switch {
	case !isNumber:
		d.fault(line, col, "%s %q is no number: %s", c.name, record[i], c.remedy)
		return field{bad: true}
	case v < c.low || v > c.high:
		d.fault(line, col, "%s %g is not between %g and %g: %s", c.name, v, c.low, c.high, c.remedy)
		return field{bad: true}
	}
	return field{v: v, has: true}
}

func (d *logDoor) row(record []string, gPerML func(catalyst string) float64) (cure.GelLog, float64, bool) {
	before := len(d.faults)
	line, _ := d.reader.FieldPos(0)
	var f [len(logColumns)]field
	for i, c := range logColumns {
		f[i] = d.number(record, c)
	}
	temp, pct, ml, kg, min := f[0], f[1], f[2], f[3], f[4]
	g := cure.GelLog{TempC: temp.v, CatalystPct: pct.v, Min: min.v}
	if g.Drum = d.text(record, "drum"); g.Drum != "" {
		d.legible(d.at["drum"], g.Drum)
	}
	d.need(record, temp.has || temp.bad, "temp_c", logColumns[0].remedy)
	d.need(record, min.has || min.bad, "gel_min", logColumns[4].remedy)
	switch {
	case pct.has && ml.has:
		_, col := d.reader.FieldPos(d.at["catalyst_ml"])
		d.fault(line, col, "the dose is given twice, as %g %% and as %g ml: keep one", pct.v, ml.v)
	case pct.has || pct.bad || ml.bad || kg.bad:
	case ml.has && kg.has:
		if g.CatalystPct = 100 * ml.v * gPerML(d.text(record, "catalyst")) / (1000 * kg.v); g.CatalystPct > 10 {
			_, col := d.reader.FieldPos(d.at["catalyst_ml"])
			d.fault(line, col, "%g ml in %g kg is %.1f %%: check both", ml.v, kg.v, g.CatalystPct)
		}
	default:
		d.need(record, false, "catalyst_pct", "give % by mass, or catalyst_ml and mix_kg")
	}
	return g, kg.v, len(d.faults) == before
}

// text is what stands in a column of a row; empty where there is none.
func (d *logDoor) text(record []string, column string) string {
	if i, ok := d.at[column]; ok && i < len(record) {
		return strings.TrimSpace(record[i])
	}
	return ""
}

// legible finds fault with a name that does not look on paper as it stands in the log.
func (d *logDoor) legible(i int, name string) {
	if message, remedy := words.Illegible(name, false); message != "" {
		line, col := d.reader.FieldPos(i)
		d.fault(line, col, "drum: %s: %s", message, strings.ToLower(remedy[:1])+remedy[1:])
	}
}

// need finds fault with a row that lacks something.
func (d *logDoor) need(record []string, ok bool, what, remedy string) {
	if ok {
		return
	}
	line, _ := d.reader.FieldPos(0)
	col := 1
	if i, there := d.at[what]; there && i < len(record) {
		_, col = d.reader.FieldPos(i)
	}
	d.fault(line, col, "no %s: %s", what, remedy)
}
