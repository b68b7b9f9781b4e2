// Package desk is what the program can be asked: plan, checks, hardening, when, now, dose,
// learn, cut. It takes values (a job, a firm, learned gels, a forecast, a question) and
// gives values; the command line, a server and a page in a browser call the same functions.
//
// It knows how a question is put together from what was given, and nothing of flags,
// files, text on a screen, clocks or exit codes. An error is an Error with its kind: what
// was asked is wrong, what was given has faults, or the answer is no. Units are in the
// names; dates and times are the roof's own, in its time zone.
package desk
