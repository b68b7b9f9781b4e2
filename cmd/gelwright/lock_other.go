//go:build !unix

package main

import (
	"errors"
	"io/fs"
	"os"
)

// held is a lock on a folder. A run that was killed leaves it: its file then says so.
type held struct{ path string }

// lockAt takes the lock whose file is at path, or says that another run has it.
func lockAt(path string) (*held, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return nil, errors.New("another run is writing into it: wait for its end; if none is running, remove " + path)
	}
	if err != nil {
		return nil, err
	}
	return &held{path}, f.Close()
}

// release gives the lock back.
func (h *held) release() { os.Remove(h.path) }
