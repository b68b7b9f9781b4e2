package document

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"gelwright/drawing"
	"gelwright/language"
	"gelwright/laying"
	"gelwright/mixing"
	"gelwright/plan"
	"gelwright/quantity"
	"gelwright/scene"
	"gelwright/scene/pdf"
	"gelwright/scene/svg"
	"gelwright/unit"
)

// File is one document with its name below the job's folder, parted by "/".
type File struct {
	Name    string
	Content []byte
}

// pixelsPerMM of the drawings as pictures: about 150 to the inch.
const pixelsPerMM = 6

// Options of Files; the zero value is usual.
type Options struct {
	// Progress, when set, is told each step as it begins.
	Progress func(step string)
	// Pictures asks for every drawing as PNG too: it takes longer than all the rest.
	Pictures bool
}

// Files returns everything that a person takes from a plan: site.pdf, office.pdf and
// workings.pdf, each as a page of HTML too, labels.pdf, plan.json, the lists as CSV, and the
// drawings as SVG, one PDF and DXF. A done context ends it with an error.
func Files(ctx context.Context, p *plan.Plan) ([]File, error) { return FilesWith(ctx, p, Options{}) }

// FilesWith is Files with options.
func FilesWith(ctx context.Context, p *plan.Plan, o Options) ([]File, error) {
	step := func(name string) error {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		if o.Progress != nil {
			o.Progress(name)
		}
		return nil
	}
	if err := step("drawings"); err != nil {
		return nil, err
	}
	stored := p
	p = printed(p)
	set, err := drawing.Books(p)
	if err != nil {
		return nil, err
	}
	if err := step("job pack"); err != nil {
		return nil, err
	}
	files, err := Books(ctx, p, set)
	if err != nil {
		return nil, err
	}
	if err := step("labels and lists"); err != nil {
		return nil, err
	}
	labels, err := LabelsPDF(p)
	if err != nil {
		return nil, err
	}
	raw, err := stored.MarshalJSON()
	if err != nil {
		return nil, fmt.Errorf("plan.json: %w", err)
	}
	files = append(files, File{"labels.pdf", labels}, File{"plan.json", append(raw, '\n')})
	lists, err := Lists(p)
	if err != nil {
		return nil, err
	}
	files = append(files, lists...)
	if err := step("drawing files"); err != nil {
		return nil, err
	}
	drawn, err := drawingFiles(ctx, p, set.All(), o.Pictures)
	if err != nil {
		return nil, err
	}
	return append(files, drawn...), nil
}

// drawingFiles returns every sheet in every format, and all of them as one PDF.
func drawingFiles(ctx context.Context, p *plan.Plan, sheets []*drawing.Sheet, asPictures bool) ([]File, error) {
	var painted [][]byte
	if asPictures {
		var err error
		if painted, err = pictures(ctx, sheets); err != nil {
			return nil, err
		}
	}
	var files []File
	var scenes []*scene.Scene
	for i, s := range sheets {
		name := fmt.Sprintf("drawings/%02d-%s", i+1, fileName(s.Scene.Title))
		files = append(files, File{name + ".svg", svg.Bytes(s.Scene, svg.Options{})})
		if asPictures {
			files = append(files, File{name + ".png", painted[i]})
		}
		for k, half := range s.Halves {
			files = append(files, File{fmt.Sprintf("drawings/%02d%c-%s.dxf", i+1, 'a'+k, fileName(half.Scene.Title)), half.DXF()})
		}
		if s.Scale > 0 && s.Halves == nil {
			files = append(files, File{name + ".dxf", s.DXF()})
		}
		scenes = append(scenes, s.Scene)
	}
	date, err := jobDate(p)
	if err != nil {
		return nil, err
	}
	all, err := pdf.BytesIn(localeOf(p), date, p.Job.Name+", "+p.Job.Site.Said.Say("drawings"), p.Job.PreparedBy, scenes...)
	if err != nil {
		return nil, err
	}
	return append(files, File{"drawings/all.pdf", all}), nil
}

// LabelsPDF returns the labels of all pieces, 24 to a sheet of A4.
func LabelsPDF(p *plan.Plan) ([]byte, error) {
	date, err := jobDate(p)
	if err != nil {
		return nil, err
	}
	sheets, err := drawing.LabelSheets(p)
	if err != nil {
		return nil, err
	}
	return pdf.BytesIn(localeOf(p), date, p.Job.Name+", "+p.Job.Site.Said.Say("labels"), p.Job.PreparedBy, sheets...)
}

// localeOf is that of the language of a plan's papers, as a paper names it to readers of the screen.
func localeOf(p *plan.Plan) string {
	if in := p.Job.Site.Said; in != nil {
		return in.Locale()
	}
	return pdf.Language
}

// jobDate is the day all documents bear.
func jobDate(p *plan.Plan) (time.Time, error) {
	date, err := time.Parse(time.DateOnly, p.Job.Date)
	if err != nil {
		return date, fmt.Errorf("date %q: give it as year-month-day, so that the documents can bear it", p.Job.Date)
	}
	return date, nil
}

// umlauts are written in two letters where only plain ones stand.
var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss")

// fileName turns a title into a file's name.
func fileName(title string) string {
	var b strings.Builder
	dash := true
	for _, r := range umlauts.Replace(strings.ToLower(title)) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
			dash = false
		} else if !dash {
			b.WriteByte('-')
			dash = true
		}
	}
	return strings.Trim(b.String(), "-")
}

// harmless keeps a spreadsheet from taking a name for a formula: a cell that begins like one
// and is no number gets an apostrophe before it, which spreadsheets take for "this is text".
func harmless(rows [][]string) [][]string {
	for _, row := range rows {
		for i, cell := range row {
			if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				continue
			}
			if _, number := unit.Decimal(cell); !number {
				row[i] = "'" + cell
			}
		}
	}
	return rows
}

// settledDate is the date of a day of wet work; empty where no forecast has settled one.
func settledDate(p *plan.Plan, day int) string {
	if !p.Schedule.Forecast() {
		return ""
	}
	return p.Schedule.DateOf(day)
}

// byteOrderMark tells a spreadsheet that a list is UTF-8: without it umlauts are read as something else.
const byteOrderMark = "\ufeff"

// saidRows puts a list into the language of the papers: heads and what has a form, days, and the decimal mark. English stays as
// it is.
func saidRows(in *language.Speaker, rows [][]string) [][]string {
	if in == nil {
		return rows
	}
	mark := unit.DecimalMark(in.Locale())
	heads := slices.Clone(rows[0])
	for k, row := range rows {
		for i, cell := range row {
			if k > 0 && (heads[i] == "pieces" || heads[i] == "covers") {
				continue // hundreds of numbers of pieces
			}
			if _, number := unit.Decimal(cell); number {
				row[i] = strings.Replace(cell, ".", mark, 1)
			} else if m := fromTo.FindStringSubmatch(cell); m != nil {
				row[i] = m[1] + " – " + m[2]
			} else if !keyed.MatchString(cell) {
				row[i] = in.Say(cell)
			}
		}
	}
	return rows
}

// fromTo are joints of boards by the pieces at their ends: "B1/B4 to B3/B6".
var fromTo = regexp.MustCompile(`^([A-Z]+[0-9]+[-A-Z0-9/–]*) to ([A-Z]+[0-9]+[-A-Z0-9/–]*)$`)

// keyed are cells that name things for programs, keys of materials and numbers of pieces: the same in every language.
var keyed = regexp.MustCompile(`^[a-z0-9]+([.-][a-z0-9-]+)+$|^([A-Z]+[0-9]+[-A-Z0-9/–]*[ ]?)+$`)

// Lists returns the lists as CSV with units in the heads: in English with a point for the decimal mark, in a language that writes a
// comma with that, and fields parted by semicolons, as spreadsheets of its countries read and write them.
func Lists(p *plan.Plan) ([]File, error) {
	var files []File
	in := p.Job.Site.Said
	add := func(name string, rows [][]string) error {
		var b bytes.Buffer
		if in != nil {
			b.WriteString(byteOrderMark)
		}
		w := csv.NewWriter(&b)
		if unit.DecimalMark(in.Locale()) == "," {
			w.Comma = ';'
		}
		if err := w.WriteAll(saidRows(in, harmless(rows))); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		files = append(files, File{"lists/" + name, b.Bytes()})
		return nil
	}
	order := append([][]string{quantity.Header()}, p.Order.Schedule.Rows()...)
	for _, l := range []struct {
		name string
		rows [][]string
	}{{"order.csv", order}, {"pieces.csv", pieceRows(p)}, {"cuts.csv", cutRows(p)}, {"offcuts.csv", offcutRows(p)},
		{"buckets.csv", bucketListRows(p)}, {"firrings.csv", firringRows(p)}} {
		if err := add(l.name, l.rows); err != nil {
			return nil, err
		}
	}
	return files, nil
}

// pieceRows lists every piece that is set out.
func pieceRows(p *plan.Plan) [][]string {
	pieces := [][]string{{"deck", "number", "kind", "role", "layer", "order", "length_mm", "width_mm", "area_m2", "material", "stock",
		"edge", "serves", "note"}}
	for _, d := range p.Decks {
		for _, x := range d.Pieces() {
			edge := ""
			if x.Edge >= 0 {
				edge = fmt.Sprint(x.Edge + 1)
			}
			pieces = append(pieces, []string{d.Name, x.Number, string(x.Kind), x.Role, fmt.Sprint(x.Layer), fmt.Sprint(x.Order),
				fmt.Sprint(x.LengthMM), fmt.Sprint(x.WidthMM), fmt.Sprintf("%.4f", x.AreaM2), x.Material, fmt.Sprint(x.Stock), edge, x.Serves, x.Note})
		}
	}
	return pieces
}

// cutRows lists every cut of every board, length and roll.
func cutRows(p *plan.Plan) [][]string {
	cuts := [][]string{{"deck", "material", "stock", "stock_length_mm", "stock_width_mm", "piece", "x_mm", "y_mm", "length_mm", "width_mm"}}
	for _, d := range p.Decks {
		for _, m := range d.Materials() {
			for _, s := range m.Stock {
				for _, c := range s.Cuts {
					cuts = append(cuts, []string{d.Name, m.Name, fmt.Sprint(s.Number), fmt.Sprint(s.LengthMM), fmt.Sprint(s.WidthMM), c.Piece,
						fmt.Sprint(c.XMM), fmt.Sprint(c.YMM), fmt.Sprint(c.LengthMM), fmt.Sprint(c.WidthMM)})
				}
			}
		}
	}
	return cuts
}

// offcutRows lists what is worth keeping.
func offcutRows(p *plan.Plan) [][]string {
	offcuts := [][]string{{"deck", "material", "stock", "length_mm", "width_mm"}}
	for _, o := range p.Kept() {
		offcuts = append(offcuts, []string{o.Deck, o.Material, o.From, fmt.Sprint(o.LengthMM), fmt.Sprint(o.WidthMM)})
	}
	return offcuts
}

// firringRows lists every firring with its ends.
func firringRows(p *plan.Plan) [][]string {
	firrings := [][]string{{"deck", "number", "length_mm", "from_height_mm", "to_height_mm", "from_x_m", "from_y_m", "to_x_m", "to_y_m",
		"cut_from_m", "from_skew_deg", "to_skew_deg", "note"}}
	for _, d := range p.Decks {
		for _, f := range d.Firrings {
			mm := func(v float64) string { return fmt.Sprintf("%.1f", v) }
			m := func(v float64) string { return fmt.Sprintf("%.3f", v) }
			// Adding zero turns a negative one, that would print as "-0.0".
			deg := func(v float64) string { return fmt.Sprintf("%.1f", math.Round(10*v)/10+0) }
			firrings = append(firrings, []string{d.Name, f.Number, mm(f.LengthM * 1000), mm(f.FromMM), mm(f.ToMM), m(f.From.X), m(f.From.Y),
				m(f.To.X), m(f.To.Y), m(f.CutM()), deg(f.SkewDeg[0]), deg(f.SkewDeg[1]), f.Note})
		}
	}
	return firrings
}

// bucketListRows lists every bucket with its dose, day and hour.
func bucketListRows(p *plan.Plan) [][]string {
	buckets := [][]string{{"deck", "pass", "layer", "bucket", "resin_kg", "resin_l", "catalyst_g", "catalyst_ml", "dose_pct_by_mass",
		"dose_ml_per_litre", "gel_low_min", "gel_likely_min", "gel_high_min", "lay_within_min", "area_m2", "chance_laid", "covers",
		"gang", "date", "mix_at", "deck_c", "resin_c", "first"}}
	for _, x := range p.Passes {
		if x.Plan == nil {
			continue
		}
		for _, m := range x.Plan.Mixes {
			var covers []string
			for _, part := range m.Parts {
				covers = append(covers, part.Name)
			}
			date := settledDate(p, m.Day)
			_, deckC, pailC := p.Schedule.At(m.Day, m.MixAtMin)
			n := func(v float64) string { return fmt.Sprintf("%.3f", v) }
			buckets = append(buckets, []string{x.Deck, x.Kind, fmt.Sprint(x.Layer), fmt.Sprint(m.Number), n(m.ResinKG), n(m.ResinL),
				fmt.Sprintf("%.1f", m.CatalystG), fmt.Sprintf("%.1f", m.CatalystML), n(m.DosePct), n(m.DoseMLPerL),
				fmt.Sprintf("%.1f", m.Gel.LowMin), fmt.Sprintf("%.1f", m.Gel.LikelyMin), fmt.Sprintf("%.1f", m.Gel.HighMin),
				fmt.Sprintf("%.1f", m.LayByMin), n(m.AreaM2), n(m.ChanceLaid), strings.Join(covers, " "), m.Gang, date,
				clockWords(m.MixAtMin), fmt.Sprintf("%.1f", deckC), fmt.Sprintf("%.1f", pailC), firstWords(p, &x, m)})
		}
	}
	return buckets
}

// firstWords is what comes before the part of a pass in which a bucket is mixed.
func firstWords(p *plan.Plan, x *laying.Pass, m mixing.Mix) string {
	if part := p.Schedule.PartAt(x.Key(), m.Day, m.MixAtMin); part != nil {
		return part.First
	}
	return ""
}
