// Package margin is what stands beside a roof on a page: the figures, worries, pieces, days, order and defaults of its
// plan, each short enough to be sent to a screen at every change, and the drawings of the roof to put them on.
//
// A Sheet keeps the last plan, so that a piece that is tapped or a figure that is unfolded is looked up and not planned
// again. Questions and answers are plain values with JSON names; the page's TypeScript types are made from these very
// types (internal/tools/pagetypes), so nothing is written twice. A question is asked in a browser's worker, by a server or
// by a test alike.
package margin
