package web

import (
	"context"
	"path"
	"strings"

	"github.com/goccy/go-yaml"

	"gelwright/document"
	"gelwright/people"
)

// priced are the papers in which money stands, by the beginnings of their names: the book of the office, where the order is, the
// workings of its sums, and the list of the order.
var priced = []string{"office.", "workings.", "plan.json", "lists/order."}

// maySee reports whether who asks may see a paper.
func maySee(ctx context.Context, paper string) bool {
	if actorOf(ctx).May(people.SeePrices) {
		return true
	}
	for _, begin := range priced {
		if strings.HasPrefix(paper, begin) {
			return false
		}
	}
	return true
}

// papersFor are those papers that who asks may see.
func papersFor(ctx context.Context, all []document.File) []document.File {
	out := make([]document.File, 0, len(all))
	for _, f := range all {
		if maySee(ctx, f.Name) {
			out = append(out, f)
		}
	}
	return out
}

// ofFirm reports whether a file of a job is the firm's, of today or an older one: prices stand in it.
func ofFirm(name string) bool {
	name = strings.ToLower(name)
	return strings.HasPrefix(name, strings.TrimSuffix(firmName, path.Ext(firmName))) && path.Ext(name) == path.Ext(firmName)
}

// ofSky reports whether a file of a job is a forecast that it is planned under, of today or an older one.
func ofSky(name string) bool {
	name = strings.ToLower(name)
	return strings.HasPrefix(name, strings.TrimSuffix(forecastName, path.Ext(forecastName))) && path.Ext(name) == path.Ext(forecastName)
}

// withoutPrices is a firm file as those see it who may not see prices. One that cannot be read is not given at all.
func withoutPrices(text []byte) ([]byte, error) {
	var fields yaml.MapSlice
	if err := yaml.Unmarshal(text, &fields); err != nil {
		return nil, forbidden(firmName, people.SeePrices)
	}
	kept := yaml.MapSlice{}
	for _, f := range fields {
		if f.Key != "prices" {
			kept = append(kept, f)
		}
	}
	return yaml.Marshal(kept)
}
