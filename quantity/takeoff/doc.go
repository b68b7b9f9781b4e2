// Package takeoff books what every piece, fixing, edge, opening and bucket of a roof uses to
// the goods that are bought for it, and makes the order of it.
//
// What the pieces use hangs on the set-out alone; the order also on the buckets, the prices and
// what is in hand: a price that changes takes nothing off anew.
package takeoff
