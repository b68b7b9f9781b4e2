//go:build js && wasm

package main

import (
	"context"
	"encoding/json"
	"errors"
	"runtime/debug"
	"syscall/js"
	"time"
	_ "time/tzdata" // a browser has no files of time zones

	"gelwright/desk"
	"gelwright/firmfile"
	"gelwright/margin"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/steps"
	"gelwright/weather"
	"gelwright/weather/forecast"
)

// heapGrowthPct lets the heap grow between collections: the browser's only thread of this
// program has nothing to gain from a small heap.
const heapGrowthPct = 400

func main() {
	debug.SetGCPercent(heapGrowthPct)
	d := &door{kept: steps.NewCache(desk.KeptSteps), sheet: margin.NewSheet()}
	js.Global().Set("gelwrightAsk", js.FuncOf(func(_ js.Value, args []js.Value) any { return d.ask(args) }))
	js.Global().Set("gelwrightPlan", js.FuncOf(func(_ js.Value, args []js.Value) any { return d.plan(args) }))
	select {} // JavaScript calls from here on
}

// door keeps what may be kept from one call to the next.
type door struct {
	kept  *steps.Cache
	sheet *margin.Sheet
}

// ask answers one question of the page.
func (d *door) ask(args []js.Value) any {
	if len(args) < 2 {
		return told(nil, &desk.Error{Kind: desk.Asked, Found: "there is no question", Remedy: "Call gelwrightAsk(kind, question)"})
	}
	ctx := &stoppable{Context: context.Background()}
	if len(args) > 2 {
		ctx.flag = args[2]
	}
	var progress func(step string)
	if len(args) > 3 && args[3].Type() == js.TypeFunction {
		progress = func(step string) { args[3].Invoke(step) }
	}
	return told(d.sheet.Ask(ctx, args[0].String(), []byte(args[1].String()), progress))
}

// told is an answer, or why there is none, as texts.
func told(answer any, err error) map[string]any {
	if err == nil {
		var raw []byte
		if raw, err = json.Marshal(answer); err == nil {
			return map[string]any{"answer": string(raw)}
		}
	}
	raw, err := json.Marshal(margin.RefusalOf(err))
	if err != nil {
		raw = []byte(`{"kind":"failed","message":"the refusal cannot be written","faults":[]}`)
	}
	return map[string]any{"refusal": string(raw)}
}

// faulty is an error in a file, as the readers tell it.
func faulty(err error) error { return &desk.Error{Kind: desk.Faulty, Cause: err} }

// plan answers one call.
func (d *door) plan(args []js.Value) any {
	if len(args) == 0 || args[0].Type() != js.TypeObject {
		return answerOf(nil, nil, &desk.Error{Kind: desk.Asked, Found: "there is no question",
			Remedy: "Call gelwrightPlan({roof: text, name: 'roof.yaml'})"})
	}
	ask := args[0]
	ctx := &stoppable{Context: context.Background(), flag: ask.Get("stop")}
	g, sky, warnings, err := d.given(ask)
	if err != nil {
		return answerOf(nil, warnings, err)
	}
	if len(args) > 1 && args[1].Type() == js.TypeFunction {
		g.Progress = func(step string) {
			if v := args[1].Invoke(step); v.Type() == js.TypeBoolean && !v.Bool() {
				ctx.stopped = true
			}
		}
	}
	p, err := planned(ctx, g, sky, textOf(ask, "from"))
	if err != nil {
		return answerOf(nil, warnings, err)
	}
	raw, err := p.Text()
	return answerOf(raw, warnings, err)
}

// planned plans a roof: under a forecast its days and hours are settled first.
func planned(ctx context.Context, g desk.Given, sky *weather.Forecast, from string) (*plan.Plan, error) {
	if sky == nil {
		return g.Plan(ctx)
	}
	look := desk.UsualLook()
	look.From = from
	return desk.PlanUnder(ctx, g, *sky, look)
}

// given reads the texts of a question; sky is nil where it has no forecast.
func (d *door) given(ask js.Value) (g desk.Given, sky *weather.Forecast, warnings []any, err error) {
	name := textOf(ask, "name")
	if name == "" {
		name = "roof.yaml"
	}
	job, faults, err := rooffile.Read(name, []byte(textOf(ask, "roof")))
	warnings = append(warnings, texts(faults)...)
	if err != nil {
		return g, nil, warnings, faulty(err)
	}
	g.Job, g.Steps = job, d.kept
	if text := textOf(ask, "firm"); text != "" {
		firm, faults, err := firmfile.Read("firm.yaml", []byte(text))
		warnings = append(warnings, texts(faults)...)
		if err != nil {
			return g, nil, warnings, faulty(err)
		}
		g.Firm = &firm
	}
	if v := ask.Get("temp"); v.Type() == js.TypeNumber {
		tempC := v.Float()
		g.TempC = &tempC
	}
	if text := textOf(ask, "forecast"); text != "" {
		sky, err = skyOf(&g.Job, text, textOf(ask, "from"))
	}
	return g, sky, warnings, err
}

// skyOf reads a forecast.
func skyOf(job *roof.Job, text, from string) (*weather.Forecast, error) {
	site, err := desk.SiteOf(job)
	if err != nil {
		return nil, err
	}
	f, err := forecast.Read([]byte(text), forecast.Options{Name: "forecast", Zone: site.Zone, Year: desk.YearOf(job, from, time.Time{})})
	if err != nil {
		return nil, faulty(err)
	}
	return &f, nil
}

// texts are faults as texts.
func texts[F interface{ String() string }](faults []F) []any {
	var out []any
	for _, f := range faults {
		out = append(out, f.String())
	}
	return out
}

// textOf is a text of the question; empty when it is missing.
func textOf(ask js.Value, name string) string {
	if v := ask.Get(name); v.Type() == js.TypeString {
		return v.String()
	}
	return ""
}

// answerOf is what JavaScript is given.
func answerOf(plan []byte, warnings []any, err error) map[string]any {
	if warnings == nil {
		warnings = []any{}
	}
	a := map[string]any{"warnings": warnings}
	if err == nil {
		a["plan"] = string(plan)
		return a
	}
	a["error"], a["kind"] = err.Error(), "failed"
	var e *desk.Error
	switch {
	case errors.Is(err, context.Canceled):
		a["kind"] = "stopped"
	case errors.As(err, &e):
		a["kind"] = map[desk.Kind]string{desk.Asked: "asked", desk.Faulty: "faulty", desk.No: "no"}[e.Kind]
	}
	return a
}

// stoppable is a context that ends when a number in shared memory is set, or when it is told.
type stoppable struct {
	context.Context
	flag    js.Value
	stopped bool
}

// Err is context.Canceled once the plan is not wanted any more.
func (s *stoppable) Err() error {
	if !s.stopped && s.flag.Type() == js.TypeObject && s.flag.Index(0).Int() != 0 {
		s.stopped = true
	}
	if s.stopped {
		return context.Canceled
	}
	return nil
}
