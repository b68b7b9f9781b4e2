// Package sheet is the printed page by which phones and computers learn to trust a firm's own authority: what it means, a square
// code of the address that hands the certificate out, its fingerprint to compare, and each kind of device step by step. It is
// two sheets of A4 as PDF, and the same words as one page of HTML.
package sheet
