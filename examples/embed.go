// Package examples holds the example roofs, firm, forecast and gels as they stand in this folder, for programs that show them.
package examples

import "embed"

// Files are the files of this folder, by name.
//
//go:embed *.yaml *.csv
var Files embed.FS
