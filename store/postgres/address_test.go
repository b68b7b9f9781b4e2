package postgres

import "testing"

// TestToAnotherComputerByTLSAlone reads addresses: a line that is not locked is taken to this computer alone, or where it is asked for.
func TestToAnotherComputerByTLSAlone(t *testing.T) {
	for address, want := range map[string]bool{
		"postgres://crew@example.org/jobs":                     false,
		"host=example.org user=crew":                           false,
		"postgres://crew@192.0.2.7/jobs":                       false,
		"postgres://crew@example.org/jobs?sslmode=verify-full": false,
		"postgres://crew@example.org/jobs?sslmode=disable":     true,
		"postgres://crew@localhost/jobs":                       true,
		"postgres://crew@127.0.0.1/jobs":                       true,
		"postgres://crew@[::1]/jobs":                           true,
		"postgres:///jobs?host=/run/postgresql":                true,
	} {
		c, err := configOf(address)
		if err != nil {
			t.Fatal(err)
		}
		open := c.TLSConfig == nil
		for _, f := range c.Fallbacks {
			open = open || f.TLSConfig == nil
		}
		if open != want {
			t.Errorf("%s: without TLS: %v", address, open)
		}
	}
}

// TestWhatALineAsksFor holds the settings of a connection: done is on the disk whatever the address says, the rest is as it says.
func TestWhatALineAsksFor(t *testing.T) {
	c, err := configOf("postgres://crew@localhost/jobs?synchronous_commit=off&lock_timeout=1")
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"synchronous_commit": "on", "lock_timeout": "1", "tcp_keepalives_idle": "30"} {
		if got := c.RuntimeParams[name]; got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
}
