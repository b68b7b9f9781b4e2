//go:build unix

package main

import (
	"errors"
	"os"
	"syscall"
)

// held is a lock on a folder, which ends with the process whatever ends it.
type held struct{ file *os.File }

var errBusy = errors.New("another run is writing into it: wait for its end, or give another folder")

// lockAt takes the lock whose file is at path, or says that another run has it.
func lockAt(path string) (*held, error) {
	for {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_RDWR|syscall.O_NOFOLLOW, 0o644)
		if err != nil {
			return nil, err
		}
		if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
			f.Close()
			if errors.Is(err, syscall.EWOULDBLOCK) {
				return nil, errBusy
			}
			return nil, err
		}
		// The run before may have taken the file away between the two.
		mine, err := f.Stat()
		if there, e := os.Lstat(path); err == nil && e == nil && os.SameFile(mine, there) {
			return &held{f}, nil
		}
		f.Close()
	}
}

// release gives the lock back and takes its file away.
func (h *held) release() {
	os.Remove(h.file.Name())
	h.file.Close()
}
