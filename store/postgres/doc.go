// Package postgres keeps jobs in a PostgreSQL database, for several programs on several machines at once.
//
// A change holds the rows of the jobs that it changes until its end, so that changes of different jobs do not wait for each other; one
// that another comes in the way of is undone and tried again. It is written through to the server's disk (synchronous_commit on)
// before it is answered. The database is brought up by numbered steps in migrations/, of the same numbers and names as those of
// store/sqlite, under one advisory lock. What a method does is said by store.Store.
package postgres
