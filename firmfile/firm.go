package firmfile

import (
	"reflect"
	"slices"
	"strings"

	"gelwright/material"
	"gelwright/roof"
)

// Firm is what the firm's file says.
type Firm struct {
	Name    string `json:"name,omitempty"`
	Address string `json:"address,omitempty"`
	Phone   string `json:"phone,omitempty"`
	Email   string `json:"email,omitempty"`
	// Currency is an ISO 4217 code.
	Currency string `json:"currency,omitempty"`
	// Language of the papers, an ISO 639 code; it stands where the roof file names none.
	Language string `json:"language,omitempty"`
	// Crew replaces the defaults of the roof file; zero fields replace nothing.
	Crew roof.Crew `json:"crew"`
	// Rates are the firm's own rates of work beside laminating.
	Rates Rates `json:"rates"`
	// Waste replaces the defaults of the roof file; nil fields replace nothing.
	Waste Waste `json:"waste_pct"`
	// Resins and Catalysts replace what the catalogue says of the same key, field by
	// field, or are added to it.
	Resins    []material.Resin    `json:"resins,omitempty"`
	Catalysts []material.Catalyst `json:"catalysts,omitempty"`
	// Keeps are the keys of the resins and catalysts in the store, among which a plan picks;
	// none is all of the catalogue.
	Keeps    []string `json:"keeps,omitempty"`
	Stock    Stock    `json:"stock"`
	Prices   []Price  `json:"prices,omitempty"`
	Offcuts  []Offcut `json:"offcuts,omitempty"`
	Forecast Forecast `json:"forecast"`
	// File is the name of the file, for the sources of figures.
	File string `json:"file,omitempty"`
}

// Rates of work for one person; 0 is not given.
type Rates struct {
	StripM2PerManHour    float64 `json:"strip_m2_per_man_hour,omitempty"`
	BoardM2PerManHour    float64 `json:"board_m2_per_man_hour,omitempty"`
	TrimMPerManHour      float64 `json:"trim_m_per_man_hour,omitempty"`
	BandageMPerManHour   float64 `json:"bandage_m_per_man_hour,omitempty"`
	TopCoatM2PerManHour  float64 `json:"top_coat_m2_per_man_hour,omitempty"`
	AbradeM2PerManHour   float64 `json:"abrade_m2_per_man_hour,omitempty"`
	FlashingMPerManHour  float64 `json:"flashing_m_per_man_hour,omitempty"`
	InsulateM2PerManHour float64 `json:"insulate_m2_per_man_hour,omitempty"`
	MaskMPerManHour      float64 `json:"mask_m_per_man_hour,omitempty"`
	RoughenMPerManHour   float64 `json:"roughen_m_per_man_hour,omitempty"`
}

// Waste rates, per cent; nil is not given.
type Waste struct {
	Resin    *float64 `json:"resin,omitempty"`
	TopCoat  *float64 `json:"top_coat,omitempty"`
	Mat      *float64 `json:"mat,omitempty"`
	Fixings  *float64 `json:"fixings,omitempty"`
	Adhesive *float64 `json:"adhesive,omitempty"`
}

// Stock is what the firm's merchant sells; 0 and empty are not given.
type Stock struct {
	// TrimLengthsM are the lengths that trims come in.
	TrimLengthsM []float64 `json:"trim_lengths_m,omitempty"`
	// MatWidthM and MatLengthM of a roll of mat, BandageLengthM of a roll of bandage.
	MatWidthM      float64 `json:"mat_width_m,omitempty"`
	MatLengthM     float64 `json:"mat_length_m,omitempty"`
	BandageLengthM float64 `json:"bandage_length_m,omitempty"`
	// SawKerfMM is lost at each cut.
	SawKerfMM float64 `json:"saw_kerf_mm,omitempty"`
	// KeepOffcutM is the shortest offcut worth keeping.
	KeepOffcutM float64 `json:"keep_offcut_m,omitempty"`
}

// Price of one pack, without tax.
type Price struct {
	// Item is a key of the catalogue: "resin.all-season".
	Item string `json:"item"`
	// Quantity in the pack, in the item's unit.
	Quantity float64 `json:"quantity"`
	// CostMinor in the currency's hundredths.
	CostMinor int64 `json:"cost_minor"`
}

// Offcut in hand: a length of trim, or a piece of board or mat.
type Offcut struct {
	Item    string  `json:"item"`
	LengthM float64 `json:"length_m"`
	WidthM  float64 `json:"width_m,omitempty"`
	Count   int     `json:"count"`
	Where   string  `json:"where,omitempty"`
}

// Forecast is where weather may be fetched from, on demand and never by itself.
type Forecast struct {
	// Address with {lat} and {lon} where the place goes.
	Address string `json:"address,omitempty"`
	// Contact is sent to providers that ask who calls.
	Contact string `json:"contact,omitempty"`
}

// Over returns the catalogue with the firm's materials laid over it: fields that the
// firm gives replace those of the same key; a new key is added; the firm's roll and
// trim sizes replace those of the catalogue. The catalogue given is not changed.
func (f *Firm) Over(c material.Catalogue) material.Catalogue {
	c.Resins = append([]material.Resin(nil), c.Resins...)
	for _, r := range f.Resins {
		at := -1
		for i := range c.Resins {
			if c.Resins[i].Key == r.Key {
				at = i
			}
		}
		if at < 0 {
			c.Resins = append(c.Resins, overResin(base(c.Resins, r.Coat), r))
			continue
		}
		c.Resins[at] = overResin(c.Resins[at], r)
	}
	c.Catalysts = append([]material.Catalyst(nil), c.Catalysts...)
	for _, x := range f.Catalysts {
		at := -1
		for i := range c.Catalysts {
			if c.Catalysts[i].Key == x.Key {
				at = i
			}
		}
		if at < 0 {
			c.Catalysts = append(c.Catalysts, likeCatalyst(c.Catalysts, x.Speed))
			at = len(c.Catalysts) - 1
		}
		c.Catalysts[at] = overCatalyst(c.Catalysts[at], x)
	}
	return f.overSizes(c)
}

// base is what a resin that is new to the catalogue starts from: the first of its sort.
func base(resins []material.Resin, coat bool) material.Resin {
	for _, r := range resins {
		if r.Coat == coat {
			return r
		}
	}
	return material.Resin{Coat: coat}
}

// likeCatalyst is what a catalyst that is new to the catalogue starts from: the first of its
// speed, with nothing of its own but how it acts and how it is stored.
func likeCatalyst(all []material.Catalyst, speed string) material.Catalyst {
	if speed == "" {
		speed = "standard"
	}
	for _, c := range all {
		if c.Speed == speed {
			c.PacksKG = nil
			return c
		}
	}
	return material.Catalyst{Speed: speed}
}

// set lays a value over another unless it was not given.
func set[V comparable](at *V, value V) {
	var none V
	if value != none {
		*at = value
	}
}

func overResin(r, f material.Resin) material.Resin {
	set(&r.Key, f.Key)
	set(&r.Name, f.Name)
	set(&r.Grade, f.Grade)
	set(&r.DensityKGPerL, f.DensityKGPerL)
	if f.MinPct != 0 || f.MinMLPerL != 0 {
		// The sheet has one of the two, and it is the one that counts.
		r.MinPct, r.MinMLPerL = f.MinPct, f.MinMLPerL
	}
	set(&r.MaxPct, f.MaxPct)
	set(&r.MinC, f.MinC)
	set(&r.MaxC, f.MaxC)
	set(&r.ActivationKJPerMol, f.ActivationKJPerMol)
	set(&r.ActivationSDKJPerMol, f.ActivationSDKJPerMol)
	set(&r.DoseExponent, f.DoseExponent)
	set(&r.DoseExponentSD, f.DoseExponentSD)
	set(&r.ShelfLifeMonths, f.ShelfLifeMonths)
	if len(f.GelPoints) > 0 {
		r.GelPoints = append([]material.GelPoint(nil), f.GelPoints...)
		r.Standing = "the firm's data sheet"
	}
	r.Own = added(r.Own, f)
	if len(f.PacksKG) > 0 {
		r.PacksKG = append([]float64(nil), f.PacksKG...)
	}
	return r
}

// added is the names of fields with those that a resin or catalyst of the firm's file gives.
func added(own []string, f any) []string {
	own = slices.Clone(own)
	v := reflect.ValueOf(f)
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		if !v.Field(i).IsZero() && !slices.Contains(own, name) {
			own = append(own, name)
		}
	}
	return own
}

// place names the file, "firm file" where it has no name.
func (f *Firm) place() string {
	if f.File != "" {
		return f.File
	}
	return "firm file"
}

func overCatalyst(c, f material.Catalyst) material.Catalyst {
	c.Own = added(c.Own, f)
	set(&c.Key, f.Key)
	set(&c.Name, f.Name)
	set(&c.Speed, f.Speed)
	set(&c.GelFactor, f.GelFactor)
	set(&c.GelFactorSD, f.GelFactorSD)
	if len(f.Gels) > 0 {
		c.Gels = append([]material.CatalystGels(nil), f.Gels...)
	}
	if f.DensityGPerML != 0 {
		c.DensityGPerML, c.Standing = f.DensityGPerML, "the firm's data sheet"
	}
	if len(f.PacksKG) > 0 {
		c.PacksKG = append([]float64(nil), f.PacksKG...)
	}
	set(&c.ShelfLifeMonth, f.ShelfLifeMonth)
	return c
}

func (f *Firm) overSizes(c material.Catalogue) material.Catalogue {
	c.Mats = append([]material.Mat(nil), c.Mats...)
	for i := range c.Mats {
		m := &c.Mats[i]
		width, length := f.Stock.MatWidthM, f.Stock.MatLengthM
		if m.Use == "bandage" {
			width, length = 0, f.Stock.BandageLengthM
		}
		if m.Use == "tissue" || width == 0 && length == 0 {
			continue
		}
		set(&m.WidthM, width)
		set(&m.LengthM, length)
		m.Packs = []material.Pack{{Quantity: m.WidthM * m.LengthM, Name: "roll"}}
	}
	if len(f.Stock.TrimLengthsM) > 0 {
		c.Trims = append([]material.Trim(nil), c.Trims...)
		for i := range c.Trims {
			longest := 0.0
			for _, l := range f.Stock.TrimLengthsM {
				longest = max(longest, l)
			}
			c.Trims[i] = c.Trims[i].Of(longest)
		}
	}
	return c
}

// Fill puts the firm's crew and waste rates into a job where its roof file was
// silent and a default stands; the default's reason then names the firm's file.
func (f *Firm) Fill(j *roof.Job) {
	if j.Site.Language == "" {
		j.Site.Language = f.Language
	}
	c, own := &j.Crew, f.Crew
	defaults := append([]roof.Default(nil), j.Defaults...)
	j.Defaults = defaults
	fill(j, f, "crew.people", &c.People, own.People)
	fill(j, f, "crew.lay_m2_per_man_hour", &c.LayM2PerManHour, own.LayM2PerManHour)
	fill(j, f, "crew.experience", &c.Experience, own.Experience)
	fill(j, f, "crew.max_bucket_kg", &c.MaxBucketKG, own.MaxBucketKG)
	fill(j, f, "crew.margin_min", &c.MarginMin, own.MarginMin)
	fill(j, f, "crew.start", &c.Start, own.Start)
	fill(j, f, "crew.end", &c.End, own.End)
	w := &j.Spec.WastePct
	for _, x := range []struct {
		field string
		at    *float64
		own   *float64
	}{{"resin", &w.Resin, f.Waste.Resin}, {"top_coat", &w.TopCoat, f.Waste.TopCoat}, {"mat", &w.Mat, f.Waste.Mat},
		{"fixings", &w.Fixings, f.Waste.Fixings}, {"adhesive", &w.Adhesive, f.Waste.Adhesive}} {
		if x.own != nil {
			replace(j, f, "spec.waste_pct."+x.field, x.at, *x.own)
		}
	}
}

func fill[V comparable](j *roof.Job, f *Firm, field string, at *V, own V) {
	var none V
	if own != none {
		replace(j, f, field, at, own)
	}
}
