package work_test

import (
	"strings"
	"testing"
	"time"

	"gelwright/store"
	"gelwright/work"
)

// TestWhatStandsIsJudgedAndOnlyWhatFallsIsLookedForAnew goes through mornings, each with a worker that has nothing in hand: the roof is
// worked out once, starts that hold stand as they are, starts that fall make room for others.
func TestWhatStandsIsJudgedAndOnlyWhatFallsIsLookedForAnew(t *testing.T) {
	onBoth(t, func(t *testing.T, open func() *office) {
		o := open()
		job := o.job("Dormer", "r02-dormer")
		o.file(job, "firm.yaml", "../examples/firm.yaml")
		morning := func(day int, text []byte) (work.Chance, string) {
			t.Helper()
			at := time.Date(2026, 5, day, 9, 0, 0, 0, time.UTC)
			if _, err := o.jobs.PutFile(t.Context(), job, store.NewFile{Name: "forecast " + at.Format("2006-01-02 150405.000") + ".csv",
				MediaType: "text/csv", When: at, Who: "Asha", Bytes: text}); err != nil {
				t.Fatal(err)
			}
			w, err := o.queue.Start(t.Context(), work.Settings{})
			if err != nil {
				t.Fatal(err)
			}
			list, err := o.queue.Replan(t.Context(), []store.ID{job}, "Asha")
			if err != nil {
				t.Fatal(err)
			}
			done := o.ended(list[0].ID)
			o.stop(w)
			c, err := o.queue.Chance(t.Context(), job)
			if err != nil {
				t.Fatal(err)
			}
			return c, done.Said
		}
		held := func(said, want string) {
			t.Helper()
			if !strings.Contains(said, want) {
				t.Errorf("%q, not %q", said, want)
			}
		}
		first, said := morning(11, hours(0))
		held(said, "(0 stand, 1 looked for anew, 1 worked out)")
		if first.Verdict != work.Sure {
			t.Fatalf("%+v", first)
		}
		// Other weather, in which it is as dry: the starts are the same, and nothing was searched for.
		second, said := morning(12, []byte(strings.ReplaceAll(string(hours(0)), ",55,2,", ",54,2,")))
		held(said, "(1 stand, 0 looked for anew, 0 worked out)")
		if second.Verdict != work.Sure || !second.Begin.Equal(first.Begin) || !second.Finish.Equal(first.Finish) || second.P < second.Target ||
			second.Runs != 2 {
			t.Errorf("%+v after %+v", second, first)
		}
		// Rain on its first days alone: it falls, and later ones are found.
		wet := string(hours(0))
		for day := range 1 {
			date := first.Begin.AddDate(0, 0, day).Format("2006-01-02")
			wet = strings.ReplaceAll(wet, "\n"+date, "\nwet"+date)
		}
		lines := strings.Split(wet, "\n")
		for i, line := range lines {
			if rest, is := strings.CutPrefix(line, "wet"); is {
				lines[i] = strings.TrimSuffix(rest, ",0") + ",2"
			}
		}
		third, said := morning(13, []byte(strings.Join(lines, "\n")))
		held(said, "(0 stand, 1 looked for anew, 0 worked out)")
		if third.Verdict != work.Sure || !third.Begin.After(second.Begin) {
			t.Errorf("%+v after %+v", third, second)
		}
		// Rain throughout: nothing sure is left, and what stood is as likely as it is.
		fourth, said := morning(14, hours(1))
		held(said, "(0 stand, 1 looked for anew, 0 worked out)")
		if fourth.Verdict != work.NotSure || fourth.P >= 0.1 || fourth.Reason == "" || !fourth.Begin.Equal(third.Begin) {
			t.Errorf("%+v after %+v", fourth, third)
		}
		// Another roof has other work.
		if _, err := o.jobs.Append(t.Context(), job, 1, store.NewState{Mark: store.Mark{ID: "s2", When: time.Now(), Who: "Asha", What: "drawn"},
			Title: "Dormer", Document: roofOf(t, "r01-garage")}); err != nil {
			t.Fatal(err)
		}
		_, said = morning(15, hours(0))
		held(said, "(0 stand, 1 looked for anew, 1 worked out)")
	})
}
