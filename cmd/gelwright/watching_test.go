package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gelwright/doctor"
)

// freePort is a port of this computer that nobody has.
func freePort(t *testing.T) string {
	t.Helper()
	on, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer on.Close()
	return on.Addr().String()
}

// The log in JSON has a line for each answer; figures are read on a port of their own; the service manager is told of the
// beginning and the end; the doctor finds the server in good health.
func TestServeIsWatchedAtOnce(t *testing.T) {
	socket := filepath.Join(t.TempDir(), "notify")
	manager, err := net.ListenPacket("unixgram", socket)
	if err != nil {
		t.Fatal(err)
	}
	defer manager.Close()
	t.Setenv("NOTIFY_SOCKET", socket)
	told := func() string {
		var b [64]byte
		if err := manager.SetReadDeadline(time.Now().Add(time.Minute)); err != nil {
			t.Fatal(err)
		}
		n, _, err := manager.ReadFrom(b[:])
		if err != nil {
			t.Fatal(err)
		}
		return string(b[:n])
	}
	data, figures, listen := filepath.Join(t.TempDir(), "data"), freePort(t), freePort(t)
	s := serveIn(t, data, "--log", "json", "--metrics", figures, "--listen", listen)
	if what := told(); what != "READY=1" {
		t.Errorf("the service manager is told %q", what)
	}
	s.get("api/jobs")
	s.get("healthz")
	w, err := http.Get("http://" + figures + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(w.Body)
	w.Body.Close()
	if err != nil || !bytes.Contains(text, []byte(`gelwright_requests_total{method="GET",route="/api/jobs",status="200"} 1`)) {
		t.Errorf("the figures: %v %s", err, text)
	}
	var out bytes.Buffer
	// The program of a test has no engine within it: that alone is wrong.
	run([]string{"doctor", "--data", data, "--listen", listen, "--json"}, nil, &out, io.Discard)
	var list []doctor.Finding
	if err := json.Unmarshal(out.Bytes(), &list); err != nil {
		t.Fatalf("%v in %s", err, out.String())
	}
	for _, f := range list {
		if f.State == doctor.Bad && f.Check != "program" || f.Check == "port" && !strings.Contains(f.Found, "the server answers") {
			t.Errorf("%+v", f)
		}
	}
	s.end()
	if what := told(); what != "STOPPING=1" {
		t.Errorf("at its end the service manager is told %q", what)
	}
	lines := 0
	for line := range strings.Lines(s.errs.String()) {
		var l map[string]any
		if !strings.HasPrefix(line, "{") {
			continue // that a folder of jobs is begun
		}
		if err := json.Unmarshal([]byte(line), &l); err != nil {
			t.Errorf("%v in %s", err, line)
		}
		if at, err := time.Parse(time.RFC3339, l["time"].(string)); err != nil || !strings.HasSuffix(l["time"].(string), "Z") || at.IsZero() {
			t.Errorf("no time in UTC: %s", line)
		}
		if l["msg"] == "answered" {
			lines++
		}
	}
	if lines < 3 {
		t.Errorf("%d answers are logged: %s", lines, s.errs.String())
	}
}

func TestWrongWaysToWatch(t *testing.T) {
	for _, args := range [][]string{{"--log", "loud"}, {"--metrics", "0.0.0.0:9464"}, {"--metrics", "9464"}, {"--metrics", "192.0.2.7:9464"}} {
		var errs bytes.Buffer
		if code := run(append([]string{"serve", "--data", t.TempDir()}, args...), nil, io.Discard, &errs); code != exitUsage || !strings.Contains(errs.String(), args[0]) {
			t.Errorf("%v: exit code %d, %s", args, code, errs.String())
		}
	}
}
