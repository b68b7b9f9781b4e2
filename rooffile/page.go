package rooffile

import (
	"fmt"
	"strconv"
	"strings"

	"gelwright/internal/form"
)

// leastRoof is about the shortest roof file; what the reader takes by default for it is what
// the page tells.
const leastRoof = `version: 1
name: Garage at Lower Mill
date: "2026-05-11"
deck:
  outline: [[0, 0], [3.2, 0], [3.2, 5.6], [0, 5.6]]
  edges: [kerb, kerb, drip, kerb]
  fall: {towards: north, ratio: 40}
`

const pageIntro = `<!-- written by 'gelwright schema --page roof'; do not edit -->

A roof file is YAML. Plan dimensions are metres, thicknesses, heights and laps millimetres, mat g/m², resin kg,
temperatures °C; a length or a temperature may also be written with its unit (` + "`150 mm`, `8 ft 6 in`" + `). Corners go
anticlockwise from any corner; edge n runs from corner n to the next. What the file leaves out is taken as the
column *when left out* says, here for the short file below, and every default taken is listed in the plan.

` + "```yaml\n" + leastRoof + "```\n"

// Page is the roof file as a page for people, in Markdown, made of the tables that read it.
func Page() (string, error) {
	job, _, err := Read("roof.yaml", []byte(leastRoof))
	if err != nil {
		return "", fmt.Errorf("the page's own roof file: %w", err)
	}
	defaults := map[string]string{}
	for _, d := range job.Defaults {
		path := anyOf(d.Field)
		if _, twice := defaults[path]; !twice {
			defaults[path] = "`" + d.Value + "`: " + d.Why
		}
	}
	return form.Page("The roof file", pageIntro, schema(), defaults), nil
}

// anyOf is a field's path without the places in lists: "decks[].edges[]".
func anyOf(path string) string {
	var out strings.Builder
	for rest := path; rest != ""; {
		before, after, in := strings.Cut(rest, "[")
		out.WriteString(before)
		place, behind, _ := strings.Cut(after, "]")
		rest = behind
		if _, err := strconv.Atoi(place); in && err == nil {
			place = ""
		}
		if in {
			out.WriteString("[" + place + "]")
		}
	}
	return out.String()
}
