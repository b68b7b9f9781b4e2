// Package record keeps what happened on a roof: events that are only ever added, each made on a device with an id of its own, chained by
// hashes so that a later change shows, and joined from any number of devices in any order to the same state. What an outsider needs to
// check one stands in docs/record.md; nothing here reads a clock or a file.
package record
