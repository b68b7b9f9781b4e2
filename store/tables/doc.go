// Package tables keeps jobs in the tables of an SQL database, whichever: its SQL is written once, with ? for what is given, in
// what SQLite and PostgreSQL both take. How a change takes its lock, what an error means and where bytes of files lie is told to
// New by who opens the database (store/sqlite, store/postgres). What a method does is said by store.Store.
//
// To add a table: a migration of the next number in store/sqlite/migrations and one of the same name in
// store/postgres/migrations, its hash in the test beside each, its row in carried (carry.go), so that
// backups have it, and methods of DB in a file here.
package tables
