package margin

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"gelwright/desk"
	"gelwright/drawing"
	"gelwright/internal/form"
	"gelwright/language"
	"gelwright/plan"
	"gelwright/roof"
	"gelwright/rooffile"
	"gelwright/steps"
)

// Sheet is one roof under somebody's eyes: its last plan, and what the steps of earlier ones gave.
type Sheet struct {
	kept  *steps.Cache
	plan  *plan.Plan
	views []drawing.View
	look  *desk.Outlook
	found *desk.When
	// in says the answers in the page's language; nil is English.
	in *language.Speaker
}

// NewSheet is an empty one.
func NewSheet() *Sheet { return &Sheet{kept: steps.NewCache(desk.KeptSteps)} }

// Fault is one thing wrong with what was given, with its place and remedy.
type Fault struct {
	Code string `json:"code"`
	// Path is the field of the roof file, "decks[main].edges[2].height_mm"; empty for the whole.
	Path string `json:"path"`
	// Where is the piece by its name.
	Where   string `json:"where"`
	Message string `json:"message"`
	Remedy  string `json:"remedy"`
	Warning bool   `json:"warning"`
}

// Refusal is a question that has no answer. Kind is "asked" (the question is wrong), "faulty" (what was given has
// faults), "no", "stopped" or "failed".
type Refusal struct {
	Kind    string  `json:"kind"`
	Message string  `json:"message"`
	Faults  []Fault `json:"faults"`
}

// Error is the message.
func (r *Refusal) Error() string { return r.Message }

// RefusalOf says why there is no answer.
func RefusalOf(err error) *Refusal {
	var known *Refusal
	if errors.As(err, &known) {
		return known
	}
	r := &Refusal{Kind: "failed", Message: err.Error(), Faults: []Fault{}}
	var list form.Faults
	var e *desk.Error
	switch {
	case errors.Is(err, context.Canceled):
		r.Kind = "stopped"
	case errors.As(err, &list):
		r.Kind, r.Faults = "faulty", faultsOf(list)
	case errors.As(err, &e):
		r.Kind = map[desk.Kind]string{desk.Asked: "asked", desk.Faulty: "faulty", desk.No: "no"}[e.Kind]
		if e.Kind == desk.Faulty {
			r.Faults = []Fault{{Code: "given", Path: e.Place, Message: e.Found, Remedy: e.Remedy}}
		}
	}
	return r
}

func faultsOf(list form.Faults) []Fault {
	out := make([]Fault, 0, len(list))
	for _, f := range list {
		out = append(out, Fault{Code: f.Code, Path: f.Path, Where: f.Where, Message: f.Message, Remedy: f.Remedy, Warning: f.Warning})
	}
	return out
}

// Kinds of questions.
const (
	AskPlan     = "plan"
	AskGround   = "ground"
	AskView     = "view"
	AskFigure   = "figure"
	AskPiece    = "piece"
	AskOrder    = "order"
	AskDay      = "day"
	AskDefaults = "defaults"
	AskChecks   = "checks"
	AskFields   = "fields"
	AskSurvey   = "survey"
	AskRead     = "read"
	AskWrite    = "write"
	AskImport   = "import"
	AskLanguage = "language"
)

// Ask answers a question of a kind, in the language that was asked for. raw is the question as JSON, the answer a value to be
// written as JSON.
func (s *Sheet) Ask(ctx context.Context, kind string, raw []byte, progress func(step string)) (any, error) {
	if kind == AskLanguage {
		return answered(raw, s.speak)
	}
	answer, err := s.ask(ctx, kind, raw, progress)
	if err != nil || s.in == nil {
		return answer, err
	}
	return saidIn(s.in, answer)
}

func (s *Sheet) ask(ctx context.Context, kind string, raw []byte, progress func(step string)) (any, error) {
	switch kind {
	case AskPlan:
		return answered(raw, func(q PlanAsk) (any, error) { return s.Plan(ctx, q, progress) })
	case AskGround:
		return answered(raw, func(q RoofAsk) (any, error) { return GroundOf(ctx, q, s.kept) })
	case AskView:
		return answered(raw, func(q NameAsk) (any, error) { return s.view(q.Name) })
	case AskFigure:
		return answered(raw, func(q NameAsk) (any, error) { return s.figure(q.Name) })
	case AskPiece:
		return answered(raw, func(q PieceAsk) (any, error) { return s.piece(q) })
	case AskOrder:
		return s.order()
	case AskDay:
		return s.day()
	case AskDefaults:
		return s.defaults()
	case AskChecks:
		return s.checks()
	case AskFields:
		return fields()
	case AskSurvey:
		return answered(raw, func(q SurveyAsk) (any, error) { return surveyed(ctx, q) })
	case AskRead:
		return answered(raw, readRoof)
	case AskWrite:
		return answered(raw, writeRoof)
	case AskImport:
		return answered(raw, imported)
	}
	return nil, &Refusal{Kind: "asked", Message: fmt.Sprintf("no question is called %q", kind), Faults: []Fault{}}
}

func answered[Q any](raw []byte, answer func(Q) (any, error)) (any, error) {
	var q Q
	if err := json.Unmarshal(raw, &q); err != nil {
		return nil, &Refusal{Kind: "asked", Message: "the question cannot be read: " + err.Error(), Faults: []Fault{}}
	}
	return answer(q)
}

// NameAsk asks for one thing by its name.
type NameAsk struct {
	Name string `json:"name"`
}

// RoofAsk is a roof by its file, as YAML or JSON.
type RoofAsk struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

func (q *RoofAsk) read() (roof.Job, []Fault, error) {
	name := q.Name
	if name == "" {
		name = "roof.yaml"
	}
	job, warnings, err := rooffile.Read(name, []byte(q.Text))
	return job, faultsOf(warnings), err
}

// planned is the last plan.
func (s *Sheet) planned() (*plan.Plan, error) {
	if s.plan == nil {
		return nil, &Refusal{Kind: "asked", Message: "there is no plan yet", Faults: []Fault{}}
	}
	return s.plan, nil
}
