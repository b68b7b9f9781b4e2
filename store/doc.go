// Package store says what is kept of a job and how it is asked for: a chain of states, each the page's whole document of the
// roof with who, when and what; files and photos; alternatives of one survey; a job as one file, out and in.
//
// A store takes documents as opaque JSON and times from its caller: it knows no roof and reads no clock. Nothing in it is
// deleted or changed: a state follows a state, an earlier one comes back as a new one, a job is retired and not removed. What
// it has answered as done is there after the process is killed and the power is cut.
//
// This package holds the words and the laws; store/tables keeps jobs in SQL, store/sqlite in a folder, store/postgres on a server;
// store/storetest holds any implementation to the laws. What a store refuses is an *Error with place, finding and remedy.
package store
