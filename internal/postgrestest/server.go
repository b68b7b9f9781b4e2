package postgrestest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// Server is a PostgreSQL server that runs.
type Server struct {
	dir    string // with its socket
	count  int    // of databases
	mutex  sync.Mutex
	remain io.Closer // while it is open the server runs
}

var shared = sync.OnceValues(func() (*Server, error) { return Start(Quick) })

// Disk says whether a server waits until what it was told is on the disk.
type Disk string

// The ways of a disk: tests are quick, what is measured is as it is with a firm.
const (
	Quick   Disk = "off"
	Durable Disk = "on"
)

// New gives the address of an empty database on the server of this test process.
func New(t testing.TB) string {
	t.Helper()
	s, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	address, err := s.Database(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return address
}

// Own gives the address of an empty database on a server of its own, and what kills that server and all its processes as a failing
// machine would; it starts again by itself.
func Own(t testing.TB) (address string, crash func()) {
	t.Helper()
	s, err := Start(Quick)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	if address, err = s.Database(t.Context()); err != nil {
		t.Fatal(err)
	}
	return address, func() {
		t.Helper()
		pid, err := s.pid()
		if err == nil {
			err = syscall.Kill(pid, syscall.SIGKILL) // its children end when they see that it is gone
		}
		if err != nil {
			t.Error(err)
		}
	}
}

// pid is the number of the server's first process.
func (s *Server) pid() (int, error) {
	raw, err := os.ReadFile(filepath.Join(s.dir, "data", "postmaster.pid"))
	if err != nil {
		return 0, err
	}
	line, _, _ := strings.Cut(string(raw), "\n")
	return strconv.Atoi(line)
}

// address is that of a database of this name.
func (s *Server) address(name string) string {
	return "postgres:///" + name + "?" + url.Values{"host": {s.dir}, "user": {"postgres"}}.Encode()
}

// Close ends the server and takes its folder away.
func (s *Server) Close() error { return s.remain.Close() }

// Database makes an empty database and gives its address.
func (s *Server) Database(ctx context.Context) (string, error) { return s.made(ctx, "template1") }

// Copy makes a database that is as the one at an address, to which nobody is connected.
func (s *Server) Copy(ctx context.Context, address string) (string, error) {
	u, err := url.Parse(address)
	if err != nil {
		return "", err
	}
	return s.made(ctx, strings.TrimPrefix(u.Path, "/"))
}

// made makes a database as another is.
func (s *Server) made(ctx context.Context, as string) (string, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock() // one at a time: two would hold the template against each other
	conn, err := pgx.Connect(ctx, s.address("postgres"))
	if err != nil {
		return "", err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	s.count++
	name := fmt.Sprint("test", s.count)
	_, err = conn.Exec(ctx, "CREATE DATABASE "+name+" TEMPLATE "+as)
	return s.address(name), err
}

// programs is the folder of the newest server's programs.
func programs() (string, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/postgres")
	if err != nil {
		return "", err
	}
	if len(found) == 0 {
		return "", errors.New("these tests need a PostgreSQL server: apt-get install postgresql (scripts/check.sh does it)")
	}
	number := func(path string) int {
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path))))
		return n
	}
	return filepath.Dir(slices.MaxFunc(found, func(a, b string) int { return number(a) - number(b) })), nil
}

// running has a server while its input is open, starting it again when it fell; then it ends it at once and takes its folder away.
const running = `while [ ! -e "$2/ending" ]; do
  "$1/postgres" -D "$2/data" -k "$2" -c listen_addresses= -c fsync="$3" -c max_connections=200 >>"$2/log" 2>&1
  sleep 0.1
done &
cat >/dev/null
touch "$2/ending"
kill -QUIT $(head -n 1 "$2/data/postmaster.pid")
wait
rm -rf "$2"`

// Start starts a server of its own; Close ends it.
func Start(disk Disk) (*Server, error) {
	bin, err := programs()
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("/tmp", "gelwright-postgres-") // a socket's path is short
	if err != nil {
		return nil, err
	}
	run, err := asServer(dir)
	if err != nil {
		return nil, err
	}
	made := run(filepath.Join(bin, "initdb"), "--no-sync", "-D", filepath.Join(dir, "data"), "-U", "postgres", "-A", "trust", "-E", "UTF8",
		"--locale=C.UTF-8")
	if said, err := made.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("initdb: %w: %s", err, said)
	}
	c := run("sh", "-c", running, "sh", bin, dir, string(disk))
	remain, err := c.StdinPipe()
	if err != nil {
		return nil, err
	}
	if err := c.Start(); err != nil {
		return nil, err
	}
	s := &Server{dir: dir, remain: remain}
	return s, s.answers()
}

// asServer gives what starts a program as the user whom a server may run as: not root.
func asServer(dir string) (func(name string, args ...string) *exec.Cmd, error) {
	var as *syscall.SysProcAttr
	if os.Geteuid() == 0 {
		who, err := user.Lookup("postgres")
		if err != nil {
			return nil, err
		}
		uid, err1 := strconv.ParseUint(who.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(who.Gid, 10, 32)
		if err := errors.Join(err1, err2, os.Chown(dir, int(uid), int(gid))); err != nil {
			return nil, err
		}
		as = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}
	}
	return func(name string, args ...string) *exec.Cmd {
		c := exec.Command(name, args...)
		c.Dir, c.SysProcAttr = dir, as
		return c
	}, nil
}

// answers waits until the server does.
func (s *Server) answers() error {
	const most = 60 * time.Second
	ctx, cancel := context.WithTimeout(context.Background(), most)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, s.address("postgres"))
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-ctx.Done():
			log, _ := os.ReadFile(filepath.Join(s.dir, "log"))
			return fmt.Errorf("PostgreSQL did not answer: %w: %s", err, bytes.TrimSpace(log))
		case <-time.After(20 * time.Millisecond):
		}
	}
}
