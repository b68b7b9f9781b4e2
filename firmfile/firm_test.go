package firmfile

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"gelwright/material"
	"gelwright/roof"
)

func example(t testing.TB) ([]byte, Firm) {
	t.Helper()
	text, err := os.ReadFile("../examples/firm.yaml")
	if err != nil {
		t.Fatal(err)
	}
	f, warnings, err := Read("firm.yaml", text)
	if err != nil || len(warnings) > 0 {
		t.Fatalf("%v\n%v", err, warnings)
	}
	return text, f
}

func TestExampleFirmIsLaidOverTheCatalogue(t *testing.T) {
	_, f := example(t)
	generic := material.Generic()
	c := f.Over(generic)
	r, err := c.Resin("resin.all-season")
	if err != nil || len(r.GelPoints) != 4 || r.MaxPct != 3 || r.DensityKGPerL != 1.11 || r.Name == "" {
		t.Errorf("resin %+v, %v", r, err)
	}
	if x, err := c.Catalyst("catalyst.mekp"); err != nil || x.DensityGPerML != 1.12 || len(x.PacksKG) == 0 {
		t.Errorf("catalyst %+v, %v", x, err)
	}
	if r, _ := generic.Resin("resin.all-season"); r.MaxPct != 4 {
		t.Error("the catalogue given was changed")
	}
	if p := f.Prices[0]; p.Item != "resin.all-season" || p.Quantity != 5 || p.CostMinor != 3150 {
		t.Errorf("price %+v, want 3150 hundredths for 5", p)
	}
	// Every priced item and offcut is something that can be bought.
	for _, p := range f.Prices {
		if _, err := c.Item(p.Item); err != nil {
			t.Error(err)
		}
	}
	for _, o := range f.Offcuts {
		if _, err := c.Item(o.Item); err != nil {
			t.Error(err)
		}
	}
}

// The catalogue's trims take the longest length the firm buys, in name and weight.
func TestTrimsTakeTheFirmsLength(t *testing.T) {
	f := Firm{Stock: Stock{TrimLengthsM: []float64{1.2, 2.4}}}
	generic, err := material.Generic().Trim("drip")
	if err != nil {
		t.Fatal(err)
	}
	got, err := f.Over(material.Generic()).Trim("drip")
	if err != nil || got.LengthM != 2.4 || got.Name != "Drip trim to gutter, 2.4 m" || !(got.KGPerUnit < generic.KGPerUnit) {
		t.Errorf("%+v, %v", got, err)
	}
}

// The firm's values go where a default stands and nowhere else.
func TestFillReplacesDefaultsOnly(t *testing.T) {
	_, f := example(t)
	j := roof.Job{Crew: roof.Crew{People: 5}}
	j.TakeDefaults(nil)
	f.Fill(&j)
	if j.Crew.People != 5 || j.Crew.LayM2PerManHour != 6.5 || j.Spec.WastePct.Resin != 7 || j.Spec.WastePct.Adhesive != 15 {
		t.Errorf("crew %+v, waste %+v", j.Crew, j.Spec.WastePct)
	}
	for _, d := range j.Defaults {
		if d.Field == "crew.lay_m2_per_man_hour" && (d.Value != "6.5" || !strings.Contains(d.Why, "firm.yaml")) {
			t.Errorf("default %+v", d)
		}
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"version: 1\ncatalyst: []", `firm.yaml:2:1: field "catalyst" is not known. Did you mean "catalysts"?`},
		{"version: 1\nresins: [{key: r, gel_points: [{temp_c: 20, catalyst_pct: 2, low_min: 20, high_min: 10}]}]", "from 20 down to 10 min"},
		{"version: 1\nresins: [{key: r, min_catalyst_pct: 3, max_catalyst_pct: 2}]", "not above the least"},
		{"version: 1\nprices: [{item: a, quantity: 1, cost: 1.234}]", "two decimals"},
		{"version: 1\nprices: [{item: a, quantity: 1, cost: 1}, {item: a, quantity: 1, cost: 2}]", "two prices"},
		{"version: 1\nforecast: {address: ftp://x}", "not a web address"},
		{"version: 1\ncrew: {people: 0}", "out of range"},
		{"", "empty"},
	} {
		_, _, err := Read("firm.yaml", []byte(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.text, err, c.want)
		}
	}
	if _, _, err := Read("firm.yaml", []byte("version: 1")); err != nil {
		t.Errorf("every field may be left out, yet %v", err)
	}
}

func TestSchemaAcceptsTheExample(t *testing.T) {
	text, _ := example(t)
	raw, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("firm.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("firm.json")
	if err != nil {
		t.Fatal(err)
	}
	for text, good := range map[string]bool{string(text): true, "version: 1\ncatalyst: []": false, "version: 1\ncrew: {people: none}": false} {
		j, err := yaml.YAMLToJSON([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(j))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(v); (err == nil) != good {
			t.Errorf("%.30q: %v, want accepted %v", text, err, good)
		}
	}
}

func FuzzRead(f *testing.F) {
	text, _ := example(f)
	f.Add(text)
	f.Add([]byte("version: 1\nresins: [{}]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if firm, _, err := Read("fuzz.yaml", data); err == nil {
			firm.Over(material.Generic())
		}
	})
}
