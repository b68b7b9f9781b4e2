package firmfile

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"gelwright/internal/form"
	"gelwright/language"
	"gelwright/material"
	"gelwright/roof"
)

// Version is the version of the firm file that this package reads.
const Version = 1

// Fault is one thing wrong with a file; Faults is all of them, an error.
type (
	Fault  = form.Fault
	Faults = form.Faults
)

// replace puts the firm's value where a default stands.
func replace[V any](j *roof.Job, f *Firm, field string, at *V, own V) {
	for i := range j.Defaults {
		if d := &j.Defaults[i]; d.Field == field {
			*at = own
			d.Value, d.Why, d.Firm = fmt.Sprint(own), "the firm's file "+f.File, f.place()
		}
	}
}

// Read turns the text of a firm file into a Firm. The error is a Faults that holds
// everything that is wrong; the Faults returned are warnings.
func Read(file string, data []byte) (Firm, Faults, error) {
	rd := form.Open(file, data)
	d := document{}
	if root := rd.Root(); root.Exists() {
		table.Read(root, &d)
		d.check(rd)
	}
	faults := rd.Faults()
	if faults.Bad() {
		return Firm{}, nil, faults
	}
	d.firm.File = file
	return d.firm, faults, nil
}

// ReadFrom reads a firm file from r, no more of it than a firm file may have.
func ReadFrom(file string, r io.Reader) (Firm, Faults, error) {
	data, err := form.ReadAll(r)
	if err != nil {
		return Firm{}, nil, fmt.Errorf("reading %s: %w", file, err)
	}
	return Read(file, data)
}

type document struct {
	version int
	firm    Firm
}

// check looks at what no single field can tell.
func (d *document) check(rd *form.Reader) {
	for i, r := range d.firm.Resins {
		path, where := fmt.Sprintf("resins[%d]", i), fmt.Sprintf("resin %q", r.Key)
		if r.MinPct > 0 && r.MinMLPerL > 0 {
			rd.AddAt(path+".min_catalyst_ml_per_l", Fault{Code: "resin.dose", Where: where,
				Message: "the least dose is given twice, by mass and by the jug", Remedy: "Keep the one that the data sheet has"})
		}
		if r.MinPct > 0 && r.MaxPct > 0 && r.MinPct >= r.MaxPct {
			rd.AddAt(path+".max_catalyst_pct", Fault{Code: "resin.dose", Where: where,
				Message: fmt.Sprintf("the largest dose %g %% is not above the least %g %%", r.MaxPct, r.MinPct),
				Remedy:  "Read both off the data sheet"})
		}
		for n, g := range r.GelPoints {
			if g.HighMin < g.LowMin {
				rd.AddAt(fmt.Sprintf("%s.gel_points[%d]", path, n), Fault{Code: "resin.gel", Where: where,
					Message: fmt.Sprintf("the gel time goes from %g down to %g min", g.LowMin, g.HighMin), Remedy: "Give the shorter time first"})
			}
		}
		if n := len(r.GelPoints); n > 0 && n < 2 {
			rd.AddAt(path+".gel_points", Fault{Code: "resin.gel", Where: where,
				Message: "one gel point tells nothing of how temperature acts; the catalogue's spread is used",
				Remedy:  "Add the other rows of the data sheet", Warning: true})
		}
	}
	seen := map[string]bool{}
	for i, p := range d.firm.Prices {
		key := fmt.Sprintf("%s %g", p.Item, p.Quantity)
		if seen[key] {
			rd.AddAt(fmt.Sprintf("prices[%d]", i), Fault{Code: "price.twice", Where: "prices",
				Message: fmt.Sprintf("%s in packs of %g has two prices", p.Item, p.Quantity), Remedy: "Keep one"})
		}
		seen[key] = true
	}
}

func span(unit string, low, high float64) form.Range {
	return form.Range{Unit: unit, Min: low, Max: high}
}

var clock = form.Shape[roof.Clock]{Pattern: `^([01][0-9]|2[0-3]):[0-5][0-9]$`, What: "a time of day", Parse: roof.ParseClock}

var crewTable = &form.Object[roof.Crew]{Doc: "The usual crew.", Fields: []form.Field[roof.Crew]{
	form.Whole("people", "People on the roof, the mixer included.", 1, 40, func(c *roof.Crew) *int { return &c.People }, 3),
	form.Number("lay_m2_per_man_hour", "One layer mixed, laid and rolled, m² per man-hour.", span("", 0.2, 50),
		func(c *roof.Crew) *float64 { return &c.LayM2PerManHour }, 6.5),
	form.Word("experience", "Caps the size of a mix.", []string{"apprentice", "regular", "seasoned"},
		func(c *roof.Crew) *string { return &c.Experience }),
	form.Number("max_bucket_kg", "The largest mix.", span("kg", 0.2, 25), func(c *roof.Crew) *float64 { return &c.MaxBucketKG }, 5),
	form.Number("margin_min", "Minutes between the last brush and gel.", span("", 0, 60),
		func(c *roof.Crew) *float64 { return &c.MarginMin }, 6),
	form.Parsed("start", "Start of the day.", clock, func(c *roof.Crew) *roof.Clock { return &c.Start }, "07:30"),
	form.Parsed("end", "End of the day.", clock, func(c *roof.Crew) *roof.Clock { return &c.End }, "16:30"),
}}

func rate(name, doc string, at func(*Rates) *float64, example float64) form.Field[Rates] {
	return form.Number(name, doc+" for one person.", span("", 0.1, 500), at, example)
}

var ratesTable = &form.Object[Rates]{Doc: "Rates of work beside laminating.", Fields: []form.Field[Rates]{
	rate("strip_m2_per_man_hour", "Stripping, m² per man-hour,", func(r *Rates) *float64 { return &r.StripM2PerManHour }, 8),
	rate("board_m2_per_man_hour", "Boarding and fixing, m² per man-hour,", func(r *Rates) *float64 { return &r.BoardM2PerManHour }, 5),
	rate("insulate_m2_per_man_hour", "Vapour layer and insulation, m² per man-hour,",
		func(r *Rates) *float64 { return &r.InsulateM2PerManHour }, 6),
	rate("trim_m_per_man_hour", "Straight trims, m per man-hour,", func(r *Rates) *float64 { return &r.TrimMPerManHour }, 7),
	rate("bandage_m_per_man_hour", "Bandage, m per man-hour,", func(r *Rates) *float64 { return &r.BandageMPerManHour }, 30),
	rate("abrade_m2_per_man_hour", "Sanding and cleaning, m² per man-hour,", func(r *Rates) *float64 { return &r.AbradeM2PerManHour }, 35),
	rate("top_coat_m2_per_man_hour", "Top coat, m² per man-hour,", func(r *Rates) *float64 { return &r.TopCoatM2PerManHour }, 15),
	rate("flashing_m_per_man_hour", "Metal flashing with its chase, m per man-hour,",
		func(r *Rates) *float64 { return &r.FlashingMPerManHour }, 2.5),
	rate("mask_m_per_man_hour", "Edges taped before the top coat, m per man-hour,", func(r *Rates) *float64 { return &r.MaskMPerManHour }, 60),
	rate("roughen_m_per_man_hour", "Bandage and joints too old to coat, abraded and wiped, m per man-hour,",
		func(r *Rates) *float64 { return &r.RoughenMPerManHour }, 40),
}}

func waste(name, doc string, at func(*Waste) **float64, example float64) form.Field[Waste] {
	return form.OptionalNumber(name, doc+", per cent.", span("", 0, 100), at, example)
}

var wasteTable = &form.Object[Waste]{Doc: "Allowances beyond what the pieces need.", Fields: []form.Field[Waste]{
	waste("resin", "Laminating resin", func(w *Waste) **float64 { return &w.Resin }, 7),
	waste("top_coat", "Top coat", func(w *Waste) **float64 { return &w.TopCoat }, 7),
	waste("mat", "Mat, beyond laps and cuts", func(w *Waste) **float64 { return &w.Mat }, 3),
	waste("fixings", "Screws and nails", func(w *Waste) **float64 { return &w.Fixings }, 10),
	waste("adhesive", "Adhesive", func(w *Waste) **float64 { return &w.Adhesive }, 15),
}}

var gelTable = &form.Object[material.GelPoint]{Doc: "One line of the data sheet's gel table.", Fields: []form.Field[material.GelPoint]{
	form.Number("temp_c", "Temperature of the test.", span("°C", -10, 60),
		func(g *material.GelPoint) *float64 { return &g.TempC }, 20).Need(),
	form.Number("catalyst_pct", "Catalyst, per cent by mass of resin.", span("", 0.2, 6),
		func(g *material.GelPoint) *float64 { return &g.CatalystPct },
		2).Need(),
	form.Number("low_min", "Shortest gel time, minutes.", span("", 0.5, 600),
		func(g *material.GelPoint) *float64 { return &g.LowMin }, 16).Need(),
	form.Number("high_min", "Longest gel time, minutes.", span("", 0.5, 600),
		func(g *material.GelPoint) *float64 { return &g.HighMin }, 22).Need(),
}}

var packs = form.NumberItem(span("kg", 0.05, 1500))

var resinTable = &form.Object[material.Resin]{Doc: "A resin or top coat as its data sheet has it; a key of the catalogue is replaced " +
	"field by field.", Fields: []form.Field[material.Resin]{
	form.Text("key", "Key by which roof files name it.", func(r *material.Resin) *string { return &r.Key }, "resin.all-season").Need(),
	form.Text("name", "What it is.", func(r *material.Resin) *string { return &r.Name }, "Roofing resin"),
	form.YesNo("coat", "A waxed, pigmented top coat.", func(r *material.Resin) *bool { return &r.Coat }),
	form.Word("grade", "Season.", []string{"all-season", "summer", "winter"}, func(r *material.Resin) *string { return &r.Grade }),
	form.Number("density_kg_per_l", "Density of the liquid, kg/l.", span("", 0.8, 2.5),
		func(r *material.Resin) *float64 { return &r.DensityKGPerL },
		1.1),
	form.Number("min_catalyst_pct", "Least dose, per cent by mass.", span("", 0.2, 6),
		func(r *material.Resin) *float64 { return &r.MinPct }, 1),
	form.Number("min_catalyst_ml_per_l", "Least dose as the sheet gives it by the jug, ml to a litre; instead of the least per cent.",
		span("", 2, 80),
		func(r *material.Resin) *float64 { return &r.MinMLPerL }, 20),
	form.Number("max_catalyst_pct", "Largest dose, per cent by mass.", span("", 0.2, 6),
		func(r *material.Resin) *float64 { return &r.MaxPct }, 3),
	form.Number("min_c", "Least working temperature.", span("°C", -10, 40), func(r *material.Resin) *float64 { return &r.MinC }, 5),
	form.Number("max_c", "Highest working temperature.", span("°C", 0, 60), func(r *material.Resin) *float64 { return &r.MaxC }, 35),
	form.Some(form.List("gel_points", "The data sheet's gel times.", 100, form.ObjectItem("gel points", gelTable),
		func(r *material.Resin) *[]material.GelPoint { return &r.GelPoints })),
	form.Number("activation_kj_per_mol", "Activation energy of the gel reaction, kJ/mol.", span("", 10, 150),
		func(r *material.Resin) *float64 { return &r.ActivationKJPerMol }, 55),
	form.Number("activation_sd_kj_per_mol", "Its standard deviation, kJ/mol.", span("", 0.1, 50),
		func(r *material.Resin) *float64 { return &r.ActivationSDKJPerMol }, 8),
	form.Number("dose_exponent", "n in t ∝ dose^−n.", span("", 0.1, 3), func(r *material.Resin) *float64 { return &r.DoseExponent }, 0.8),
	form.Number("dose_exponent_sd", "Its standard deviation.", span("", 0.01, 1),
		func(r *material.Resin) *float64 { return &r.DoseExponentSD }, 0.1),
	form.Number("shelf_life_months", "Life unopened, months.", span("", 0.5, 60),
		func(r *material.Resin) *float64 { return &r.ShelfLifeMonths }, 4),
	form.Some(form.List("packs_kg", "Sizes it is sold in.", 20, packs,
		func(r *material.Resin) *[]float64 { return &r.PacksKG }, []any{5.0, 20.0})),
}}

var gelsTable = &form.Object[material.CatalystGels]{Doc: "Gel times of a catalyst with one resin.",
	Fields: []form.Field[material.CatalystGels]{
		form.Text("resin", "Key of the resin.", func(g *material.CatalystGels) *string { return &g.Resin }, "topcoat.waxed").Need(),
		form.Some(form.List("gel_points", "The gel times.", 100, form.ObjectItem("gel points", gelTable),
			func(g *material.CatalystGels) *[]material.GelPoint { return &g.Points })).Need(),
	}}

var catalystTable = &form.Object[material.Catalyst]{Doc: "A catalyst as its data sheet has it.", Fields: []form.Field[material.Catalyst]{
	form.Text("key", "Key by which roof files name it.", func(c *material.Catalyst) *string { return &c.Key }, "catalyst.mekp").Need(),
	form.Text("name", "What it is.", func(c *material.Catalyst) *string { return &c.Name }, "Catalyst"),
	form.Word("speed", "How fast it acts: slow for the heat, fast for the cold.", []string{"slow", "standard", "fast"},
		func(c *material.Catalyst) *string { return &c.Speed }),
	form.Number("gel_factor", "Gel time with it over that with the resin's own catalyst, at the same dose and temperature.", span("", 0.2, 5),
		func(c *material.Catalyst) *float64 { return &c.GelFactor }, 1.5),
	form.Number("gel_factor_sd", "Spread of the logarithm of that factor.", span("", 0.01, 0.9),
		func(c *material.Catalyst) *float64 { return &c.GelFactorSD }, 0.1),
	form.List("gels", "Gel times of its own data sheet; they stand before the factor.", 20, form.ObjectItem("gels", gelsTable),
		func(c *material.Catalyst) *[]material.CatalystGels { return &c.Gels }),
	form.Number("density_g_per_ml", "Density, g/ml: turns grams into millilitres of the jug.", span("", 0.8, 1.6),
		func(c *material.Catalyst) *float64 { return &c.DensityGPerML }, 1.12),
	form.Number("shelf_life_months", "Life unopened, months.", span("", 0.5, 60),
		func(c *material.Catalyst) *float64 { return &c.ShelfLifeMonth }, 6),
	form.Some(form.List("packs_kg", "Sizes it is sold in.", 20, packs,
		func(c *material.Catalyst) *[]float64 { return &c.PacksKG }, []any{1.0, 5.0})),
}}

var stockTable = &form.Object[Stock]{Doc: "Sizes that the firm can buy.", Fields: []form.Field[Stock]{
	form.Some(form.List("trim_lengths_m", "Lengths that trims come in.", 10, form.NumberItem(span("m", 0.5, 12)),
		func(s *Stock) *[]float64 { return &s.TrimLengthsM }, []any{3.0})),
	form.Number("mat_width_m", "Width of a roll of mat.", span("m", 0.2, 3), func(s *Stock) *float64 { return &s.MatWidthM }, 1),
	form.Number("mat_length_m", "Length of a roll of mat.", span("m", 5, 500), func(s *Stock) *float64 { return &s.MatLengthM }, 75),
	form.Number("bandage_length_m", "Length of a roll of bandage.", span("m", 5, 500),
		func(s *Stock) *float64 { return &s.BandageLengthM }, 50),
	form.Number("saw_kerf_mm", "Lost at each cut.", span("mm", 0, 10), func(s *Stock) *float64 { return &s.SawKerfMM }, 3),
	form.Number("keep_offcut_m", "Shortest offcut worth keeping.", span("m", 0.05, 3),
		func(s *Stock) *float64 { return &s.KeepOffcutM }, 0.5),
}}

var priceTable = &form.Object[Price]{Doc: "Price of one pack, without tax.", Fields: []form.Field[Price]{
	form.Text("item", "Key of the catalogue; of a trim shorter than the longest length sold, followed by its length in mm: trim.drip.1200.",
		func(p *Price) *string { return &p.Item }, "resin.all-season").Need(),
	form.Number("quantity", "Quantity in the pack, in the item's unit.", span("", 0.001, 100000),
		func(p *Price) *float64 { return &p.Quantity },
		20).Need(),
	costField(),
}}

// costField reads an amount of money with at most two decimals.
func costField() form.Field[Price] {
	r := span("", 0, 1e9)
	s := form.NumberSchema(r)
	s["description"], s["examples"] = "Price of the pack in the firm's currency, without tax.", []any{84.5}
	return form.Field[Price]{Name: "cost", Required: true, Schema: s,
		Read: func(v form.Value, p *Price) {
			x, ok := v.Number(r)
			if !ok {
				return
			}
			p.CostMinor = int64(math.Round(x * 100))
			if math.Abs(x*100-float64(p.CostMinor)) > 1e-6*math.Max(1, x) {
				v.Fault("price.decimals", "a price has two decimals at most", "Round it")
			}
		}}
}

var offcutTable = &form.Object[Offcut]{Doc: "An offcut in hand.", Fields: []form.Field[Offcut]{
	form.Text("item", "Key of the catalogue.", func(o *Offcut) *string { return &o.Item }, "trim.drip").Need(),
	form.Number("length_m", "Length.", span("m", 0.05, 100), func(o *Offcut) *float64 { return &o.LengthM }, 1.4).Need(),
	form.Number("width_m", "Width of a board or piece of mat.", span("m", 0.05, 5), func(o *Offcut) *float64 { return &o.WidthM }, 0.6),
	form.Whole("count", "How many.", 1, 10000, func(o *Offcut) *int { return &o.Count }, 2).Need(),
	form.Text("where", "Where it lies.", func(o *Offcut) *string { return &o.Where }, "rack 2"),
}}

var forecastTable = &form.Object[Forecast]{Doc: "Where weather may be fetched from; nothing is fetched by itself.",
	Fields: []form.Field[Forecast]{
		form.Pattern("address", "The provider's address, with {lat} and {lon}.", `^https://[^\s]+$`, "a web address that begins with https://",
			func(f *Forecast) *string { return &f.Address }, "https://weather.example/v1?lat={lat}&lon={lon}"),
		form.Text("contact", "Sent to providers that ask who calls.", func(f *Forecast) *string { return &f.Contact },
			"office@fieldroof.example"),
	}}

var table = &form.Object[document]{Doc: "What the firm knows better than the catalogue; every field may be left out.",
	Fields: []form.Field[document]{
		form.Whole("version", "Version of the firm file.", Version, Version, func(d *document) *int { return &d.version }, Version).Need(),
		form.Text("name", "The firm.", func(d *document) *string { return &d.firm.Name }, "Fieldroof"),
		form.Text("address", "Its address.", func(d *document) *string { return &d.firm.Address }, "Unit 4, Kiln Yard"),
		form.Text("phone", "Its telephone.", func(d *document) *string { return &d.firm.Phone }, "01632 960 114"),
		form.Text("email", "Its mail.", func(d *document) *string { return &d.firm.Email }, "office@fieldroof.example"),
		form.Pattern("currency", "ISO 4217 code.", `^[A-Z]{3}$`, "a currency",
			func(d *document) *string { return &d.firm.Currency }, "GBP"),
		form.Word("language", "Language of the papers, where the roof file names none; English when left out.", language.Codes(),
			func(d *document) *string { return &d.firm.Language }),
		form.Group("crew", crewTable, func(d *document) *roof.Crew { return &d.firm.Crew }),
		form.Group("rates", ratesTable, func(d *document) *Rates { return &d.firm.Rates }),
		form.Group("waste_pct", wasteTable, func(d *document) *Waste { return &d.firm.Waste }),
		form.List("resins", "Resins and top coats.", 50, form.ObjectItem("resins", resinTable),
			func(d *document) *[]material.Resin { return &d.firm.Resins }),
		form.List("catalysts", "Catalysts.", 20, form.ObjectItem("catalysts", catalystTable),
			func(d *document) *[]material.Catalyst { return &d.firm.Catalysts }),
		form.Some(form.List("keeps", "Keys of the resins and catalysts in the store: the plan picks among them what a roof file does not name. "+
			"All of the catalogue when left out.", 50, form.TextItem("keeps"), func(d *document) *[]string { return &d.firm.Keeps },
			[]any{"resin.all-season", "topcoat.waxed", "catalyst.mekp", "catalyst.slow"})),
		form.Group("stock", stockTable, func(d *document) *Stock { return &d.firm.Stock }),
		form.List("prices", "Prices of packs, without tax.", 1000, form.ObjectItem("prices", priceTable),
			func(d *document) *[]Price { return &d.firm.Prices }),
		form.List("offcuts", "Offcuts in hand.", 1000, form.ObjectItem("offcuts", offcutTable),
			func(d *document) *[]Offcut { return &d.firm.Offcuts }),
		form.Group("forecast", forecastTable, func(d *document) *Forecast { return &d.firm.Forecast }),
	}}

// Schema returns the JSON Schema (2020-12) of the firm file.
func Schema() ([]byte, error) {
	return json.MarshalIndent(schema(), "", "  ")
}

func schema() form.Schema {
	return form.Merge(table.Schema(), form.Schema{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"$id":     "urn:gelwright:schema:firm:1",
		"title":   "Firm file, version 1",
	})
}
