package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// axe looks at the screen as it is for what shuts people out, and fails with every finding.
func (s *screen) axe(screen string) {
	s.t.Helper()
	path := filepath.Join(root, "page", "node_modules", "axe-core", "axe.min.js")
	source, err := os.ReadFile(path)
	if err != nil {
		s.t.Fatalf("axe-core is not there: run 'npm --prefix page ci' first (%v)", err)
	}
	type finding struct {
		ID, Impact, Help string
		Nodes            []struct {
			Target         []string
			FailureSummary string `json:"failureSummary"`
		}
	}
	// The program's policy lets no script in; the debugger's own evaluation is not the page's.
	eval[bool](s, string(source)+"; true")
	found := eval[[]finding](s, `axe.run(document, {resultTypes: ["violations"]}).then((r) => r.violations.map((v) => `+
		`({id: v.id, impact: v.impact, help: v.help, nodes: v.nodes.map((n) => ({target: n.target.map(String), failureSummary: n.failureSummary}))})))`)
	for _, f := range found {
		var where []string
		for _, n := range f.Nodes {
			where = append(where, fmt.Sprintf("    %s: %s", strings.Join(n.Target, " "), strings.ReplaceAll(n.FailureSummary, "\n", " ")))
		}
		s.t.Errorf("%s: axe finds %s (%s): %s\n%s", screen, f.ID, f.Impact, f.Help, strings.Join(where, "\n"))
	}
}
