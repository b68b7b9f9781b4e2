package sqlite

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strconv"
	"syscall"
	"time"

	driver "modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"gelwright/store"
)

// kind makes an *store.Error of what disk or database said; one that is one already, and the end of a context, stay as they are.
func kind(place string, err error) error {
	var known *store.Error
	if err == nil || errors.As(err, &known) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	out := &store.Error{Kind: store.Failed, Place: place, Found: "the disk did not do it", Cause: err,
		Remedy: "Check the disk and the permissions of the folder, then do it again"}
	switch code := codeOf(err); {
	case code == lib.SQLITE_FULL:
		out.Kind, out.Found, out.Remedy = store.Full, "the disk is full", "Make room on it, then do it again"
	case code == lib.SQLITE_NOTADB || code == lib.SQLITE_CORRUPT:
		out.Kind, out.Found = store.Damaged, Name+" is damaged, or is no database"
		out.Remedy = "Put it aside and bring back a copy of the folder; " +
			"each job that was exported can be imported into an empty folder"
	case code == lib.SQLITE_BUSY || code == lib.SQLITE_LOCKED:
		out.Found, out.Remedy = "another program holds the database", "Wait for its end, then do it again"
	case code == lib.SQLITE_READONLY || code == lib.SQLITE_CANTOPEN || code == lib.SQLITE_PERM:
		out.Found, out.Remedy = "it may not be written", "Give the folder's permissions to whoever runs this, or another folder"
	}
	return out
}

// codeOf is the primary code of what the database said, or that which stands for what the system said of a file; 0 of any other.
func codeOf(err error) int {
	var base *driver.Error
	switch {
	case errors.As(err, &base):
		return base.Code() & 0xff
	case errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EFBIG) || quota(err):
		return lib.SQLITE_FULL
	case errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS):
		return lib.SQLITE_PERM
	}
	return 0
}

// unknown is an error of something that is not kept.
func unknown(place, format string, args ...any) error {
	return &store.Error{Kind: store.Unknown, Place: place, Found: fmt.Sprintf(format, args...)}
}

// clash is an error of an id or name that stands for something else.
func clash(place, remedy, format string, args ...any) error {
	return &store.Error{Kind: store.Clash, Place: place, Found: fmt.Sprintf(format, args...), Remedy: remedy}
}

// damaged is an error of something kept that is not as it was written.
func damaged(place, format string, args ...any) error {
	return &store.Error{Kind: store.Damaged, Place: place, Found: fmt.Sprintf(format, args...),
		Remedy: "Bring it back from a copy of the folder or from an exported job"}
}

func milliseconds(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }
