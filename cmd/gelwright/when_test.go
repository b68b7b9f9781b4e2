package main

import (
	"bytes"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
)

// fineWeather writes an own CSV of hours: dry, mild days from a date on, in UTC.
func fineWeather(t *testing.T, from time.Time, days int, rain func(time.Time) float64) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("time_utc,temp_C,rhum_pct,wind_ms,cloud_pct,rain_mm\n")
	for h := range 24 * days {
		at := from.Add(time.Duration(h) * time.Hour)
		air := 15 - 4*math.Cos(2*math.Pi*(float64(at.Hour())-3)/24)
		fmt.Fprintf(&b, "%s,%.1f,%.0f,2,95,%.1f\n", at.Format("2006-01-02T15:04Z"), air, 70-air, rain(at))
	}
	path := filepath.Join(t.TempDir(), "hours.csv")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func dry(time.Time) float64 { return 0 }

// say runs one command.
func say(cmd *cobra.Command, args ...string) (string, error) {
	var out, errs bytes.Buffer
	cmd.SetArgs(args)
	cmd.SetOut(&out)
	cmd.SetErr(&errs)
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	err := cmd.Execute()
	return out.String(), err
}

const garage = "../../examples/r01-garage.yaml"

var may = time.Date(2026, 5, 12, 0, 0, 0, 0, time.UTC)

func TestWhenInFineWeather(t *testing.T) {
	csv := fineWeather(t, may, 8, dry)
	dir := t.TempDir()
	ics := filepath.Join(dir, "a.ics")
	out, err := say(whenCommand(), garage, "--forecast", csv, "--ics", ics, "--out", dir)
	if err != nil {
		t.Fatal(err, out)
	}
	if !strings.Contains(out, "every stage holds") || !strings.Contains(out, "top coat") {
		t.Errorf("got:\n%s", out)
	}
	first, err := os.ReadFile(ics)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"BEGIN:VCALENDAR", "DTSTAMP:20260512T000000Z", "laminate"} {
		if !bytes.Contains(first, []byte(want)) {
			t.Errorf("the calendar lacks %s", want)
		}
	}
	if _, err := say(whenCommand(), garage, "--forecast", csv, "--ics", ics); err != nil {
		t.Fatal(err)
	}
	if second, _ := os.ReadFile(ics); !bytes.Equal(first, second) {
		t.Error("the same plan gives another calendar")
	}
	for _, name := range []string{"fortnight.pdf", "wet-day-1.svg", "wet-day-1-phone.png", "wet-days.html"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() < 1000 {
			t.Errorf("%s: %v", name, err)
		}
	}
	text, err := say(whenCommand(), garage, "--forecast", csv, "--json")
	if err != nil {
		t.Fatal(err)
	}
	var answer struct {
		Sure struct {
			P     float64 `json:"p"`
			Slots []any   `json:"slots"`
		} `json:"sure"`
		Bound float64 `json:"bound"`
	}
	if err := json.Unmarshal([]byte(text), &answer); err != nil || answer.Sure.P < 0.9 || len(answer.Sure.Slots) < 5 || answer.Bound < answer.Sure.P {
		t.Errorf("%v, %+v", err, answer)
	}
}

func TestWhenItRains(t *testing.T) {
	csv := fineWeather(t, may, 6, func(time.Time) float64 { return 1 })
	out, err := say(whenCommand(), garage, "--forecast", csv)
	if err == nil || exitOf(err) != exitNo || !strings.Contains(out, "rain") {
		t.Errorf("%v\n%s", err, out)
	}
}

func TestWhenFaults(t *testing.T) {
	csv := fineWeather(t, may, 3, dry)
	for name, c := range map[string]struct {
		args []string
		code int
	}{
		"no weather":       {[]string{garage}, exitUsage},
		"no such forecast": {[]string{garage, "--forecast", filepath.Join(t.TempDir(), "none.csv")}, exitFaults},
		"no such roof":     {[]string{"none.yaml", "--forecast", csv}, exitFaults},
		"bad date":         {[]string{garage, "--forecast", csv, "--from", "tomorrow"}, exitUsage},
		"fetch, no firm":   {[]string{garage, "--fetch"}, exitUsage},
		"no reason":        {[]string{garage, "--forecast", csv, "--override", "wind"}, exitUsage},
		"no such limit":    {[]string{garage, "--forecast", csv, "--override", "mood: fine"}, exitUsage},
		"no such day":      {[]string{garage, "--forecast", csv, "--rest", "someday"}, exitUsage},
	} {
		_, err := say(whenCommand(), c.args...)
		if err == nil || exitOf(err) != c.code {
			t.Errorf("%s: %v, want exit code %d", name, err, c.code)
		}
	}
}

func TestNow(t *testing.T) {
	csv := fineWeather(t, may, 8, dry)
	out, err := say(nowCommand(), garage, "--forecast", csv, "--at", "2026-05-13T09:00", "--done", "details=07:30", "--cup", "29 min at 15 C, 2 %")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(out, "Begin laminate") || !strings.Contains(out, "because:") {
		t.Errorf("got:\n%s", out)
	}
	// The coat waits for the laminate, and for a deck on which its bucket is laid in time.
	out, err = say(nowCommand(), garage, "--forecast", csv, "--at", "2026-05-13T10:00", "--done", "laminate=09:55")
	if err == nil || exitOf(err) != exitNo {
		t.Error(err)
	}
	if strings.HasPrefix(out, "Begin") {
		t.Errorf("coats a laminate of five minutes:\n%s", out)
	}
	if _, err := say(nowCommand(), garage, "--forecast", csv); err == nil {
		t.Error("no time was taken for now")
	}
	if _, err := say(nowCommand(), garage, "--forecast", csv, "--at", "2026-05-13T10:00", "--done", "thatch"); err == nil || !strings.Contains(err.Error(), "thatch") {
		t.Errorf("an unknown stage: %v", err)
	}
}

func TestWhenFromNormsSaysSo(t *testing.T) {
	out, err := say(whenCommand(), garage, "--norms")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out, "There is no forecast") || strings.Contains(out, "A crew that waits") {
		t.Errorf("got:\n%s", out)
	}
}

// The hot day of the examples by its own hours: 2.6 h from 06:00, 31 of 43 m², three people.
func TestWhenByTheFilesOwnHours(t *testing.T) {
	out, err := say(whenCommand(), "../../examples/r09-summer.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Laminate from 06:00 to 08:3", "2 people lay 31 of 43 m²", "Take 3 people"} {
		if !strings.Contains(out, want) {
			t.Errorf("no %q in\n%s", want, out)
		}
	}
	out, err = say(whenCommand(), "../../examples/r08-winter.yaml")
	if err != nil || !strings.Contains(out, "not on this day, for frost ahead") {
		t.Errorf("%v\n%s", err, out)
	}
	out, err = say(whenCommand(), "../../examples/r08-winter.yaml", "--override", "frost ahead: winter grade, tented")
	if err != nil || !strings.Contains(out, "Laminate from 10:00 to 12:30") || !strings.Contains(out, "Overridden: frost ahead, because: winter grade, tented") {
		t.Errorf("%v\n%s", err, out)
	}
}

// Asked of a service over the network: a MET Norway answer served here.
func TestWhenFetches(t *testing.T) {
	answer, err := os.ReadFile("../../weather/forecast/testdata/metno_london_2020-07-20.json")
	if err != nil {
		t.Fatal(err)
	}
	asked := ""
	server := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked = r.URL.RawQuery
		w.Header().Set("Content-Type", "application/json")
		_, _ = w.Write(answer)
	}))
	defer server.Close()
	// The server's own certificate is the one that this process trusts.
	trusted := filepath.Join(t.TempDir(), "trusted.pem")
	block := pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: server.Certificate().Raw})
	if err := os.WriteFile(trusted, block, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("SSL_CERT_FILE", trusted)
	firm := filepath.Join(t.TempDir(), "firm.yaml")
	text := "version: 1\nname: Invented\nforecast: {address: \"" + server.URL + "/?lat={lat}&lon={lon}\", contact: office@invented.example}\n"
	if err := os.WriteFile(firm, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := say(whenCommand(), garage, "--fetch", "--firm", firm, "--days", "5"); exitOf(err) != exitFaults ||
		!strings.Contains(err.Error(), "--from 2020-07-20") {
		t.Errorf("a forecast without the job's date: %v", err)
	}
	out, err := say(whenCommand(), garage, "--fetch", "--firm", firm, "--days", "5", "--from", "2020-07-20")
	if err != nil && exitOf(err) != exitNo {
		t.Fatal(err)
	}
	if !strings.Contains(asked, "lat=") || !strings.Contains(out, "Mon 20 Jul") {
		t.Errorf("asked %q, got:\n%s", asked, out)
	}
}
