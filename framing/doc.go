// Package framing knows what the laminate lies on and how it is held down: the structural deck
// below the insulation, carrier boards above it, timbers between the joists, soft places
// renewed, and the screws of all of them against the uplift of each wind zone.
//
// It sets a deck out from its survey, its stock and its wind zones by package settingout, parts
// its fields at movement joints, and counts screws along every joist under a board. Lengths of
// screws and timbers are mm, centres mm or m as named, places m on plan. What a wind zone asks
// is check/wind's; what is bought is quantity/takeoff's.
package framing
