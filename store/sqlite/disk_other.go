//go:build !unix

package sqlite

// quota reports whether a disk's user has no more room; elsewhere the system says that the disk is full.
func quota(error) bool { return false }

// syncFolder has nothing to do: the list of a folder is written with its files here.
func syncFolder(string) error { return nil }
