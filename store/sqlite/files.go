package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"gelwright/store"
	"gelwright/store/archive"
)

const fileColumns = "name, media_type, when_ms, who, size, hash"

func scanFile(scan func(...any) error) (store.File, error) {
	var f store.File
	var ms int64
	err := scan(&f.Name, &f.MediaType, &ms, &f.Who, &f.Size, &f.SHA256)
	f.When = when(ms)
	return f, err
}

// PutFile keeps a file of a job.
func (d *DB) PutFile(ctx context.Context, job store.ID, file store.NewFile) (store.File, error) {
	if err := file.Check(); err != nil {
		return store.File{}, err
	}
	out := store.File{Name: file.Name, MediaType: file.MediaType, When: store.Kept(file.When), Who: file.Who, Size: int64(len(file.Bytes)),
		SHA256: archive.Hash(file.Bytes)}
	b := d.batch()
	err := d.change(ctx, func(tx *sql.Tx) error {
		if _, err := jobIn(ctx, tx, job); err != nil {
			return err
		}
		was, err := fileIn(ctx, tx, job, file.Name)
		switch {
		case err == nil && was.SHA256 == out.SHA256 && was.MediaType == out.MediaType:
			out = was
			return nil
		case err == nil:
			return clash("file "+file.Name, "Give the new one another name", "the job has a file of this name and other content")
		case store.KindOf(err) != store.Unknown:
			return err
		}
		if err := b.put(out.SHA256, file.Bytes); err != nil {
			return b.undo(err)
		}
		return b.undo(addFile(ctx, tx, job, &out))
	})
	return given(out, err)
}

func addFile(ctx context.Context, tx *sql.Tx, job store.ID, f *store.File) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO file (job, "+fileColumns+") VALUES (?, ?, ?, ?, ?, ?, ?)",
		job, f.Name, f.MediaType, f.When.UnixMilli(), f.Who, f.Size, f.SHA256)
	return err
}

// fileIn reads a file's row; Unknown where the job has none of this name.
func fileIn(ctx context.Context, tx *sql.Tx, job store.ID, name string) (store.File, error) {
	f, err := scanFile(tx.QueryRowContext(ctx, "SELECT "+fileColumns+" FROM file WHERE job = ? AND name = ?", job, name).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return f, unknown("file "+name, "the job has no such file")
	}
	return f, err
}

// ReadFile gives a file of a job with its bytes.
func (d *DB) ReadFile(ctx context.Context, job store.ID, name string) (store.File, []byte, error) {
	var out store.File
	err := d.look(ctx, func(tx *sql.Tx) (err error) {
		if _, err = jobIn(ctx, tx, job); err != nil {
			return err
		}
		out, err = fileIn(ctx, tx, job, name)
		return err
	})
	if err != nil {
		return store.File{}, nil, err
	}
	raw, err := d.bytesOf(out.SHA256)
	if err != nil {
		return store.File{}, nil, err
	}
	return out, raw, nil
}

// Files lists the files of a job by name.
func (d *DB) Files(ctx context.Context, job store.ID) ([]store.File, error) {
	var out []store.File
	err := d.look(ctx, func(tx *sql.Tx) (err error) {
		if _, err = jobIn(ctx, tx, job); err != nil {
			return err
		}
		out, err = filesIn(ctx, tx, job)
		return err
	})
	return given(out, err)
}

func filesIn(ctx context.Context, tx *sql.Tx, job store.ID) ([]store.File, error) {
	rows, err := tx.QueryContext(ctx, "SELECT "+fileColumns+" FROM file WHERE job = ? ORDER BY name", job)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := []store.File{}
	for rows.Next() {
		f, err := scanFile(rows.Scan)
		if err != nil {
			return nil, err
		}
		out = append(out, f)
	}
	return out, rows.Err()
}

// pathOf is where the bytes of a hash lie.
func (d *DB) pathOf(hash string) string { return filepath.Join(d.dir, filesFolder, hash[:2], hash) }

// bytesOf reads the bytes of a hash and holds them against it.
func (d *DB) bytesOf(hash string) ([]byte, error) {
	path := d.pathOf(hash)
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, damaged(path, "it is missing")
	}
	if err != nil {
		return nil, kind(path, err)
	}
	if archive.Hash(raw) != hash {
		return nil, damaged(path, "its bytes are not those that were written (SHA-256)")
	}
	return raw, nil
}

// batch is the files that a transaction puts in place; it is used under the write lock.
type batch struct {
	d   *DB
	new []string
}

func (d *DB) batch() *batch { return &batch{d: d} }

// put writes bytes under their hash, whole or not at all, through to the disk. What is there already, and whole, stays.
func (b *batch) put(hash string, raw []byte) error {
	if _, err := b.d.bytesOf(hash); err == nil {
		return nil
	}
	path := b.d.pathOf(hash)
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	files := filepath.Join(b.d.dir, filesFolder)
	f, err := os.CreateTemp(files, tempPrefix)
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(raw)
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return err
	}
	b.new = append(b.new, path)
	return errors.Join(syncFolder(filepath.Dir(path)), syncFolder(files))
}

// undo takes away what was put where err says that the transaction will not stand; it gives err back.
func (b *batch) undo(err error) error {
	if err == nil {
		return nil
	}
	for _, path := range b.new {
		err = errors.Join(err, os.Remove(path))
	}
	b.new = nil
	return err
}
