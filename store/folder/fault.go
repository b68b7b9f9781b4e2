package folder

import (
	"context"
	"errors"
	"io/fs"
	"syscall"

	"gelwright/store"
)

// Fault makes a *store.Error of what the system said of a file; one that is one already, and the end of a context, stay as they are.
func Fault(place string, err error) error {
	var known *store.Error
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	out := &store.Error{Kind: store.Failed, Place: place, Found: "the disk did not do it", Cause: err,
		Remedy: "Check the disk and the permissions of the folder, then do it again"}
	switch {
	case errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EFBIG) || quota(err):
		out.Kind, out.Found, out.Remedy = store.Full, "the disk is full", "Make room on it, then do it again"
	case errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS):
		out.Found, out.Remedy = "it may not be written", "Give the folder's permissions to whoever runs this, or another folder"
	}
	return out
}
