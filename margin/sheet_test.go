package margin

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"gelwright/check"
)

func asked(t *testing.T, s *Sheet, kind string, question any, into any) {
	t.Helper()
	raw, err := json.Marshal(question)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := s.Ask(context.Background(), kind, raw, nil)
	if err != nil {
		t.Fatalf("%s: %v", kind, err)
	}
	back, err := json.Marshal(answer)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(back, into); err != nil {
		t.Fatal(err)
	}
}

func example(t *testing.T, name string) RoofAsk {
	t.Helper()
	text, err := os.ReadFile("../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return RoofAsk{Name: name, Text: string(text)}
}

// What stands beside the roof is what the plan says.
func TestTheMarginSaysWhatThePlanSays(t *testing.T) {
	s := NewSheet()
	var a Answer
	asked(t, s, AskPlan, PlanAsk{RoofAsk: example(t, "r04-l-shape.yaml")}, &a)
	fails, asks := 0, 0
	for i := range s.plan.Checks {
		switch s.plan.Checks[i].Verdict {
		case check.Fail:
			fails++
		case check.Ask:
			asks++
		}
	}
	stops, open := 0, 0
	acts := map[string]Act{}
	for _, w := range a.Worries {
		switch w.Grade {
		case "stop":
			stops++
		case "ask":
			open++
		}
		for _, x := range w.Acts {
			acts[x.Field] = x
		}
	}
	if stops != fails || open < asks || fails == 0 {
		t.Errorf("%d stops for %d failed checks, %d questions for %d asked", stops, fails, open, asks)
	}
	if x := acts["spec.insulation.thickness_mm"]; x.Value == "" || acts["decks[L].edges[2].cavity_tray"].Value != "no" {
		t.Errorf("what settles the heat and the cavity tray is missing: %v", acts)
	}
	if f := a.Figures[0]; f.Key != "roof.net" || f.Value != "29.2" || a.Figures[1].Value != itoa(s.plan.Totals.Boards) {
		t.Errorf("figures are %+v", a.Figures)
	}
	var ground Ground
	asked(t, s, AskGround, example(t, "r04-l-shape.yaml"), &ground)
	if ground.NetM2 != s.plan.Totals.NetM2 || ground.Decks[0].HighestMM != s.plan.Decks[0].HighestMM {
		t.Errorf("the ground has %v m², the plan %v", ground.NetM2, s.plan.Totals.NetM2)
	}
	for _, f := range a.Figures {
		var w Working
		asked(t, s, AskFigure, NameAsk{f.Key}, &w)
		if w.Value == "" || w.Formula == "" && w.By == "" {
			t.Errorf("%s has no working: %+v", f.Key, w)
		}
	}
}

// Each drawing can be laid over the roof: the outline's corner lies where the picture says, and its pieces can be looked up.
func TestPiecesOfADrawingAreKnown(t *testing.T) {
	s := NewSheet()
	var a Answer
	asked(t, s, AskPlan, PlanAsk{RoofAsk: example(t, "r04-l-shape.yaml")}, &a)
	looked := 0
	for _, name := range a.Views {
		var v View
		asked(t, s, AskView, NameAsk{name.ID}, &v)
		if !strings.HasPrefix(v.SVG, "<svg") || v.PerM <= 0 || len(v.Unlettered) > 0 {
			t.Errorf("%s: %d bytes, %v mm a metre, not lettered %v", name.ID, len(v.SVG), v.PerM, v.Unlettered)
		}
		if strings.Contains(v.SVG, `data-layer="key"`) || strings.Contains(v.SVG, `data-layer="sheet"`) {
			t.Errorf("%s has its frame or key on it", name.ID)
		}
		x, y := v.AtX+7.2*v.PerM, v.AtY-3.2*v.PerM
		if x < 0 || y < 0 || x > v.WideMM || y > v.HighMM {
			t.Errorf("%s: corner 3 lies at %v, %v of %v × %v", name.ID, x, y, v.WideMM, v.HighMM)
		}
		for _, part := range strings.Split(v.SVG, `id="`+pieceID)[1:] {
			number, _, _ := strings.Cut(part, `"`)
			if !strings.ContainsAny(number[:1], "BTCM") || strings.Contains(number, "-") {
				continue
			}
			var x Piece
			asked(t, s, AskPiece, PieceAsk{v.Deck, number}, &x)
			if len(x.Facts) < 3 || len(x.Shapes) == 0 {
				t.Errorf("%s: piece %q: %+v", name.ID, number, x)
			}
			looked++
		}
	}
	if looked < 30 {
		t.Errorf("only %d pieces were looked up", looked)
	}
}

// A roof file that is read and written again is the same roof; one with faults says where.
func TestRoofFilesComeAndGo(t *testing.T) {
	s := NewSheet()
	for _, name := range []string{"r01-garage.yaml", "r04-l-shape.yaml", "r11-three-levels.yaml"} {
		var d RoofDocument
		asked(t, s, AskRead, example(t, name), &d)
		var text RoofText
		asked(t, s, AskWrite, RoofAsk{Name: name, Text: string(d.Roof)}, &text)
		var again RoofDocument
		asked(t, s, AskRead, RoofAsk{Name: name, Text: text.Text}, &again)
		if string(again.Roof) != string(d.Roof) || len(d.Outlines) == 0 || len(d.Outlines[0]) < 4 {
			t.Errorf("%s is not the same after being written", name)
		}
	}
	_, err := s.Ask(context.Background(), AskPlan, []byte(`{"text":"{\"version\":1,\"name\":\"x\",\"date\":\"2026-05-11\",`+
		`\"deck\":{\"outline\":[[0,0],[3,0],[3,3],[0,3]],\"edges\":[\"ask\",\"kerb\",\"drip\",\"kerb\"],\"fall\":{\"towards\":\"north\",\"ratio\":40}}}"}`), nil)
	r := RefusalOf(err)
	if r.Kind != "faulty" || len(r.Faults) == 0 || !strings.Contains(r.Faults[0].Path, "edges[0]") || r.Faults[0].Remedy == "" {
		t.Errorf("an edge that nobody named is told as %+v", r)
	}
}

// A form has every plain field with its unit and its words.
func TestFieldsHaveTheirWords(t *testing.T) {
	list, err := fields()
	if err != nil {
		t.Fatal(err)
	}
	have := map[string]Field{}
	for _, f := range list {
		have[f.Path] = f
	}
	if f := have["spec.insulation.thickness_mm"]; f.Unit != "mm" || f.Kind != "number" || f.Doc == "" {
		t.Errorf("the insulation's thickness is %+v", f)
	}
	if f := have["base.timber_class"]; !f.Deck || len(f.Choices) < 5 {
		t.Errorf("the timber's class is %+v", f)
	}
	if _, drawn := have["outline"]; drawn || len(list) < 60 {
		t.Errorf("%d fields", len(list))
	}
}

// One side of the L read a metre short, two diagonals beside it: the side is named with what the rest wants of it, and closes so.
func TestABlunderIsNamedAtItsPlace(t *testing.T) {
	s, diagonals := NewSheet(), []string{"A-C=7.879", "A-E=6.450"}
	var got Surveyed
	asked(t, s, AskSurvey, SurveyAsk{Walk: "7.2 left 3.2 left 4 right 2.4 left 3.2 left 4.6 left", Lengths: diagonals}, &got)
	if got.Closes || got.Blunder == nil || len(got.Blunder.Readings) != 1 || !got.Blunder.Explains {
		t.Fatalf("the blunder is %+v", got.Blunder)
	}
	if b := got.Blunder.Readings[0]; b.From != "F" || b.To != "A" || b.Angle || b.Value != 4.6 || math.Abs(got.Blunder.Instead-5.6) > 0.01 {
		t.Errorf("named is %+v, instead %.3f", b, got.Blunder.Instead)
	}
	asked(t, s, AskSurvey, SurveyAsk{Walk: "7.2 left 3.2 left 4 right 2.4 left 3.2 left 5.6 left", Lengths: diagonals}, &got)
	if !got.Closes || got.Blunder != nil {
		t.Errorf("mended, it says %q, %+v", got.Trouble, got.Blunder)
	}
}
