// Package acmetest gives tests a public authority that issues certificates by ACME (RFC 8555): pebble, which those who keep Let's
// Encrypt keep for tests, with a name server by which it finds every name at this computer.
package acmetest
