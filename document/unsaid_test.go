package document_test

import (
	"context"
	"os"
	"testing"

	"gelwright/desk"
	"gelwright/document"
	"gelwright/firmfile"
	"gelwright/internal/examples"
	"gelwright/language"
	"gelwright/plan"
	"gelwright/weather/forecast"
)

// Nothing that the papers of an example say is without its form in any language: under the day of the roof file, and with a firm file
// under a forecast, where refusals and remedies are said as well.
func TestPapersOfExamplesHaveTheirForms(t *testing.T) {
	for _, name := range examples.Names(t) {
		for _, code := range language.Codes()[1:] {
			if !testing.Short() || name == "r03-bay" {
				p := *examples.Plan(t, name)
				p.Job.Site.Language = code
				holdSaid(t, name+" by its own day", &p)
			}
			if testing.Short() && name != "r01-garage" {
				continue
			}
			ahead := underForecast(t, name)
			ahead.Job.Site.Language = code
			holdSaid(t, name+" under a forecast", ahead)
		}
	}
}

func holdSaid(t *testing.T, what string, p *plan.Plan) {
	t.Helper()
	left, err := document.Unsaid(context.Background(), p)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range left {
		t.Errorf("%s, %s: no form for %q", what, p.Job.Site.Language, text)
	}
}

// underForecast is an example planned by the firm of the examples under their forecast.
func underForecast(t *testing.T, name string) *plan.Plan {
	t.Helper()
	read := func(file string) []byte {
		raw, err := os.ReadFile("../examples/" + file)
		if err != nil {
			t.Fatal(err)
		}
		return raw
	}
	g := given(exampleJob(t, name))
	firm, _, err := firmfile.Read("firm.yaml", read("firm.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	g.Firm = &firm
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		t.Fatal(err)
	}
	sky, err := forecast.Read(read("forecast.csv"), forecast.Options{Name: "forecast.csv", Zone: site.Zone})
	if err != nil {
		t.Fatal(err)
	}
	look := desk.UsualLook()
	look.From = "2026-05-11"
	o, err := desk.LookOut(context.Background(), g, sky, look)
	if err != nil {
		t.Fatal(err)
	}
	when, err := o.When(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	p, err := o.PlanFor(context.Background(), when)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
