package rooffile

import (
	"encoding/json"
	"fmt"

	"github.com/goccy/go-yaml"

	"gelwright/internal/form"
	"gelwright/plane"
	"gelwright/roof"
)

var documentTable = &form.Object[document]{Doc: "A flat roof to be laid in hand-laid glass-reinforced polyester.",
	Fields: []form.Field[document]{
		form.Whole("version", "Version of the roof file.", Version, Version, func(d *document) *int { return &d.version }, Version).Need(),
		form.Text("name", "Name of the job.", func(d *document) *string { return &d.job.Name }, "Garage at Lower Mill").Need(),
		form.Text("reference", "Your number for it.", func(d *document) *string { return &d.job.Reference }, "2026-041"),
		form.Pattern("date", "The day all documents bear.", datePattern, "a date", func(d *document) *string { return &d.job.Date },
			"2026-05-11").Need(),
		form.Text("client", "Whom it is for.", func(d *document) *string { return &d.job.Client }, "A. Alder"),
		form.Text("prepared_by", "Who made the survey.", func(d *document) *string { return &d.job.PreparedBy }, "B. Beech"),
		form.Remark("note", "A remark.", func(d *document) *string { return &d.job.Note }, "key at number 6"),
		form.Group("site", siteTable, func(d *document) *roof.Site { return &d.job.Site }),
		form.Group("use", useTable, func(d *document) *roof.Use { return &d.job.Use }),
		form.Group("work", workTable, func(d *document) *roof.Work { return &d.job.Work }),
		form.Group("spec", specTable, func(d *document) *roof.Spec { return &d.job.Spec }),
		form.Group("crew", crewTable, func(d *document) *roof.Crew { return &d.job.Crew }),
		form.Group("day", dayTable, func(d *document) *roof.Day { return &d.job.Day }),
		{Name: "deck", Schema: form.Schema{"$ref": "#/$defs/deck", "description": "The deck of a roof with one level."},
			Read: func(v form.Value, d *document) {
				d.job.Decks = append(readDecks(v, false), d.job.Decks...)
			},
			Write: func(d *document, _ string, o form.Omit) any {
				if len(d.job.Decks) != 1 {
					return nil
				}
				return writeDeck(&d.job, 0, o)
			}},
		{Name: "decks", Schema: form.Schema{"type": "array", "items": form.Schema{"$ref": "#/$defs/deck"}, "minItems": 1, "maxItems": 50,
			"description": "The decks of a roof with several levels."},
			Read: func(v form.Value, d *document) {
				if len(d.job.Decks) > 0 {
					v.Fault("decks.twice", "the file has both deck and decks", "Keep one of them")
					return
				}
				d.job.Decks = readDecks(v, true)
			},
			Write: func(d *document, _ string, o form.Omit) any {
				if len(d.job.Decks) == 1 {
					return nil
				}
				out := make([]any, len(d.job.Decks))
				for i := range out {
					out[i] = writeDeck(&d.job, i, o)
				}
				return out
			}},
	}}

// writeDeck writes deck i under its own path.
func writeDeck(j *roof.Job, i int, o form.Omit) yaml.MapSlice {
	k := &j.Decks[i]
	d := deck{Deck: *k, fall: written(k.Falls)}
	d.taped = tapedOf(k.Survey)
	ring, edges := k.Outline, k.Edges
	if k.Survey != nil && plane.RingOf(k.Survey.Result.Outline()...).SignedArea() < 0 {
		// The edges stand in the order of the walk.
		ring, edges = turned(ring, edges)
	}
	for n := range ring {
		if k.Survey == nil {
			d.corners = append(d.corners, plane.Vertex{Point: ring[n].Point})
		}
		e := edge{Edge: edges[n]}
		if b := ring[n].Bulge; b != 0 {
			e.arc = &arc{bulge: b}
		}
		d.edges = append(d.edges, e)
	}
	return deckTable.Write(&d, j.DeckPath(i), o)
}

// Write writes a Job as a roof file: what the reader would take by default is left
// out, so that reading the text again gives the same Job. The Job must be valid.
func Write(j roof.Job) ([]byte, error) {
	for i := range j.Decks {
		if len(j.Decks[i].Edges) != len(j.Decks[i].Outline) {
			return nil, fmt.Errorf("deck %q: %d edges for %d corners; give each edge its condition", j.Decks[i].Name, len(j.Decks[i].Edges),
				len(j.Decks[i].Outline))
		}
	}
	omit := form.Omit{Defaulted: map[string]bool{}, Keep: map[string]bool{}}
	for _, d := range j.Defaults {
		omit.Defaulted[d.Field] = true
	}
	for _, field := range j.Defaultable() {
		omit.Keep[field] = true
	}
	d := document{version: Version, job: j}
	return form.Marshal(documentTable.Write(&d, "", omit))
}

// Schema returns the JSON Schema (2020-12) of the roof file, for editors: every
// field with what it means, its unit, its words and an example.
func Schema() ([]byte, error) {
	return json.MarshalIndent(schema(), "", "  ")
}

func schema() form.Schema {
	return form.Merge(documentTable.Schema(), form.Schema{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"$id":     "urn:gelwright:schema:roof:1",
		"title":   "Roof file, version 1",
		"$defs": form.Schema{"deck": form.Merge(deckTable.Schema(), form.Schema{
			"oneOf": []any{form.Schema{"required": []any{"outline"}}, form.Schema{"required": []any{"survey"}}}})},
		"oneOf": []any{form.Schema{"required": []any{"deck"}}, form.Schema{"required": []any{"decks"}}},
	})
}
