package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"github.com/goccy/go-yaml"

	"gelwright/examples"
	"gelwright/office"
	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/postgres"
)

// shares are how many of a hundred jobs are a variant of an example.
var shares = []struct {
	name string
	of   int
}{
	{"r01-garage", 22}, {"r02-dormer", 14}, {"r03-bay", 10}, {"r04-l-shape", 12}, {"r05-triangle", 4}, {"r06-balcony", 10},
	{"r07-overlay", 8}, {"r08-winter", 6}, {"r09-summer", 5}, {"r10-terrace", 5}, {"r11-three-levels", 3}, {"r12-hall", 1},
}

// lengths are the fields of a roof file that hold places on the roof or lengths of it, m.
var lengths = []string{"outline", "from", "to", "at", "exit", "line", "to_point", "movement_joints", "anti_slip", "soft_areas",
	"joist_span_m", "radius_m", "from_m", "to_m"}

// scaled has the lengths under a value times so much, to the millimetre.
func scaled(v any, by float64, on bool) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for k, x := range v {
			out[k] = scaled(x, by, slices.Contains(lengths, k))
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = scaled(x, by, on)
		}
		return out
	case float64:
		return times(v, by, on)
	case uint64:
		return times(float64(v), by, on)
	case int64:
		return times(float64(v), by, on)
	default:
		return v
	}
}

func times(v, by float64, on bool) float64 {
	if !on {
		return v
	}
	return math.Round(1000*v*by) / 1000
}

// roofs are the examples, as they are read.
func roofs() ([]map[string]any, error) {
	var out []map[string]any
	for _, s := range shares {
		raw, err := examples.Files.ReadFile(s.name + ".yaml")
		if err != nil {
			return nil, err
		}
		var v map[string]any
		if err := yaml.Unmarshal(raw, &v); err != nil {
			return nil, err
		}
		for range s.of {
			out = append(out, v)
		}
	}
	return out, nil
}

// variant is a roof in a town, as a document of the page.
func variant(roof map[string]any, t *town, n int, draw *rand.Rand) ([]byte, error) {
	v := scaled(roof, 0.8+draw.Float64()/2, false).(map[string]any)
	v["name"] = fmt.Sprintf("Roof %d", n)
	site := v["site"].(map[string]any)
	near := func() float64 { return math.Round(1e4*(draw.Float64()-0.5)*0.0098) / 1e4 }
	site["lat_deg"], site["lon_deg"], site["altitude_m"] = t.lat+near(), t.lon+near(), math.Max(0, t.altitudeM+float64(draw.IntN(48)-24))
	return json.Marshal(map[string]any{"roof": v})
}

// filling is what a database is filled with: so many jobs, at order, each with the firm's file, which names the service.
type filling struct {
	files   string // the folder of their bytes
	towns   []town
	jobs    int
	service string
}

// run fills an empty database.
func (f *filling) run(ctx context.Context, address string, draw *rand.Rand) error {
	all, err := roofs()
	if err != nil {
		return err
	}
	files, err := folder.Open(f.files)
	if err != nil {
		return err
	}
	db, err := postgres.Open(ctx, address, files, 0)
	if err != nil {
		return err
	}
	defer db.Close()
	firm := fmt.Appendf(nil, "version: 1\nforecast: {address: %q, contact: office@example.org}\n", f.service)
	type one struct {
		document []byte
		n        int
	}
	todo := make(chan one)
	faults := make(chan error, 4)
	var hands sync.WaitGroup
	for range cap(faults) {
		hands.Go(func() {
			for x := range todo {
				if err := keep(ctx, db, x.document, firm, x.n); err != nil {
					faults <- err
					return
				}
			}
		})
	}
	for n := range f.jobs {
		document, err := variant(all[draw.IntN(len(all))], &f.towns[n%len(f.towns)], n+1, draw)
		if err != nil {
			return err
		}
		select {
		case todo <- one{document, n + 1}:
		case err := <-faults:
			return err
		}
	}
	close(todo)
	hands.Wait()
	select {
	case err := <-faults:
		return err
	default:
		return nil
	}
}

func keep(ctx context.Context, db *postgres.DB, document, firm []byte, n int) error {
	at := time.Date(2026, 5, 11, 9, 0, 0, 0, time.UTC)
	job, err := db.Create(ctx, store.NewJob{First: store.NewState{Mark: store.Mark{ID: "s1", When: at, Who: "bench", What: "drawn"},
		Title: fmt.Sprintf("Roof %d", n), Document: document}})
	if err != nil {
		return err
	}
	if _, err := db.PutFile(ctx, job.ID, store.NewFile{Name: "firm.yaml", MediaType: "application/yaml", When: at, Who: "bench",
		Bytes: firm}); err != nil {
		return err
	}
	_, err = db.Put(ctx, office.Change{ID: job.ID, When: at, Who: "bench", What: "ordered", Sheet: office.Job{Stage: office.Order}})
	return err
}
