package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"gelwright/document"
)

// Names inside a folder of papers that are this program's own. Nothing else in it is ever
// written over or removed.
const (
	packManifest = "manifest.json"      // the papers of a plan
	daysManifest = "manifest-days.json" // day sheets and the fortnight
	cureManifest = "manifest-cure.json" // curves of hardening
	// writingName holds what is being written, readyName what is written and only to be moved
	// into place: a run that finds the second ends what the one before began.
	writingName = ".gelwright-writing"
	readyName   = ".gelwright-ready"
	lockName    = ".gelwright-lock"
)

// manifest is what this program has put into a folder.
type manifest struct {
	Version int       `json:"version"`
	Program string    `json:"program"`
	Files   []written `json:"files"`
}

type written struct {
	Name   string `json:"name"` // below the folder, parted by "/"
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

const manifestVersion = 1

var manifests = []string{packManifest, daysManifest, cureManifest}

func sumOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}

func manifestOf(files []document.File) manifest {
	m := manifest{Version: manifestVersion, Program: "gelwright"}
	for _, f := range files {
		m.Files = append(m.Files, written{Name: f.Name, Bytes: len(f.Content), SHA256: sumOf(f.Content)})
	}
	slices.SortFunc(m.Files, func(a, b written) int { return strings.Compare(a.Name, b.Name) })
	return m
}

// find is what the manifest holds of a name.
func (m *manifest) find(name string) (written, bool) {
	for _, w := range m.Files {
		if w.Name == name {
			return w, true
		}
	}
	return written{}, false
}

// deliver puts files into a folder: all of them or none. What an earlier run has left there and
// this one does not write goes; what this program did not write, or what was changed since,
// is never touched: then nothing is written and every such file is named. One run at a time
// writes into a folder; what a run that was killed has left is ended or cleared away. list is
// the manifest of this kind of papers, so that several kinds can lie in one folder.
func deliver(ctx context.Context, dir, list string, files []document.File) error {
	if dir == "" {
		return coded{exitUsage, errors.New("the folder to write into has no name: give one, or leave the flag out")}
	}
	dir = filepath.Clean(dir)
	switch info, err := os.Stat(dir); {
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Lstat(dir); err == nil {
			return coded{exitUsage, fmt.Errorf("%s is a link that leads nowhere: give a folder", dir)}
		}
		return deliverNew(ctx, dir, list, files)
	case err != nil:
		return noFolder(dir, err)
	case !info.IsDir():
		return coded{exitUsage, fmt.Errorf("%s is a file: give a folder", dir)}
	}
	return deliverInto(ctx, dir, list, files)
}

// noFolder says that a folder cannot be had, and how to mend it.
func noFolder(dir string, err error) error {
	return coded{exitFailed, fmt.Errorf("%s: no folder can be made or opened there (%w): give another place", dir, bare(err))}
}

// deliverNew makes the folder beside its place and moves it there whole.
func deliverNew(ctx context.Context, dir, list string, files []document.File) error {
	parent := filepath.Dir(dir)
	if err := os.MkdirAll(parent, 0o755); err != nil {
		return noFolder(dir, err)
	}
	beside := func(what string) string { return filepath.Join(parent, "."+filepath.Base(dir)+what) }
	lock, err := lockAt(beside(lockName))
	var place *fs.PathError
	if errors.As(err, &place) {
		return noFolder(dir, err)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", dir, err)
	}
	defer lock.release()
	if _, err := os.Stat(dir); err == nil {
		return deliverInto(ctx, dir, list, files) // another run has made it meanwhile
	}
	stage := beside(writingName)
	if err := os.RemoveAll(stage); err != nil {
		return err
	}
	defer os.RemoveAll(stage)
	if err := stageIn(ctx, stage, list, files); err != nil {
		return fmt.Errorf("%s: %w", dir, err)
	}
	return os.Rename(stage, dir)
}

// deliverInto writes into a folder that is there.
func deliverInto(ctx context.Context, dir, list string, files []document.File) error {
	lock, err := lockAt(filepath.Join(dir, lockName))
	if err != nil {
		return fmt.Errorf("%s: %w", dir, err)
	}
	defer lock.release()
	if err := clearUp(dir); err != nil {
		return fmt.Errorf("%s: %w", dir, err)
	}
	before, err := readManifest(dir, list)
	if err != nil {
		return err
	}
	after := manifestOf(files)
	if err := foreign(dir, before, after); err != nil {
		return err
	}
	stage := filepath.Join(dir, writingName)
	defer os.RemoveAll(stage)
	if err := stageIn(ctx, stage, list, files); err != nil {
		return fmt.Errorf("%s: %w", dir, err)
	}
	if err := os.Rename(stage, filepath.Join(dir, readyName)); err != nil {
		return err
	}
	return settle(dir)
}

// stageIn writes all files and the manifest into a folder of their own.
func stageIn(ctx context.Context, stage, list string, files []document.File) error {
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !filepath.IsLocal(filepath.FromSlash(f.Name)) {
			return fmt.Errorf("%q is no name inside the folder", f.Name)
		}
		if err := put(filepath.Join(stage, filepath.FromSlash(f.Name)), f.Content); err != nil {
			return err
		}
	}
	raw, err := json.MarshalIndent(manifestOf(files), "", "  ")
	if err != nil {
		return err
	}
	return put(filepath.Join(stage, list), append(raw, '\n'))
}

func put(path string, content []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, content, 0o644)
}

// settle moves what is ready into its place, removes what the manifest before held and that
// of the new does not, and takes the new manifest over. It can be run again after it was cut
// off at any place.
func settle(dir string) error {
	ready := filepath.Join(dir, readyName)
	at := slices.IndexFunc(manifests, func(name string) bool { _, err := os.Stat(filepath.Join(ready, name)); return err == nil })
	if at < 0 {
		return os.RemoveAll(ready) // the manifest is moved last: nothing is left to do
	}
	list := manifests[at]
	after, err := readManifest(ready, list)
	if err != nil {
		return err
	}
	before, err := readManifest(dir, list)
	if err != nil {
		return err
	}
	for _, w := range after.Files {
		name := filepath.FromSlash(w.Name)
		from, to := filepath.Join(ready, name), filepath.Join(dir, name)
		if _, err := os.Lstat(from); errors.Is(err, fs.ErrNotExist) {
			continue // moved before it was cut off
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		if err := os.Rename(from, to); err != nil {
			return err
		}
	}
	for _, w := range before.Files {
		if _, kept := after.find(w.Name); !kept {
			if err := discard(dir, w); err != nil {
				return err
			}
		}
	}
	if err := os.Rename(filepath.Join(ready, list), filepath.Join(dir, list)); err != nil {
		return err
	}
	return os.RemoveAll(ready)
}

// discard removes a file of an earlier run, and its folder when nothing else is in it.
func discard(dir string, w written) error {
	path := filepath.Join(dir, filepath.FromSlash(w.Name))
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for at := filepath.Dir(path); at != dir && len(at) > len(dir); at = filepath.Dir(at) {
		if os.Remove(at) != nil {
			break // something else is in it
		}
	}
	return nil
}

// clearUp ends what a run before began that was killed, or takes away what it left.
func clearUp(dir string) error {
	if err := os.RemoveAll(filepath.Join(dir, writingName)); err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(dir, readyName)); err == nil {
		return settle(dir)
	}
	return nil
}

// readManifest reads what this program has put into a folder; nothing where it never did.
func readManifest(dir, list string) (manifest, error) {
	path := filepath.Join(dir, list)
	raw, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return manifest{}, nil
	}
	if err != nil {
		return manifest{}, err
	}
	var m manifest
	if json.Unmarshal(raw, &m) != nil || m.Program != "gelwright" {
		return m, fmt.Errorf("%s is not of this program: give another folder", path)
	}
	if m.Version > manifestVersion {
		return m, fmt.Errorf("%s is of a later version of this program: give another folder", path)
	}
	for _, w := range m.Files {
		if !filepath.IsLocal(filepath.FromSlash(w.Name)) {
			return m, fmt.Errorf("%s names %q, which is not in the folder: give another folder", path, w.Name)
		}
	}
	return m, nil
}

// mostNamed are the files that a refusal names one by one.
const mostNamed = 8

// foreign refuses to write over, or to remove, what this program did not write or what was
// changed since.
func foreign(dir string, before, after manifest) error {
	var others, changed []string
	for _, w := range append(slices.Clone(after.Files), before.Files...) {
		path := filepath.Join(dir, filepath.FromSlash(w.Name))
		if f := inTheWay(dir, w.Name); f != "" {
			others = append(others, f)
			continue
		}
		info, err := os.Lstat(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		was, ours := before.find(w.Name)
		now, rewritten := after.find(w.Name)
		same := false
		if info.Mode().IsRegular() {
			raw, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			sum := sumOf(raw)
			same = ours && sum == was.SHA256 || rewritten && sum == now.SHA256
		}
		switch {
		case same:
		case ours:
			changed = append(changed, path)
		default:
			others = append(others, path)
		}
	}
	return refusal(dir, distinct(others), distinct(changed))
}

// inTheWay is the first part of a name's path that is there and is no folder.
func inTheWay(dir, name string) string {
	parts := strings.Split(name, "/")
	at := dir
	for _, p := range parts[:len(parts)-1] {
		at = filepath.Join(at, p)
		info, err := os.Lstat(at)
		if err != nil {
			return ""
		}
		if !info.IsDir() {
			return at
		}
	}
	return ""
}

func distinct(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}

func refusal(dir string, others, changed []string) error {
	if len(others)+len(changed) == 0 {
		return nil
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "nothing was written into %s:", dir)
	for _, x := range []struct {
		paths []string
		why   string
	}{{others, "was not written by this program"}, {changed, "was changed since this program wrote it"}} {
		for i, p := range x.paths {
			if i == mostNamed {
				fmt.Fprintf(&b, "\n  and %d more", len(x.paths)-mostNamed)
				break
			}
			fmt.Fprintf(&b, "\n  %s %s", p, x.why)
		}
	}
	b.WriteString("\nMove or remove them, or give another folder.")
	return coded{exitFailed, errors.New(b.String())}
}

// deliverFile puts one file in place whole or not at all. A file that is there is written over
// only when it begins as this program's own of that kind do.
func deliverFile(path string, content []byte, kin string) error {
	raw, err := os.ReadFile(path)
	info, _ := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case info != nil && info.IsDir():
		return coded{exitUsage, fmt.Errorf("%s is a folder: give the name of a file", path)}
	case err != nil:
		return coded{exitFailed, fmt.Errorf("%s cannot be written over (%w): give another name", path, bare(err))}
	case !bytes.Equal(raw, content) && !bytes.Contains(raw[:min(len(raw), 600)], []byte(kin)):
		return fmt.Errorf("%s was not written by this program: give another name, or move it away", path)
	}
	if err := place(path, content); err != nil {
		return coded{exitFailed, fmt.Errorf("%s cannot be written (%w): give another place", path, bare(err))}
	}
	return nil
}
