package detailing

import (
	"fmt"
	"strconv"
	"strings"

	"gelwright/check"
)

// grouped joins results of one deck that say the same of several openings or pipes:
// twelve equal rooflights are one line. What is to be changed in the file stays by
// itself.
func grouped(list []check.Result) []check.Result {
	type alike struct{ key, deck, verdict, finding, remedies string }
	at := map[alike]int{}
	names := map[int][]string{}
	var out []check.Result
	for _, r := range list {
		deck, name, found := strings.Cut(r.Where, ", ")
		var remedies []string
		fixed := false
		for _, m := range r.Remedies {
			remedies = append(remedies, m.Text)
			fixed = fixed || m.Field != ""
		}
		if !found || fixed || r.Key != "detailing.saddle" && r.Key != "detailing.kerb" {
			out = append(out, r)
			continue
		}
		k := alike{r.Key, deck, string(r.Verdict), r.Finding, strings.Join(remedies, "\n")}
		i, seen := at[k]
		if !seen {
			at[k], names[len(out)] = len(out), []string{name}
			out = append(out, r)
			continue
		}
		names[i] = append(names[i], name)
		if r.Utilisation > out[i].Utilisation {
			out[i].Utilisation, out[i].Working = r.Utilisation, r.Working
		}
	}
	for i, of := range names {
		if len(of) > 1 {
			deck, _, _ := strings.Cut(out[i].Where, ", ")
			out[i].Where = deck + ", " + spread(of)
			out[i].Finding = fmt.Sprintf("%d openings alike: %s", len(of), out[i].Finding)
		}
	}
	return out
}

// spread names a run of numbers by its ends, RL01–RL12, and others one by one.
func spread(names []string) string {
	run := len(names) > 2
	for i := 1; i < len(names) && run; i++ {
		a, m := numbered(names[i-1])
		b, n := numbered(names[i])
		run = a == b && m >= 0 && n == m+1
	}
	if run {
		return names[0] + "–" + names[len(names)-1]
	}
	return strings.Join(names, ", ")
}

// numbered parts a name into its stem and its number; −1 for none.
func numbered(name string) (string, int) {
	stem := strings.TrimRight(name, "0123456789")
	n, err := strconv.Atoi(name[len(stem):])
	if err != nil {
		return name, -1
	}
	return stem, n
}
