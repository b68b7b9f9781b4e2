package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "modernc.org/sqlite" // the driver "sqlite"

	"gelwright/store"
	"gelwright/store/folder"
	"gelwright/store/tables"
)

// DB is a folder of jobs that is open.
type DB struct {
	*tables.DB
	dir   string
	files *folder.Folder // empty where bytes lie elsewhere
	write *sql.DB        // one connection: writers wait for each other in line
	read  *sql.DB
}

// Name is the database's file in its folder.
const Name = "gelwright.db"

const (
	filesFolder = "files"
	readers     = 4                // connections that read at once
	patience    = 20 * time.Second // how long a writer waits for another process
)

// Open opens the folder of jobs at dir and begins one where there is none. A database of an older release is brought up, after a
// copy of it is made; one of a newer release is refused and left as it is.
func Open(ctx context.Context, dir string) (*DB, error) { return OpenAt(ctx, dir, nil, 0) }

// OpenAt is Open with the bytes of files in another place (nil: in the folder), and brought up to an older version alone (0: the
// newest), to be filled with what was kept at that version.
func OpenAt(ctx context.Context, dir string, files tables.Files, version int) (*DB, error) {
	all := steps()
	if version == 0 {
		version = len(all)
	}
	if version < 0 || version > len(all) {
		return nil, &store.Error{Kind: store.Newer, Place: dir,
			Found:  fmt.Sprintf("version %d is not known; this program knows 1 to %d", version, len(all)),
			Remedy: "Do it with a newer release"}
	}
	return open(ctx, dir, files, all[:version])
}

// Kept reports whether jobs are kept in the folder.
func Kept(dir string) (bool, error) {
	_, err := os.Stat(filepath.Join(dir, Name))
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, kind(dir, err)
}

func open(ctx context.Context, dir string, files tables.Files, steps []step) (*DB, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return nil, kind(dir, err)
	}
	if err := makeFolders(abs); err != nil {
		return nil, kind(dir, err)
	}
	db := &DB{dir: abs}
	if db.files, err = folder.Open(filepath.Join(abs, filesFolder)); err != nil {
		return nil, kind(dir, err)
	}
	if files == nil {
		files = db.files
	}
	if err := begin(filepath.Join(abs, Name)); err != nil {
		return nil, kind(dir, err)
	}
	if db.write, err = pool(abs, "_txlock=immediate&_synchronous=FULL", 1); err != nil {
		return nil, kind(dir, err)
	}
	if db.read, err = pool(abs, "_query_only=1", readers); err != nil {
		return nil, kind(dir, errors.Join(err, db.write.Close()))
	}
	db.DB = tables.New(db.write, db.read, tables.Dialect{
		Place:      Name,
		Version:    "SELECT user_version FROM pragma_user_version",
		TableNames: "SELECT name FROM sqlite_schema WHERE type = 'table'",
		Fault:      func(err error) error { return kind(abs, err) },
		Beside:     func() (*sql.DB, error) { return pool(abs, "_txlock=immediate&_synchronous=NORMAL", 1) },
	}, files)
	if err := db.prepare(ctx, steps); err != nil {
		db.Close()
		return nil, kind(dir, err)
	}
	if err := shut(filepath.Join(abs, Name)); err != nil {
		db.Close()
		return nil, kind(dir, err)
	}
	return db, nil
}

// begin makes the database's file where it is not there, for nobody else to read: what SQLite makes beside it has the same mode.
func begin(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.Close()
}

// shut takes from others the right to read a database that is ours. Whoever may not do so, as on a disk without modes, is told by
// 'gelwright doctor'.
func shut(path string) error {
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm()&0o077 == 0 {
		return err
	}
	if err := os.Chmod(path, info.Mode().Perm()&0o700); err != nil && !errors.Is(err, fs.ErrPermission) {
		return err
	}
	return nil
}

// makeFolders makes the folder, and that of files in it, where they are not there, through to the disk.
func makeFolders(abs string) error {
	_, err := os.Stat(abs)
	if err := os.MkdirAll(filepath.Join(abs, filesFolder), 0o700); err != nil {
		return err
	}
	if errors.Is(err, fs.ErrNotExist) {
		// A folder may be made in one that may not be read: then the system alone decides when it is on the disk.
		if err := folder.Sync(filepath.Dir(abs)); err != nil && !errors.Is(err, fs.ErrPermission) {
			return err
		}
	}
	return folder.Sync(abs)
}

// pool is a set of connections to the folder's database.
func pool(abs, options string, most int) (*sql.DB, error) {
	path := filepath.ToSlash(filepath.Join(abs, Name))
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive's letter
	}
	name := url.URL{Scheme: "file", OmitHost: true, Path: path, RawQuery: "_busy_timeout=" +
		milliseconds(patience) + "&_foreign_keys=1&_defensive=1&_dqs=0&_error_rc=1&_pragma=trusted_schema(0)&" + options}
	db, err := sql.Open("sqlite", name.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(most)
	db.SetMaxIdleConns(most)
	return db, nil
}
