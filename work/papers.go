package work

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/url"

	"gelwright/document"
	"gelwright/plan"
	"gelwright/store"
)

// PapersArgs are the papers of a state of a job, made once and kept as one file of the job.
type PapersArgs struct {
	Job store.ID `json:"job"`
	Seq int      `json:"seq"`
}

// Kind names it.
func (PapersArgs) Kind() string  { return "papers" }
func (PapersArgs) queue() string { return computing }
func (a PapersArgs) key() string { return fmt.Sprintf("%s %d", a.Job, a.Seq) }

// Papers orders the papers of a state of a job; seq 0 is the newest.
func (q *Queue) Papers(ctx context.Context, job store.ID, seq int, who string) (Work, error) {
	at, err := q.db.StateAt(ctx, job, seq)
	if err != nil {
		return Work{}, err
	}
	return ordered(ctx, q, Order{About: string(job), Title: fmt.Sprintf("Papers of %s, state %d", at.Title, at.Seq), Who: who, Urgent: true},
		PapersArgs{job, at.Seq})
}

// papersParts is how many steps making the papers tells: the plan's and the documents'.
const papersParts = 2

// papers makes the papers of a state, or finds that they are kept already.
func (w *Worker) papers(ctx context.Context, t *task, a PapersArgs) error {
	b, err := w.q.Basis(ctx, a.Job, a.Seq)
	if err != nil {
		return err
	}
	name := papersName(b, w.how.Version)
	address := fmt.Sprintf("/api/jobs/%s/files/%s", a.Job, url.PathEscape(name))
	if _, _, err := w.q.db.ReadFile(ctx, a.Job, name); err == nil {
		return t.finish(ctx, "They were made before and are kept.", address, nil)
	} else if store.KindOf(err) != store.Unknown {
		return err
	}
	if err := t.progress(ctx, 0, papersParts, "The roof is planned."); err != nil {
		return err
	}
	p, err := b.Plan(ctx, w.desk.cache)
	if err != nil {
		return NoPlan(err)
	}
	if err := t.progress(ctx, 1, papersParts, "The papers are drawn."); err != nil {
		return err
	}
	files, err := document.FilesWith(ctx, p, document.Options{})
	if err != nil {
		return NoPlan(err)
	}
	raw, err := Zipped(files)
	if err != nil {
		return err
	}
	// The same papers have the same bytes, so that keeping them twice is keeping them once.
	f, err := w.q.db.PutFile(ctx, a.Job, store.NewFile{Name: name, MediaType: "application/zip", When: w.q.Now(), Who: t.row.Who, Bytes: raw})
	if err != nil {
		return err
	}
	return t.finish(ctx, fmt.Sprintf("%d papers, %.1f MB.", len(files), float64(f.Size)/1e6), address, nil)
}

// PapersPrefix begins the names of papers that are kept as one file.
const PapersPrefix = "papers-"

// papersName is the name under which papers are kept: that of what they follow from and of the program that made them.
func papersName(b *Basis, version string) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s engine %d %s", b.Key(), plan.Engine, version))
	return fmt.Sprintf(PapersPrefix+"%d-%s.zip", b.Seq, hex.EncodeToString(sum[:6]))
}

// Zipped are files as one, the same bytes for the same files.
func Zipped(files []document.File) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.Content); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}
