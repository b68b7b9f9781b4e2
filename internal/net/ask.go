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
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
)

// question is one call of the program. Its roof and forecast are named relative to the
// folder it runs in, so that no output holds a path of this machine.
type question struct {
	name string
	// in is the folder it runs in.
	in   string
	args []string
	// out is true when it writes a folder of papers.
	out bool
}

// ask runs the program and returns what it wrote, by name: stdout, exit, and the files of
// its folder; of plan.json each part by itself.
func (q question) ask(ctx context.Context, program, dir string) (map[string][]byte, error) {
	args := q.args
	folder := filepath.Join(dir, "out", q.name)
	if q.out {
		args = append(append([]string{}, args...), "--out", folder)
	}
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir = q.in
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	code := 0
	var ended *exec.ExitError
	if err := cmd.Run(); errors.As(err, &ended) {
		code = ended.ExitCode()
	} else if err != nil {
		return nil, err
	}
	if code == 3 {
		return nil, fmt.Errorf("exit %d: %s", code, stderr.Bytes())
	}
	answers := map[string][]byte{
		"text": bytes.ReplaceAll(stdout.Bytes(), []byte(folder), []byte("OUT")),
		"exit": fmt.Appendf(nil, "%d\n%s", code, bytes.ReplaceAll(stderr.Bytes(), []byte(folder), []byte("OUT"))),
	}
	if !q.out {
		return answers, nil
	}
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(folder, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if name != "plan.json" {
			answers[name] = raw
			return nil
		}
		return parts(raw, answers)
	})
	if err != nil {
		return nil, err
	}
	return answers, os.RemoveAll(folder)
}

// parts takes plan.json apart, so that a changed part can be told from the rest.
func parts(raw []byte, answers map[string][]byte) error {
	var whole map[string]json.RawMessage
	if err := json.Unmarshal(raw, &whole); err != nil {
		return fmt.Errorf("plan.json: %w", err)
	}
	for key, part := range whole {
		var b bytes.Buffer
		if err := json.Indent(&b, part, "", " "); err != nil {
			return err
		}
		answers["plan.json/"+key] = b.Bytes()
	}
	return nil
}

// groupOf is the digest that an output counts into.
func groupOf(what string) string {
	switch {
	case strings.HasPrefix(what, "lists/"):
		return "lists"
	case strings.HasSuffix(what, ".svg"):
		return "svg"
	case strings.HasSuffix(what, ".dxf"):
		return "dxf"
	case strings.HasPrefix(what, "drawings/") && strings.HasSuffix(what, ".pdf"):
		return "drawings-pdf"
	}
	return what
}

// digestOf is one output's line within its group.
func digestOf(what string, text []byte) string {
	sum := sha256.Sum256(text)
	return what + " " + hex.EncodeToString(sum[:]) + "\n"
}

// fold makes one short digest of a group's lines, whatever order they came in.
func fold(lines string) string {
	all := strings.Split(lines, "\n")
	sort.Strings(all)
	sum := sha256.Sum256([]byte(strings.Join(all, "\n")))
	return hex.EncodeToString(sum[:8])
}

// quick are the examples that the short net asks everything of: small roofs of several kinds.
var quick = map[string]bool{"r01": true, "r03": true, "r05": true, "r08": true}

// allCases are the questions: the examples, the random roofs, and the other commands.
func allCases(dir string, short bool) ([]question, error) {
	root, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	examples, err := filepath.Glob("examples/r*.yaml")
	if err != nil || len(examples) == 0 {
		return nil, fmt.Errorf("no examples here: run it from the top of the tree (%v)", err)
	}
	var all []question
	for _, e := range examples {
		name := strings.Split(filepath.Base(e), "-")[0]
		all = append(all, question{name: name, in: root, args: []string{"plan", "-q", e}, out: true})
		if short && !quick[name] {
			continue
		}
		all = append(all, question{name: name + "-check", in: root, args: []string{"check", e, "--all"}},
			question{name: name + "-check-json", in: root, args: []string{"check", e, "--json"}},
			question{name: name + "-when", in: root, args: []string{"when", e, "--forecast", "examples/forecast.csv",
				"--from", firstDay, "--json"}},
			question{name: name + "-now", in: root,
				args: []string{"now", e, "--forecast", "examples/forecast.csv", "--at", "2026-05-13T09:30", "--done", "deck,trims"}})
	}
	all = append(all, others(root)...)
	count := randomRoofs
	if short {
		count = 12
	}
	for i := range count {
		name := fmt.Sprintf("n%02d", i+1)
		file := name + ".yaml"
		if err := os.WriteFile(filepath.Join(dir, file), []byte(randomRoof(uint64(i+1))), 0o644); err != nil {
			return nil, err
		}
		all = append(all, question{name: name, in: dir, args: []string{"plan", "-q", file}, out: true})
	}
	return all, nil
}

// firstDay of the forecast of the examples; most of them are dated otherwise.
const firstDay = "2026-05-11"

// others are the questions that need no roof, and those with a firm and a forecast.
func others(root string) []question {
	ask := func(name string, out bool, args ...string) question {
		return question{name: name, in: root, args: args, out: out}
	}
	const r01, r04, firm, forecast = "examples/r01-garage.yaml", "examples/r04-l-shape.yaml", "examples/firm.yaml", "examples/forecast.csv"
	return []question{
		ask("q-forecast", true, "plan", "-q", r01, "--forecast", forecast),
		ask("q-firm", true, "plan", "-q", r04, "--firm", firm),
		ask("q-firm-forecast", true, "plan", "-q", r04, "--firm", firm, "--forecast", forecast, "--from", firstDay),
		ask("q-temp", true, "plan", "-q", r01, "--temp", "24"),
		ask("q-explain", false, "plan", "-q", r01, "--explain", "list"),
		ask("q-explain-resin", false, "plan", "-q", r01, "--explain", "roof.resin"),
		ask("q-when", false, "when", r01, "--forecast", forecast),
		ask("q-when-firm", false, "when", r04, "--forecast", forecast, "--firm", firm, "--from", firstDay),
		ask("q-now-json", false, "now", r04, "--forecast", forecast, "--at", "2026-05-14T11:00", "--done", "deck,trims", "--json"),
		ask("q-dose", false, "dose", "--temp", "12", "--litres", "5", "--minutes", "20"),
		ask("q-dose-json", false, "dose", "--temp", "20", "--litres", "3", "--minutes", "15", "--left", "0.3", "--json"),
		ask("q-cure", false, "cure", r01, "--temp", "15"),
		ask("q-cure-json", false, "cure", r04, "--temp", "22", "--json"),
		ask("q-learn", false, "learn", "examples/gels.csv"),
		ask("q-learn-json", false, "learn", "examples/gels.csv", "--json"),
		ask("q-schema", false, "schema"),
		ask("q-schema-firm", false, "schema", "firm"),
		ask("q-check-explain", false, "check", r01, "--all", "--explain"),
	}
}
