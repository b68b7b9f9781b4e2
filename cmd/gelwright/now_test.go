package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/programme"
)

// hoursFile writes an own CSV of mild days whose hours a test spoils.
func hoursFile(t *testing.T, from time.Time, days int, spoil func(at time.Time, v map[string]float64)) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("time_utc,air_c,rh_pct,wind_ms,cloud_pct,rain_mm\n")
	for h := range 24 * days {
		at := from.Add(time.Duration(h) * time.Hour)
		air := 12 - 4*math.Cos(2*math.Pi*(float64(at.Hour())-3)/24)
		v := map[string]float64{"air": air, "rh": 77 - 1.5*air, "wind": 3, "cloud": 95, "rain": 0}
		if spoil != nil {
			spoil(at, v)
		}
		fmt.Fprintf(&b, "%s,%.1f,%.0f,%.1f,%.0f,%.1f\n", at.Format("2006-01-02T15:04Z"), v["air"], v["rh"], v["wind"], v["cloud"], v["rain"])
	}
	path := filepath.Join(t.TempDir(), "hours.csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// now asks and gives the advice, its text and the exit code.
func now(t *testing.T, csv, at string, args ...string) (programme.Advice, string, int) {
	t.Helper()
	args = append([]string{garage, "--forecast", csv, "--at", at}, args...)
	text, err := say(nowCommand(), args...)
	raw, again := say(nowCommand(), append(args, "--json")...)
	if exitOf(err) != exitOf(again) {
		t.Errorf("exit %v, with --json %v", err, again)
	}
	var a programme.Advice
	if err := json.Unmarshal([]byte(raw), &a); err != nil {
		t.Fatalf("%v in %q (%v)", err, raw, err)
	}
	if a.Verdict == "go" && a.PNow < a.Target {
		t.Errorf("go with %g, %g is wanted", a.PNow, a.Target)
	}
	code := 0
	if err != nil {
		code = exitOf(err)
	}
	return a, text, code
}

// A forecast that breaks a limit all day long is no day to begin, and the answer says so
// with its chance and its reason first.
func TestNowDoesNotBeginBelowTheTarget(t *testing.T) {
	windy := hoursFile(t, may, 2, func(at time.Time, v map[string]float64) { v["wind"] = 11 })
	a, text, code := now(t, windy, "2026-05-12T08:00", "--done", "deck,trims,details=07:00")
	if a.Verdict != "no-go" || code != exitNo || !strings.HasPrefix(text, "Do not begin laminate") || !strings.Contains(text, "wind: 11 m/s") {
		t.Errorf("%s, exit %d:\n%s", a.Verdict, code, text)
	}
	a, text, _ = now(t, windy, "2026-05-12T08:00", "--done", "deck,trims,details=05:00", "--override", "wind: behind a parapet")
	if a.Verdict != "go" || !strings.Contains(text, "overridden: wind") {
		t.Errorf("%s with the limit lifted:\n%s", a.Verdict, text)
	}
}

// The age of what was laid on an earlier day is kept: after 66 h a laminate is abraded
// before it is coated, after one night it is not.
func TestNowKeepsTheAgeOfWork(t *testing.T) {
	friday := time.Date(2027, 3, 26, 0, 0, 0, 0, time.UTC)
	csv := hoursFile(t, friday, 8, nil)
	done := "deck,trims,details=2027-03-26T11:00,laminate=2027-03-26T14:05"
	_, text, _ := now(t, csv, "2027-03-29T08:37", "--done", done)
	if !strings.Contains(text, "abrade all over") || !strings.Contains(text, "67 h old") && !strings.Contains(text, "66 h old") {
		t.Errorf("after the week-end:\n%s", text)
	}
	_, text, _ = now(t, csv, "2027-03-27T08:37", "--done", done)
	if strings.Contains(text, "abrade all over") {
		t.Errorf("after one night:\n%s", text)
	}
	// The same when the forecast begins today, and says what stands for the days before.
	_, text, _ = now(t, hoursFile(t, friday.AddDate(0, 0, 3), 5, nil), "2027-03-29T08:37", "--done", done)
	if !strings.Contains(text, "abrade all over") || !strings.Contains(text, "stands for the days before") {
		t.Errorf("with a forecast of today on:\n%s", text)
	}
}

// Bandage laid hours ago has not closed its window, whatever the sky says of the first
// quarter of an hour.
func TestNowDoesNotCloseAWindowEarly(t *testing.T) {
	damp := hoursFile(t, may, 3, func(at time.Time, v map[string]float64) {
		if at.Hour() < 8 {
			v["rh"] = 86
		}
	})
	for _, at := range []string{"08:15", "08:30", "09:00"} {
		_, text, _ := now(t, damp, "2026-05-12T"+at, "--done", "details=05:30", "--sheeted")
		if strings.Contains(text, "window has closed") {
			t.Errorf("at %s:\n%s", at, text)
		}
	}
}

// A forecast of one day still judges the next stage, and says that it judges no more.
func TestNowJudgesTheNextStageOfAShortForecast(t *testing.T) {
	a, text, code := now(t, hoursFile(t, may, 1, nil), "2026-05-12T10:00", "--done", "laminate=06:30")
	if code != 0 || a.Verdict == "no-go" || a.PAll != 0 || !strings.Contains(text, "only this stretch is judged") {
		t.Errorf("%s, exit %d, %g:\n%s", a.Verdict, code, a.PAll, text)
	}
}

// Work that goes on the next day says the day.
func TestNowNamesTheDayOfTheEnd(t *testing.T) {
	_, text, _ := now(t, hoursFile(t, may, 8, nil), "2026-05-12T15:37", "--done", "deck=15:30")
	if !strings.HasPrefix(text, "Begin trims now; done by Wed ") {
		t.Errorf("got:\n%s", text)
	}
}

// Stages are known by the words that are printed and by those of the trade; an order that
// cannot be is refused.
func TestNowUnderstandsItsOwnWords(t *testing.T) {
	csv := hoursFile(t, may, 8, nil)
	for _, words := range []string{"laminate", "laminate, parts 1 to 3 of 3", "laminate, part 3 of 3", "Laminate part 3", "main.mat1", "mat"} {
		a, text, _ := now(t, csv, "2026-05-12T10:00", "--done", "trims,"+words+"=07:30")
		if a.Stage < 0 || !strings.Contains(a.Act, "top coat") {
			t.Errorf("%q:\n%s", words, text)
		}
	}
	for _, words := range []string{"topcoat", "top coat", "top-coat", "coat"} {
		if a, _, _ := now(t, csv, "2026-05-13T10:00", "--done", words+"=2026-05-12T15:00Z"); !strings.Contains(a.Act, "clean-up") {
			t.Errorf("%q: %s", words, a.Act)
		}
	}
	for text, want := range map[string]string{
		"strip=14:05,deck=13:00":        "before strip at",
		"laminate=11:00,top coat=09:00": "before laminate at",
		"thatch":                        "bandage and details; laminate (parts 1 to",
	} {
		_, err := say(nowCommand(), garage, "--forecast", csv, "--at", "2026-05-12T15:00", "--done", text)
		if err == nil || exitOf(err) != exitUsage || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	if _, err := say(nowCommand(), garage, "--forecast", csv, "--at", "10:30"); err == nil || !strings.Contains(err.Error(), "has no day") {
		t.Errorf("a time without its day: %v", err)
	}
}

// Rain on bare boards is not forgotten when it stops: nothing is laminated until they are
// dry, unless they lay under sheets.
func TestNowRemembersRainOnBareBoards(t *testing.T) {
	wet := hoursFile(t, may, 8, func(at time.Time, v map[string]float64) {
		if at.Sub(may) < 33*time.Hour {
			v["rain"], v["rh"] = 2, 92
		}
	})
	for _, at := range []string{"2026-05-13T10:15", "2026-05-13T12:00"} {
		a, text, code := now(t, wet, at, "--done", "deck=2026-05-11T16:00")
		if a.Verdict == "go" || code == 0 && a.Verdict != "wait" || !strings.Contains(text, "moisture of the boards") {
			t.Errorf("at %s %s:\n%s", at, a.Verdict, text)
		}
	}
	if a, text, _ := now(t, wet, "2026-05-13T12:00", "--done", "deck=2026-05-11T16:00", "--sheeted"); a.Verdict != "go" ||
		!strings.Contains(text, "sheeted whenever nobody works") {
		t.Errorf("under sheets %s:\n%s", a.Verdict, text)
	}
}

// A film that is hard by the afternoon is not stopped by a frost of the night.
func TestFrostEndsWithTheFilm(t *testing.T) {
	clear := hoursFile(t, may, 4, func(at time.Time, v map[string]float64) {
		if h := at.Hour(); h >= 22 || h < 5 {
			v["air"], v["rh"] = -1, 70
		}
	})
	a, text, _ := now(t, clear, "2026-05-12T10:45", "--done", "details=08:30")
	if a.Verdict != "go" {
		t.Errorf("%s:\n%s", a.Verdict, text)
	}
}

// What a forecast does not tell is not the harmless value: without rain it is refused, with
// numbers in another unit too.
func TestForecastsThatTellTooLittleAreRefused(t *testing.T) {
	good, err := os.ReadFile(hoursFile(t, may, 3, nil))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for want, change := range map[string]func(row []string){
		"nothing of rain": func(row []string) { row[5] = "" },
		"fraction":        func(row []string) { row[2] = "0.65" },
		"Fahrenheit":      func(row []string) { row[1] = "54" },
		"km/h":            func(row []string) { row[3] = "20" },
	} {
		lines := strings.Split(strings.TrimSpace(string(good)), "\n")
		for i := range lines[1:] {
			row := strings.Split(lines[i+1], ",")
			change(row)
			lines[i+1] = strings.Join(row, ",")
		}
		path := filepath.Join(dir, "spoilt.csv")
		if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		_, err := say(whenCommand(), garage, "--forecast", path)
		if err == nil || exitOf(err) != exitFaults || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// Earlier forecasts and readings on site correct the next forecast, and it says by how much.
func TestEarlierForecastsAndReadings(t *testing.T) {
	csv := hoursFile(t, may, 8, nil)
	before := may.AddDate(0, 0, -6)
	warm := hoursFile(t, before, 6, func(at time.Time, v map[string]float64) { v["air"] += 2 })
	read := hoursFile(t, before, 6, nil)
	_, text, _ := now(t, csv, "2026-05-12T10:00", "--done", "details=07:00", "--earlier", warm, "--readings", read)
	if !strings.Contains(text, "corrected by 144 hours") || !strings.Contains(text, "the air came -2.0 K") {
		t.Errorf("got:\n%s", text)
	}
	if _, err := say(nowCommand(), garage, "--forecast", csv, "--at", "2026-05-12T10:00", "--readings", read); err == nil || exitOf(err) != exitUsage {
		t.Errorf("readings alone: %v", err)
	}
}

// The oldest part of a laminate rules, and the hour at which the first of the field goes over it:
// after the sanding and the edges. What was told as one piece began a stretch a part before its end.
func TestNowKnowsTheOldestPart(t *testing.T) {
	friday := time.Date(2027, 6, 25, 0, 0, 0, 0, time.UTC)
	csv := hoursFile(t, friday, 4, func(at time.Time, v map[string]float64) { v["air"] += 3; v["rh"] = 45 })
	done := "deck,trims,details=2027-06-25T07:00,laminate=2027-06-25T10:00"
	const abrade = "First: abrade mat layer 1 all over"
	// Laid from 08:30 on; the field comes about an hour after the start.
	for at, want := range map[string]bool{"2027-06-25T15:30": false, "2027-06-26T08:15": false, "2027-06-26T09:15": true} {
		if _, text, _ := now(t, csv, at, "--done", done, "--target", "0.8"); strings.Contains(text, abrade) != want {
			t.Errorf("at %s, abraded first: %v, want %v:\n%s", at, !want, want, text)
		}
	}
}

// A roof that is not begun is refused in whole sentences, and once: the exit code is the answer, standard error adds nothing.
func TestNowRefusesOnceInWords(t *testing.T) {
	args := []string{"now", garage, "--forecast", filepath.Join("..", "..", "examples", "forecast.csv"), "--at", "2026-05-12T08:00"}
	code, out, errs := call(t, "", args...)
	if code != exitNo || errs != "" || !strings.HasPrefix(out, "Do not begin strip") {
		t.Errorf("exit %d, standard error %q:\n%s", code, errs, out)
	}
	for _, want := range []string{"the roof it opens may not be closed again in time\n", "\n  chance 9", " % to where it may be left; all the rest of the roof with ",
		"it closes evening hours"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	for _, line := range strings.Split(out, "\n") {
		if l := strings.TrimSpace(line); l != "" && l[0] >= '0' && l[0] <= '9' {
			t.Errorf("a line begins with a bare figure: %q", l)
		}
	}
	if code, out, errs = call(t, "", append(args, "--json")...); code != exitNo || !strings.Contains(errs, "Do not begin strip") || !strings.HasPrefix(out, "{") {
		t.Errorf("with --json: exit %d, %q, %.40q", code, errs, out)
	}
}
