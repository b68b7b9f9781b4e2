package web

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/plan"
	"gelwright/rooffile"
	"gelwright/store"
	"gelwright/weather/forecast"
)

// RoofName is the name that the roof of a job bears as a file, in faults and in the sources of figures: that of the command
// line's papers, when it plans the file that is saved from here.
const RoofName = "roof.yaml"

// basis is what a state of a job is planned on: texts, each with the name that it bears.
type basis struct {
	job    store.ID
	seq    int
	roof   []byte
	firm   *named
	sky    *named
	folder string // what the papers' zip is called
}

type named struct {
	name string
	text []byte
}

// key names the basis by its content.
func (b *basis) key() string {
	h := sha256.New()
	fmt.Fprintf(h, "roof %d\n%s", len(b.roof), b.roof)
	for _, f := range []*named{b.firm, b.sky} {
		if f == nil {
			h.Write([]byte("none\n"))
			continue
		}
		fmt.Fprintf(h, "%q %d\n%s", f.name, len(f.text), f.text)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// basisOf reads what a state is planned on; seq 0 is the newest.
func (s *Server) basisOf(ctx context.Context, job store.ID, seq int) (*basis, error) {
	at, err := s.Jobs.StateAt(ctx, job, seq)
	if err != nil {
		return nil, err
	}
	b := &basis{job: job, seq: at.Seq, folder: fileNameOf(at.Title)}
	if b.roof, err = roofIn(at.Document); err != nil {
		return nil, err
	}
	files, err := s.Jobs.Files(ctx, job)
	if err != nil {
		return nil, err
	}
	if b.firm, err = s.livingText(ctx, job, files, firmName); err != nil {
		return nil, err
	}
	b.sky, err = s.livingText(ctx, job, files, forecastName)
	return b, err
}

// livingText reads the newest file under a living name; nil where there is none, or an empty one that took it away.
func (s *Server) livingText(ctx context.Context, job store.ID, files []store.File, name string) (*named, error) {
	newest := newestOf(files, name)
	if newest == nil || newest.Size == 0 {
		return nil, nil
	}
	_, text, err := s.Jobs.ReadFile(ctx, job, newest.Name)
	return &named{name, text}, err
}

// plan plans on a basis, or gives the plan that was made on it before.
func (s *Server) plan(ctx context.Context, b *basis) (*plan.Plan, error) {
	return s.plans.get(ctx, b.key(), func(ctx context.Context) (*plan.Plan, error) {
		p, err := b.planned(ctx)
		return p, noPlan(err)
	})
}

// noPlan is why there is no plan: whatever the engine says of a roof is an answer, not a failure of the program.
func noPlan(err error) error {
	var faults rooffile.Faults // and those of a firm's file
	var said *desk.Error
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) || errors.As(err, &faults) ||
		errors.As(err, &said) {
		return err
	}
	return &desk.Error{Kind: desk.No, Place: "roof", Cause: err}
}

// planned plans as the command line does: under a forecast its days and hours are settled first.
func (b *basis) planned(ctx context.Context) (*plan.Plan, error) {
	var g desk.Given
	var err error
	if g.Job, _, err = rooffile.Read(RoofName, b.roof); err != nil {
		return nil, err
	}
	if b.firm != nil {
		firm, _, err := firmfile.Read(b.firm.name, b.firm.text)
		if err != nil {
			return nil, err
		}
		g.Firm = &firm
	}
	if b.sky == nil {
		return g.Plan(ctx)
	}
	site, err := desk.SiteOf(&g.Job)
	if err != nil {
		return nil, err
	}
	year := desk.YearOf(&g.Job, "", time.Time{})
	sky, err := forecast.Read(b.sky.text, forecast.Options{Name: b.sky.name, Zone: site.Zone, Year: year})
	if err != nil {
		return nil, &desk.Error{Kind: desk.Faulty, Place: b.sky.name, Cause: err, Remedy: "Put the forecast in again under another name"}
	}
	return desk.PlanUnder(ctx, g, sky, desk.UsualLook())
}

// fileNameOf is a title as the name of a file.
func fileNameOf(title string) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '-'
	}, title)
	for strings.Contains(name, "--") {
		name = strings.ReplaceAll(name, "--", "-")
	}
	if name = strings.Trim(name, "-"); name == "" {
		return "job"
	}
	return strings.ToLower(name)
}
