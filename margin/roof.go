package margin

import (
	"encoding/json"
	"fmt"
	"path"
	"strings"

	"github.com/goccy/go-yaml"

	"gelwright/rooffile"
	"gelwright/tracing"
)

// RoofDocument is a roof file as JSON, its fields by their names; Warnings are what its reader asks somebody to look at.
type RoofDocument struct {
	Roof json.RawMessage `json:"roof"`
	// Outlines are the corners of each deck, anticlockwise: x, y in metres and the bulge of the edge that leaves the
	// corner, also where the file has a survey in their place.
	Outlines [][][3]float64 `json:"outlines"`
	Warnings []Fault        `json:"warnings"`
}

// readRoof reads a roof file and gives it as JSON: what its writer wrote, in plain numbers, not what was taken by default.
func readRoof(q RoofAsk) (any, error) {
	job, warnings, err := q.read()
	if err != nil {
		return nil, err
	}
	out := RoofDocument{Warnings: warnings}
	for i := range job.Decks {
		corners := [][3]float64{}
		for _, v := range job.Decks[i].Outline {
			corners = append(corners, [3]float64{v.X, v.Y, v.Bulge})
		}
		out.Outlines = append(out.Outlines, corners)
	}
	text, err := rooffile.Write(job)
	if err != nil {
		return nil, err
	}
	raw, err := yaml.YAMLToJSON(text)
	out.Roof = json.RawMessage(raw)
	return out, err
}

// RoofText is a roof file to be kept; Faults are what is still missing in it, and then it is written as it was given.
type RoofText struct {
	Text   string  `json:"text"`
	Faults []Fault `json:"faults"`
}

// writeRoof writes a roof file as YAML.
func writeRoof(q RoofAsk) (any, error) {
	job, _, err := q.read()
	if err != nil {
		text, bad := yaml.JSONToYAML([]byte(q.Text))
		if bad != nil {
			return nil, fmt.Errorf("the roof cannot be written: %w", bad)
		}
		return RoofText{Text: string(text), Faults: RefusalOf(err).Faults}, nil
	}
	text, err := rooffile.Write(job)
	return RoofText{Text: string(text), Faults: []Fault{}}, err
}

// ImportAsk is a drawing, an outline or a list to begin a roof from. Data of a text form; Date is the day that the roof
// file bears.
type ImportAsk struct {
	File  string `json:"file"`
	Data  string `json:"data"`
	Unit  string `json:"unit"`
	Layer string `json:"layer"`
	Date  string `json:"date"`
}

// Imported is what was understood of it.
type Imported struct {
	Roof json.RawMessage `json:"roof"`
	// Notes name what was not understood, with its place.
	Notes []string `json:"notes"`
}

func imported(q ImportAsk) (any, error) {
	name := strings.TrimSuffix(q.File, path.Ext(q.File))
	data := []byte(q.Data)
	out := Imported{Notes: []string{}}
	var text []byte
	kind := strings.ToLower(path.Ext(q.File))
	if kind != ".dxf" && kind != ".geojson" && kind != ".json" && tracing.Taped(data) {
		walk, more, err := tracing.Lengths(strings.NewReader(q.Data), q.Unit)
		if err != nil {
			return nil, err
		}
		text = rooffile.SketchWalk(walk, more, name, q.Date, q.File)
	} else {
		t, err := tracedOf(kind, data, q)
		if err != nil {
			return nil, err
		}
		for _, n := range t.Left {
			out.Notes = append(out.Notes, n.String())
		}
		text = rooffile.Sketch(t, name, q.Date, q.File)
	}
	raw, err := yaml.YAMLToJSON(text)
	out.Roof = json.RawMessage(raw)
	return out, err
}

func tracedOf(kind string, data []byte, q ImportAsk) (tracing.Traced, error) {
	switch kind {
	case ".dxf":
		return tracing.DXF(data, q.Unit, q.Layer)
	case ".geojson", ".json":
		return tracing.GeoJSON(data)
	}
	return tracing.Points(strings.NewReader(q.Data), q.Unit)
}
