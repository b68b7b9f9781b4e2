// Package work is what is done behind the page: papers of a job as one file, forecasts fetched, jobs planned again under them, the
// round of the morning, reminders.
//
// The queue is River's (github.com/riverqueue/river), in the database in which the jobs are: what is ordered stands in the same
// change as what causes it. Beside it stands a row of ours (Work), which a person reads: what it is, how far it is, what came of it.
// Of work that is not ended there is one of a key, so nothing is ordered twice; what a piece of work keeps and its end are one
// change, which only its holder may make, so nothing is done twice though a worker died in the middle and another did it anew. A
// worker says every few seconds that it lives; what one held that says so no more is given back.
package work
