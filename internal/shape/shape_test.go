package shape

import (
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "gelwright/internal/steady" // one seed everywhere
)

// Patterns as files here are held to, and some that try the rest.
var patterns = []string{`^[A-Z]{2}(-[A-Z0-9]{1,3})?$`, `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`, `^([01][0-9]|2[0-3]):[0-5][0-9]$`,
	`^(UTC|[A-Za-z_]+(/[A-Za-z0-9_+-]+)+)$`, `^[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?$`, `^https://[^\s]+$`, `^[A-Z]{3}$`,
	`^\s*([0-9]+(?:\.[0-9]+)?)\s*(?:min|minutes)?\s*(?:@|at)\s*(-?[0-9]+(?:\.[0-9]+)?)\s*°?\s*C?\s*,\s*([0-9]+(?:\.[0-9]+)?)\s*%?\s*$`,
	`^\s*[-+]?[0-9.,]+\s*[^0-9\s]*$`, `^$`, `^a?b*c+$`, `^(a|ab)(c|bcd)(d*)$`, `^(a*)*b$`, `^(a?){1,3}$`, `^(|a)b$`, `^\(\\\)$`, `^((ab){2}|c){1,2}$`}

// A shape is what package regexp, which it stands for, takes it to be.
func TestShapesAreThoseOfRegexp(t *testing.T) {
	for _, p := range patterns {
		own, theirs := Must(p), regexp.MustCompile(p)
		rapid.Check(t, func(t *rapid.T) {
			text := rapid.StringMatching(p).Draw(t, "text")
			for range rapid.IntRange(0, 2).Draw(t, "slips") {
				at := rapid.IntRange(0, len(text)).Draw(t, "at")
				slip := rapid.SampledFrom([]string{"", " ", "a", "b", "Z", "9", "-", ":", ".", "/", "°", "\n", "\v", "\xff", "UTC"}).Draw(t, "slip")
				cut := rapid.IntRange(at, min(at+2, len(text))).Draw(t, "cut")
				text = text[:at] + slip + text[cut:]
			}
			if got, want := own.Has(text), theirs.MatchString(text); got != want {
				t.Fatalf("%s has %q: %v, want %v", p, text, got, want)
			}
		})
	}
}

// A text is gone through once: many blanks are no burden.
func TestLongTextIsGoneThroughOnce(t *testing.T) {
	if Must(patterns[7]).Has(strings.Repeat(" ", 1<<18)+"1"+strings.Repeat(" ", 1<<18)) || Must(`^(a*)*b$`).Has(strings.Repeat("a", 1<<18)) {
		t.Error("it is taken")
	}
}

func TestUnknownPatternIsRefused(t *testing.T) {
	for _, p := range []string{`a`, `^a`, `a$`, `^.$`, `^a{,2}$`, `^a{0}$`, `^\d$`, `^(a$`, `^a)$`, `^[a$`, `^+$`, `^a^$`, `^a{2$`, `^\S$`} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s is taken", p)
				}
			}()
			Must(p)
		}()
	}
}
