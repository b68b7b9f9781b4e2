package tables

import (
	"context"
	"io"
	"slices"
	"strings"

	"gelwright/store"
	"gelwright/store/archive"
)

// Export writes a job whole as one file.
func (d *DB) Export(ctx context.Context, id store.ID, w io.Writer) error {
	return d.look(ctx, func(tx *Tx) error {
		var c archive.Contents
		var err error
		if c.Job, err = jobIn(ctx, tx, id); err != nil {
			return err
		}
		rows, err := rowsOf(ctx, tx, id, "ORDER BY s.seq")
		if err != nil {
			return err
		}
		for _, r := range rows {
			c.States = append(c.States, archive.State{Entry: r.Entry, Document: r.document.name(), Change: r.change.name()})
		}
		if c.Files, err = filesIn(ctx, tx, id); err != nil {
			return err
		}
		if c.Sheets, err = sheetsOfJob(ctx, tx, id); err != nil {
			return err
		}
		return archive.Write(w, c, textNamed(ctx, tx), func(hash string) ([]byte, error) { return d.files.Get(ctx, hash) })
	})
}

// Import reads what Export wrote. All of it is read and found in order before any of it is kept.
func (d *DB) Import(ctx context.Context, r io.ReaderAt, size int64) (store.Job, error) {
	in, err := archive.Read(ctx, r, size)
	if err != nil {
		return store.Job{}, err
	}
	var job store.Job
	err = d.change(ctx, func(tx *Tx) error {
		job = in.Job
		b := d.batch(tx)
		beside := false
		if _, err := jobIn(ctx, tx, job.ID); err == nil {
			known := job.ID
			beside = true
			job.ID = store.NewID()
			job.Group, job.Parent, job.ParentSeq, job.Retired = job.ID, known, job.Newest, nil
		} else if store.KindOf(err) != store.Unknown {
			return err
		}
		err := bring(ctx, tx, &job, in, b)
		if err == nil {
			err = (&bringing{tx: tx, job: &job, beside: beside, who: map[store.ID]store.ID{}}).sheets(ctx, in.Sheets)
		}
		return b.undo(ctx, err)
	})
	return given(job, err)
}

// bring writes the job that was read.
func bring(ctx context.Context, tx *Tx, job *store.Job, in *archive.Reader, b *batch) error {
	if err := addJob(ctx, tx, job); err != nil {
		return err
	}
	kept := map[string]packed{"": {}}
	for i := range in.States {
		s := &in.States[i]
		r := row{Entry: s.Entry}
		var err error
		if r.document, err = packNamed(in, s.Document, kept); err != nil {
			return err
		}
		if r.change, err = packNamed(in, s.Change, kept); err != nil {
			return err
		}
		if err := addState(ctx, tx, job.ID, &r); err != nil {
			return err
		}
	}
	// In one order for all, so that two who bring the same bytes do not wait for each other.
	byHash := slices.SortedFunc(slices.Values(in.Files), func(a, b store.File) int { return strings.Compare(a.SHA256, b.SHA256) })
	for i := range byHash {
		f := &byHash[i]
		raw, err := in.File(f.SHA256)
		if err != nil {
			return err
		}
		if err := b.put(ctx, f.SHA256, raw); err != nil {
			return err
		}
		if err := addFile(ctx, tx, job.ID, f); err != nil {
			return err
		}
	}
	return nil
}

// packNamed packs a text of the archive the first time that a state names it.
func packNamed(in *archive.Reader, hash string, kept map[string]packed) (packed, error) {
	if p, there := kept[hash]; there {
		return p, nil
	}
	text, err := in.Text(hash)
	if err != nil {
		return packed{}, err
	}
	p, err := pack(text)
	if err != nil {
		return p, err
	}
	kept[hash] = packed{hash: p.hash, size: p.size}
	return p, nil
}
