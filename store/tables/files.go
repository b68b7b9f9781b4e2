package tables

import (
	"context"
	"database/sql"
	"errors"
	"strings"
	"unicode/utf8"

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
	asked := store.File{Name: file.Name, MediaType: file.MediaType, When: store.Kept(file.When), Who: file.Who, Size: int64(len(file.Bytes)),
		SHA256: archive.Hash(file.Bytes)}
	var out store.File
	err := d.change(ctx, func(tx *Tx) error {
		out = asked
		b := d.batch(tx)
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
		if err := b.put(ctx, out.SHA256, file.Bytes); err != nil {
			return b.undo(ctx, err)
		}
		return b.undo(ctx, addFile(ctx, tx, job, &out))
	})
	return given(out, err)
}

func addFile(ctx context.Context, tx *Tx, job store.ID, f *store.File) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO file (job, "+fileColumns+") VALUES (?, ?, ?, ?, ?, ?, ?)",
		job, f.Name, f.MediaType, f.When.UnixMilli(), f.Who, f.Size, f.SHA256)
	return err
}

// fileIn reads a file's row; Unknown where the job has none of this name.
func fileIn(ctx context.Context, tx *Tx, job store.ID, name string) (store.File, error) {
	if !utf8.ValidString(name) || strings.ContainsRune(name, 0) { // no name that a database can be asked for
		return store.File{}, unknown("file", "the job has no such file")
	}
	f, err := scanFile(tx.QueryRowContext(ctx, "SELECT "+fileColumns+" FROM file WHERE job = ? AND name = ?", job, name).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return f, unknown("file "+name, "the job has no such file")
	}
	return f, err
}

// ReadFile gives a file of a job with its bytes.
func (d *DB) ReadFile(ctx context.Context, job store.ID, name string) (store.File, []byte, error) {
	var out store.File
	err := d.look(ctx, func(tx *Tx) (err error) {
		if _, err = jobIn(ctx, tx, job); err != nil {
			return err
		}
		out, err = fileIn(ctx, tx, job, name)
		return err
	})
	if err != nil {
		return store.File{}, nil, err
	}
	raw, err := d.files.Get(ctx, out.SHA256)
	if err != nil {
		return store.File{}, nil, err
	}
	return out, raw, nil
}

// Files lists the files of a job by name.
func (d *DB) Files(ctx context.Context, job store.ID) ([]store.File, error) {
	var out []store.File
	err := d.look(ctx, func(tx *Tx) (err error) {
		if _, err = jobIn(ctx, tx, job); err != nil {
			return err
		}
		out, err = filesIn(ctx, tx, job)
		return err
	})
	return given(out, err)
}

func filesIn(ctx context.Context, tx *Tx, job store.ID) ([]store.File, error) {
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

// batch is the files that a change puts in place.
type batch struct {
	tx    *Tx
	files Files
	new   []string
}

func (d *DB) batch(tx *Tx) *batch { return &batch{tx: tx, files: d.files} }

// put keeps bytes under their hash, until the end of the change alone at it.
func (b *batch) put(ctx context.Context, hash string, raw []byte) error {
	if lock := b.tx.dialect.LockFile; lock != nil {
		if err := lock(ctx, b.tx, hash); err != nil {
			return err
		}
	}
	made, err := b.files.Put(ctx, hash, raw)
	if made {
		b.new = append(b.new, hash)
	}
	return err
}

// undo takes away what was put where err says that the change will not stand; it gives err back.
func (b *batch) undo(ctx context.Context, err error) error {
	if err == nil {
		return nil
	}
	for _, hash := range b.new {
		// Also when it was called off: what was put must not stay behind.
		err = errors.Join(err, b.files.Drop(context.WithoutCancel(ctx), hash))
	}
	b.new = nil
	return err
}
