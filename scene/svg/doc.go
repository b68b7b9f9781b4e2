// Package svg writes a scene as an SVG 1.1 page in millimetres, with real text,
// the items' identities and classes, and their titles for screen readers
// (roles of the WAI-ARIA graphics module).
package svg
