// Package firmfile reads the firm's own file: what a firm knows better than any
// catalogue. Crew productivity, prices of packs, gel points of its resin's data
// sheet, the density of its catalyst, the lengths and widths it can buy, offcuts in
// hand, waste rates and the address of its forecast provider. Every field may be
// left out.
//
// The file is YAML with a published JSON Schema; faults name line, column, piece and
// remedy as those of the roof file do. Over lays the firm's materials over a
// catalogue, Fill puts its crew and waste rates where a roof file was silent.
package firmfile
