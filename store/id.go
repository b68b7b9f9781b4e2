package store

import (
	"crypto/rand"
	"encoding/hex"
)

// NewID draws the id of a job.
func NewID() ID {
	var b [16]byte
	rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	return ID(hex.EncodeToString(b[:]))
}

// Valid reports whether an id is one.
func (id ID) Valid() bool {
	if len(id) != 32 {
		return false
	}
	for _, c := range []byte(id) {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}
