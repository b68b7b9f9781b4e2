// Package html writes what a paper says as one page that any browser reads: headings,
// lists, tables and drawings by their meaning, readable on a phone, on paper, in light and
// dark, without a script and with nothing fetched from elsewhere.
package html
