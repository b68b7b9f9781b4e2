// Package storetest is the contract of store.Store as tests: Exercise holds an implementation to it, for the test of each.
package storetest
