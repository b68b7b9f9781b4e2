//go:build !unix

package folder

// quota reports whether a disk's user has no more room; elsewhere the system says that the disk is full.
func quota(error) bool { return false }

// Sync has nothing to do: the list of a folder is written with its files here.
func Sync(string) error { return nil }
