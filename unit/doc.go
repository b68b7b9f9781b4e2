// Package unit reads and prints quantities as people write them: "2.4 m",
// "150 mm", "8 ft 6 in", "12 °C", "5 kg".
//
// Inside the program a quantity is a plain float64 in one fixed unit that its name
// carries; this package stands at the edge. It converts a text into that unit and
// prints a value with its unit and the decimal mark of a locale. The inch is
// exactly 25.4 mm and the pound exactly 0.45359237 kg (international yard and
// pound agreement, 1959).
package unit
