package work

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"gelwright/desk"
	"gelwright/store"
	"gelwright/store/backup"
	"gelwright/store/tables"
)

// Backups is the folder in which a worker keeps the backups of each day. Work that writes them waits for a worker that has one.
type Backups struct {
	Dir string
	// Keep is how many of the newest stay, 1 or more.
	Keep int
}

// BackupArgs are the backup of a day.
type BackupArgs struct {
	Day string `json:"day"`
}

// Kind names it.
func (BackupArgs) Kind() string  { return "backup" }
func (BackupArgs) queue() string { return storing }
func (a BackupArgs) key() string { return a.Day }

// Backup orders the backup of today.
func (q *Queue) Backup(ctx context.Context, who string) (Work, error) {
	var w Work
	err := q.db.Change(ctx, func(tx *tables.Tx) (err error) {
		w, err = q.backupIn(ctx, tx, q.today(), who)
		return err
	})
	return w, err
}

func (q *Queue) backupIn(ctx context.Context, tx *tables.Tx, day, who string) (Work, error) {
	return order(ctx, q, tx, Order{Title: "Backup of " + day, Who: who}, BackupArgs{day})
}

// backupName is what a backup of a day is called; backupNames finds them.
func backupName(day string) string { return "gelwright-" + day + ".zip" }

var backupNames = regexp.MustCompile(`^gelwright-\d{4}-\d{2}-\d{2}\.zip$`)

// half ends the name of a backup that is being written; one of a worker that was killed is taken away after a day.
const (
	half      = ".part"
	halfStays = 24 * time.Hour
)

// backup writes the backup of a day, reads it again, gives it its name, and takes those away that are too old.
func (w *Worker) backup(ctx context.Context, t *task, a BackupArgs) error {
	dir := w.how.Backups.Dir
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return folderFault(dir, err)
	}
	path := filepath.Join(dir, backupName(a.Day))
	// Two may be at it, where one was taken for dead: each has a file of its own.
	f, err := os.CreateTemp(dir, "gelwright-"+a.Day+"-*"+half)
	if err != nil {
		return folderFault(dir, err)
	}
	m, size, err := w.written(ctx, f)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(folderFault(dir, err), os.Remove(f.Name()))
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return folderFault(dir, err)
	}
	gone, err := w.how.Backups.thin()
	if err != nil {
		return folderFault(dir, err)
	}
	said := fmt.Sprintf("%s is written and read again: %s, %.1f MB.", backupName(a.Day), countOf(m.Rows("job"), "job", "jobs"),
		float64(size)/1e6)
	if gone > 0 {
		said += fmt.Sprintf(" %s taken away; the newest %d stay.", countOf(gone, "older one is", "older ones are"), w.how.Backups.Keep)
	}
	return t.finish(ctx, said, "", nil)
}

// written writes a backup into a file, has it on the disk, and reads it again.
func (w *Worker) written(ctx context.Context, f *os.File) (*backup.Manifest, int64, error) {
	if _, err := backup.Write(ctx, w.q.db, f); err != nil {
		return nil, 0, err
	}
	if err := f.Sync(); err != nil {
		return nil, 0, err
	}
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, 0, err
	}
	r, err := backup.Read(ctx, f, size)
	if err != nil {
		return nil, 0, err
	}
	return &r.Manifest, size, nil
}

// thin takes away all but the newest, and what was left half written.
func (b *Backups) thin() (gone int, err error) {
	all, err := os.ReadDir(b.Dir)
	if err != nil {
		return 0, err
	}
	var names []string
	for _, x := range all {
		if backupNames.MatchString(x.Name()) {
			names = append(names, x.Name())
		}
		if !strings.HasPrefix(x.Name(), "gelwright-") || !strings.HasSuffix(x.Name(), half) {
			continue
		}
		if info, err := x.Info(); err == nil && time.Since(info.ModTime()) > halfStays {
			if err := os.Remove(filepath.Join(b.Dir, x.Name())); err != nil {
				return 0, err
			}
		}
	}
	slices.Sort(names)
	for _, name := range names[:max(0, len(names)-max(1, b.Keep))] {
		if err := os.Remove(filepath.Join(b.Dir, name)); err != nil {
			return gone, err
		}
		gone++
	}
	return gone, nil
}

// folderFault says what is wrong with the folder of the backups, in words where it is the disk; what the database says stays as it is.
func folderFault(dir string, err error) error {
	var path *os.PathError
	if err == nil || store.KindOf(err) != 0 || !errors.As(err, &path) {
		return err
	}
	return &desk.Error{Kind: desk.No, Place: "backup", Found: fmt.Sprintf("in %s nothing can be written (%s)", dir,
		strings.TrimSpace(path.Err.Error())), Remedy: "Make room there, or name another folder with --backups"}
}
