package work_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	sheets "gelwright/office"
	"gelwright/store"
	"gelwright/work"
)

// hours are a forecast of a fortnight of May, every hour the same.
func hours(rainMM float64) []byte {
	var b strings.Builder
	b.WriteString("time,air_c,rh_pct,wind_ms,rain_mm\n")
	for at := time.Date(2026, 5, 11, 0, 0, 0, 0, time.UTC); at.Before(time.Date(2026, 5, 25, 0, 0, 0, 0, time.UTC)); at = at.Add(time.Hour) {
		fmt.Fprintf(&b, "%s,10,55,2,%g\n", at.Format("2006-01-02T15:04Z"), rainMM)
	}
	return []byte(b.String())
}

func TestAJobThatHoldsNoMoreIsRemindedOfOnce(t *testing.T) {
	o := open(t, t.TempDir())
	job := o.job("Dormer", "r02-dormer")
	o.file(job, "firm.yaml", "../examples/firm.yaml")
	o.stands(job, sheets.Order)
	o.worker(work.Settings{})
	under := func(name string, day int, rainMM float64) work.Chance {
		t.Helper()
		if _, err := o.jobs.PutFile(t.Context(), job, store.NewFile{Name: name, MediaType: "text/csv",
			When: time.Date(2026, 5, day, 9, 0, 0, 0, time.UTC), Who: "Asha", Bytes: hours(rainMM)}); err != nil {
			t.Fatal(err)
		}
		list, err := o.queue.Replan(t.Context(), []store.ID{job}, "Asha")
		if err != nil {
			t.Fatal(err)
		}
		o.ended(list[0].ID)
		c, err := o.queue.Chance(t.Context(), job)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	dry := under("forecast.csv", 11, 0)
	if list, err := o.queue.Reminders(t.Context()); err != nil || len(list) != 0 || dry.Verdict != work.Sure {
		t.Fatalf("under a dry fortnight: %+v, reminded of %+v (%v)", dry, list, err)
	}
	wet := under("forecast 2026-05-12 090000.000.csv", 12, 1)
	if wet.Verdict == work.Sure || wet.Was != work.Sure || wet.WasP != dry.P {
		t.Errorf("under a wet one: %+v", wet)
	}
	list, err := o.queue.Reminders(t.Context())
	if err != nil || len(list) != 1 || list[0].Job != job || list[0].Title != "Dormer" || !strings.Contains(list[0].Said, "90 % are wanted") {
		t.Fatalf("reminded of %+v (%v)", list, err)
	}
	// It was not sure before: nothing new to tell.
	under("forecast 2026-05-13 090000.000.csv", 13, 2)
	if again, err := o.queue.Reminders(t.Context()); err != nil || len(again) != 1 {
		t.Errorf("reminded again of %+v (%v)", again, err)
	}
	o.stands(job, sheets.Aftercare)
	if after, err := o.queue.Reminders(t.Context()); err != nil || len(after) != 0 {
		t.Errorf("reminded of a roof that is handed over: %+v (%v)", after, err)
	}
	o.stands(job, sheets.HandOver)
	if again, err := o.queue.Reminders(t.Context()); err != nil || len(again) != 1 {
		t.Errorf("reminded again of %+v (%v)", again, err)
	}
	if err := o.jobs.Retire(t.Context(), job, store.Retirement{When: time.Now(), Who: "Asha"}); err != nil {
		t.Fatal(err)
	}
	if again, err := o.queue.Reminders(t.Context()); err != nil || len(again) != 0 {
		t.Errorf("reminded of a retired job: %+v (%v)", again, err)
	}
}
