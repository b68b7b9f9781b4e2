package rules

import (
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// levelOne are the items of level 1 of OWASP ASVS 5.0, as its chapters number them (read from its repository, folder 5.0/en): 70.
var levelOne = strings.Fields(`1.2.1 1.2.2 1.2.3 1.2.4 1.2.5 1.3.1 1.3.2 1.5.1 2.1.1 2.2.1 2.2.2 2.3.1 3.2.1 3.2.2 3.3.1 3.4.1 3.4.2 3.5.1 3.5.2
	3.5.3 4.1.1 4.4.1 5.2.1 5.2.2 5.3.1 5.3.2 6.1.1 6.2.1 6.2.2 6.2.3 6.2.4 6.2.5 6.2.6 6.2.7 6.2.8 6.3.1 6.3.2 6.4.1 6.4.2 7.2.1 7.2.2 7.2.3
	7.2.4 7.4.1 7.4.2 8.1.1 8.2.1 8.2.2 8.3.1 9.1.1 9.1.2 9.1.3 9.2.1 10.4.1 10.4.2 10.4.3 10.4.4 10.4.5 11.3.1 11.3.2 11.4.1 12.1.1 12.2.1
	12.2.2 13.4.1 14.2.1 14.3.1 15.1.1 15.2.1 15.3.1`)

// withoutTest are items whose proof is a text of SECURITY.md itself.
var withoutTest = []string{"15.1.1", "6.1.1"}

var (
	securityRow = regexp.MustCompile(`^\| (\d+\.\d+\.\d+) \| ([^|]+) \| ([^|]+) \|([^|]*)\|$`)
	namedProof  = regexp.MustCompile("`([^`]+)`")
)

// SECURITY.md has each item once and in order, says how it is met, that it does not apply or what is open, and names tests that are there.
func TestSecurityIsToldItemByItem(t *testing.T) {
	root := filepath.Join("..", "..")
	raw, err := os.ReadFile(filepath.Join(root, "SECURITY.md"))
	if err != nil {
		t.Fatal(err)
	}
	var seen []string
	for _, line := range strings.Split(string(raw), "\n") {
		row := securityRow.FindStringSubmatch(line)
		if row == nil {
			if strings.HasPrefix(line, "| ") && len(line) > 3 && line[2] >= '0' && line[2] <= '9' {
				t.Errorf("this row cannot be read: %s", line)
			}
			continue
		}
		item, how, proofs := row[1], row[3], namedProof.FindAllStringSubmatch(row[4], -1)
		seen = append(seen, item)
		if len(proofs) == 0 && !strings.HasPrefix(how, "does not apply") && !strings.HasPrefix(how, "open") && !slices.Contains(withoutTest, item) {
			t.Errorf("%s is proven by nothing, and is said to be met", item)
		}
		for _, p := range proofs {
			if !proven(t, root, p[1]) {
				t.Errorf("%s: %s is not there", item, p[1])
			}
		}
	}
	if !slices.Equal(seen, levelOne) || len(levelOne) != 70 {
		t.Errorf("the items are %v, want %v", seen, levelOne)
	}
}

// proven reports whether a proof is there: "folder.TestName", or a file.
func proven(t *testing.T, root, name string) bool {
	t.Helper()
	folder, test, is := strings.Cut(name, ".")
	if !is || !strings.HasPrefix(test, "Test") && !strings.HasPrefix(test, "Fuzz") {
		_, err := os.Stat(filepath.Join(root, filepath.FromSlash(name)))
		return err == nil
	}
	files, err := filepath.Glob(filepath.Join(root, filepath.FromSlash(folder), "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		raw, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(raw), "\nfunc "+test+"(") {
			return true
		}
	}
	return false
}

// dangerous are packages that the product does not use, and why. Programs that test or build it may.
var dangerous = map[string]string{
	"os/exec":               "the product starts no other program (ASVS 5.0 1.2.5)",
	"plugin":                "the product loads no code",
	"encoding/gob":          "what comes from others is read by a reader of its own (1.5.2)",
	"text/template":         "it escapes nothing (1.2.1)",
	"crypto/md5":            "it is broken (11.4.1)",
	"crypto/sha1":           "it is broken (11.4.1)",
	"crypto/des":            "it is broken (11.3.2)",
	"crypto/rc4":            "it is broken (11.3.2)",
	"crypto/cipher":         "ciphers are used through crypto/tls alone (11.3.1)",
	"math/rand":             "what must not be guessed comes from crypto/rand (11.5.1)",
	"net/http/pprof":        "it tells strangers what the program does (13.4.2)",
	"encoding/xml":          "nobody's XML is read (1.5.1)",
	"net/http/cgi":          "the product starts no other program (1.2.5)",
	"golang.org/x/net/html": "nobody's HTML is read (1.3.1)",
}

func TestNothingDangerousIsImported(t *testing.T) {
	for _, p := range packages(t) {
		if strings.HasPrefix(p.ImportPath, "gelwright/bench/") || strings.HasPrefix(p.ImportPath, "gelwright/internal/") ||
			p.ImportPath == "gelwright/store/storetest" { // for tests
			continue
		}
		for _, in := range p.Imports {
			if why := dangerous[in]; why != "" {
				t.Errorf("%s imports %s: %s", p.ImportPath, in, why)
			}
		}
		// A certificate that is not asked is asked for nothing but health: only the doctor looks so.
		sources(t, p.Dir, func(path string, file *ast.File, set *token.FileSet) {
			ast.Inspect(file, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok && id.Name == "InsecureSkipVerify" && p.ImportPath != "gelwright/doctor" {
					t.Errorf("%s: certificates are held against their names (ASVS 5.0 12.3.2)", set.Position(n.Pos()))
				}
				return true
			})
		})
	}
}
