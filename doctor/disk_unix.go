//go:build linux || darwin || freebsd

package doctor

import "syscall"

// private says that modes of folders keep others out.
const private = true

// free is how many bytes a user may still write on the disk of a folder.
func free(dir string) (uint64, error) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		return 0, err
	}
	return uint64(s.Bavail) * uint64(s.Bsize), nil
}
