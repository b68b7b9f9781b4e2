package document_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"gelwright/internal/examples"
)

// peakWords finds what papers say of how warm a mix or a film gets: of what is left standing, of
// the workings' peak, of the table of hardening, of the sheet of a film.
var peakWords = regexp.MustCompile(`alight: about \d+ ?°C after \d+ min|hot to touch: about \d+ ?°C|peak temperature of a mix[^=]{0,60}= [\d.]+|` +
	`\d kg: \d+ ?°C|\d kg: \d+–\d+ ?°C|as warm as \d+ ?°C`)

// rangeWords is a range beside it.
var rangeWords = regexp.MustCompile(`\d+(\.\d+)? ?(to|–) ?\d+`)

// A peak is never told without its range: in no paper, and in no object of the stored plan.
func TestNoPeakWithoutItsRange(t *testing.T) {
	names := []string{"r01-garage", "r08-winter", "r09-summer"}
	said, kept := 0, 0
	for _, name := range names {
		x := printed(t, given(exampleJob(t, name)), "", "")
		for paper, pages := range x.text {
			text := strings.Join(strings.Fields(strings.Join(pages, " ")), " ")
			for _, at := range peakWords.FindAllStringIndex(text, -1) {
				said++
				// The workings stand in two columns, which are read across.
				within := 30
				if strings.HasPrefix(text[at[0]:], "peak temperature") {
					within = 200
				}
				if near := text[at[0]:min(len(text), at[1]+within)]; !rangeWords.MatchString(near) {
					t.Errorf("%s, %s: a peak without its range: …%s…", name, paper, near)
				}
			}
		}
		raw, err := json.Marshal(examples.Plan(t, name))
		if err != nil {
			t.Fatal(err)
		}
		var all any
		if err := json.Unmarshal(raw, &all); err != nil {
			t.Fatal(err)
		}
		kept += holdPeaks(t, name, all)
	}
	if kept < 6 || said < 3 && printed(t, given(exampleJob(t, names[0])), "", "").text["site.pdf"] != nil {
		t.Errorf("only %d peaks are told and %d kept: this test sees none", said, kept)
	}
}

// holdPeaks walks a stored plan and counts its peaks.
func holdPeaks(t *testing.T, at string, v any) int {
	t.Helper()
	n := 0
	switch v := v.(type) {
	case map[string]any:
		if peak, ok := v["peak_c"].(float64); ok {
			n++
			low, has := v["peak_low_c"].(float64)
			high, too := v["peak_high_c"].(float64)
			if !has || !too || !(low < peak && peak < high) {
				t.Errorf("%s: a peak of %.0f °C with %v to %v", at, peak, v["peak_low_c"], v["peak_high_c"])
			}
		}
		for k, x := range v {
			n += holdPeaks(t, at+"."+k, x)
		}
	case []any:
		for _, x := range v {
			n += holdPeaks(t, at, x)
		}
	}
	return n
}
