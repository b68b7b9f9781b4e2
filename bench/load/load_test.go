package load

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"gelwright/internal/postgrestest"
)

// bareVariable has this program be the bare handler.
const bareVariable = "LOAD_BARE"

func TestMain(m *testing.M) {
	if os.Getenv(bareVariable) != "" {
		bare()
		return
	}
	os.Exit(m.Run())
}

// bare answers everything at once with two kilobytes, as fast as net/http can, until it is told to end.
func bare() {
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	fmt.Println("http://" + on.Addr().String() + "/")
	answer := []byte(`{"seq":1,"said":"` + strings.Repeat("x", 2000) + `"}`)
	panic(http.Serve(on, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		w.Write(answer)
	})))
}

// begun starts a server and gives the address that it prints first.
func begun(b *testing.B, cmd *exec.Cmd) string {
	b.Helper()
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { cmd.Process.Signal(syscall.SIGTERM); cmd.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		b.Fatalf("no address was printed: %v", err)
	}
	return strings.TrimSuffix(strings.TrimSpace(line), "/")
}

// set is a setting of the crowd.
func set[T any](b *testing.B, name string, usual T, read func(string) (T, error)) T {
	b.Helper()
	text := os.Getenv(name)
	if text == "" {
		return usual
	}
	v, err := read(text)
	if err != nil {
		b.Fatalf("%s: %v", name, err)
	}
	return v
}

func crowd(b *testing.B) Crowd {
	return Crowd{set(b, "LOAD_PEOPLE", 200, strconv.Atoi), set(b, "LOAD_FOR", time.Minute, time.ParseDuration),
		set(b, "LOAD_PAUSE", time.Second, time.ParseDuration)}
}

// examples are the roofs of the jobs whose papers all read.
func examples(b *testing.B) []json.RawMessage {
	b.Helper()
	names, err := filepath.Glob("../../examples/r*.yaml")
	if err != nil || len(names) < 12 {
		b.Fatalf("the examples: %v %v", names, err)
	}
	var out []json.RawMessage
	for _, n := range names {
		text, err := os.ReadFile(n)
		if err != nil {
			b.Fatal(err)
		}
		raw, err := yaml.YAMLToJSON(text)
		if err != nil {
			b.Fatal(err)
		}
		out = append(out, raw)
	}
	return out
}

// people begin a job each, and those that all read.
func people(b *testing.B, n int, server string) []*person {
	b.Helper()
	roofs := examples(b)
	begin := func(title string, roof json.RawMessage) string {
		status, raw, err := send(b.Context(), http.DefaultClient, http.MethodPost, server+"/api/jobs",
			map[string]any{"title": title, "who": "Asha", "state": map[string]any{"id": "s1", "document": map[string]any{"roof": roof}}})
		var job struct{ ID string }
		if err == nil {
			err = json.Unmarshal(raw, &job)
		}
		if err != nil || status >= http.StatusBadRequest {
			b.Fatalf("a job: %d %s %v", status, raw, err)
		}
		return job.ID
	}
	var read []string
	for i, roof := range roofs {
		read = append(read, begin("Read by all "+strconv.Itoa(i), roof))
	}
	for _, id := range read { // as in a firm's morning, their papers were looked at before
		if status, raw, err := send(b.Context(), http.DefaultClient, http.MethodGet, server+"/api/jobs/"+id+"/papers/site.pdf", nil); err != nil || status != http.StatusOK {
			b.Fatalf("the papers: %d %.200s %v", status, raw, err)
		}
	}
	var out []*person
	for i := range n {
		roof := roofs[i%len(roofs)]
		out = append(out, &person{job: begin("Job "+strconv.Itoa(i), roof), read: read[i%len(read)], seq: 1, roof: roof, chance: rand.New(rand.NewPCG(7, uint64(i)))})
	}
	return out
}

// answered has the crowd ask, and tells.
func answered(b *testing.B, c Crowd, server string, all []*person) {
	b.Helper()
	b.ResetTimer()
	answers := c.Ask(context.WithoutCancel(b.Context()), server, all)
	b.StopTimer()
	for _, a := range answers {
		b.Logf("%-14s %7d answers, p50 %8.2f ms, p99 %8.2f ms, slowest %8.2f ms, %d errors", a.Name, len(a.MS), a.At(0.5), a.At(0.99), a.At(1), a.Errors)
		if a.First != nil {
			b.Errorf("%s: the first error is %v", a.Name, a.First)
		}
	}
	whole := answers[len(answers)-1]
	b.ReportMetric(whole.At(0.5), "p50-ms")
	b.ReportMetric(whole.At(0.99), "p99-ms")
	b.ReportMetric(float64(whole.Errors), "errors")
	b.ReportMetric(float64(len(whole.MS))/c.For.Seconds(), "answers/s")
}

// program builds gelwright, without the engine for browsers.
func program(b *testing.B) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "gelwright")
	build := exec.Command("go", "build", "-o", path, "gelwright/cmd/gelwright")
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("the program: %v\n%s", err, out)
	}
	return path
}

func BenchmarkBareHandler(b *testing.B) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), bareVariable+"=1")
	server := begun(b, cmd)
	c := crowd(b)
	var all []*person
	for i := range c.People {
		all = append(all, &person{job: strconv.Itoa(i), read: "0", seq: 1, roof: examples(b)[0], chance: rand.New(rand.NewPCG(7, uint64(i)))})
	}
	answered(b, c, server, all)
}

func BenchmarkSQLite(b *testing.B) {
	server := begun(b, exec.Command(program(b), "serve", "--data", filepath.Join(b.TempDir(), "data"), "--log", "quiet"))
	c := crowd(b)
	answered(b, c, server, people(b, c.People, server))
}

func BenchmarkPostgreSQL(b *testing.B) {
	server := begun(b, exec.Command(program(b), "serve", "--data", filepath.Join(b.TempDir(), "data"), "--database", postgrestest.New(b), "--log", "quiet"))
	c := crowd(b)
	answered(b, c, server, people(b, c.People, server))
}
