package sqlite

import (
	"errors"
	"strconv"
	"time"

	driver "modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"gelwright/store"
	"gelwright/store/folder"
)

// kind makes an *store.Error of what disk or database said; one that is one already, and the end of a context, stay as they are.
func kind(place string, err error) error {
	var known *store.Error
	var said *driver.Error
	if errors.As(err, &known) || !errors.As(err, &said) {
		return folder.Fault(place, err)
	}
	out := &store.Error{Kind: store.Failed, Place: place, Found: "the disk did not do it", Cause: err,
		Remedy: "Check the disk and the permissions of the folder, then do it again"}
	switch said.Code() & 0xff { // the primary code
	case lib.SQLITE_FULL:
		out.Kind, out.Found, out.Remedy = store.Full, "the disk is full", "Make room on it, then do it again"
	case lib.SQLITE_NOTADB, lib.SQLITE_CORRUPT:
		out.Kind, out.Found = store.Damaged, Name+" is damaged, or is no database"
		out.Remedy = "Put it aside and bring back a copy of the folder; " +
			"each job that was exported can be imported into an empty folder"
	case lib.SQLITE_BUSY, lib.SQLITE_LOCKED:
		out.Found, out.Remedy = "another program holds the database", "Wait for its end, then do it again"
	case lib.SQLITE_READONLY, lib.SQLITE_CANTOPEN, lib.SQLITE_PERM:
		out.Found, out.Remedy = "it may not be written", "Give the folder's permissions to whoever runs this, or another folder"
	}
	return out
}

func milliseconds(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }
