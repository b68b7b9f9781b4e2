// Package web serves the page and the jobs to one person on this computer: HTTP on loopback, the page and the engine for
// browsers from within the program, the jobs from a store, plans and papers through desk and document.
//
// One table (routes.go) says what can be asked, with which right (package people), whether it changes anything and how long its
// body may be; what answers is made from it alone; actorOf says who asks. Every answer carries the policy (policy.go): the page
// may load from here and nowhere else, no other page may frame, read or call it, and a name that is not of this computer is
// refused, so that no foreign site can reach it by turning its own name here. What is refused is told as a Problem.
//
// Each row of the API is an operation (operation.go): a handler typed by what is asked and answered. From these types it is read,
// checked, written and described; the description (description.go) is OpenAPI 3.1, served and printed.
package web
