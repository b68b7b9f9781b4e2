// Command wasm offers the desk to JavaScript: a page, a phone, node. Built for js/wasm it
// sets two global functions and waits to be called:
//
//	gelwrightAsk(kind, question, stop, progress) → {answer} or {refusal}
//
// is the page's: question, answer and refusal are JSON texts of the types of package margin, stop
// an Int32Array as below, progress is told each step of a plan. What was planned last is kept for
// questions about it.
//
//	gelwrightPlan(ask, progress) → answer
//
//	ask.roof      text of the roof file; ask.name is the name that faults and sources bear
//	ask.firm      text of the firm file (may be missing)
//	ask.temp      temperature of deck and resin, °C (may be missing)
//	ask.forecast  text of a forecast: the hours of the day ask.from, or of the job's date
//	ask.stop      an Int32Array over shared memory; a plan under way ends when its first
//	              number is no longer 0 (may be missing)
//	progress      is told each step as it begins; false from it ends the plan
//
//	answer.plan      the plan as JSON, the bytes that 'gelwright plan --json' prints
//	answer.warnings  what the files' readers warn of, a list of texts
//	answer.error     why there is no plan; answer.kind is "asked", "faulty", "no" or "stopped"
//
// What the steps of one plan gave is kept for the next, so that a change runs only what
// follows from it. A call runs to its end: a page calls it in a worker of its own.
package main
