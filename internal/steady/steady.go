// Package steady fixes the seed of property tests, so that a run is the same on every
// machine and a failure can be seen again. Import it for its effect in the tests of a
// package that draws at random; -rapid.seed=N on the command line draws others.
package steady

import (
	"flag"

	// Its flags must be registered before the seed is set.
	_ "pgregory.net/rapid"
)

func init() {
	if f := flag.Lookup("rapid.seed"); f != nil {
		if err := f.Value.Set("20261"); err != nil {
			panic("the seed of property tests: " + err.Error())
		}
	}
}
