package doctor

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"gelwright/store"
)

// Below these the disk is said to be full soon, or too full to work on: papers of a hall are some 10 MB, a copy of the database
// before an upgrade has its whole size.
const (
	lowBytes    = 2 << 30
	lowestBytes = 200 << 20
)

func folder(_ context.Context, p *Patient) Finding {
	if p.Data == "" {
		return blank("no data folder is named")
	}
	info, err := os.Stat(p.Data)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return bad("Check the name, or let 'gelwright serve --data "+p.Data+"' make it", "%s is not there", p.Data)
	case err != nil:
		return bad("Give its permissions to whoever runs the server", "%s cannot be looked at: %v", p.Data, err)
	case !info.IsDir():
		return bad("Give the folder in which jobs are kept", "%s is no folder", p.Data)
	}
	f, err := os.CreateTemp(p.Data, ".new-doctor-*")
	if err != nil {
		return bad("Give it to whoever runs the server, as: chown -R gelwright "+p.Data, "nothing can be written in %s: %v", p.Data, reason(err))
	}
	err = errors.Join(f.Close(), os.Remove(f.Name()))
	switch open := info.Mode().Perm() & 0o077; {
	case err != nil:
		return bad("Look at the disk", "what was written in %s cannot be taken away: %v", p.Data, reason(err))
	case open != 0 && private:
		return bad("Close it: chmod 700 "+p.Data, "other people on this machine can look into %s (mode %04o)", p.Data, info.Mode().Perm())
	}
	return ok("%s can be written, and by nobody else", p.Data)
}

// reason is what a system said, without the name of the file that was made up for the look.
func reason(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

func disk(_ context.Context, p *Patient) Finding {
	if p.Data == "" {
		return blank("no data folder is named")
	}
	bytes, err := p.Free(p.Data)
	switch text := megabytes(bytes); {
	case errors.Is(err, errors.ErrUnsupported):
		return blank("this system does not say how full its disk is")
	case err != nil:
		return blank(fmt.Sprintf("the disk of %s cannot be asked: %v", p.Data, reason(err)))
	case bytes < lowestBytes:
		return bad("Make room now: nothing can be kept on a full disk", "%s are left on the disk of %s", text, p.Data)
	case bytes < lowBytes:
		return warn("Make room soon", "%s are left on the disk of %s", text, p.Data)
	default:
		return ok("%s are left on the disk", text)
	}
}

func megabytes(n uint64) string {
	if n >= 10<<30 {
		return fmt.Sprintf("%d GB", n>>30)
	}
	return fmt.Sprintf("%d MB", n>>20)
}

func kept(ctx context.Context, p *Patient) Finding {
	if p.Store == nil {
		return blank("nothing that is kept is named")
	}
	if _, err := p.Store(ctx); err != nil {
		return ofStore(err)
	}
	return ok("the database is whole and of a version that this program knows")
}

// ofStore tells an error of the store with its own remedy.
func ofStore(err error) Finding {
	var e *store.Error
	if !errors.As(err, &e) {
		return bad("Look at what it says; the log of the server says more", "%v", err)
	}
	remedy := e.Remedy
	if remedy == "" {
		remedy = "Look at " + e.Place
	}
	said := *e
	said.Remedy = ""
	return bad(remedy, "%v", &said)
}

func files(ctx context.Context, p *Patient) Finding {
	if p.Files == nil {
		return blank("no files are named")
	}
	looked, faults := p.Files(ctx)
	if len(faults) == 0 {
		return ok("%d files were read and are as they were written", looked)
	}
	f := ofStore(faults[0])
	if len(faults) > 1 {
		f.Found += fmt.Sprintf("; and %d more", len(faults)-1)
	}
	return f
}

// wrongAhead is how far ahead of the clock a job may have been changed: a phone's clock runs ahead too.
const wrongAhead = 24 * time.Hour

func clock(ctx context.Context, p *Patient) Finding {
	now := p.Now()
	const remedy = "Set the clock, and have it kept right: timedatectl set-ntp true"
	if !p.Built.IsZero() && now.Before(p.Built.Add(-wrongAhead)) {
		return bad(remedy, "the clock says %s, and this program was made on %s", now.UTC().Format(time.DateTime),
			p.Built.UTC().Format(time.DateOnly))
	}
	if p.Store != nil {
		if is, err := p.Store(ctx); err == nil && is.Changed.After(now.Add(wrongAhead)) {
			return warn(remedy, "the clock says %s, and a job was changed on %s", now.UTC().Format(time.DateTime),
				is.Changed.UTC().Format(time.DateTime))
		}
	}
	return ok("the clock says %s UTC", now.UTC().Format(time.DateTime))
}
