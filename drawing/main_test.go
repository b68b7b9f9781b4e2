package drawing

import (
	"flag"
	"os"
	"testing"
)

// A drawing takes milliseconds; forty of each kind keep the suite quick. The
// flag -rapid.checks on the command line still asks for more.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.checks", "40"); err != nil {
		panic(err)
	}
	flag.Parse()
	os.Exit(m.Run())
}
