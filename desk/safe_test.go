package desk_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"gelwright/cure"
	"gelwright/desk"
	"gelwright/plan"
	"gelwright/programme"
	"gelwright/weather"
)

// heldDry counts the slots of a programme in which a last bucket of the papers is laid, and finds fault with one that is said to
// be safe from rain before the range of that bucket has ended.
func heldDry(t *testing.T, name string, o *desk.Outlook, slots []programme.Slot, p *plan.Plan) int {
	t.Helper()
	n := 0
	for i := range p.Wet {
		w := &p.Wet[i]
		mixed := midnightOf(t, o, p.Schedule.DateOf(w.Day)).Add(time.Duration(w.MixAtMin * float64(time.Minute)))
		is := w.At(cure.RainSafe)
		for _, s := range slots {
			if !strings.HasPrefix(s.Key+".", strings.TrimPrefix(w.Key, "wet.")+".") || mixed.Before(s.Start) || !mixed.Before(s.End) {
				continue
			}
			n++
			if got := s.SafeBy.Sub(mixed).Minutes(); got < is.LikelyMin {
				t.Errorf("%s, %s: safe %.0f min after its last bucket, the papers say %.0f", name, s.Name, got, is.LikelyMin)
			}
			if got := s.SafeByLate.Sub(mixed).Minutes(); got < is.HighMin && is.HighMin < 30*24*60 {
				t.Errorf("%s, %s: safe %.0f min after its last bucket at the latest, the papers say up to %.0f", name, s.Name, got, is.HighMin)
			}
		}
	}
	return n
}

// No answer lets rain on a film before the papers' own range of its last bucket has ended.
func TestSafeAtTheLatestIsNotBeforeThePapers(t *testing.T) {
	g, sky := example(t, "r04-l-shape")
	look := desk.UsualLook()
	look.From = "2026-05-11"
	o, err := desk.LookOut(context.Background(), g, sky, look)
	if err != nil {
		t.Fatal(err)
	}
	w, err := o.When(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	told := append([]programme.Slot(nil), w.Best().Slots...)
	p, err := o.PlanFor(context.Background(), w)
	if err != nil {
		t.Fatal(err)
	}
	if heldDry(t, "when", o, told, p) < 2 || heldDry(t, "papers", o, w.Best().Slots, p) < 2 {
		t.Error("no last bucket of mat and coat is found in the programme")
	}
}

// What is begun now is said to be safe as late as the plan that is told with it.
func TestNowIsSafeWithItsPlan(t *testing.T) {
	g, sky := example(t, "r04-l-shape")
	at := time.Date(2026, 5, 13, 7, 0, 0, 0, time.UTC)
	look := desk.UsualLook()
	look.At, look.Target = at, 0.3
	look.Since = at.AddDate(0, 0, -2)
	o, err := desk.LookOut(context.Background(), g, sky, look)
	if err != nil {
		t.Fatal(err)
	}
	done, err := o.Done("deck=2026-05-11T13:30,trims=2026-05-11T16:00,details=2026-05-12T09:30", at)
	if err != nil {
		t.Fatal(err)
	}
	a, err := o.Now(context.Background(), at, done)
	if err != nil {
		t.Fatal(err)
	}
	slot := a.Plan.Slots[0]
	if a.Verdict != weather.Go || slot.SafeByLate.IsZero() || !strings.Contains(a.Act, "safe by "+slot.SafeByLate.In(o.Zone()).Format("15:04")) &&
		!strings.Contains(a.Act, "safe by "+slot.SafeByLate.In(o.Zone()).Format("Mon 15:04")) {
		t.Errorf("%s, safe by %s: %s", a.Verdict, slot.SafeByLate, a.Act)
	}
}
