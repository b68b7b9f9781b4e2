package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gelwright/store/bucket"
	"gelwright/store/folder"
	"gelwright/store/postgres"
	"gelwright/store/sqlite"
	"gelwright/store/tables"
)

// databaseVariable names a database where neither --database nor --data does. It is seen by nobody else, so it may hold a password.
const databaseVariable = "GELWRIGHT_DATABASE"

// filesVariable says where files lie where neither --files nor --data does.
const filesVariable = "GELWRIGHT_FILES"

// keeping says where jobs are kept: in a folder, or in a PostgreSQL database with the bytes of files beside.
type keeping struct{ data, database, files string }

// addKeeping adds --data and --database.
func addKeeping(cmd *cobra.Command, p *keeping) {
	cmd.Flags().StringVar(&p.data, "data", "", "folder in which jobs are kept")
	cmd.Flags().StringVar(&p.database, "database", "",
		"PostgreSQL database in which jobs are kept, as postgres://user@host/name (without: "+databaseVariable+")")
	cmd.Flags().StringVar(&p.files, "files", "",
		"folder or bucket (s3://BUCKET?endpoint=https://HOST) of files and photos (without: "+filesVariable+", or files in --data)")
}

// address is that of the database; empty where jobs are kept in a folder.
func (p *keeping) address() (string, error) {
	if p.database != "" && postgres.TellsPassword(p.database) {
		return "", coded{exitUsage, errors.New("--database holds a password, and everyone on this computer can read how a program was called: " +
			"put the address into the environment (" + databaseVariable + "), or the password into PGPASSWORD or the file that PGPASSFILE names")}
	}
	if p.database == "" && p.data == "" {
		return os.Getenv(databaseVariable), nil
	}
	return p.database, nil
}

// folder is where jobs are kept, or files beside a database: as it is said, or where this system keeps what a program needs.
func (p *keeping) folder() string {
	dir, err := os.UserConfigDir()
	if p.data != "" || err != nil {
		return p.data
	}
	return filepath.Join(dir, "gelwright")
}

// open opens the place of jobs and begins one where there is none.
func (p *keeping) open(ctx context.Context) (*tables.DB, error) { return p.openAt(ctx, 0) }

// openAt is open, brought up to an older version alone (0: the newest).
func (p *keeping) openAt(ctx context.Context, version int) (*tables.DB, error) {
	address, err := p.address()
	if err != nil {
		return nil, err
	}
	if address == "" {
		files, err := p.bytes(ctx, false)
		if err != nil {
			return nil, err
		}
		return p.openFolder(ctx, files, version)
	}
	files, err := p.bytes(ctx, true)
	if err != nil {
		return nil, err
	}
	db, err := postgres.Open(ctx, address, files, version)
	if err != nil {
		return nil, fmt.Errorf("--database: %w", err)
	}
	return db.DB, nil
}

// openFolder opens a folder of jobs.
func (p *keeping) openFolder(ctx context.Context, files tables.Files, version int) (*tables.DB, error) {
	var db *sqlite.DB
	var err error
	if files == nil && version == 0 {
		db, err = sqlite.Open(ctx, p.folder())
	} else {
		db, err = sqlite.OpenAt(ctx, p.folder(), files, version)
	}
	if err != nil {
		return nil, fmt.Errorf("--data: %w", err)
	}
	return db.DB, nil
}

// bytes is where files and photos lie; nil where nothing says it, and the folder of jobs has room for them (apart: it has none).
func (p *keeping) bytes(ctx context.Context, apart bool) (tables.Files, error) {
	where := p.files
	if where == "" && p.data == "" {
		where = os.Getenv(filesVariable)
	}
	if where == "" && !apart {
		return nil, nil
	}
	if where == "" {
		where = filepath.Join(p.folder(), "files")
	}
	var files tables.Files
	var err error
	if strings.HasPrefix(where, bucket.Scheme) {
		files, err = bucket.Open(ctx, where)
	} else {
		files, err = folder.Open(where)
	}
	if err != nil {
		return nil, fmt.Errorf("--files: %w", err)
	}
	return files, nil
}

// begun reports whether there is a place of jobs already. A database counts as one: its name was said by who made it.
func (p *keeping) begun() (bool, error) {
	if address, err := p.address(); err != nil || address != "" {
		return true, err
	}
	return sqlite.Kept(p.folder())
}

// named says when neither folder nor database is.
func (p *keeping) named() error {
	address, err := p.address()
	if err == nil && p.data == "" && address == "" {
		err = coded{exitUsage, errors.New("--data names the folder in which jobs are kept, --database the database: give one")}
	}
	return err
}

// withJobs opens the place of jobs for f; begin says that one may be begun where there is none.
func withJobs(ctx context.Context, p *keeping, begin bool, f func(db *tables.DB) error) error {
	if err := p.named(); err != nil {
		return err
	}
	if there, err := p.begun(); err != nil || !there && !begin {
		if err == nil {
			err = coded{exitUsage, fmt.Errorf("--data %s: no jobs are kept there: check the name of the folder", p.data)}
		}
		return err
	}
	db, err := p.open(ctx)
	if err != nil {
		return err
	}
	return errors.Join(f(db), db.Close())
}
