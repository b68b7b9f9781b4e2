// Package rooffile reads the roof file, version 1, into a roof.Job and writes a Job
// as a roof file. It publishes the file's JSON Schema from the same tables that
// read it.
//
// A roof file is YAML. Plan dimensions are metres, thicknesses, heights and laps
// millimetres, mat g/m², resin kg, temperatures °C; a length may also be written
// with its unit ("150 mm", "8 ft 6 in"). Corners go anticlockwise; an outline given
// clockwise is turned, with a warning. What the file leaves out is taken by
// roof.TakeDefaults and listed in the Job; what cannot be is a fault.
//
// Every fault is found in one reading and names file, line, column, the piece by
// its writer's name, what is wrong and how to mend it. Edges and corners are counted
// from 1 in messages and from 0 in field paths.
package rooffile
