// Package check is what every design check answers with: a verdict, how much of
// the capacity is used, the working, the clause, and what would make it pass.
//
// The checks themselves are sub-packages, one for each question: wind, snow,
// deck, drainage, thermal, moisture, movement, exposure, detailing. Each takes
// plain inputs and knows nothing of files or documents.
package check

import "gelwright/working"

// Verdict is the outcome in one word.
type Verdict string

const (
	// Pass: the demand is within the limit.
	Pass Verdict = "pass"
	// Fail: it is not; Remedies say what would mend it.
	Fail Verdict = "fail"
	// Ask: it cannot be answered from what is known; Finding is the question.
	Ask Verdict = "ask"
	// Caution: within the limit, but a person should look.
	Caution Verdict = "caution"
	// NotApplicable: the question does not arise on this roof.
	NotApplicable Verdict = "does not apply"
)

// Remedy is a change that makes a failed check pass.
type Remedy struct {
	// Text is the act in plain words: "raise the upstand to 150 mm".
	Text string `json:"text"`
	// Field is the roof file's field to change, "decks[main].edges[2].height_mm",
	// empty when the remedy is not a change of the file.
	Field string `json:"field,omitempty"`
	// Value is what to set Field to.
	Value string `json:"value,omitempty"`
}

// Result is the answer of one check.
type Result struct {
	// Key names the check for good: "wind.uplift", "drainage.outlet".
	Key string `json:"key"`
	// Title in a roofer's words: "Will the boards stay on in a gale?"
	Title string `json:"title"`
	// Where on the roof: a deck, a zone, an edge; empty for the whole job.
	Where   string  `json:"where,omitempty"`
	Verdict Verdict `json:"verdict"`
	// Utilisation is demand over capacity; 0 where it has no meaning.
	Utilisation float64 `json:"utilisation,omitempty"`
	// Finding is the outcome, or the question, in one sentence with its figures.
	Finding string `json:"finding"`
	// Working holds the figures that led here, the deciding one first.
	Working []*working.Figure `json:"-"`
	Clause  working.Source    `json:"clause"`
	// Remedies, best first; at least one where the verdict is Fail.
	Remedies []Remedy `json:"remedies,omitempty"`
	// CallFor names whom to call, and when: "a structural engineer: …".
	CallFor string `json:"call_for,omitempty"`
	// Flags are cautions on the inputs: values from memory, a missing national
	// value, recommended values used in place of a national set.
	Flags []string `json:"flags,omitempty"`
}
