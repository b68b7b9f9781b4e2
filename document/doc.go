// Package document turns a plan into what people print and send: the job pack as
// PDF, the lists as CSV, the drawings in every format, the whole plan as JSON.
//
// It decides nothing: every figure comes from the plan, and bears the number of its
// working in workings.pdf. Dates come from the job; the same plan gives the same
// bytes.
package document
