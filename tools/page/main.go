// Command page bundles the page's TypeScript with esbuild.
//
//	go -C tools/page run . [-tests]
//
// It reads page/ and writes web/static/: the program's own scripts and style, the face, and the
// licences of what is in them. What it writes is committed, so that Go alone builds gelwright; the
// check builds it again and compares. With -tests the tests of the page's model are bundled into
// build/page-tests/ for node's own test runner instead. 'npm --prefix page ci' comes first.
package main

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

const (
	source = "../../page"
	static = "../../web/static"
	tests  = "../../build/page-tests"
)

func main() {
	asTests := flag.Bool("tests", false, "bundle the tests for node")
	flag.Parse()
	job := build
	if *asTests {
		job = bundleTests
	}
	if err := job(); err != nil {
		fmt.Fprintln(os.Stderr, "page:", err)
		os.Exit(1)
	}
}

// build bundles what the program serves.
func build() error {
	if _, err := os.Stat(filepath.Join(source, "node_modules", "preact")); err != nil {
		return fmt.Errorf("the page's libraries are not there: run 'npm --prefix page ci' first (%w)", err)
	}
	if err := empty(static); err != nil {
		return err
	}
	o := options()
	o.EntryPoints = []string{source + "/app.tsx", source + "/worker/engine.ts", source + "/app.css",
		source + "/people.tsx", source + "/people.css",
		source + "/office/office.tsx", source + "/office/office.css"}
	o.Outdir, o.EntryNames, o.AssetNames = static, "[name]", "[name]"
	o.MinifySyntax, o.MinifyWhitespace, o.MinifyIdentifiers = true, true, true
	if err := run(o); err != nil {
		return err
	}
	for _, first := range []string{"/index.html", "/people.html", "/office/office.html"} {
		raw, err := os.ReadFile(source + first)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(static, filepath.Base(first)), raw, 0o644); err != nil {
			return err
		}
	}
	return licences()
}

// options are what program and tests share.
func options() api.BuildOptions {
	return api.BuildOptions{
		Bundle: true, Write: true, LogLevel: api.LogLevelWarning, Target: api.ES2022, Format: api.FormatESModule, Charset: api.CharsetUTF8,
		JSX: api.JSXAutomatic, JSXImportSource: "preact", LegalComments: api.LegalCommentsInline,
		Loader: map[string]api.Loader{".woff2": api.LoaderFile}}
}

// bundleTests bundles every page/**/*.test.ts for node.
func bundleTests() error {
	if err := empty(tests); err != nil {
		return err
	}
	o := options()
	o.Platform, o.Outdir, o.OutExtension = api.PlatformNode, tests, map[string]string{".js": ".mjs"}
	err := filepath.WalkDir(source, func(path string, e fs.DirEntry, err error) error {
		if err == nil && e.IsDir() && e.Name() == "node_modules" {
			return filepath.SkipDir
		}
		if err == nil && strings.HasSuffix(path, ".test.ts") {
			o.EntryPoints = append(o.EntryPoints, path)
		}
		return err
	})
	if err != nil {
		return err
	}
	if len(o.EntryPoints) == 0 {
		return fmt.Errorf("no *.test.ts under %s", source)
	}
	return run(o)
}

func run(o api.BuildOptions) error {
	r := api.Build(o)
	if n := len(r.Errors) + len(r.Warnings); n > 0 {
		return fmt.Errorf("%d errors and warnings of the bundler", n)
	}
	return nil
}

// empty makes a folder empty.
func empty(dir string) error {
	if err := os.RemoveAll(dir); err != nil {
		return err
	}
	return os.MkdirAll(dir, 0o755)
}

// licences writes the licences of the libraries and of the face that are given away with the page.
func licences() error {
	paths := []string{source + "/sheet/OFL.txt"}
	for _, name := range []string{"preact", "@preact/signals", "@preact/signals-core"} {
		paths = append(paths, filepath.Join(source, "node_modules", filepath.FromSlash(name), "LICENSE"))
	}
	sort.Strings(paths[1:])
	var b strings.Builder
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			return fmt.Errorf("licence: %w", err)
		}
		name := strings.TrimPrefix(strings.TrimPrefix(filepath.ToSlash(filepath.Dir(path)), source+"/"), "node_modules/")
		if name == "sheet" {
			name = "Atkinson Hyperlegible Next"
		}
		fmt.Fprintf(&b, "== %s\n\n%s\n\n", name, strings.TrimSpace(string(text)))
	}
	return os.WriteFile(static+"/licences.txt", []byte(b.String()), 0o644)
}
