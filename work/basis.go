package work

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/steps"
	"gelwright/store"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// RoofName is the name that the roof of a job bears as a file, in faults and in the sources of figures: that of the command
// line's papers, when it plans the file that is saved from here.
const RoofName = "roof.yaml"

// Files that live: a job has one firm and one forecast, of which a newer one takes the place. What was kept stays, under its
// own name: "forecast.csv", then "forecast 2026-05-12 090000.000.csv".
const (
	FirmName     = "firm.yaml"
	ForecastName = "forecast.csv"
)

// NewestOf is the newest of the files under a living name; nil where there is none.
func NewestOf(files []store.File, name string) *store.File {
	ext := path.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	var newest *store.File
	for i, f := range files {
		after, ours := strings.CutPrefix(strings.TrimSuffix(f.Name, ext), stem)
		if ours = ours && path.Ext(f.Name) == ext && (after == "" || after[0] == ' '); ours && (newest == nil || f.When.After(newest.When)) {
			newest = &files[i]
		}
	}
	return newest
}

// Basis is what a state of a job is planned on: texts, each with the name that it bears.
type Basis struct {
	Job   store.ID
	Seq   int
	Title string
	Roof  []byte
	Firm  *Named
	Sky   *Named
	// Record is what readings on site have shown of the forecasts of the place; nil where there are none.
	Record *weather.Record
}

// Named is a text and the name that it bears.
type Named struct {
	Name string
	Text []byte
	when time.Time
}

// Key names the basis by its content.
func (b *Basis) Key() string {
	h := sha256.New()
	fmt.Fprintf(h, "roof %d\n%s", len(b.Roof), b.Roof)
	for _, f := range []*Named{b.Firm, b.Sky} {
		if f == nil {
			h.Write([]byte("none\n"))
			continue
		}
		fmt.Fprintf(h, "%q %d\n%s", f.Name, len(f.Text), f.Text)
	}
	if b.Record != nil {
		fmt.Fprintf(h, "record %v\n", *b.Record)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// ErrNoRoof is what a document without a roof is answered with.
var ErrNoRoof = &desk.Error{Kind: desk.Faulty, Place: "document.roof", Found: "the document holds no roof", Remedy: "Draw one"}

// BasisOf reads what a state is planned on; seq 0 is the newest.
func BasisOf(ctx context.Context, jobs store.Store, job store.ID, seq int) (*Basis, error) {
	at, err := jobs.StateAt(ctx, job, seq)
	if err != nil {
		return nil, err
	}
	b := &Basis{Job: job, Seq: at.Seq, Title: at.Title}
	if b.Roof, err = roofOf(at.Document); err != nil {
		return nil, err
	}
	files, err := jobs.Files(ctx, job)
	if err != nil {
		return nil, err
	}
	if b.Firm, err = livingText(ctx, jobs, job, files, FirmName); err != nil {
		return nil, err
	}
	b.Sky, err = livingText(ctx, jobs, job, files, ForecastName)
	return b, err
}

// roofOf is the roof of a document.
func roofOf(document []byte) ([]byte, error) {
	var d struct {
		Roof json.RawMessage `json:"roof"`
	}
	if err := json.Unmarshal(document, &d); err != nil || len(d.Roof) == 0 {
		return nil, ErrNoRoof
	}
	return d.Roof, nil
}

// livingText reads the newest file under a living name; nil where there is none, or an empty one that took it away.
func livingText(ctx context.Context, jobs store.Store, job store.ID, files []store.File, name string) (*Named, error) {
	newest := NewestOf(files, name)
	if newest == nil || newest.Size == 0 {
		return nil, nil
	}
	_, text, err := jobs.ReadFile(ctx, job, newest.Name)
	return &Named{name, text, newest.When}, err
}

// Given is what a question about the basis is asked on.
func (b *Basis) Given(cache *steps.Cache) (desk.Given, error) {
	g := desk.Given{Steps: cache}
	var err error
	if g.Job, _, err = rooffile.Read(RoofName, b.Roof); err != nil {
		return g, err
	}
	if b.Firm == nil {
		return g, nil
	}
	firm, _, err := firmfile.Read(b.Firm.Name, b.Firm.Text)
	if err != nil {
		return g, err
	}
	g.Firm = &firm
	return g, nil
}

// Forecast reads the basis's sky for the job; the zero value where there is none.
func (b *Basis) Forecast(g *desk.Given) (weather.Forecast, error) {
	site, err := desk.SiteOf(&g.Job)
	if err != nil || b.Sky == nil {
		return weather.Forecast{}, err
	}
	year := desk.YearOf(&g.Job, "", time.Time{})
	sky, err := forecast.Read(b.Sky.Text, forecast.Options{Name: b.Sky.Name, Zone: site.Zone, Year: year})
	if err != nil {
		return sky, &desk.Error{Kind: desk.Faulty, Place: b.Sky.Name, Cause: err, Remedy: "Put the forecast in again under another name"}
	}
	return sky, nil
}

// Plan plans as the command line does: under a forecast its days and hours are settled first.
func (b *Basis) Plan(ctx context.Context, cache *steps.Cache) (*plan.Plan, error) {
	g, err := b.Given(cache)
	if err != nil {
		return nil, err
	}
	if b.Sky == nil {
		return g.Plan(ctx)
	}
	sky, err := b.Forecast(&g)
	if err != nil {
		return nil, err
	}
	look := desk.UsualLook()
	look.Record = b.Record
	return desk.PlanUnder(ctx, g, sky, look)
}

// NoPlan is why there is no plan: whatever the engine says of a roof is an answer, not a failure of the program.
func NoPlan(err error) error {
	var faults rooffile.Faults // and those of a firm's file
	var said *desk.Error
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) || errors.As(err, &faults) ||
		errors.As(err, &said) {
		return err
	}
	return &desk.Error{Kind: desk.No, Place: "roof", Cause: err}
}
