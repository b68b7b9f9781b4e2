package main

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gelwright/document"
)

func papersOf(names ...string) []document.File {
	var out []document.File
	for _, n := range names {
		name, content, _ := strings.Cut(n, "=")
		out = append(out, document.File{Name: name, Content: []byte(content)})
	}
	return out
}

// lying lists every file below a folder with its text, hidden ones too, the manifest apart.
func lying(t *testing.T, dir string) string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || d.Name() == packManifest {
			return err
		}
		raw, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		out = append(out, filepath.ToSlash(name)+"="+string(raw))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(out)
	return strings.Join(out, " ")
}

func delivered(t *testing.T, dir string, names ...string) error {
	t.Helper()
	return deliver(context.Background(), dir, packManifest, papersOf(names...))
}

func want(t *testing.T, dir, all string) {
	t.Helper()
	if got := lying(t, dir); got != all {
		t.Errorf("there lies %q, want %q", got, all)
	}
}

// A second plan takes the place of the first: sheets that it has not go, with their folder.
func TestStaleSheetsGo(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "job")
	if err := delivered(t, dir, "pack=1", "drawings/01-old.svg=x", "drawings/02.svg=x", "lists/order.csv=o"); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := delivered(t, dir, "pack=2", "drawings/01-new.svg=y"); err != nil {
		t.Fatal(err)
	}
	want(t, dir, "drawings/01-new.svg=y notes.txt=mine pack=2")
	if _, err := os.Stat(filepath.Join(dir, "lists")); !errors.Is(err, fs.ErrNotExist) {
		t.Error("the empty folder lists stays")
	}
}

// What the program did not write, or what was changed since, is named and nothing is touched.
func TestWhatIsNotOursIsNeverWrittenOver(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("pack", "mine")
	err := delivered(t, dir, "pack=1", "more=2")
	if err == nil || !strings.Contains(err.Error(), "pack was not written by this program") {
		t.Fatalf("%v", err)
	}
	want(t, dir, "pack=mine")
	put("pack", "1") // the very same text harms nobody
	if err := delivered(t, dir, "pack=1", "old=2"); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"pack", "old"} {
		put(name, "changed by hand")
		err := delivered(t, dir, "pack=3")
		if err == nil || !strings.Contains(err.Error(), name+" was changed since") {
			t.Errorf("%s: %v", name, err)
		}
		put(name, map[string]string{"pack": "1", "old": "2"}[name])
		want(t, dir, "old=2 pack=1")
	}
	if err := os.Remove(filepath.Join(dir, "old")); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(filepath.Join(dir, "pack"), filepath.Join(dir, "new")); err != nil {
		t.Fatal(err)
	}
	if err := delivered(t, dir, "pack=3", "new=4"); err == nil || !strings.Contains(err.Error(), "new was not written") {
		t.Errorf("a link is followed: %v", err)
	}
}

func TestAFileWhereAFolderShouldBe(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "drawings"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := delivered(t, dir, "drawings/01.svg=x"); err == nil || !strings.Contains(err.Error(), "drawings was not written by") {
		t.Errorf("%v", err)
	}
	want(t, dir, "drawings=mine")
	if err := deliver(context.Background(), filepath.Join(dir, "drawings"), packManifest, nil); exitOf(err) != exitUsage {
		t.Errorf("a file as a folder: %v", err)
	}
	if err := delivered(t, "", "x=1"); exitOf(err) != exitUsage {
		t.Errorf("no name: %v", err)
	}
	if err := delivered(t, dir, "../x=1"); err == nil {
		t.Error("a name outside the folder is taken")
	}
}

// A run that was killed has moved some files, or none: the next one ends it, or clears it away.
func TestAKilledRunIsEnded(t *testing.T) {
	for _, moved := range [][]string{nil, {"a"}, {"a", "sub/b"}} {
		dir := filepath.Join(t.TempDir(), "job")
		if err := delivered(t, dir, "a=1", "sub/b=1", "gone=1"); err != nil {
			t.Fatal(err)
		}
		ready := filepath.Join(dir, readyName)
		if err := stageIn(context.Background(), ready, packManifest, papersOf("a=2", "sub/b=2", "c=2")); err != nil {
			t.Fatal(err)
		}
		for _, name := range moved {
			if err := os.Rename(filepath.Join(ready, name), filepath.Join(dir, name)); err != nil {
				t.Fatal(err)
			}
		}
		if err := put(filepath.Join(dir, writingName, "half"), []byte("x")); err != nil {
			t.Fatal(err)
		}
		if err := clearUp(dir); err != nil {
			t.Fatal(err)
		}
		want(t, dir, "a=2 c=2 sub/b=2")
		if err := delivered(t, dir, "a=3"); err != nil {
			t.Fatal(err)
		}
		want(t, dir, "a=3")
	}
	// One that was killed before the folder was there.
	parent := t.TempDir()
	if err := put(filepath.Join(parent, ".job"+writingName, "half"), []byte("x")); err != nil {
		t.Fatal(err)
	}
	if err := delivered(t, filepath.Join(parent, "job"), "a=1"); err != nil {
		t.Fatal(err)
	}
	want(t, parent, "job/a=1")
}

// One run at a time; one that is asked to end leaves nothing.
func TestOneRunWritesAtATime(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "job")
	if err := delivered(t, dir, "a=1"); err != nil {
		t.Fatal(err)
	}
	lock, err := lockAt(filepath.Join(dir, lockName))
	if err != nil {
		t.Fatal(err)
	}
	if err := delivered(t, dir, "a=2"); err == nil || !strings.Contains(err.Error(), "another run") {
		t.Errorf("%v", err)
	}
	lock.release()
	ctx, stop := context.WithCancel(context.Background())
	stop()
	for _, at := range []string{dir, filepath.Join(dir, "new")} {
		if err := deliver(ctx, at, packManifest, papersOf("a=2", "b=2")); !errors.Is(err, context.Canceled) {
			t.Errorf("%v", err)
		}
	}
	want(t, dir, "a=1")
}

// Papers of several kinds lie in one folder and leave each other alone.
func TestKindsOfPapersLieSideBySide(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "job")
	if err := delivered(t, dir, "a=1"); err != nil {
		t.Fatal(err)
	}
	if err := deliver(context.Background(), dir, daysManifest, papersOf("day-1=x", "day-2=x")); err != nil {
		t.Fatal(err)
	}
	if err := deliver(context.Background(), dir, daysManifest, papersOf("day-1=y")); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(dir, daysManifest)); err != nil {
		t.Fatal(err)
	}
	want(t, dir, "a=1 day-1=y")
}

func TestASingleFileIsWrittenOverOnlyWhenItIsOurs(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cut.svg")
	for _, x := range []struct {
		there string
		ok    bool
	}{{"", true}, {"<svg><title>ours</title>old</svg>", true}, {"<svg>mine</svg>", false}} {
		if x.there != "" {
			if err := os.WriteFile(path, []byte(x.there), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if err := deliverFile(path, []byte("<svg><title>ours</title></svg>"), "<title>ours</title>"); (err == nil) != x.ok {
			t.Errorf("over %q: %v", x.there, err)
		}
	}
}
