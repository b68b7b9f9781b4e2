// Package backup writes all that a store keeps as one file, whichever database it is in, and fills an empty store from it.
//
// The file is a zip: tables/NAME.jsonl has a table's rows in the order of its key, a line of JSON each (numbers, texts, bytes as
// base64); files/HASH has bytes under their SHA-256; backup.json, the last, has the version, the columns, and length and SHA-256 of
// every entry. It is written and read row by row and file by file. The same content gives the same bytes, from SQLite as from
// PostgreSQL. A backup is as it was at one moment, while others go on changing; it is not encrypted.
package backup
