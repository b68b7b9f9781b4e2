// Command package writes the Debian package of gelwright from what scripts/package.sh has built: the program, its manual pages and
// completions, the service, and what is kept in packaging/. The same inputs give the same bytes.
package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/goreleaser/nfpm/v2"
	_ "github.com/goreleaser/nfpm/v2/deb" // the packager "deb"
	"github.com/goreleaser/nfpm/v2/files"
)

// asked is what the command line says.
type asked struct{ version, arch, root, out, maintainer, when string }

func main() {
	log.SetFlags(0)
	var a asked
	flag.StringVar(&a.version, "version", "", "version of the package, as 0.1.0~20261201.abc1234")
	flag.StringVar(&a.arch, "arch", "amd64", "Debian architecture")
	flag.StringVar(&a.root, "root", ".", "root of the project")
	flag.StringVar(&a.out, "out", "", "file to write")
	flag.StringVar(&a.maintainer, "maintainer", "gelwright maintainers <roofs@example.org>", "who looks after it")
	flag.StringVar(&a.when, "when", "", "time of all files and of the changelog, RFC 3339: that of the commit")
	flag.Parse()
	if err := run(a); err != nil {
		log.Fatal("package: ", err)
	}
}

func run(a asked) error {
	when, err := time.Parse(time.RFC3339, a.when)
	if err != nil || a.version == "" || a.out == "" {
		return errors.New("give --version, --out and --when")
	}
	scratch, err := os.MkdirTemp("", "gelwright-package-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(scratch)
	list, err := contents(a, scratch, when)
	if err != nil {
		return err
	}
	script := func(name string) string { return filepath.Join(a.root, "packaging", "deb", name) }
	info := nfpm.WithDefaults(&nfpm.Info{Name: "gelwright", Arch: a.arch, Platform: "linux", Version: a.version, VersionSchema: "none", Section: "utils",
		Priority: "optional", Maintainer: a.maintainer, Homepage: "https://example.org/gelwright", MTime: when, Description: description,
		Overridables: nfpm.Overridables{Contents: list, Depends: []string{"adduser"}, Recommends: []string{"ca-certificates"},
			Suggests: []string{"postgresql"},
			Scripts:  nfpm.Scripts{PostInstall: script("postinst"), PreRemove: script("prerm"), PostRemove: script("postrm")},
			Deb:      nfpm.Deb{Compression: "xz"}}})
	if err := nfpm.PrepareForPackager(info, "deb"); err != nil {
		return err
	}
	deb, err := nfpm.Get("deb")
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := deb.Package(info, &b); err != nil {
		return err
	}
	return os.WriteFile(a.out, b.Bytes(), 0o644)
}

// description of the package; the first line is its synopsis.
const description = `plan hand-laid fibreglass flat roofs
From a survey of a flat roof to the papers that it is built from: boards,
trims, mat, buckets with their doses, days that suit the weather, order and
checks, each figure with its working. A server keeps the jobs of a firm and
shows them in a browser, on phones over the firm's own network too.`

// contents are the files of the package.
func contents(a asked, scratch string, when time.Time) (files.Contents, error) {
	from := func(name string) string { return filepath.Join(a.root, name) }
	doc := "/usr/share/doc/gelwright/"
	list := files.Contents{
		put(from("bin/gelwright"), "/usr/bin/gelwright", 0o755), put(from("packaging/gelwright.service"), "/usr/lib/systemd/system/gelwright.service", 0o644),
		{Source: from("packaging/gelwright.conf"), Destination: "/etc/gelwright/gelwright.conf", Type: files.TypeConfigNoReplace,
			FileInfo: &files.ContentFileInfo{Mode: 0o644, MTime: when}},
		put(from("packaging/deb/copyright"), doc+"copyright", 0o644), put(from("README.md"), doc+"README.md", 0o644),
		put(from("docs/install.md"), doc+"install.md", 0o644), put(from("packaging/deb/lintian-overrides"), "/usr/share/lintian/overrides/gelwright", 0o644),
		put(from("out/completion/gelwright.bash"), "/usr/share/bash-completion/completions/gelwright", 0o644),
		put(from("out/completion/_gelwright"), "/usr/share/zsh/vendor-completions/_gelwright", 0o644),
		put(from("out/completion/gelwright.fish"), "/usr/share/fish/vendor_completions.d/gelwright.fish", 0o644),
	}
	change := fmt.Sprintf("gelwright (%s) unstable; urgency=medium\n\n  * See /usr/share/doc/gelwright/README.md and CHANGELOG of the sources.\n\n -- %s  %s\n",
		a.version, a.maintainer, when.UTC().Format(time.RFC1123Z))
	packed, err := pack(scratch, "changelog.gz", []byte(change))
	if err != nil {
		return nil, err
	}
	list = append(list, put(packed, doc+"changelog.gz", 0o644))
	pages, err := filepath.Glob(from("out/man/*.1"))
	if err != nil || len(pages) == 0 {
		return nil, fmt.Errorf("there are no manual pages in out/man: run scripts/build.sh (%v)", err)
	}
	for _, page := range pages {
		raw, err := os.ReadFile(page)
		if err != nil {
			return nil, err
		}
		name := filepath.Base(page) + ".gz"
		packed, err := pack(scratch, name, raw)
		if err != nil {
			return nil, err
		}
		list = append(list, put(packed, "/usr/share/man/man1/"+name, 0o644))
	}
	for _, c := range list {
		c.FileInfo.MTime = when
	}
	return list, nil
}

func put(from, to string, mode os.FileMode) *files.Content {
	return &files.Content{Source: from, Destination: to, FileInfo: &files.ContentFileInfo{Mode: mode}}
}

// pack writes bytes packed, without a name or time of their own.
func pack(dir, name string, raw []byte) (string, error) {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := w.Write(raw); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	path := filepath.Join(dir, strings.ReplaceAll(name, "/", "-"))
	return path, os.WriteFile(path, b.Bytes(), 0o644)
}
