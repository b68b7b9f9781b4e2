// Package form reads, writes and describes the YAML files that people write. A
// file's shape is declared once, as a table of fields; that table is the reader,
// the writer and the JSON Schema, so the three cannot drift apart.
//
// The reader collects every fault with its line, its column, the piece by its
// writer's name and the remedy, and goes on; it never stops at the first. It
// accepts plain data only: no anchors, aliases, tags or second documents, and it
// refuses a file that is too large or too deep before it is parsed.
package form
