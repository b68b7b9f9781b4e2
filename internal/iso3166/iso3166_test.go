package iso3166

import (
	"slices"
	"strings"
	"testing"
)

func TestEveryCountryOnce(t *testing.T) {
	var codes []string
	for line := range strings.Lines(list) {
		codes = append(codes, line[:2])
		if name, ok := Name(line[:2]); !ok || name == "" || line[2] != ' ' {
			t.Errorf("%q: %q %v", line, name, ok)
		}
	}
	// ISO 3166-1 has 249 officially assigned codes.
	if len(codes) != 249 || !slices.IsSorted(codes) || len(slices.Compact(codes)) != 249 {
		t.Errorf("%d codes", len(codes))
	}
}

func TestPartsAndHabits(t *testing.T) {
	for text, want := range map[string]string{"UK": "GB", "uk": "GB", "UK-ENG": "GB-ENG", " gb-sct ": "GB-SCT", "UKR": "UKR", "us": "US", "UA": "UA"} {
		if got := Tidy(text); got != want {
			t.Errorf("Tidy(%q) = %q, want %q", text, got, want)
		}
	}
	for c, want := range map[string]string{"GB-ENG": "United Kingdom", "US-CA": "United States", "CI": "Côte d'Ivoire", "DE-BY": "Germany"} {
		if got, ok := Name(c); !ok || got != want {
			t.Errorf("Name(%q) = %q, %v", c, got, ok)
		}
	}
	for _, c := range []string{"XX", "England", "", "U", "GB-", "GB-ENGL", "us", "UK"} {
		if name, ok := Name(c); ok {
			t.Errorf("%q is read as %s", c, name)
		}
	}
	if Country("GB-ENG") != "GB" || Country("FR") != "FR" {
		t.Error("a part's country")
	}
}
