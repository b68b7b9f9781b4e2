//go:build unix

package folder

import (
	"errors"
	"os"
	"syscall"
)

// quota reports whether a disk's user has no more room.
func quota(err error) bool { return errors.Is(err, syscall.EDQUOT) }

// Sync writes the list of a folder through to the disk.
func Sync(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
