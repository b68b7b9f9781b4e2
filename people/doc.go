// Package people knows who may do what: the roles of a firm, the rights that each has, and who somebody is that asks.
//
// One table (right.go) says which role has which right; what it does not say is no. What is asked for names the right that it
// needs, never a role.
package people
