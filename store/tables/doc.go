// Package tables keeps jobs in the tables of an SQL database, whichever: its SQL is written once, with ? for what is given, in
// what SQLite and PostgreSQL both take. How a change takes its lock, what an error means and where bytes of files lie is told to
// New by who opens the database. What a method does is said by store.Store.
package tables
