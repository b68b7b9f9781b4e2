package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"gelwright/unit"
)

// extent is what a number may be, with its unit for messages.
type extent struct {
	low, high float64
	unit      string
}

// amount is a flag that takes a number within limits, written as people write one.
type amount struct {
	at *float64
	extent
}

// addAmount adds a flag for a number.
func addAmount(f *pflag.FlagSet, at *float64, name string, usual float64, may extent, usage string) {
	*at = usual
	f.Var(&amount{at, may}, name, usage)
}

func (a *amount) String() string {
	if a.at == nil {
		return "0"
	}
	return strconv.FormatFloat(*a.at, 'g', -1, 64)
}

func (a *amount) Type() string { return "float" }

func (a *amount) Set(text string) error {
	v, ok := unit.Decimal(strings.TrimSpace(text))
	if !ok {
		return fmt.Errorf("write a number such as 15.5")
	}
	if v < a.low || v > a.high {
		return fmt.Errorf("it may be from %g to %g%s", a.low, a.high, a.unit)
	}
	*a.at = v
	return nil
}

// counted is a flag that takes a whole number within limits.
type counted struct {
	at *int
	extent
}

// addCount adds a flag for a whole number.
func addCount(f *pflag.FlagSet, at *int, name string, usual int, may extent, usage string) {
	*at = usual
	f.Var(&counted{at, may}, name, usage)
}

func (c *counted) String() string {
	if c.at == nil {
		return "0"
	}
	return strconv.Itoa(*c.at)
}

func (c *counted) Type() string { return "int" }

func (c *counted) Set(text string) error {
	v, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return fmt.Errorf("write a whole number such as %g", max(c.low, min(c.high, 3)))
	}
	if float64(v) < c.low || float64(v) > c.high {
		return fmt.Errorf("it may be from %g to %g%s", c.low, c.high, c.unit)
	}
	*c.at = v
	return nil
}

// The limits of numbers that are asked on the command line.
var (
	degrees = extent{-40, 60, " °C"}
	sunOver = extent{0, 60, " K"}
	kilos   = extent{0.01, 1000, " kg"}
	litres  = extent{0.01, 1000, " l"}
	leaving = extent{0, 1000, " kg"}
	onMetre = extent{0, 10, " kg"}
	minutes = extent{0, 7 * 24 * 60, " min"}
	chance  = extent{0, 1, ""}
	ahead   = extent{1, 366, " days"}
	heads   = extent{1, 40, ""}
	tries   = extent{1, 1000, ""}
	sawCut  = extent{0, 200, " mm"}
	offcut  = extent{0, 100000, " mm"}
	effort  = extent{1, 100, ""}
)
