// Package detailing is the checklist of rules that no calculation answers: upstand
// heights, thresholds, distances between penetrations, saddles, guards, fire class,
// access. Each is a rule with its source; what the survey already answers is
// answered, the rest is asked.
//
// It takes the survey as package roof holds it, and the country's set.
package detailing
