package detailing

import (
	"testing"

	"gelwright/internal/published"
)

// Work at Height Regulations 2005, schedule 2: a top rail at least 950 mm up, no gap over 470 mm.
func TestGuardRailsOfTheRegulations(t *testing.T) {
	published.Hold(t, []published.Row{
		{Clause: "Work at Height Regulations 2005, schedule 2, paragraph 3", Place: "guardRailMM", Got: guardRailMM, Want: 950},
		{Clause: "Work at Height Regulations 2005, schedule 2, paragraph 3", Place: "railGapMM", Got: railGapMM, Want: 470},
	})
}
