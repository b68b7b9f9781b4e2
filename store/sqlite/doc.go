// Package sqlite keeps jobs in a folder: gelwright.db, an SQLite database, and beside it files/ with photos and other files under
// the SHA-256 of their bytes.
//
// A change is written through to the disk (WAL, synchronous=FULL) before it is answered. Every writing transaction takes the one
// write lock when it begins, files included, so that several processes may work in one folder; the folder must lie on a disk of
// this computer, since SQLite's WAL does not work over a network. A document is kept once however many states have it, packed
// with raw deflate (RFC 1951) and held against its SHA-256 whenever it is read.
//
// The database is brought up by numbered steps in migrations/, forward only; before each time a copy is made,
// gelwright-before-N.db. What a method does is said by store.Store.
package sqlite
