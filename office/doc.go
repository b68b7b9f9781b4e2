// Package office knows how a firm runs its jobs: where each stands on the trade's way from enquiry to aftercare and what it waits
// for, who the customers are and where the roofs, which crew stands on which roof on which day, and by which words any of it is
// found again. It holds laws and the interface of whoever keeps the sheets; it reads no clock, no file and no database.
//
// Dates are days of the calendar, "2026-06-03", without a time zone: a crew's Wednesday. Every sheet has a version; a change
// names the one that it was made from, so that of two people at one sheet the second is told and nothing is written over.
package office
