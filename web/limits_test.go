package web

import (
	"fmt"
	"sync"
	"testing"
	"time"
)

var noon = time.Date(2026, 5, 12, 12, 0, 0, 0, time.UTC)

// So many at once, then so many a second, each key for itself. ASVS 5.0 2.4.1.
func TestALimitLetsSoManyThrough(t *testing.T) {
	l := limitOf(2, 5)
	count := func(key string, at time.Time, n int) (through int) {
		for range n {
			if l.allows(key, at) {
				through++
			}
		}
		return through
	}
	for _, x := range []struct {
		key   string
		after time.Duration
		want  int
	}{{"a", 0, 5}, {"b", 0, 5}, {"a", 0, 0}, {"a", 500 * time.Millisecond, 1}, {"a", 1500 * time.Millisecond, 2}, {"a", time.Hour, 5}} {
		if got := count(x.key, noon.Add(x.after), 20); got != x.want {
			t.Errorf("%s after %v: %d of 20 are let through, want %d", x.key, x.after, got, x.want)
		}
	}
}

// Who asks from ever new addresses fills no memory, and whoever was not heard of longest is forgotten first.
func TestALimitRemembersABoundedNumber(t *testing.T) {
	l := limitOf(1, 1)
	l.most = 100
	l.allows("kept", noon)
	for i := range 5000 {
		if !l.allows(fmt.Sprint(i), noon) {
			t.Fatalf("%d is refused at its first question", i)
		}
		if l.allows("kept", noon) {
			t.Fatal("one that asks again and again is forgotten")
		}
	}
	if len(l.of) != 100 || l.order.Len() != 100 {
		t.Errorf("%d keys, %d in order", len(l.of), l.order.Len())
	}
	if !l.allows("3", noon) {
		t.Error("one that was forgotten begins anew")
	}
}

func TestLimitedAtOnce(t *testing.T) {
	l := limitOf(0.001, 50)
	l.most = 8
	var all sync.WaitGroup
	var through [4]int
	for k := range through {
		for range 4 {
			all.Go(func() {
				n := 0
				for range 40 {
					if l.allows(fmt.Sprint("k", k), noon) {
						n++
					}
				}
				l.mu.Lock()
				defer l.mu.Unlock()
				through[k] += n
			})
		}
	}
	all.Wait()
	if through != [4]int{50, 50, 50, 50} {
		t.Errorf("let through: %v", through)
	}
}

func TestAnAddressIsCountedByItsHousehold(t *testing.T) {
	for host, want := range map[string]string{"192.168.7.20": "192.168.7.20", "::ffff:192.168.7.20": "192.168.7.20",
		"2001:db8:1:2:3:4:5:6": "2001:db8:1:2::/64", "2001:db8:1:2::9": "2001:db8:1:2::/64", "fe80::1%eth0": "fe80::/64", "": ""} {
		if got := addressKey(host); got != want {
			t.Errorf("%s is counted as %s, want %s", host, got, want)
		}
	}
}

// An account has its own measure, wherever it asks from.
func TestAnAccountIsCountedApart(t *testing.T) {
	s := &Server{limits: limitsOf(1000)}
	through := 0
	for range 400 {
		if !s.tooOften(nil, "7") {
			through++
		}
	}
	// What trickles in while the test asks comes on top.
	if through < accountAtOnce || through > accountAtOnce+accountPerSecond*20 || s.tooOften(nil, "8") {
		t.Errorf("%d of 400 are let through, want some more than %d", through, accountAtOnce)
	}
}
