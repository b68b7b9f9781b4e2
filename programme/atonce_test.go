package programme

import (
	"reflect"
	"sync"
	"testing"
)

// A programme's weather may be asked from several sides at once: what is worked out when it is
// first asked for is kept behind a lock, and the answers are those of one after another. The
// race detector runs this.
func TestReasonsAskedForAtOnce(t *testing.T) {
	t.Parallel()
	p, alone := readyFor(t, 5, 4), readyFor(t, 5, 4)
	var all sync.WaitGroup
	got := make([][]Hour, 4*len(p.stages))
	for k := range got {
		all.Go(func() {
			h, err := p.Hours(k % len(p.stages))
			if err != nil {
				t.Error(err)
			}
			got[k] = h
		})
	}
	all.Wait()
	for k, h := range got {
		if want, err := alone.Hours(k % len(p.stages)); err != nil || !reflect.DeepEqual(h, want) {
			t.Fatalf("stage %d asked at once gives other hours than alone (%v)", k%len(p.stages), err)
		}
	}
}
